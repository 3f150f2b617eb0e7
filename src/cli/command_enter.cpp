// headroom enter ...: what no recorder sees, typed in one line.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <memory>

#include "app/correct.h"
#include "app/said_entry.h"
#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "core/upkeep/service_list.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

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

int run_enter(World& world, const SaidEntry& arguments, const SaidKind& kind) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  auto at = parse_when(arguments.at, world.ports.clock, session->zone);
  if (!at) return report(world, at.error());
  const auto offset = world.ports.clock.offset_minutes(*at, session->zone);
  if (!offset) return report(world, offset.error());
  const SaidWhen when{world.ports.clock, session->zone};
  EnterRequest request;
  request.at = *at;
  request.offset_min = *offset;
  request.facts = [&](const Subjects& subjects) { return kind.make(arguments, session->units, subjects, when); };
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

struct CorrectionArguments {
  std::string entry, at, reason;
  // The kind named behind the entry, with what it was given; none: the time alone.
  std::shared_ptr<SaidEntry> kind;
  const SaidKind* making = nullptr;
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
  const SaidWhen when{world.ports.clock, session->zone};
  if (arguments.kind)
    request.facts = [&](const Subjects& subjects, const PlainFacts& before) -> Result<PlainFacts> {
      auto made = arguments.making->make(*arguments.kind, session->units, subjects, when);
      if (!made) return made;
      keep_unsaid(*made, before, *arguments.kind, !at_text.empty());
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
  const auto declare = [&](const char* name, const char* what, const char* example,
                           const std::function<void(CLI::App&, SaidEntry&)>& options) {
    auto* command = enter_command->add_subcommand(name, what);
    auto arguments = std::make_shared<SaidEntry>();
    const SaidKind* making = find_said_kind(name);
    options(*command, *arguments);
    command->add_option("--at", arguments->at, "When it happened: 18:30, \"yesterday 18:30\", 2026-05-02 (default: now)")
        ->type_name("WHEN");
    command->footer(std::string("Examples:\n  ") + example);
    command->callback([&tree, arguments, making] {
      tree.action = [arguments, making](World& world) { return run_enter(world, *arguments, *making); };
    });
    behind_amend.emplace_back([correction, name, what, making, options](CLI::App& amend_command) {
      auto* again = amend_command.add_subcommand(name, what);
      auto said = std::make_shared<SaidEntry>();
      options(*again, *said);
      again->add_option("--at", said->at, "When it happened (default: as it was)")->type_name("WHEN");
      again->add_option("--reason", correction->reason, "What was wrong with it")->type_name("TEXT");
      again->footer("");
      again->callback([correction, said, making] {
        correction->kind = said;
        correction->making = making;
      });
    });
  };

  declare(
      "hours", "An hour-meter reading: 41.2 or 41:12",
      "headroom enter hours 41.2\n  headroom enter hours 41:12 --at \"yesterday 18:30\"\n  headroom enter hours 120 --part wing",
      [](CLI::App& c, SaidEntry& a) {
        c.add_option("reading", a.value, "Running hours shown; of a wing, hours flown")->required();
        c.add_option("--part", a.part, "The part the hours belong to (default: the engine)")->type_name("PART");
      });
  declare("head", "The highest head temperature of a flight: 198C or 388F",
          "headroom enter head 198C\n  headroom enter head 388F --at 18:30",
          [](CLI::App& c, SaidEntry& a) { c.add_option("temperature", a.value, "Temperature")->required(); });
  declare("reading", "Any other reading: porosity 120 s, static-rpm 8450",
          "headroom enter reading porosity 120 s --part wing\n  headroom enter reading static-rpm 8450",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("quantity", a.name, "What was read")->required();
            c.add_option("value", a.value, "Its value")->required();
            c.add_option("unit", a.unit, "Its unit: s, min, h, C, F, bar, psi, hPa, kg, lb, m, ft, mm, rpm")
                ->type_name("s|min|h|C|F|bar|psi|hPa|kg|lb|m|ft|mm|rpm");
            c.add_option("--part", a.part, "The part it belongs to")->type_name("PART");
          });
  declare(
      "plug", "The plug as you see it: white, pale, tan, dark or black",
      "headroom enter plug tan --reading right\n  headroom enter plug black --wet", [](CLI::App& c, SaidEntry& a) {
        c.add_option("colour", a.value, "white, pale, tan, dark or black")->type_name("white|pale|tan|dark|black")->required();
        c.add_flag("--wet", a.wet, "It was wet");
        c.add_flag("--dry", a.dry, "It was dry (the default)");
        c.add_option("--reading", a.reading_word, "What you make of it: lean, right or rich")->type_name("lean|right|rich");
      });
  declare("figure", "A figure of the machine or of your rules: wing_area 26, limit_wind \"20 km/h\"",
          "headroom enter figure wing_area \"26 m2\"\n  headroom enter figure static_thrust \"57 kgf\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("figure", a.name, "Which; a wrong one lists them all")->required()->type_name("FIGURE");
            c.add_option("value", a.value, "Value, with its unit")->required();
            c.add_option("--pilot", a.part, "Whose limit it is, when it is not the owner's")->type_name("NAME");
          });
  declare("kit", "A piece of kit and what it weighs: radio 0.4 kg; 0 takes it off the list",
          "headroom enter kit radio \"0.4 kg\" --place \"left pocket\"", [](CLI::App& c, SaidEntry& a) {
            c.add_option("name", a.name, "What")->required();
            c.add_option("mass", a.value, "What it weighs")->required();
            c.add_option("--place", a.text, "Where on the machine")->type_name("TEXT");
          });
  declare("mixed", "Fuel mixed: 10 L at 50:1",
          "headroom enter mixed \"10 L\" --ratio 50\n  headroom enter mixed \"5 L\" --oil \"100 mL\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("fuel", a.value, "Petrol mixed")->required();
            c.add_option("--ratio", a.ratio, "Petrol to oil, 50 or 50:1")->type_name("RATIO");
            c.add_option("--oil", a.oil, "Oil put in, 200 mL")->type_name("AMOUNT");
            c.add_option("--note", a.text, "A word on it: which oil, how old the petrol")->type_name("TEXT");
          });
  declare("filled", "Fuel put into the tank", "headroom enter filled \"5 L\"\n  headroom enter filled \"5 L\" --tank \"8 L\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("fuel", a.value, "Fuel put in")->required();
            c.add_option("--tank", a.tank, "What the tank holds after it")->type_name("AMOUNT");
          });
  declare("left", "Fuel left in the tank", "headroom enter left \"2.5 L\"",
          [](CLI::App& c, SaidEntry& a) { c.add_option("fuel", a.value, "Fuel left")->required(); });
  declare("service", "A service done: plug, belt, reserve_repack (headroom due lists them)",
          "headroom enter service plug\n  headroom enter service reserve_repack --at 2026-03-14", [&](CLI::App& c, SaidEntry& a) {
            c.add_option("line", a.value, "The service line")->type_name(service_words)->required();
            c.add_option("--part", a.part, "On which part, if there are several")->type_name("PART");
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare("service-line", "Set, change or drop a line of the service list",
          "headroom enter service-line plug --running 20\n  headroom enter service-line silencer --title \"Silencer: repack\" "
          "--running 40",
          [&](CLI::App& c, SaidEntry& a) {
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
      [](CLI::App& c, SaidEntry& a) {
        c.add_option("text", a.text, "What was seen")->required();
        auto* grounding = c.add_flag("--grounding", a.grounding, "No flight until it is closed");
        c.add_flag("--deferred", a.deferred, "It can wait (the default)")->excludes(grounding);
        c.add_option("--part", a.part, "On which part")->type_name("PART");
      });
  declare("closed", "A finding put right", "headroom enter closed spring \"new spring fitted\"", [](CLI::App& c, SaidEntry& a) {
    c.add_option("finding", a.value, "The beginning of its id, or a word of it")->required();
    c.add_option("text", a.text, "What was done")->required();
  });
  declare("alteration", "Anything changed on the machine", "headroom enter alteration jet \"main jet one size larger\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("area", a.value, "wing, lines, propeller, jet, plug, oil, exhaust, undercarriage, seats or other")
                ->type_name("wing|lines|propeller|jet|plug|oil|exhaust|undercarriage|seats|other")
                ->required()
                ->check(one_of("an area", {"wing", "lines", "propeller", "jet", "plug", "oil", "exhaust", "undercarriage",
                                           "seats", "other"}));
            c.add_option("text", a.text, "What was changed")->required();
            c.add_option("--part", a.part, "On which part")->type_name("PART");
          });
  declare("drill", "A drill practised: reserve, engine-off-landing, start", "headroom enter drill reserve",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("drill", a.value, "reserve, engine-off-landing, start or other")
                ->type_name("reserve|engine-off-landing|start|other")
                ->required()
                ->check(one_of("a drill", {"reserve", "engine-off-landing", "start", "other"}));
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare(
      "take-off-run", "A take-off run you walked off or taped; --at is the launch",
      "headroom enter take-off-run \"34 m\" --headwind 5km/h --all-up 121kg --temperature 18C --field \"Long meadow\"\n"
      "  headroom enter take-off-run --steps 42 --headwind 0 --height 420 --surface \"wet grass\" --at 18:30",
      [](CLI::App& c, SaidEntry& a) {
        c.add_option("distance", a.value, "From the first step with the wing overhead to lift-off: 34 m");
        c.add_option("--steps", a.steps, "Instead: how many of your steps (enter figure step_length first)")->type_name("NUMBER");
        c.add_option("--headwind", a.headwind, "Along the run, at the height of your head; 0: calm")->type_name("SPEED");
        c.add_option("--tailwind", a.tailwind, "Or from behind")->type_name("SPEED");
        c.add_option("--temperature", a.temperature, "Of the air there")->type_name("TEMP");
        c.add_option("--height", a.height, "Of the place above sea level (default: the field's)")->type_name("HEIGHT");
        c.add_option("--field", a.field, "Where: a field of the book (headroom field)")->type_name("FIELD");
        c.add_option("--strip", a.strip, "Which strip of it, for its slope")->type_name("STRIP");
        c.add_option("--surface", a.surface, "On that day: firm, dry grass, wet grass, soft or snow")->type_name("GROUND");
        c.add_option("--all-up", a.all_up, "All-up mass at that launch")->type_name("MASS");
        auto* wheels = c.add_flag("--wheels", a.wheels, "From wheels");
        c.add_flag("--on-foot", a.on_foot, "On foot (the default)")->excludes(wheels);
        c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
      });
  declare("spent", "Money spent: 24.90 EUR \"two plugs\"", "headroom enter spent 24.90 EUR \"two plugs\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("amount", a.value, "How much")->required();
            c.add_option("currency", a.currency, "Its currency, three letters")->required();
            c.add_option("text", a.text, "What for")->required();
          });
  declare("note", "A line of text", "headroom enter note \"first flight from the new strip\"",
          [](CLI::App& c, SaidEntry& a) { c.add_option("text", a.text, "The note")->required(); });
  declare("run", "The engine run without a flight", "headroom enter run \"12 min\"", [](CLI::App& c, SaidEntry& a) {
    c.add_option("time", a.value, "How long: 12 min")->required();
    c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
  });
  declare("handling", "Ground handling of the wing", "headroom enter handling \"40 min\"",
          [](CLI::App& c, SaidEntry& a) { c.add_option("time", a.value, "How long: 40 min")->required(); });
  declare("flight", "A flight that no recorder saw; --at is the launch",
          "headroom enter flight \"45 min\" --at \"yesterday 18:30\"", [](CLI::App& c, SaidEntry& a) {
            c.add_option("time", a.value, "Air time: 45 min")->required();
            c.add_option("--launches", a.launches, "Launches in it (default 1)")->type_name("NUMBER");
          });
  declare("machine", "The machine you fly", "headroom enter machine \"the blue one\"",
          [](CLI::App& c, SaidEntry& a) { c.add_option("name", a.text, "Its name")->required(); });
  declare("pilot", "Who flies", "headroom enter pilot Kim --mass \"78 kg\"", [](CLI::App& c, SaidEntry& a) {
    c.add_option("name", a.text, "Name")->required();
    c.add_option("--mass", a.value, "Mass without kit")->type_name("MASS");
  });
  declare("part", "A part with a life of its own",
          "headroom enter part reserve \"the white one\" --made 2021\n  headroom enter part wing \"the big one\" --air 120 "
          "--launches 300",
          [](CLI::App& c, SaidEntry& a) {
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
  declare("fitted", "A part fitted to the machine", "headroom enter fitted \"the big one\"", [](CLI::App& c, SaidEntry& a) {
    c.add_option("part", a.value, "The part")->required();
    c.add_option("--machine", a.part2, "Which machine, if there are several")->type_name("MACHINE");
  });
  declare("removed", "A part taken off the machine", "headroom enter removed propeller --note \"chipped tip\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("part", a.value, "The part")->required();
            c.add_option("--note", a.text, "Why")->type_name("TEXT");
          });
  declare("field", "A place to launch from", "headroom enter field \"Upper meadow\" --height \"420 m\"",
          [](CLI::App& c, SaidEntry& a) {
            c.add_option("name", a.name, "Its name")->required();
            c.add_option("--height", a.value, "Height above sea level")->type_name("HEIGHT");
            c.add_option("--note", a.text, "A word on it")->type_name("TEXT");
          });
  declare("check", "The state of a check", "headroom enter check \"hang check\" done", [&](CLI::App& c, SaidEntry& a) {
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
