// headroom brief: every margin known so far, thinnest first.
#include <memory>

#include "app/enter.h"
#include "cli/command.h"
#include "cli/day_options.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct BriefArguments {
  std::string planned, start, pilot;
  bool all = false;
  SaidDay day;
};

int run_brief(World& world, const BriefArguments& arguments) {
  auto session = open_session(world, true);
  if (!session) return report(world, session.error());
  if (!arguments.pilot.empty()) {
    // Mass, practice, limits and own runs are then theirs.
    const auto chosen = Subjects(session->state).pilot(arguments.pilot);
    if (!chosen) return report(world, {chosen.error().kind, chosen.error().what, "--pilot"});
    session->state.pilot = *chosen;
  }
  BriefRequest request;
  request.now = world.ports.clock.now();
  if (!arguments.planned.empty()) {
    const auto planned = parse_planned(arguments.planned);
    if (!planned) return report(world, planned.error());
    request.planned = *planned;
  }
  if (!arguments.start.empty()) {
    const auto start = parse_when_to_come(arguments.start, world.ports.clock, session->zone);
    if (!start) return report(world, {start.error().kind, start.error().what, "--start"});
    request.planned_start = *start;
  }
  const auto start = std::max(request.planned_start.value_or(request.now), request.now);
  SaidDay said = arguments.day;
  if (auto read = read_named_files(said, world); !read) return report(world, read.error());
  auto day = day_of(said, *session, world.ports, start);
  if (!day) return report(world, day.error());
  request.day = std::move(*day);
  if (auto taken = add_forecast(request, said, *session); !taken) return report(world, taken.error());
  const auto brief = make_brief(session->state, request);
  bool any_short = false;
  for (const auto& m : brief.margins) any_short = any_short || m.state == MarginState::short_of;

  if (world.shared.json) {
    print(answer_text(brief_json(brief, session->units)));
    return any_short ? kShort : kDone;
  }
  const auto width = world.shared.width;
  if (session->state.setting("book_is") == "simulated") print(wrapped(kSimulatedBook, width));
  std::string top;
  for (const auto& h : brief.headlines) top += (top.empty() ? "" : " ") + say_sentence(h, session->units);
  print(wrapped(top, width));
  print(wrapped("For a flight of " + say_duration(brief.planned) + (brief.planned_assumed ? " (assumed; say --planned)" : "") +
                    ", " + local_text(brief.start, world.ports.clock, session->zone) + ".",
                width));
  print(wrapped(brief.caution, width) + "\n");
  // What is ample needs no reading on the field, and eighteen services that nobody has entered yet would hide the rest: one
  // line each, under their own heading; --all writes everything out.
  std::string quiet_unknown, quiet_ample;
  for (const auto& m : brief.margins) {
    if (!arguments.all && m.state == MarginState::ample) {
      quiet_ample += quiet_row(m, *session, world);
    } else if (!arguments.all && m.state == MarginState::unknown && !is_deadly(m.kind) && m.id.starts_with("service:")) {
      quiet_unknown += quiet_row(m, *session, world);
    } else {
      print(margin_text(m, *session, world) + "\n");
    }
  }
  if (!quiet_unknown.empty())
    print(wrapped("Not known, so not ample (headroom enter service KEY --at DATE, when last done):", width) + quiet_unknown +
          "\n");
  if (!quiet_ample.empty()) print(wrapped("Ample (headroom brief --all says why):", width) + quiet_ample + "\n");
  std::string checks;
  for (const auto& c : brief.checks) {
    // The time of day, and the date where it is another one.
    std::string from = c.from ? local_text(*c.from, world.ports.clock, session->zone) : std::string();
    if (!from.empty() && from.substr(0, 10) == local_text(brief.start, world.ports.clock, session->zone, false))
      from = from.substr(11);
    checks += wrapped(c.words + (from.empty() ? "" : ": " + from) + (c.state.empty() ? " [" + c.key + "]" : ": " + c.state),
                      width, 4, 2);
  }
  print(wrapped("Last before launch (headroom enter check KEY done):", width, 2, 0) + checks + "\n");
  for (const auto& o : brief.observations)
    if (!o.has_margin) print(wrapped(say_sentence(o.text, session->units), width));
  for (const auto& w : brief.warnings) print(wrapped("Warning: " + say_sentence(w, session->units), width, 2, 0));
  print(wrapped(say_sentence(brief.not_covered, session->units), width));
  return any_short ? kShort : kDone;
}

}  // namespace

void add_brief(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("brief", "Before a flight: what is left before each limit, thinnest first");
  auto arguments = std::make_shared<BriefArguments>();
  command->add_option("--planned", arguments->planned, "Planned time in the air: 1h30, 45 min (default: one hour, assumed)")
      ->type_name("TIME");
  command->add_option("--start", arguments->start, "Planned launch: 18:30, tomorrow 10:00, 2026-05-02 18:30 (default: now)")
      ->type_name("WHEN");
  command->add_option("--pilot", arguments->pilot, "Who flies, of those in the book (default: who flew last)")->type_name("NAME");
  command->add_flag("--all", arguments->all, "Write every margin out");
  add_day_options(*command, arguments->day);
  command->footer(
      "Examples:\n"
      "  headroom brief\n"
      "  headroom brief --planned 1h30 --field \"Upper meadow\" --strip 09 --wind 80/12kt --temperature 18C\n"
      "Exit code 3 says that some margin is short. No answer here is a permission to fly.");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_brief(world, *arguments); }; });
}

}  // namespace headroom
