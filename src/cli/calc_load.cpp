// headroom calc load: what hangs on wing, reserve, harness and carabiners, and what another mass does.
#include <memory>

#include "app/said_load.h"
#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/display.h"
#include "cli/text.h"

namespace headroom {

namespace {

using LoadArguments = SaidLoad;

int run_calc_load(World& world, const LoadArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto& units = session->units;
  const auto answer = answer_load(a, units);
  if (!answer) return report(world, answer.error());
  const int code = answer->is_short() ? kShort : kDone;
  if (world.shared.json) {
    auto list = AnswerJson::array();
    for (const Margin& m : answer->margins) list.push_back(margin_json(m, units));
    AnswerJson changed = nullptr;
    if (const auto& effect = answer->effect)
      changed = {{"from_kg", finite_number(answer->before->si())},
                 {"speeds", finite_number(effect->speeds)},
                 {"run_same_thrust", finite_number(effect->run_same_thrust)}};
    print(answer_text(
        {{"mass_kg", finite_number(answer->mass.si())},
         {"density_kg_m3", finite_number(answer->density.si())},
         {"wing_loading_Pa", si_or_null(answer->loading)},
         {"reserve_sink_m_s", si_or_null(answer->reserve_speed)},
         {"reserve_drop_height_m",
          answer->reserve_speed ? AnswerJson(finite_number(drop_height(*answer->reserve_speed).si())) : AnswerJson(nullptr)},
         {"margins", list},
         {"effect", changed},
         {"assumed", sentences_json({answer->assumed.begin() + 1, answer->assumed.end()}, units)},
         {"caution", kCaution}}));
    return code;
  }
  const auto width = world.shared.width;
  std::string out;
  for (const Margin& m : answer->margins) out += margin_text(m, *session, world) + "\n";
  const auto words = load_words(*answer, units);
  out += rows_text(words.rows, width) + "\n";
  for (const auto& sentence : words.assumed) out += wrapped(sentence, width);
  print(out + wrapped(words.caution, width));
  return code;
}

}  // namespace

void add_calc_load(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("load", "All-up mass against wing, reserve, harness and carabiners");
  auto a = std::make_shared<LoadArguments>();
  command->add_option("--mass", a->mass, "All-up (40 to 450 kg)")->type_name("MASS")->required();
  command->add_option("--wing-mass", a->wing_mass, "Of the wing: it does not hang on harness and carabiners")->type_name("MASS");
  command->add_option("--wing-area", a->wing_area, "Flat (8 to 60 m2): wing loading")->type_name("AREA");
  command->add_option("--wing-least", a->wing_least, "Least all-up mass of the wing's range")->type_name("MASS");
  command->add_option("--wing-most", a->wing_most, "Most all-up mass of the wing's range")->type_name("MASS");
  command->add_option("--reserve", a->reserve, "Rated load of the reserve")->type_name("MASS");
  command->add_option("--harness", a->harness, "Rated load of the harness")->type_name("MASS");
  command->add_option("--carabiners", a->carabiners, "Rated load of the carabiners")->type_name("MASS");
  command->add_option("--before", a->before, "Another mass to compare with")->type_name("MASS");
  add_air_options(*command, a->air);
  command->footer(
      "Examples:\n"
      "  headroom calc load --mass 121 --wing-most 125 --wing-least 95 --reserve 120 --height 1400 --temperature 28\n"
      "  headroom calc load --mass 126 --before 121 --wing-area 26\n"
      "Ends with 3 when one is short. Without air it is the standard's at sea level.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_load(world, *a); }; });
}

}  // namespace headroom
