// headroom enter ...: what no recorder sees, typed in one line.
#include <fmt/format.h>

#include <memory>

#include "app/correct.h"
#include "app/enter.h"
#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "core/upkeep/service_list.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

// What the arguments of one `enter` command left behind. Texts are read when the command runs, since a bare number is in
// the owner's unit and the units stand in the book.
struct EnterArguments {
  std::string at, text, value, part, part2, ratio, oil, tank, reading_word, made, name, role, currency, state;
  bool wet = false, dry = false, grounding = false, deferred = false;
  std::string running_before, air_before, ground_before;
  int launches_before = -1, launches = 0;
  std::string running, air, calendar, title, line, unit;
  bool drop = false;
};
using FactsOf = std::function<Result<PlainFacts>(const EnterArguments&, const UnitChoice&, const Subjects&, World&)>;

tl::unexpected<Error> pass_on(const Error& e) {
  return tl::unexpected<Error>(e);
}

Result<std::optional<EntryId>> part_if_named(const std::string& word, const Subjects& subjects) {
  if (word.empty()) return std::optional<EntryId>{};
  auto part = subjects.part(word);
  if (!part) return pass_on(part.error());
  return std::optional<EntryId>(*part);
}

Result<std::optional<UtcTime>> date_if_named(const std::string& text, World& world) {
  if (text.empty()) return std::optional<UtcTime>{};
  // A part's label often gives a month or a year alone: its first day, so that the part is never taken for younger.
  std::string full = text;
  if (full.size() == 4) full += "-01-01";
  if (full.size() == 7) full += "-01";
  auto t = parse_when(full, world.ports.clock, world.shared.zone);
  if (!t) return pass_on(t.error());
  return std::optional<UtcTime>(*t);
}

Result<Volume> volume_of(const std::string& text, const UnitChoice& units) {
  auto v = parse_measure(Measure::volume, text, units);
  if (!v) return pass_on(v.error());
  return Volume::from_si(*v);
}

Result<PlainFacts> hours_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(CounterRead{*part, Counter::running, in_seconds(*d)});
}

Result<PlainFacts> head_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
  auto k = parse_measure(Measure::temperature, a.value, u);
  if (!k) return pass_on(k.error());
  return PlainFacts(Reading{"head_maximum", *k, "K", std::nullopt});
}

Result<PlainFacts> reading_facts(const EnterArguments& a, const UnitChoice& u, const Subjects& s, World&) {
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

Result<PlainFacts> plug_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World&) {
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

Result<PlainFacts> mixed_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
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

Result<PlainFacts> filled_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
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

Result<PlainFacts> left_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
  auto fuel = volume_of(a.value, u);
  if (!fuel) return pass_on(fuel.error());
  return PlainFacts(FuelLeft{*fuel});
}

Result<PlainFacts> service_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto line = s.service_line(a.value);
  if (!line) return pass_on(line.error());
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(ServiceDone{*line, *part, a.text});
}

Result<PlainFacts> finding_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(Finding{a.grounding, *part, a.text});
}

Result<PlainFacts> closed_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto finding = s.open_finding(a.value);
  if (!finding) return pass_on(finding.error());
  return PlainFacts(FindingClosed{*finding, a.text});
}

Result<PlainFacts> alteration_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto part = part_if_named(a.part, s);
  if (!part) return pass_on(part.error());
  return PlainFacts(Alteration{a.value, *part, a.text});
}

Result<PlainFacts> drill_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World&) {
  std::string drill = a.value;
  for (char& c : drill)
    if (c == '-' || c == ' ') c = '_';
  return PlainFacts(DrillPractised{drill, a.text});
}

Result<PlainFacts> spent_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
  auto amount = parse_measure(Measure::height, a.value + " m", u);
  if (!amount) return fail(ErrorKind::bad_input, fmt::format("'{}' is no sum of money; write 24.90", a.value));
  return PlainFacts(MoneySpent{static_cast<std::int64_t>(*amount * 100 + (*amount < 0 ? -0.5 : 0.5)), a.currency, a.text});
}

Result<PlainFacts> note_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World&) {
  return PlainFacts(Note{a.text});
}

Result<PlainFacts> run_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  return PlainFacts(EngineRun{*machine, *d, a.text});
}

Result<PlainFacts> handling_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto machine = s.machine("");
  if (!machine) return pass_on(machine.error());
  return PlainFacts(GroundHandling{*machine, *d});
}

Result<PlainFacts> flight_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World& world) {
  auto d = parse_duration(a.value);
  if (!d) return pass_on(d.error());
  auto launch = parse_when(a.at, world.ports.clock, world.shared.zone);
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

Result<PlainFacts> machine_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World&) {
  return PlainFacts(MachineRegistered{false, a.text});
}

Result<PlainFacts> pilot_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
  PilotRegistered p{false, std::nullopt, a.text};
  if (!a.value.empty()) {
    auto m = parse_measure(Measure::mass, a.value, u);
    if (!m) return pass_on(m.error());
    p.mass = kilograms(*m);
  }
  return PlainFacts(p);
}

Result<PlainFacts> part_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World& world) {
  PartRegistered p;
  p.role = a.role;
  p.private_name = a.text;
  auto made = date_if_named(a.made, world);
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

Result<PlainFacts> fitted_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto part = s.part(a.value);
  if (!part) return pass_on(part.error());
  auto machine = s.machine(a.part2);
  if (!machine) return pass_on(machine.error());
  return PlainFacts(PartFitted{*part, *machine});
}

Result<PlainFacts> removed_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
  auto part = s.part(a.value);
  if (!part) return pass_on(part.error());
  return PlainFacts(PartRemoved{*part, a.text});
}

Result<PlainFacts> line_facts(const EnterArguments& a, const UnitChoice&, const Subjects& s, World&) {
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
    return fail(ErrorKind::bad_input, "a service line needs at least one limit: --running, --air, --months or --launches");
  return PlainFacts(line);
}

Result<PlainFacts> field_facts(const EnterArguments& a, const UnitChoice& u, const Subjects&, World&) {
  FieldDescribed field;
  field.private_name = a.name;
  field.private_text = a.text;
  if (!a.value.empty()) {
    auto h = parse_measure(Measure::height, a.value, u);
    if (!h) return pass_on(h.error());
    field.height = AltitudeMsl::from_si(*h);
  }
  return PlainFacts(field);
}

Result<PlainFacts> check_facts(const EnterArguments& a, const UnitChoice&, const Subjects&, World&) {
  std::string state = a.state;
  for (char& c : state)
    if (c == '-' || c == ' ') c = '_';
  if (state != "done" && state != "not_done" && state != "not_applicable")
    return fail(ErrorKind::bad_input, fmt::format("'{}' is no state of a check; say done, not-done or not-applicable", a.state));
  return PlainFacts(CheckDone{a.name, state});
}

// A check of CLI11 without a word on itself, which would stand in the help.
CLI::Validator one_of(const std::string& what, const std::vector<std::string>& words) {
  return {[what, words](std::string& given) {
            std::string list;
            for (const auto& w : words) {
              if (w == given) return std::string();
              list += (list.empty() ? "" : ", ") + w;
            }
            return fmt::format("'{}' is not {} known here; there are: {}", given, what, list);
          },
          ""};
}

int run_enter(World& world, const EnterArguments& arguments, const FactsOf& make) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  auto at = parse_when(arguments.at, world.ports.clock, session->zone);
  if (!at) return report(world, at.error());
  const auto offset = world.ports.clock.offset_minutes(*at, session->zone);
  if (!offset) return report(world, offset.error());
  EnterRequest request;
  request.at = *at;
  request.offset_min = *offset;
  request.facts = [&](const Subjects& subjects) { return make(arguments, session->units, subjects, world); };
  const auto answer = enter(request, world.ports);
  if (!answer) return report(world, answer.error());
  if (world.shared.json) {
    print(answer_text(
        {{"entry", answer->id.text()}, {"number", answer->number}, {"at", rfc3339(*at)}, {"assumed", answer->assumed}}));
    return kDone;
  }
  print(wrapped(entered_sentence(answer->facts, *session, *at, answer->number, world), world.shared.width));
  for (const auto& sentence : answer->assumed) print(wrapped(sentence, world.shared.width, 2));
  return kDone;
}

// --- corrections

// What the owner left out of an amendment stays as it was; what the command line cannot say always does.
struct KeepUnsaid {
  const PlainFacts& before;
  const EnterArguments& said;
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
  }
  template <class Whole>
  void fill(Whole&, const Whole&) const {}  // every word of it was said anew

  template <class Kind>
  void operator()(Kind& made) const {
    // Another kind is refused by amend(), with a sentence.
    if (const auto* old = std::get_if<Kind>(&before)) fill(made, *old);
  }
};

struct CorrectionArguments {
  std::string entry, at, reason;
  // The kind named behind the entry, with what it was given; none: the time alone.
  std::shared_ptr<EnterArguments> kind;
  FactsOf make;
};

int say_correction(World& world, const CorrectionAnswer& answer, const std::string& verb, const Session& before) {
  // What it says now may name what only the corrected book knows.
  const auto after = open_session(world);
  if (!after) return report(world, after.error());
  const auto text = [&](const std::optional<PlainFacts>& facts, UtcTime at, const Session& session) {
    return facts ? facts_sentence(*facts, session) + ", " + local_text(at, world.ports.clock, session.zone)
                 : std::string("voided");
  };
  const auto was = text(answer.before, answer.at_before, before), now = text(answer.after, answer.at_after, *after);
  if (world.shared.json) {
    print(answer_text({{"entry", answer.id.text()},
                       {"number", answer.number},
                       {"of", answer.of.text()},
                       {"of_number", answer.of_number},
                       {"took_back", answer.took_back},
                       {"was", was},
                       {"now", now}}));
    return kDone;
  }
  const auto width = world.shared.width;
  print(wrapped(fmt::format("Entry {} {}, by entry {}.", answer.of_number, verb, answer.number), width));
  print(wrapped("Was: " + was, width, 7, 2));
  print(wrapped("Now: " + now, width, 7, 2));
  return kDone;
}

int run_amend(World& world, const CorrectionArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  AmendRequest request;
  request.entry = arguments.entry;
  request.reason = arguments.reason;
  const auto now = world.ports.clock.now();
  const auto offset = world.ports.clock.offset_minutes(now, session->zone);
  if (!offset) return report(world, offset.error());
  request.offset_min = *offset;
  const auto& at_text = arguments.kind && !arguments.kind->at.empty() ? arguments.kind->at : arguments.at;
  if (!at_text.empty()) {
    const auto at = parse_when(at_text, world.ports.clock, session->zone);
    if (!at) return report(world, at.error());
    request.at = *at;
  }
  if (arguments.kind)
    request.facts = [&](const Subjects& subjects, const PlainFacts& before) -> Result<PlainFacts> {
      auto made = arguments.make(*arguments.kind, session->units, subjects, world);
      if (!made) return made;
      std::visit(KeepUnsaid{before, *arguments.kind, !at_text.empty()}, *made);
      return made;
    };
  const auto answer = amend(request, world.ports);
  if (!answer) return report(world, answer.error());
  return say_correction(world, *answer, "amended", *session);
}

int run_void(World& world, const CorrectionArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  VoidRequest request{arguments.entry, arguments.reason, 0};
  const auto offset = world.ports.clock.offset_minutes(world.ports.clock.now(), session->zone);
  if (!offset) return report(world, offset.error());
  request.offset_min = *offset;
  const auto answer = void_entry(request, world.ports);
  if (!answer) return report(world, answer.error());
  return say_correction(world, *answer, answer->took_back ? "taken back" : "voided", *session);
}

constexpr const char* kEntryWords = "Its number in headroom book list, or the beginning of its id";

}  // namespace

void add_enter(CommandTree& tree) {
  auto* enter_command = tree.root.add_subcommand("enter", "Write down what no recorder sees");
  enter_command->require_subcommand(1);
  enter_command->footer(
      "Examples:\n"
      "  headroom enter hours 41.2\n"
      "  headroom enter head 198C --at \"yesterday 18:30\"\n"
      "  headroom enter plug tan --reading right\n"
      "  headroom enter mixed \"10 L\" --ratio 50\n"
      "  headroom enter service plug\n"
      "  headroom enter finding \"exhaust spring worn\" --grounding\n"
      "A bare number is in your own units (headroom units); a written unit always holds.");

  std::string service_words = "KEY=", check_words = "CHECK=";
  for (const auto& line : default_service_list()) service_words += (service_words.ends_with('=') ? "" : "|") + line.line;
  for (const auto& item : each_flight_checks()) check_words += (check_words.ends_with('=') ? "" : "|") + std::string(item.check);

  auto correction = std::make_shared<CorrectionArguments>();
  // Each kind is declared twice: as itself, and behind `amend ENTRY`.
  std::vector<std::function<void(CLI::App&)>> behind_amend;
  const auto declare = [&](const char* name, const char* what, const char* example, const FactsOf& make,
                           const std::function<void(CLI::App&, EnterArguments&)>& options) {
    auto* command = enter_command->add_subcommand(name, what);
    auto arguments = std::make_shared<EnterArguments>();
    options(*command, *arguments);
    command->add_option("--at", arguments->at, "When it happened: 18:30, \"yesterday 18:30\", 2026-05-02 (default: now)")
        ->type_name("WHEN");
    command->footer(std::string("Examples:\n  ") + example);
    command->callback([&tree, arguments, make] {
      tree.action = [arguments, make](World& world) { return run_enter(world, *arguments, make); };
    });
    behind_amend.emplace_back([correction, name, what, make, options](CLI::App& amend_command) {
      auto* again = amend_command.add_subcommand(name, what);
      auto said = std::make_shared<EnterArguments>();
      options(*again, *said);
      again->add_option("--at", said->at, "When it happened (default: as it was)")->type_name("WHEN");
      again->add_option("--reason", correction->reason, "What was wrong with it")->type_name("TEXT");
      again->footer("");
      again->callback([correction, said, make] {
        correction->kind = said;
        correction->make = make;
      });
    });
  };

  declare("hours", "An hour-meter reading: 41.2 or 41:12",
          "headroom enter hours 41.2\n  headroom enter hours 41:12 --at \"yesterday 18:30\"", hours_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("reading", a.value, "Running hours shown")->required();
            c.add_option("--part", a.part, "The part the meter belongs to (default: the engine)")->type_name("PART");
          });
  declare("head", "The highest head temperature of a flight: 198C or 388F",
          "headroom enter head 198C\n  headroom enter head 388F --at 18:30", head_facts,
          [](CLI::App& c, EnterArguments& a) { c.add_option("temperature", a.value, "Temperature")->required(); });
  declare("reading", "Any other reading: porosity 120 s, static-rpm 8450",
          "headroom enter reading porosity 120 s --part wing\n  headroom enter reading static-rpm 8450", reading_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("quantity", a.name, "What was read")->required();
            c.add_option("value", a.value, "Its value")->required();
            c.add_option("unit", a.unit, "Its unit: s, min, h, C, F, bar, psi, hPa, kg, lb, m, ft, mm, rpm")
                ->type_name("s|min|h|C|F|bar|psi|hPa|kg|lb|m|ft|mm|rpm");
            c.add_option("--part", a.part, "The part it belongs to")->type_name("PART");
          });
  declare(
      "plug", "The plug as you see it: white, pale, tan, dark or black",
      "headroom enter plug tan --reading right\n  headroom enter plug black --wet", plug_facts,
      [](CLI::App& c, EnterArguments& a) {
        c.add_option("colour", a.value, "white, pale, tan, dark or black")->type_name("white|pale|tan|dark|black")->required();
        c.add_flag("--wet", a.wet, "It was wet");
        c.add_flag("--dry", a.dry, "It was dry (the default)");
        c.add_option("--reading", a.reading_word, "What you make of it: lean, right or rich")->type_name("lean|right|rich");
      });
  declare("mixed", "Fuel mixed: 10 L at 50:1",
          "headroom enter mixed \"10 L\" --ratio 50\n  headroom enter mixed \"5 L\" --oil \"100 mL\"", mixed_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("fuel", a.value, "Petrol mixed")->required();
            c.add_option("--ratio", a.ratio, "Petrol to oil, 50 or 50:1")->type_name("RATIO");
            c.add_option("--oil", a.oil, "Oil put in, 200 mL")->type_name("AMOUNT");
            c.add_option("--note", a.text, "A word on it: which oil, how old the petrol")->type_name("TEXT");
          });
  declare("filled", "Fuel put into the tank", "headroom enter filled \"5 L\"\n  headroom enter filled \"5 L\" --tank \"8 L\"",
          filled_facts, [](CLI::App& c, EnterArguments& a) {
            c.add_option("fuel", a.value, "Fuel put in")->required();
            c.add_option("--tank", a.tank, "What the tank holds after it")->type_name("AMOUNT");
          });
  declare("left", "Fuel left in the tank", "headroom enter left \"2.5 L\"", left_facts,
          [](CLI::App& c, EnterArguments& a) { c.add_option("fuel", a.value, "Fuel left")->required(); });
  declare("service", "A service done: plug, belt, reserve_repack (headroom due lists them)",
          "headroom enter service plug\n  headroom enter service reserve_repack --at 2026-03-14", service_facts,
          [&](CLI::App& c, EnterArguments& a) {
            c.add_option("line", a.value, "The service line")->type_name(service_words)->required();
            c.add_option("--part", a.part, "On which part, if there are several")->type_name("PART");
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare("service-line", "Set, change or drop a line of the service list",
          "headroom enter service-line plug --running 20\n  headroom enter service-line silencer --title \"Silencer: repack\" "
          "--running 40",
          line_facts, [&](CLI::App& c, EnterArguments& a) {
            c.add_option("line", a.line, "Its key: plug, belt, or a new one")->type_name(service_words)->required();
            c.add_option("--title", a.title, "What is done")->type_name("TEXT");
            c.add_option("--role", a.role, "The part whose life counts: engine, propeller, wing, ...")->type_name("ROLE");
            c.add_option("--running", a.running, "Running hours between two, or none")->type_name("HOURS");
            c.add_option("--air", a.air, "Air hours between two, or none")->type_name("HOURS");
            c.add_option("--months", a.calendar, "Months between two, or none")->type_name("MONTHS");
            c.add_option("--launches", a.launches, "Launches between two")->type_name("NUMBER");
            c.add_flag("--drop", a.drop, "Take the line off the list");
          });
  declare(
      "finding", "Something seen to be wrong",
      "headroom enter finding \"exhaust spring worn\"\n  headroom enter finding \"crack in the frame\" --grounding --part frame",
      finding_facts, [](CLI::App& c, EnterArguments& a) {
        c.add_option("text", a.text, "What was seen")->required();
        auto* grounding = c.add_flag("--grounding", a.grounding, "No flight until it is closed");
        c.add_flag("--deferred", a.deferred, "It can wait (the default)")->excludes(grounding);
        c.add_option("--part", a.part, "On which part")->type_name("PART");
      });
  declare("closed", "A finding put right", "headroom enter closed spring \"new spring fitted\"", closed_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("finding", a.value, "The beginning of its id, or a word of it")->required();
            c.add_option("text", a.text, "What was done")->required();
          });
  declare("alteration", "Anything changed on the machine", "headroom enter alteration jet \"main jet one size larger\"",
          alteration_facts, [](CLI::App& c, EnterArguments& a) {
            c.add_option("area", a.value, "wing, lines, propeller, jet, plug, oil, exhaust, undercarriage, seats or other")
                ->type_name("wing|lines|propeller|jet|plug|oil|exhaust|undercarriage|seats|other")
                ->required()
                ->check(one_of("an area", {"wing", "lines", "propeller", "jet", "plug", "oil", "exhaust", "undercarriage",
                                           "seats", "other"}));
            c.add_option("text", a.text, "What was changed")->required();
            c.add_option("--part", a.part, "On which part")->type_name("PART");
          });
  declare("drill", "A drill practised: reserve, engine-off-landing, start", "headroom enter drill reserve", drill_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("drill", a.value, "reserve, engine-off-landing, start or other")
                ->type_name("reserve|engine-off-landing|start|other")
                ->required()
                ->check(one_of("a drill", {"reserve", "engine-off-landing", "start", "other"}));
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare("spent", "Money spent: 24.90 EUR \"two plugs\"", "headroom enter spent 24.90 EUR \"two plugs\"", spent_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("amount", a.value, "How much")->required();
            c.add_option("currency", a.currency, "Its currency, three letters")->required();
            c.add_option("text", a.text, "What for")->required();
          });
  declare("note", "A line of text", "headroom enter note \"first flight from the new strip\"", note_facts,
          [](CLI::App& c, EnterArguments& a) { c.add_option("text", a.text, "The note")->required(); });
  declare("run", "The engine run without a flight", "headroom enter run \"12 min\"", run_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("time", a.value, "How long: 12 min")->required();
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare("handling", "Ground handling of the wing", "headroom enter handling \"40 min\"", handling_facts,
          [](CLI::App& c, EnterArguments& a) { c.add_option("time", a.value, "How long: 40 min")->required(); });
  declare("flight", "A flight that no recorder saw; --at is the launch",
          "headroom enter flight \"45 min\" --at \"yesterday 18:30\"", flight_facts, [](CLI::App& c, EnterArguments& a) {
            c.add_option("time", a.value, "Air time: 45 min")->required();
            c.add_option("--launches", a.launches, "Launches in it (default 1)")->type_name("NUMBER");
          });
  declare("machine", "The machine you fly", "headroom enter machine \"the blue one\"", machine_facts,
          [](CLI::App& c, EnterArguments& a) { c.add_option("name", a.text, "Its name")->required(); });
  declare("pilot", "Who flies", "headroom enter pilot Kim --mass \"78 kg\"", pilot_facts, [](CLI::App& c, EnterArguments& a) {
    c.add_option("name", a.text, "Name")->required();
    c.add_option("--mass", a.value, "Mass without kit")->type_name("MASS");
  });
  declare("part", "A part with a life of its own",
          "headroom enter part reserve \"the white one\" --made 2021\n  headroom enter part wing \"the big one\" --air 120 "
          "--launches 300",
          part_facts, [](CLI::App& c, EnterArguments& a) {
            c.add_option("role", a.role, "engine, drive, propeller, frame, harness, wing, reserve, or a word of your own")
                ->type_name(
                    "engine|drive|propeller|frame|harness|wing|reserve|carburettor|exhaust|ignition|fuel_system|instrument|cart|"
                    "other")
                ->required();
            c.add_option("name", a.text, "Its name");
            c.add_option("--made", a.made, "When it was made: 2023, 2023-05 or 2023-05-20")->type_name("DATE");
            c.add_option("--running", a.running_before, "Running hours before this book")->type_name("HOURS");
            c.add_option("--air", a.air_before, "Air hours before this book")->type_name("HOURS");
            c.add_option("--handling", a.ground_before, "Ground-handling hours before this book")->type_name("HOURS");
            c.add_option("--launches", a.launches_before, "Launches before this book")->type_name("NUMBER");
          });
  declare("fitted", "A part fitted to the machine", "headroom enter fitted \"the big one\"", fitted_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("part", a.value, "The part")->required();
            c.add_option("--machine", a.part2, "Which machine, if there are several")->type_name("MACHINE");
          });
  declare("removed", "A part taken off the machine", "headroom enter removed propeller --note \"chipped tip\"", removed_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("part", a.value, "The part")->required();
            c.add_option("--note", a.text, "Why")->type_name("TEXT");
          });
  declare("field", "A place to launch from", "headroom enter field \"Upper meadow\" --height \"420 m\"", field_facts,
          [](CLI::App& c, EnterArguments& a) {
            c.add_option("name", a.name, "Its name")->required();
            c.add_option("--height", a.value, "Height above sea level")->type_name("HEIGHT");
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare(
      "check", "The state of a check", "headroom enter check \"hang check\" done", check_facts,
      [&](CLI::App& c, EnterArguments& a) {
        c.add_option("check", a.name, "Which check")->type_name(check_words)->required();
        c.add_option("state", a.state, "done, not-done or not-applicable")->type_name("done|not-done|not-applicable")->required();
      });

  auto* amend_command = enter_command->add_subcommand("amend", "Put an entry right that says something wrong");
  amend_command->add_option("entry", correction->entry, kEntryWords)->required();
  amend_command->add_option("--at", correction->at, "When it happened, if only that was wrong")->type_name("WHEN");
  amend_command->add_option("--reason", correction->reason, "What was wrong with it")->type_name("TEXT");
  amend_command->require_subcommand(0, 1);
  amend_command->footer(
      "Examples:\n"
      "  headroom enter amend 17 hours 41.3 --reason misread\n"
      "  headroom enter amend 17 --at \"yesterday 18:30\"\n"
      "  headroom enter amend 23 finding \"exhaust spring broken\" --grounding\n"
      "COMMAND is the entry's own kind, with the arguments that headroom enter takes for it. An option left out stays as it was. "
      "The entry stays in the book as it was written; from now on the amendment holds. "
      "headroom enter void, with the amendment's own number, takes it back.");
  amend_command->callback(
      [&tree, correction] { tree.action = [correction](World& world) { return run_amend(world, *correction); }; });
  for (const auto& declare_again : behind_amend) declare_again(*amend_command);

  auto* void_command = enter_command->add_subcommand("void", "Take an entry out of what counts, with the reason");
  auto voiding = std::make_shared<CorrectionArguments>();
  void_command->add_option("entry", voiding->entry, kEntryWords)->required();
  void_command->add_option("--reason", voiding->reason, "Why it should not be there")->type_name("TEXT")->required();
  void_command->footer(
      "Examples:\n"
      "  headroom enter void 17 --reason \"entered twice\"\n"
      "The entry stays in the book, marked, and counts for nothing. Voiding an amendment or a void takes that one back.");
  void_command->callback([&tree, voiding] { tree.action = [voiding](World& world) { return run_void(world, *voiding); }; });
}

}  // namespace headroom
