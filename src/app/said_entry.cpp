#include "app/said_entry.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>

#include "app/field.h"
#include "app/said_day.h"
#include "app/said_figure.h"
#include "app/said_time.h"
#include "core/machine/figures.h"
#include "core/typed.h"
#include "core/upkeep/service_list.h"

namespace headroom {

namespace {

tl::unexpected<Error> pass_on(const Error& e) {
  return tl::unexpected<Error>(e);
}

Result<std::optional<EntryId>> part_if_named(const std::string& word, const Subjects& subjects) {
  if (word.empty()) return std::optional<EntryId>{};
  auto part = subjects.part(word);
  if (!part) return pass_on(part.error());
  return std::optional<EntryId>(*part);
}

Result<std::optional<UtcTime>> date_if_named(const std::string& text, const SaidWhen& when) {
  if (text.empty()) return std::optional<UtcTime>{};
  // A part's label often gives a month or a year alone: its first day, so that the part is never taken for younger.
  std::string full = text;
  if (full.size() == 4) full += "-01-01";
  if (full.size() == 7) full += "-01";
  auto t = parse_when(full, when.clock, when.zone);
  if (!t) return pass_on(t.error());
  return std::optional<UtcTime>(*t);
}

Result<Volume> volume_of(const std::string& text, const UnitChoice& units) {
  auto v = parse_measure(Measure::volume, text, units);
  if (!v) return pass_on(v.error());
  return Volume::from_si(*v);
}

Result<PlainFacts> hours_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  // The hours of a wing are flown.
  const auto* named = *part ? s.state().part(**part) : nullptr;
  return PlainFacts(CounterRead{*part, named && named->role == "wing" ? Counter::air : Counter::running, in_seconds(*d)});
}

Result<PlainFacts> head_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  auto k = parse_measure(Measure::temperature, a.value, u);
  if (!k) return pass_on(k.error());
  return PlainFacts(Reading{"head_maximum", *k, "K", std::nullopt});
}

Result<PlainFacts> reading_facts(const SaidEntry& a, const UnitChoice& u, const Subjects& s, const SaidWhen&) {
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  std::string quantity = a.name;
  for (char& c : quantity)
    if (c == ' ' || c == '-') c = '_';
  struct Known {
    const char* unit;
    std::optional<Measure> measure;
  };
  const auto known = [&]() -> Known {
    if (a.unit == "s" || a.unit == "min" || a.unit == "h") return {"s", std::nullopt};
    if (quantity == "porosity") return {"s", std::nullopt};
    if (a.unit == "C" || a.unit == "F" || quantity.ends_with("temperature") || quantity == "head_maximum")
      return {"K", Measure::temperature};
    if (a.unit == "bar" || a.unit == "psi" || a.unit == "hPa") return {"Pa", Measure::pressure};
    if (a.unit == "kg" || a.unit == "lb") return {"kg", Measure::mass};
    if (a.unit == "m" || a.unit == "ft") return {"m", Measure::height};
    return {"1", std::nullopt};
  }();
  double value = 0;
  if (known.measure) {
    auto v = parse_measure(*known.measure, a.value + (a.unit.empty() ? "" : " " + a.unit), u);
    if (!v) return pass_on(v.error());
    value = *v;
  } else if (std::string(known.unit) == "s") {
    auto d = parse_duration(a.value + " " + (a.unit.empty() ? "s" : a.unit));
    if (!d) return pass_on(d.error());
    value = in_seconds(*d);
  } else if (a.unit == "mm") {
    auto v = parse_measure(Measure::height, a.value + " m", u);
    if (!v) return pass_on(v.error());
    return PlainFacts(Reading{quantity, *v / 1000, "m", *part});
  } else if (a.unit.empty() || a.unit == "rpm" || a.unit == "1") {
    auto v = parse_measure(Measure::height, a.value + " m", u);
    if (!v) return pass_on(v.error());
    value = *v;
  } else {
    return fail(
        ErrorKind::bad_input,
        fmt::format("'{}' is no unit known here; there are s, min, h, C, F, bar, psi, hPa, kg, lb, m, ft, mm, rpm", a.unit));
  }
  return PlainFacts(Reading{quantity, value, known.unit, *part});
}

// A figure of the machine or of the owner's rules, in its own unit or the owner's.
Result<PlainFacts> figure_facts(const SaidEntry& a, const UnitChoice& u, const Subjects& s, const SaidWhen&) {
  std::string key = a.name;
  for (char& c : key)
    if (c == ' ' || c == '-') c = '_';
  const auto* figure = find_figure(key);
  if (figure == nullptr) {
    std::string names;
    for (const auto& f : machine_figures()) names += (names.empty() ? "" : ", ") + std::string(f.key);
    return fail(ErrorKind::not_found, fmt::format("'{}' is no figure known here; there are: {}", a.name, names));
  }
  double value = 0;
  const auto measured_as = [&](Measure measure) -> Result<void> {
    const auto v = parse_measure(measure, a.value, u);
    if (!v) return pass_on(v.error());
    value = *v;
    return {};
  };
  Result<void> read;
  switch (figure->dimension) {
    case Dimension::mass:
      read = measured_as(Measure::mass);
      break;
    case Dimension::length:
      // "5 km" as well as "1.25 m"; a bare number is in the unit of heights.
      read = measured_as(Measure::height);
      if (!read && measured_as(Measure::distance)) read = {};
      break;
    case Dimension::speed:
      read = measured_as(Measure::speed);
      break;
    case Dimension::volume:
      read = measured_as(Measure::volume);
      break;
    case Dimension::temperature:
      read = measured_as(Measure::temperature);
      break;
    case Dimension::duration: {
      const bool before = a.value.starts_with('-');
      const auto d = parse_duration(before ? std::string_view(a.value).substr(1) : std::string_view(a.value));
      if (!d) return pass_on(d.error());
      value = before ? -d->si() : d->si();
      break;
    }
    default: {
      // Areas in square metres, forces in newtons, also as a pull in kgf or lbf, which are not masses.
      const bool force = figure->unit == std::string_view("N");
      const auto number = take_number("value", a.value,
                                      force                                    ? force_units()
                                      : figure->unit == std::string_view("m2") ? area_units()
                                                                               : std::vector<UnitFactor>{{figure->unit, 1}},
                                      force ? "N, kgf or lbf" : std::string(figure->unit).c_str());
      if (!number) return pass_on(number.error());
      value = number->value_or(0);
    }
  }
  if (!read) return pass_on(read.error());
  if (!(value >= figure->low && value <= figure->high))
    return fail(ErrorKind::out_of_range, fmt::format("{}: between {:g} and {:g} {}; nothing was written", figure->words,
                                                     figure->low, figure->high, figure->unit));
  std::optional<EntryId> other;
  if (!a.part.empty()) {
    if (!figure->of_pilot)
      return fail(ErrorKind::bad_input, fmt::format("{} belongs to the machine, whoever flies it", figure->words), "--pilot");
    const auto pilot = s.pilot(a.part);
    if (!pilot) return pass_on(pilot.error());
    if (*pilot != owner_of(s.state())) other = *pilot;
  }
  return PlainFacts(Reading{figure_key(*figure, other), value, std::string(figure->unit), std::nullopt});
}

Result<PlainFacts> kit_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  const auto kg = parse_measure(Measure::mass, a.value, u);
  if (!kg) return pass_on(kg.error());
  if (!(*kg >= 0 && *kg <= 60))
    return fail(ErrorKind::out_of_range, "a piece of kit weighs 0 (off the list) to 60 kg; nothing was written");
  std::string name = "kit." + a.name + (a.text.empty() ? "" : "." + a.text);
  if (std::count(name.begin(), name.end(), '.') > 2 || a.name.empty())
    return fail(ErrorKind::bad_input, "the name and place of a piece of kit have no full stop in them");
  return PlainFacts(Reading{name, *kg, "kg", std::nullopt});
}

Result<PlainFacts> plug_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen&) {
  PlugRead plug;
  constexpr std::pair<const char*, PlugColour> kColours[] = {{"white", PlugColour::white},
                                                             {"pale", PlugColour::pale},
                                                             {"tan", PlugColour::tan},
                                                             {"dark", PlugColour::dark},
                                                             {"black", PlugColour::black}};
  bool found = false;
  for (const auto& [word, colour] : kColours)
    if (a.value == word) {
      plug.colour = colour;
      found = true;
    }
  if (!found)
    return fail(ErrorKind::bad_input,
                fmt::format("'{}' is no plug word; say white, pale, tan, dark or black, as you see it", a.value));
  if (a.wet && a.dry) return fail(ErrorKind::bad_input, "a plug is wet or dry, not both");
  plug.wet = a.wet;
  if (a.reading_word == "lean")
    plug.mixture = PlugMixture::lean;
  else if (a.reading_word == "right")
    plug.mixture = PlugMixture::right;
  else if (a.reading_word == "rich")
    plug.mixture = PlugMixture::rich;
  else if (!a.reading_word.empty())
    return fail(ErrorKind::bad_input, fmt::format("'{}' is no reading; say lean, right or rich", a.reading_word));
  return PlainFacts(plug);
}

Result<PlainFacts> mixed_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  auto fuel = volume_of(a.value, u);
  if (!fuel) return pass_on(fuel.error());
  FuelMixed mixed{*fuel, std::nullopt, std::nullopt, a.text};
  if (!a.ratio.empty()) {
    std::string ratio = a.ratio;
    if (ratio.ends_with(":1")) ratio.resize(ratio.size() - 2);
    auto r = parse_measure(Measure::height, ratio + " m", u);
    if (!r)
      return fail(ErrorKind::bad_input,
                  fmt::format("'{}' is no ratio; write 50 or 50:1 for 50 parts of petrol to one of oil", a.ratio));
    mixed.ratio = *r;
  }
  if (!a.oil.empty()) {
    auto oil = volume_of(a.oil, u);
    if (!oil) return pass_on(oil.error());
    mixed.oil = *oil;
  }
  if (mixed.oil && !mixed.ratio && in_litres(*mixed.oil) > 0) mixed.ratio = in_litres(mixed.fuel) / in_litres(*mixed.oil);
  return PlainFacts(mixed);
}

Result<PlainFacts> filled_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  auto fuel = volume_of(a.value, u);
  if (!fuel) return pass_on(fuel.error());
  FuelFilled filled{*fuel, std::nullopt};
  if (!a.tank.empty()) {
    auto tank = volume_of(a.tank, u);
    if (!tank) return pass_on(tank.error());
    filled.in_tank_after = *tank;
  }
  return PlainFacts(filled);
}

Result<PlainFacts> left_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  auto fuel = volume_of(a.value, u);
  if (!fuel) return pass_on(fuel.error());
  return PlainFacts(FuelLeft{*fuel});
}

Result<PlainFacts> service_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto line = s.service_line(a.value);
  if (!line) return pass_on(line.error());
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(ServiceDone{*line, *part, a.text});
}

Result<PlainFacts> finding_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  if (a.text.find_first_not_of(" \t\r\n") == std::string::npos)
    return fail(ErrorKind::bad_input, "a finding needs words: what was seen", "text");
  return PlainFacts(Finding{a.grounding, *part, a.text});
}

Result<PlainFacts> closed_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto finding = s.open_finding(a.value);
  if (!finding) return pass_on(finding.error());
  return PlainFacts(FindingClosed{*finding, a.text});
}

Result<PlainFacts> alteration_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(Alteration{a.value, *part, a.text});
}

Result<PlainFacts> drill_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen&) {
  std::string drill = a.value;
  for (char& c : drill)
    if (c == '-' || c == ' ') c = '_';
  return PlainFacts(DrillPractised{drill, a.text});
}

// A run walked off or taped by the owner. Steps are turned into metres now, by the step of today.
Result<PlainFacts> take_off_run_facts(const SaidEntry& a, const UnitChoice& u, const Subjects& s, const SaidWhen&) {
  const auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  const auto pilot = s.pilot("");
  if (!pilot) return pass_on(pilot.error());
  RunMeasured run;
  run.machine = *machine;
  run.pilot = *pilot;
  std::optional<Length> room;
  std::optional<Speed> headwind, tailwind;
  for (const auto& taken : {take_figure("distance", a.value, Measure::height, u, room),
                            take_figure("--headwind", a.headwind, Measure::speed, u, headwind),
                            take_figure("--tailwind", a.tailwind, Measure::speed, u, tailwind),
                            take_figure("--temperature", a.temperature, Measure::temperature, u, run.temperature),
                            take_figure("--height", a.height, Measure::height, u, run.height),
                            take_figure("--all-up", a.all_up, Measure::mass, u, run.all_up)})
    if (!taken) return pass_on(taken.error());
  if (room.has_value() == (a.steps >= 0))
    return fail(ErrorKind::bad_input, std::string("say how far it was, or in how many of your steps you walked it") +
                                          typed(": \"34 m\", or --steps 42"));
  if (room) {
    run.room = *room;
  } else {
    const auto step = figure_of(s.state(), figure::step_length);
    if (!step)
      return fail(
          ErrorKind::bad_input,
          std::string(
              "how long your step is stands in no entry, so steps cannot be turned into metres: walk 20 of them along a tape and "
              "enter the length of one") +
              typed(", headroom enter figure step_length \"0.8 m\""),
          "--steps");
    run.steps = a.steps;
    run.room = metres(a.steps * *step);
  }
  if (headwind && tailwind) return fail(ErrorKind::bad_input, "the wind came from ahead or from behind, not both");
  if ((headwind && headwind->si() < 0) || (tailwind && tailwind->si() < 0))
    return fail(ErrorKind::out_of_range, std::string("a wind is not below zero: it comes from ahead or from behind") +
                                             typed(", --headwind or --tailwind"));
  if (headwind) run.headwind = headwind;
  if (tailwind) run.headwind = -*tailwind;
  if (!a.strip.empty() && a.field.empty())
    return fail(ErrorKind::bad_input,
                std::string("a strip belongs to a field: say which field") + typed(", --field NAME --strip NAME"));
  if (!a.field.empty()) {
    const auto field = find_field(s.state(), a.field);
    if (!field) return pass_on(field.error());
    if (!run.height) run.height = (*field)->height;
    if (!a.strip.empty() || (*field)->strips.size() == 1) {
      const auto strip = find_strip(**field, a.strip);
      if (!strip) return pass_on(strip.error());
      run.slope = (*strip)->slope;
    }
  }
  if (!a.surface.empty()) {
    const auto surface = surface_today(a.surface);
    if (!surface) return pass_on(surface.error());
    run.surface = *surface;
  }
  run.wheels = a.wheels;
  run.private_note = a.text;
  return PlainFacts(run);
}

Result<PlainFacts> spent_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  auto amount = parse_measure(Measure::height, a.value + " m", u);
  if (!amount) return fail(ErrorKind::bad_input, fmt::format("'{}' is no sum of money; write 24.90", a.value));
  return PlainFacts(MoneySpent{static_cast<std::int64_t>(*amount * 100 + (*amount < 0 ? -0.5 : 0.5)), a.currency, a.text});
}

Result<PlainFacts> note_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen&) {
  return PlainFacts(Note{a.text});
}

Result<PlainFacts> run_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  return PlainFacts(EngineRun{*machine, *d, a.text});
}

Result<PlainFacts> handling_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  return PlainFacts(GroundHandling{*machine, *d});
}

Result<PlainFacts> flight_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen& when) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto launch = parse_when(a.at, when.clock, when.zone);
  if (!launch) return pass_on(launch.error());
  auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  auto pilot = s.pilot("");
  if (!pilot) return pass_on(pilot.error());
  FlightEntry f;
  f.machine = *machine;
  f.pilot = *pilot;
  f.launch = *launch;
  f.landing = shifted(*launch, *d);
  f.air_time = *d;
  f.summary.air_time = *d;
  f.launches = a.launches > 0 ? a.launches : 1;
  return PlainFacts(f);
}

Result<PlainFacts> machine_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen&) {
  return PlainFacts(MachineRegistered{false, a.text});
}

Result<PlainFacts> pilot_facts(const SaidEntry& a, const UnitChoice& u, const Subjects&, const SaidWhen&) {
  PilotRegistered p{false, std::nullopt, a.text};
  if (!a.value.empty()) {
    auto m = parse_measure(Measure::mass, a.value, u);
    if (!m) return pass_on(m.error());
    p.mass = kilograms(*m);
  }
  return PlainFacts(p);
}

Result<PlainFacts> part_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen& when) {
  PartRegistered p;
  p.role = a.role;
  p.private_name = a.text;
  auto made = date_if_named(a.made, when);
  if (!made) return pass_on(made.error());
  p.made = *made;
  const auto before = [](const std::string& text, std::optional<Duration>& into) -> Result<void> {
    if (text.empty()) return {};
    auto d = parse_duration(text);
    if (!d) return pass_on(d.error());
    into = *d;
    return {};
  };
  if (auto ok = before(a.running_before, p.running_before); !ok) return pass_on(ok.error());
  if (auto ok = before(a.air_before, p.air_before); !ok) return pass_on(ok.error());
  if (auto ok = before(a.ground_before, p.ground_handling_before); !ok) return pass_on(ok.error());
  if (a.launches_before >= 0) p.launches_before = a.launches_before;
  return PlainFacts(p);
}

Result<PlainFacts> fitted_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto part = s.part(a.value);
  if (!part) return pass_on(part.error());
  auto machine = s.machine(a.part2);
  if (!machine) return pass_on(machine.error());
  return PlainFacts(PartFitted{*part, *machine});
}

Result<PlainFacts> removed_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  auto part = s.part(a.value);
  if (!part) return pass_on(part.error());
  return PlainFacts(PartRemoved{*part, a.text});
}

Result<PlainFacts> line_facts(const SaidEntry& a, const UnitChoice&, const Subjects& s, const SaidWhen&) {
  ServiceLineSet line;
  line.line = a.line;
  // A line that exists is changed in what is named only.
  for (const auto& existing : service_list(s.state()))
    if (existing.line == a.line) {
      line.title = existing.title;
      line.role = existing.role;
      line.running = existing.running;
      line.air = existing.air;
      line.calendar = existing.calendar;
      line.launches = existing.launches;
      line.reserve = existing.reserve;
    }
  if (!a.title.empty()) line.title = a.title;
  if (!a.role.empty()) line.role = a.role;
  if (line.title.empty()) line.title = a.line;
  if (line.role.empty()) line.role = "engine";
  line.dropped = a.drop;
  line.basis = "your own";
  const auto limit = [](const std::string& text, std::optional<Duration>& into) -> Result<void> {
    if (text.empty()) return {};
    if (text == "none") {
      into.reset();
      return {};
    }
    auto d = parse_duration(text);
    if (!d) return pass_on(d.error());
    into = *d;
    return {};
  };
  if (auto ok = limit(a.running, line.running); !ok) return pass_on(ok.error());
  if (auto ok = limit(a.air, line.air); !ok) return pass_on(ok.error());
  if (!a.calendar.empty()) {
    if (a.calendar == "none")
      line.calendar.reset();
    else {
      auto months = parse_measure(Measure::height, a.calendar + " m", UnitChoice());
      if (!months || !(*months > 0)) return fail(ErrorKind::bad_input, fmt::format("'{}' is no number of months", a.calendar));
      line.calendar = days(*months * 30.436875);
    }
  }
  if (a.launches > 0) line.launches = a.launches;
  if (!line.dropped && !line.running && !line.air && !line.calendar && !line.launches)
    return fail(ErrorKind::bad_input,
                std::string("a service line needs at least one limit: running hours, air hours, months or launches") +
                    typed(", --running, --air, --months or --launches"));
  return PlainFacts(line);
}

// The short way to `headroom field describe`.
Result<PlainFacts> field_facts(const SaidEntry& a, const UnitChoice& u, const Subjects& s, const SaidWhen&) {
  FieldChange change;
  change.field = a.name;
  change.describe = true;
  if (!a.text.empty()) change.text = a.text;
  if (!a.value.empty()) {
    auto h = parse_measure(Measure::height, a.value, u);
    if (!h) return pass_on(h.error());
    change.height = AltitudeMsl::from_si(*h);
  }
  return field_facts_of(change, s.state());
}

Result<PlainFacts> check_facts(const SaidEntry& a, const UnitChoice&, const Subjects&, const SaidWhen&) {
  std::string state = a.state;
  for (char& c : state)
    if (c == '-' || c == ' ') c = '_';
  if (state != "done" && state != "not_done" && state != "not_applicable")
    return fail(ErrorKind::bad_input, fmt::format("'{}' is no state of a check; say done, not-done or not-applicable", a.state));
  return PlainFacts(CheckDone{a.name, state});
}

// What the owner left out of an amendment stays as it was; what the command line cannot say always does.
struct KeepUnsaid {
  const PlainFacts& before;
  const SaidEntry& said;
  bool launch_said;

  template <class T>
  static void keep(std::optional<T>& into, const std::optional<T>& from) {
    if (!into) into = from;
  }
  static void keep(std::string& into, const std::string& from) {
    if (into.empty()) into = from;
  }

  void fill(FlightEntry& made, const FlightEntry& old) const {
    FlightEntry kept = old;
    if (launch_said) kept.launch = made.launch;
    // Accepted running hours belonged to the old time; without them they are reckoned from the new one.
    if (old.air_time.si() != made.air_time.si()) kept.running_time = unknown_estimate<Duration>("the air time was amended");
    kept.air_time = kept.summary.air_time = made.air_time;
    kept.landing = shifted(kept.launch, made.air_time);
    if (said.launches > 0) kept.launches = said.launches;
    made = std::move(kept);
  }
  void fill(CounterRead& made, const CounterRead& old) const { keep(made.part, old.part); }
  void fill(Reading& made, const Reading& old) const { keep(made.part, old.part); }
  void fill(PlugRead& made, const PlugRead& old) const {
    if (!said.wet && !said.dry) made.wet = old.wet;
    if (said.reading_word.empty()) made.mixture = old.mixture;
  }
  void fill(FuelMixed& made, const FuelMixed& old) const {
    if (!made.ratio && !made.oil) {
      made.ratio = old.ratio;
      if (!old.ratio) made.oil = old.oil;
    }
    keep(made.private_note, old.private_note);
  }
  void fill(FuelFilled& made, const FuelFilled& old) const { keep(made.in_tank_after, old.in_tank_after); }
  void fill(ServiceDone& made, const ServiceDone& old) const {
    keep(made.part, old.part);
    keep(made.private_note, old.private_note);
  }
  void fill(Finding& made, const Finding& old) const {
    if (!said.grounding && !said.deferred) made.grounding = old.grounding;
    keep(made.part, old.part);
  }
  void fill(Alteration& made, const Alteration& old) const { keep(made.part, old.part); }
  void fill(DrillPractised& made, const DrillPractised& old) const { keep(made.private_note, old.private_note); }
  void fill(RunMeasured& made, const RunMeasured& old) const {
    made.machine = old.machine;
    made.pilot = old.pilot;
    keep(made.headwind, old.headwind);
    keep(made.temperature, old.temperature);
    keep(made.height, old.height);
    keep(made.slope, old.slope);
    keep(made.surface, old.surface);
    keep(made.all_up, old.all_up);
    if (!said.wheels && !said.on_foot) made.wheels = old.wheels;
    keep(made.private_note, old.private_note);
  }
  void fill(EngineRun& made, const EngineRun& old) const {
    made.machine = old.machine;
    keep(made.private_note, old.private_note);
  }
  void fill(GroundHandling& made, const GroundHandling& old) const { made.machine = old.machine; }
  void fill(PilotRegistered& made, const PilotRegistered& old) const { keep(made.mass, old.mass); }
  void fill(PartRegistered& made, const PartRegistered& old) const {
    keep(made.made, old.made);
    keep(made.bought, old.bought);
    keep(made.running_before, old.running_before);
    keep(made.air_before, old.air_before);
    keep(made.ground_handling_before, old.ground_handling_before);
    keep(made.launches_before, old.launches_before);
    keep(made.private_name, old.private_name);
  }
  void fill(PartFitted& made, const PartFitted& old) const {
    if (said.part2.empty()) made.machine = old.machine;
  }
  void fill(PartRemoved& made, const PartRemoved& old) const { keep(made.private_reason, old.private_reason); }
  void fill(FieldDescribed& made, const FieldDescribed& old) const {
    made.same_as = old.same_as;
    keep(made.height, old.height);
    keep(made.private_position, old.private_position);
    keep(made.private_text, old.private_text);
    made.strips = old.strips;
    keep(made.private_landable, old.private_landable);
    made.private_photo = old.private_photo;
  }
  template <class Whole>
  void fill(Whole&, const Whole&) const {}  // every word of it was said anew

  template <class Kind>
  void operator()(Kind& made) const {
    // Another kind is refused by amend(), with a sentence.
    if (const auto* old = std::get_if<Kind>(&before)) fill(made, *old);
  }
};

constexpr std::array kSaidKinds = {
    SaidKind{"hours", hours_facts},       SaidKind{"head", head_facts},
    SaidKind{"reading", reading_facts},   SaidKind{"plug", plug_facts},
    SaidKind{"figure", figure_facts},     SaidKind{"kit", kit_facts},
    SaidKind{"mixed", mixed_facts},       SaidKind{"filled", filled_facts},
    SaidKind{"left", left_facts},         SaidKind{"service", service_facts},
    SaidKind{"service-line", line_facts}, SaidKind{"finding", finding_facts},
    SaidKind{"closed", closed_facts},     SaidKind{"alteration", alteration_facts},
    SaidKind{"drill", drill_facts},       SaidKind{"take-off-run", take_off_run_facts},
    SaidKind{"spent", spent_facts},       SaidKind{"note", note_facts},
    SaidKind{"run", run_facts},           SaidKind{"handling", handling_facts},
    SaidKind{"flight", flight_facts},     SaidKind{"machine", machine_facts},
    SaidKind{"pilot", pilot_facts},       SaidKind{"part", part_facts},
    SaidKind{"fitted", fitted_facts},     SaidKind{"removed", removed_facts},
    SaidKind{"field", field_facts},       SaidKind{"check", check_facts},
};

}  // namespace

std::span<const SaidKind> said_kinds() {
  return kSaidKinds;
}

const SaidKind* find_said_kind(std::string_view name) {
  const auto* found = std::find_if(kSaidKinds.begin(), kSaidKinds.end(), [&](const SaidKind& k) { return k.name == name; });
  return found == kSaidKinds.end() ? nullptr : found;
}

void keep_unsaid(PlainFacts& made, const PlainFacts& before, const SaidEntry& said, bool time_said) {
  std::visit(KeepUnsaid{before, said, time_said}, made);
}

}  // namespace headroom
