// headroom calc turn-back: out along a track and home again, in one wind.
#include <memory>
#include <numbers>

#include "app/said_turn_back.h"
#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/display.h"
#include "cli/text.h"

namespace headroom {

namespace {

using TurnBackArguments = SaidTurnBack;

AnswerJson way_json(const WindTriangle& t) {
  return {{"heading_deg", finite_number(t.heading.radians() * 180 / std::numbers::pi)},
          {"ground_speed_m_s", finite_number(t.ground_speed.si())}};
}

int run_calc_turn_back(World& world, const TurnBackArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto answer = answer_turn_back(a, session->units);
  if (!answer) return report(world, answer.error());
  const auto words = turn_back_words(*answer, session->units);
  const auto& told = answer->told;
  if (world.shared.json) {
    print(answer_text({{"out", way_json(told.out)},
                       {"home", way_json(told.home)},
                       {"turn_back_after_s", finite_number(told.turn.after.si())},
                       {"turn_back_at_m", finite_number(told.turn.distance.si())},
                       {"reach_one_way_m", finite_number(told.reach_one_way.si())},
                       {"equal_time_point_m", si_or_null(answer->equal_time)},
                       {"caution", kCaution}}));
    return kDone;
  }
  const auto width = world.shared.width;
  std::string out;
  for (const auto& sentence : words.sentences) out += wrapped(sentence, width);
  print(out + "\n" + rows_text(words.rows, width) + "\n" + wrapped(words.caution, width));
  return kDone;
}

}  // namespace

void add_calc_turn_back(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("turn-back", "Where to turn for home, by wind, airspeed and endurance");
  auto a = std::make_shared<TurnBackArguments>();
  command->add_option("--track", a->track, "The way out, true degrees")->type_name("DEG")->required();
  command->add_option("--airspeed", a->airspeed, "True airspeed (3 to 40 m/s)")->type_name("SPEED")->required();
  command->add_option("--wind", a->wind, "Where the flight goes: 250/25kt, or calm")->type_name("WIND")->required();
  command->add_option("--endurance", a->endurance, "Usable, after what is held back: 1h30")->type_name("DURATION")->required();
  command->add_option("--distance", a->distance, "Of the goal: also the place from which on and back take the same time")
      ->type_name("DISTANCE");
  command->footer(
      "Examples:\n"
      "  headroom calc turn-back --track 200 --airspeed 40km/h --wind 230/12kt --endurance 1h45\n"
      "  headroom calc turn-back --track 90 --airspeed 38km/h --wind calm --endurance 2h --distance 30km\n"
      "Point of no return and equal time point of air navigation: t = E B/(O + B), with ground speeds out and back.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_turn_back(world, *a); }; });
}

}  // namespace headroom
