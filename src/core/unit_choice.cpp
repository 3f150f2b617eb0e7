#include "core/unit_choice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <vector>

namespace headroom {

namespace {

// The first unit of a measure is the one a fresh book starts with. Factors: the makers in units.h.
constexpr std::array kUnits = {
    Unit{Measure::height, "m", "metre metres meter meters", 1.0, 0, 0},
    Unit{Measure::height, "ft", "foot feet", 0.3048, 0, 0},
    Unit{Measure::distance, "km", "kilometre kilometres kilometer kilometers", 1000.0, 0, 1},
    Unit{Measure::distance, "mi", "mile miles", 1609.344, 0, 1},
    Unit{Measure::distance, "NM", "nm nmi", 1852.0, 0, 1},
    Unit{Measure::speed, "km/h", "kmh kph", 1000.0 / 3600.0, 0, 0},
    Unit{Measure::speed, "mph", "mi/h", 1609.344 / 3600.0, 0, 0},
    Unit{Measure::speed, "kt", "kts kn knots", 1852.0 / 3600.0, 0, 0},
    Unit{Measure::speed, "m/s", "mps", 1.0, 0, 1},
    Unit{Measure::climb, "m/s", "mps", 1.0, 0, 1},
    Unit{Measure::climb, "ft/min", "fpm", 0.3048 / 60.0, 0, 0},
    Unit{Measure::temperature, "C", "°C celsius", 1.0, 273.15, 0},
    Unit{Measure::temperature, "F", "°F fahrenheit", 5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0, 0},
    Unit{Measure::volume, "L", "l litre litres liter liters", 1e-3, 0, 1},
    Unit{Measure::volume, "US gal", "usgal gal-us", 3.785411784e-3, 0, 2},
    Unit{Measure::volume, "imp gal", "impgal gal-imp", 4.54609e-3, 0, 2},
    Unit{Measure::volume, "mL", "ml", 1e-6, 0, 0},
    Unit{Measure::mass, "kg", "kilogram kilograms", 1.0, 0, 1},
    Unit{Measure::mass, "lb", "lbs pound pounds", 0.45359237, 0, 0},
    Unit{Measure::pressure, "hPa", "mbar mb", 100.0, 0, 0},
    Unit{Measure::pressure, "inHg", "inhg", 3386.38866667, 0, 2},
    Unit{Measure::pressure, "bar", "", 1e5, 0, 2},
    Unit{Measure::pressure, "psi", "", 0.45359237 * 9.80665 / (0.0254 * 0.0254), 0, 1},
};

constexpr std::array<std::string_view, kMeasures> kMeasureNames = {"height",      "distance", "speed", "climb",
                                                                   "temperature", "volume",   "mass",  "pressure"};

bool is_typed_as(const Unit& unit, std::string_view text) {
  if (text == unit.name) return true;
  std::string_view rest = unit.typed;
  while (!rest.empty()) {
    const auto space = rest.find(' ');
    if (rest.substr(0, space) == text) return true;
    if (space == std::string_view::npos) break;
    rest.remove_prefix(space + 1);
  }
  return false;
}

const Unit* find_unit(Measure measure, std::string_view text) {
  for (const auto& unit : kUnits)
    if (unit.measure == measure && is_typed_as(unit, text)) return &unit;
  return nullptr;
}

std::string_view trimmed_text(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

struct NumberAndRest {
  double value;
  std::string_view rest;
};

// A decimal number at the start, with a point or a comma; no exponent, no hex, no infinity.
Result<NumberAndRest> leading_number(std::string_view text) {
  text = trimmed_text(text);
  const std::string whole(text);
  std::size_t i = 0;
  bool negative = false;
  if (i < text.size() && (text[i] == '-' || text[i] == '+')) negative = text[i++] == '-';
  double value = 0, scale = 1;
  bool digits = false, fraction = false;
  for (; i < text.size(); ++i) {
    const char c = text[i];
    if (c >= '0' && c <= '9') {
      digits = true;
      if (fraction) scale /= 10;
      value = fraction ? value + (c - '0') * scale : value * 10 + (c - '0');
    } else if ((c == '.' || c == ',') && !fraction) {
      fraction = true;
    } else {
      break;
    }
  }
  if (!digits) return fail(ErrorKind::bad_input, "'" + whole + "' does not begin with a number");
  if (!std::isfinite(value) || value > 1e12) return fail(ErrorKind::bad_input, "'" + whole + "' is too large");
  return NumberAndRest{negative ? -value : value, trimmed_text(text.substr(i))};
}

}  // namespace

UnitChoice::UnitChoice() {
  for (int m = 0; m < kMeasures; ++m)
    for (const auto& unit : kUnits)
      if (static_cast<int>(unit.measure) == m) {
        chosen_[m] = &unit;
        break;
      }
}

const Unit& UnitChoice::of(Measure measure) const {
  return *chosen_[static_cast<std::size_t>(measure)];
}

std::string_view measure_name(Measure measure) {
  return kMeasureNames[static_cast<std::size_t>(measure)];
}

std::string units_of(Measure measure) {
  std::string out;
  for (const auto& unit : kUnits)
    if (unit.measure == measure) {
      if (!out.empty()) out += ", ";
      out += unit.name;
    }
  return out;
}

Result<void> UnitChoice::choose(std::string_view measure, std::string_view unit) {
  for (std::size_t m = 0; m < kMeasureNames.size(); ++m) {
    if (kMeasureNames[m] != measure) continue;
    const Unit* found = find_unit(static_cast<Measure>(m), unit);
    if (found == nullptr)
      return fail(ErrorKind::bad_input, "'" + std::string(unit) + "' is no unit of " + std::string(measure) + "; it knows " +
                                            units_of(static_cast<Measure>(m)));
    chosen_[m] = found;
    return {};
  }
  std::string names;
  for (const auto name : kMeasureNames) names += (names.empty() ? "" : ", ") + std::string(name);
  return fail(ErrorKind::bad_input, "'" + std::string(measure) + "' is nothing that is measured here; there are " + names);
}

Result<void> UnitChoice::choose_list(std::string_view list) {
  struct Preset {
    std::string_view name, list;
  };
  constexpr Preset kPresets[] = {
      {"us", "height=ft,distance=mi,speed=mph,climb=ft/min,temperature=F,volume=US gal,mass=lb,pressure=inHg"},
      {"uk", "height=ft,distance=mi,speed=mph,climb=ft/min,temperature=C,volume=L,mass=kg,pressure=hPa"},
  };
  while (!list.empty()) {
    const auto comma = list.find(',');
    const auto item = trimmed_text(list.substr(0, comma));
    const auto equals = item.find('=');
    if (item == "metric") {
      *this = UnitChoice();
    } else if (const auto preset =
                   std::find_if(std::begin(kPresets), std::end(kPresets), [&](const Preset& p) { return p.name == item; });
               preset != std::end(kPresets)) {
      if (auto chosen = choose_list(preset->list); !chosen) return chosen;
    } else if (equals == std::string_view::npos) {
      return fail(ErrorKind::bad_input, "'" + std::string(item) + "' should look like temperature=F, or be metric, us or uk");
    } else if (auto chosen = choose(trimmed_text(item.substr(0, equals)), trimmed_text(item.substr(equals + 1))); !chosen) {
      return chosen;
    }
    if (comma == std::string_view::npos) break;
    list.remove_prefix(comma + 1);
  }
  return {};
}

Result<double> parse_measure(Measure measure, std::string_view text, const UnitChoice& units) {
  const auto number = leading_number(text);
  if (!number) return tl::unexpected<Error>(number.error());
  const Unit* unit = number->rest.empty() ? &units.of(measure) : find_unit(measure, number->rest);
  // A gallon is not one thing: the two differ by a fifth, so the word alone is refused.
  if (unit == nullptr)
    return fail(ErrorKind::bad_input, "'" + std::string(number->rest) + "' is no unit of " + std::string(measure_name(measure)) +
                                          "; it knows " + units_of(measure));
  return number->value * unit->factor + unit->offset;
}

Result<Duration> parse_duration(std::string_view text) {
  const std::string whole(trimmed_text(text));
  const auto refuse = [&] {
    return fail(ErrorKind::bad_input, "'" + whole + "' is no length of time; write 1.5, 1:30, 1h30 or 90 min");
  };
  std::string_view rest = whole;
  const auto colon = rest.find(':');
  if (colon != std::string_view::npos) {
    const auto h = leading_number(rest.substr(0, colon)), m = leading_number(rest.substr(colon + 1));
    if (!h || !m || !h->rest.empty() || !m->rest.empty() || h->value < 0 || m->value < 0 || m->value >= 60 ||
        h->value != std::floor(h->value))
      return refuse();
    return hours(h->value) + minutes(m->value);
  }
  Duration total;
  bool after_hours = false, any = false;
  while (!rest.empty()) {
    const auto number = leading_number(rest);
    if (!number || number->value < 0) return refuse();
    std::size_t letters = 0;
    while (letters < number->rest.size() && ((number->rest[letters] >= 'a' && number->rest[letters] <= 'z'))) ++letters;
    const auto unit = number->rest.substr(0, letters);
    rest = trimmed_text(number->rest.substr(letters));
    if (unit == "h" || unit == "hour" || unit == "hours" || (unit.empty() && !any)) {
      if (any) return refuse();
      total += hours(number->value);
      after_hours = true;
    } else if (unit == "min" || unit == "m" || unit == "minutes" || unit == "minute" || (unit.empty() && after_hours)) {
      total += minutes(number->value);
    } else if (unit == "s" || unit == "sec" || unit == "seconds") {
      total += seconds(number->value);
    } else {
      return refuse();
    }
    if (unit.empty() && !rest.empty()) return refuse();
    any = true;
  }
  if (!any) return refuse();
  return total;
}

}  // namespace headroom
