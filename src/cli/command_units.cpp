// headroom units: chosen once, kept in the book.
#include <fmt/format.h>

#include <memory>

#include "app/enter.h"
#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

struct UnitsArguments {
  std::vector<std::string> choices;
  std::string zone;
};

Result<std::vector<Setting>> settings_of(const UnitsArguments& arguments, const UnitChoice& before, World& world) {
  UnitChoice after = before;
  std::string list;
  for (const auto& choice : arguments.choices) list += (list.empty() ? "" : ",") + choice;
  if (auto chosen = after.choose_list(list); !chosen) return tl::unexpected<Error>(chosen.error());
  std::vector<Setting> settings;
  for (int i = 0; i < kMeasures; ++i) {
    const auto m = static_cast<Measure>(i);
    if (after.of(m).name != before.of(m).name)
      settings.push_back({fmt::format("unit.{}", measure_name(m)), std::string(after.of(m).name)});
  }
  if (!arguments.zone.empty()) {
    // Asked for once, so that a name that the system does not know is told now and not at each later command.
    const auto known = world.ports.clock.offset_minutes(world.ports.clock.now(), arguments.zone);
    if (!known) return tl::unexpected<Error>(known.error());
    settings.push_back({"zone", arguments.zone});
  }
  return settings;
}

int run_units(World& world, const UnitsArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  if (!arguments.choices.empty() || !arguments.zone.empty()) {
    const auto settings = settings_of(arguments, session->units, world);
    if (!settings) return report(world, settings.error());
    for (const auto& setting : *settings) {
      EnterRequest request;
      request.at = world.ports.clock.now();
      request.facts = [&](const Subjects&) { return Result<PlainFacts>(PlainFacts(setting)); };
      request.registers = false;
      if (const auto answer = enter(request, world.ports); !answer) return report(world, answer.error());
    }
    session = open_session(world);
    if (!session) return report(world, session.error());
  }
  if (world.shared.json) {
    AnswerJson out;
    for (int i = 0; i < kMeasures; ++i)
      out[std::string(measure_name(static_cast<Measure>(i)))] = session->units.of(static_cast<Measure>(i)).name;
    out["zone"] = session->zone.empty() ? AnswerJson(nullptr) : AnswerJson(session->zone);
    print(answer_text(out));
    return kDone;
  }
  for (int i = 0; i < kMeasures; ++i) {
    const auto m = static_cast<Measure>(i);
    const auto first = fmt::format("{:<12} {:<8} ", measure_name(m), session->units.of(m).name);
    print(first + wrapped(fmt::format("(of {})", units_of(m)), world.shared.width, first.size() + 1).substr(first.size() + 1));
  }
  print(fmt::format("{:<12} {}\n", "zone", session->zone.empty() ? "the system's" : session->zone));
  return kDone;
}

}  // namespace

void add_units(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("units", "Show or choose the units and the time zone");
  auto arguments = std::make_shared<UnitsArguments>();
  command->add_option("choice", arguments->choices, "metric, us, uk, or MEASURE=UNIT, e.g. temperature=F")
      ->type_name("metric|us|uk");
  command->add_option("--zone", arguments->zone, "Time zone by its IANA name, e.g. Europe/Lisbon")->type_name("ZONE");
  command->footer(
      "Examples:\n"
      "  headroom units\n"
      "  headroom units us temperature=C\n"
      "  headroom --units speed=kt brief\n"
      "The last one holds for that call only.");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_units(world, *arguments); }; });
}

}  // namespace headroom
