// headroom due: the service list by date.
#include <fmt/format.h>

#include <memory>

#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "core/upkeep/due.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct DueArguments {
  std::string by;
};

std::string counted_in(DueCounter::Counts counts) {
  switch (counts) {
    case DueCounter::Counts::running:
      return "running";
    case DueCounter::Counts::air:
      return "in the air";
    case DueCounter::Counts::launches:
      return "launches";
    case DueCounter::Counts::calendar:
      return "";
  }
  return "";
}

std::string counter_sentence(const DueCounter& c, const UnitChoice& units) {
  Amount left = c.left;
  const bool past = left.mid < 0;
  if (past) left.mid = -left.mid;
  const auto unit = counted_in(c.counts);
  return say_amount(left, units, false) + (unit.empty() ? "" : " " + unit) + (past ? " past " : " left of ") +
         say_amount(c.have, units, false);
}

int run_due(World& world, const DueArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto now = world.ports.clock.now();
  std::optional<UtcTime> by;
  if (!arguments.by.empty()) {
    const auto t = parse_when(arguments.by, world.ports.clock, session->zone);
    if (!t) return report(world, t.error());
    by = *t;
  }
  const auto rate = use_rate(session->state, now);
  const auto lines = due(session->state, now, rate, by);
  bool any_short = false;
  for (const auto& line : lines) any_short = any_short || line.state == MarginState::short_of;
  if (world.shared.json) {
    print(answer_text(due_json(lines, rate, now, session->units)));
    return any_short ? kShort : kDone;
  }
  const auto width = world.shared.width;
  if (session->state.setting("book_is") == "simulated") print(wrapped(kSimulatedBook, width));
  print(wrapped("Intervals: " + std::string(kServiceBasis) + ". " + std::string(kCaution), width) + "\n");
  for (const auto& line : lines) {
    std::string when = line.state == MarginState::unknown ? ""
                       : line.date.known()                ? "about " + say_amount(line.date, session->units, false) + "  "
                                                          : "";
    print(row(strong(harmless(line.line.title)), when + underlined(state_word(line.state)) + (line.assumed ? ", assumed" : ""),
              width));
    std::string text;
    for (const auto& c : line.counters)
      if (c.left.known()) text += (text.empty() ? "" : "; ") + counter_sentence(c, session->units);
    if (!text.empty()) text += ".";
    if (line.chance_by && line.state != MarginState::unknown && line.state != MarginState::short_of)
      text += fmt::format(" Chance of falling due by {}: {}.", local_text(line.by, world.ports.clock, session->zone, false),
                          say_chance(*line.chance_by));
    for (const auto& m : line.measure) text += (text.empty() ? "" : " ") + say_sentence(m, session->units);
    text += fmt::format(" [{}]", line.line.line);
    print(wrapped(text, width, 2));
  }
  return any_short ? kShort : kDone;
}

}  // namespace

void add_due(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("due", "Services and part lives by date, with the chance of each");
  auto arguments = std::make_shared<DueArguments>();
  command->add_option("--by", arguments->by, "The date asked about: 2026-07-01 (default: 30 days ahead)")->type_name("DATE");
  command->footer(
      "Examples:\n"
      "  headroom due\n"
      "  headroom due --by 2026-07-01\n"
      "The word in brackets is the line's key: headroom enter service KEY writes it down as done, "
      "headroom enter service-line KEY changes its limits.");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_due(world, *arguments); }; });
}

}  // namespace headroom
