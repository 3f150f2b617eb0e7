// headroom brief: every margin known so far, thinnest first.
#include <memory>

#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct BriefArguments {
  std::string planned, start;
  bool all = false;
};

int run_brief(World& world, const BriefArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  BriefRequest request;
  request.now = world.ports.clock.now();
  if (!arguments.planned.empty()) {
    const auto planned = parse_duration(arguments.planned);
    if (!planned) return report(world, planned.error());
    if (!(in_seconds(*planned) > 0 && in_hours(*planned) <= 24))
      return report(world, {ErrorKind::out_of_range, "a planned flight lasts more than nothing and at most 24 h", "--planned"});
    request.planned = *planned;
  }
  if (!arguments.start.empty()) {
    const auto start = parse_when(arguments.start, world.ports.clock, session->zone);
    if (!start) return report(world, start.error());
    request.planned_start = *start;
  }
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
  command->add_option("--start", arguments->start, "Planned launch: 18:30, 2026-05-02 18:30 (default: now)")->type_name("WHEN");
  command->add_flag("--all", arguments->all, "Write every margin out");
  command->footer(
      "Examples:\n"
      "  headroom brief\n"
      "  headroom brief --planned 1h30\n"
      "Exit code 3 says that some margin is short. No answer here is a permission to fly.");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_brief(world, *arguments); }; });
}

}  // namespace headroom
