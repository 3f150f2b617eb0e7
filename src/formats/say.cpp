#include "formats/say.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace headroom {

namespace {

std::string shown_unit(const Unit& unit) {
  if (unit.measure == Measure::temperature) return "°" + std::string(unit.name);
  return std::string(unit.name);
}

double in_unit(double si, const Unit& unit) {
  return (si - unit.offset) / unit.factor;
}

std::string number_text(double value, int decimals) {
  auto text = fmt::format("{:.{}f}", value, decimals);
  if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);  // no "-0.0"
  return text;
}

std::string in_words(double si, const Unit& unit) {
  return number_text(in_unit(si, unit), unit.decimals) + " " + shown_unit(unit);
}

}  // namespace

std::string say_height(Length h, const UnitChoice& u) {
  return in_words(h.si(), u.of(Measure::height));
}
std::string say_distance(Length d, const UnitChoice& u) {
  return std::abs(in_metres(d)) < 1000 ? say_height(d, u) : in_words(d.si(), u.of(Measure::distance));
}
std::string say_speed(Speed s, const UnitChoice& u) {
  return in_words(s.si(), u.of(Measure::speed));
}
std::string say_climb(Speed s, const UnitChoice& u) {
  return in_words(s.si(), u.of(Measure::climb));
}
std::string say_temperature(Temperature t, const UnitChoice& u) {
  return in_words(t.si(), u.of(Measure::temperature));
}
std::string say_volume(Volume v, const UnitChoice& u) {
  return in_words(v.si(), u.of(Measure::volume));
}
std::string say_mass(Mass m, const UnitChoice& u) {
  return in_words(m.si(), u.of(Measure::mass));
}

std::string say_measure(Measure measure, double si, const UnitChoice& u, int more_decimals) {
  const auto& unit = u.of(measure);
  return number_text(in_unit(si, unit), unit.decimals + more_decimals) + " " + shown_unit(unit);
}
std::string say_temperature_difference(TemperatureDifference d, const UnitChoice& u, int more_decimals) {
  const auto& unit = u.of(Measure::temperature);
  return number_text(d.si() / unit.factor, unit.decimals + more_decimals) + " " + shown_unit(unit);
}
std::string say_area(Area area, const UnitChoice& u) {
  const auto& length = u.of(Measure::height);
  const bool feet = length.name == "ft";
  const double value = area.si() / (length.factor * length.factor);
  const double step = value > 0 ? std::pow(10, std::floor(std::log10(value)) - 2) : 1;
  return fmt::format("{:.0f} {}", std::round(value / step) * step, feet ? "ft²" : "m²");
}

std::string say_density(Density density, const UnitChoice& u) {
  const auto& mass = u.of(Measure::mass);
  const auto& length = u.of(Measure::height);
  if (mass.name != "lb" || length.name != "ft") return number_text(density.si(), 4) + " kg/m³";
  return number_text(density.si() / mass.factor * length.factor * length.factor * length.factor, 5) + " lb/ft³";
}

std::string say_duration(Duration d) {
  const bool negative = in_seconds(d) < 0;
  const double s = std::abs(in_seconds(d));
  const std::string sign = negative ? "-" : "";
  const auto whole = static_cast<long long>(std::llround(s));
  if (whole < 60) return fmt::format("{}{} s", sign, whole);
  if (whole >= 600 && whole < 3600) return fmt::format("{}{} min", sign, (whole + 30) / 60);
  if (whole < 3600)
    return whole % 60 == 0 ? fmt::format("{}{} min", sign, whole / 60)
                           : fmt::format("{}{} min {} s", sign, whole / 60, whole % 60);
  const auto total_minutes = static_cast<long long>(std::llround(s / 60));
  if (total_minutes < 600)
    return total_minutes % 60 == 0 ? fmt::format("{}{} h", sign, total_minutes / 60)
                                   : fmt::format("{}{} h {} min", sign, total_minutes / 60, total_minutes % 60);
  return fmt::format("{}{:.1f} h", sign, s / 3600);
}

std::string say_days(Duration d) {
  const double n = std::abs(in_days(d));
  if (n < 0.5) return "less than a day";
  if (n < 1.5) return "1 day";
  if (n < 92) return fmt::format("{:.0f} days", n);
  if (n < 730) return fmt::format("{:.0f} months", n / 30.436875);
  return fmt::format("{:.1f} years", n / 365.2425);
}

std::string say_chance(double chance) {
  if (!(chance > 0.05)) return "1 in 20 or less";
  if (chance >= 0.95) return "19 in 20 or more";
  if (chance <= 0.5) return fmt::format("1 in {:.0f}", 1 / chance);
  return fmt::format("{:.0f} in 10", std::floor(chance * 10));
}

std::string say_amount(const Amount& a, const UnitChoice& u, bool with_spread) {
  if (!a.known()) return "not known";
  const auto one = [&](double si) -> std::string {
    switch (a.dimension) {
      case Dimension::length:
        return say_distance(metres(si), u);
      case Dimension::speed:
        return say_speed(metres_per_second(si), u);
      case Dimension::duration:
        return say_duration(seconds(si));
      case Dimension::temperature:
        return say_temperature(kelvins(si), u);
      case Dimension::temperature_difference:
        return say_temperature_difference(TemperatureDifference::from_si(si), u);
      case Dimension::mass:
        return say_mass(kilograms(si), u);
      case Dimension::volume:
        return say_volume(Volume::from_si(si), u);
      case Dimension::volume_flow: {
        const auto& unit = u.of(Measure::volume);
        return number_text(si * 3600 / unit.factor, unit.decimals) + " " + shown_unit(unit) + "/h";
      }
      case Dimension::pressure:
        return in_words(si, u.of(Measure::pressure));
      case Dimension::calendar:
        return say_days(seconds(si));
      case Dimension::instant:
        return rfc3339(shifted(UtcTime{}, seconds(si))).substr(0, 10);
      case Dimension::ratio:
        return number_text(si, si == std::floor(si) ? 0 : 1) + ":1";
      case Dimension::climb:
        return say_climb(metres_per_second(si), u);
      case Dimension::angle:
        return number_text(si * 180 / std::numbers::pi, 0) + "°";
      case Dimension::turn_rate:
        return number_text(si * 180 / std::numbers::pi, 0) + "°/s";
      case Dimension::count:
      case Dimension::none:
        return number_text(si, si == std::floor(si) ? 0 : 1);
    }
    return number_text(si, 1);
  };
  auto text = one(a.mid);
  if (!with_spread) return text;
  const auto low = one(a.low), high = one(a.high);
  if (low == text && high == text) return text;
  return text + " (" + low + " to " + high + ")";
}

std::string say_sentence(const Sentence& sentence, const UnitChoice& u) {
  return render(sentence, [&](const Amount& a) { return say_amount(a, u, false); });
}

std::string say_left(const Margin& m, const UnitChoice& units) {
  if (!m.left.known()) return {};
  const bool past = m.left.mid < 0;
  Amount left = m.left;
  if (past) {
    left.mid = -m.left.mid;
    left.low = -m.left.high;
    left.high = -m.left.low;
  }
  // A service counts up to its limit; everything else is a stock against what is needed of it.
  const std::string amount_left = say_amount(left, units, false);
  if (counts_up(m) && m.kind != MarginKind::fuel_mix)
    return amount_left + (past ? " past the limit of " : " left of ") + say_amount(m.have, units, false) + ".";
  // What rounds to nothing is neither short nor left to a reader: "0 km/h left" would look like an answer.
  const bool nothing = amount_left.find_first_of("123456789") == std::string::npos;
  std::string out = nothing ? "Nothing to spare" : amount_left + (past ? " short" : " left");
  // "There" would be heard as the wind that blows, which is what is needed room for.
  if (m.have.known() && m.need.known() && m.kind == MarginKind::wind && m.have.dimension == Dimension::speed)
    return out + ": " + say_amount(m.need, units, true) + " blows, " + say_amount(m.have, units, true) + " is the limit.";
  if (m.have.known() && m.need.known())
    out += ": " + say_amount(m.have, units, true) + " there, " + say_amount(m.need, units, true) + " needed";
  return out + ".";
}

}  // namespace headroom
