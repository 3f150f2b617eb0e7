#include "cli/display.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "cli/day_options.h"
#include "cli/text.h"
#include "core/machine/figures.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom {

Result<Session> open_session(World& world, bool whole) {
  return open_session(world.ports, {world.shared.zone, world.shared.units}, whole);
}

std::string quiet_row(const Margin& m, const Session& session, const World& world) {
  std::string left = m.left.known() ? say_amount(m.left, session.units, false) + " left" : std::string();
  if (m.state == MarginState::unknown) {
    const std::string_view id = m.id;
    left = std::string(id.substr(id.find(':') + 1));
    left = left.substr(0, left.find(':'));
  } else if (m.assumed) {
    left += ", assumed";
  }
  return "  " + row(harmless(m.title), left, world.shared.width - 2);
}

std::string margin_text(const Margin& m, const Session& session, const World& world) {
  const auto width = world.shared.width;
  std::string state = underlined(state_word(m.state));
  if (m.assumed) state += ", assumed";
  std::string out = row(strong(harmless(m.title)), state, width);
  if (m.left.known() || m.state == MarginState::unknown) {
    const auto line = limit_line(m, width - 2);
    out += "  " + line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  std::string text = say_left(m, session.units);
  if (m.chance_short && m.state != MarginState::ample && *m.chance_short < 0.95) {
    if (!text.empty()) text += ' ';
    text += "Chance of being short: " + say_chance(*m.chance_short) + ".";
  }
  for (const auto& why : m.why) text += (text.empty() ? "" : " ") + say_sentence(why, session.units);
  for (const auto& measure : m.measure) text += (text.empty() ? "" : " ") + say_sentence(measure, session.units);
  if (!text.empty()) out += wrapped(text, width, 2);
  for (const auto& change : m.changes) {
    std::string what = say_sentence(change.what, session.units);
    out += change.chance_short ? "  " + row(what, say_chance(*change.chance_short), width - 2) : wrapped(what, width, 4, 2);
  }
  return out;
}

namespace {

// What keeps a run from telling how its pilot runs.
std::string not_told_of_run(const PlainFacts& facts, std::uint64_t number) {
  const auto* run = std::get_if<RunMeasured>(&facts);
  if (run == nullptr || (run->headwind && run->height)) return {};
  return fmt::format(
      " Without {} it does not count as one of your own runs, unless a recorder saw it too: headroom enter amend {} "
      "take-off-run ...",
      run->headwind ? "the height of the place (--height or --field)"
      : run->height ? "the wind along it (--headwind, 0 for calm)"
                    : "the wind along it (--headwind, 0 for calm) and the height of the place (--height or --field)",
      number);
}

}  // namespace

std::string facts_sentence(const PlainFacts& facts, const Session& session) {
  return facts_sentence(facts, session.state, session.units);
}

std::string entered_sentence(const PlainFacts& facts, const Session& session, UtcTime at, std::uint64_t number, World& world) {
  return facts_sentence(facts, session) + ", " + local_text(at, world.ports.clock, session.zone) +
         fmt::format(". Entry {} in the book.", number) + not_told_of_run(facts, number);
}

}  // namespace headroom
