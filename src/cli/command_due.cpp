// headroom due: the service list by date.
#include <fmt/format.h>

#include <memory>

#include "app/due_words.h"
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
    auto text = due_left_text(line, session->units);
    if (const auto chance = due_chance_text(line, world.ports.clock, session->zone); !chance.empty()) text += " " + chance;
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
