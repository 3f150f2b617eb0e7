#include "cli/command_calc.h"

namespace headroom {

void add_calc(CommandTree& tree) {
  auto* calc = tree.root.add_subcommand("calc", "Answer one question from figures: air, sun, metar, run, turn-back, load");
  calc->require_subcommand(1);
  add_calc_air(tree, *calc);
  add_calc_sun(tree, *calc);
  add_calc_metar(tree, *calc);
  add_calc_run(tree, *calc);
  add_calc_turn_back(tree, *calc);
  add_calc_load(tree, *calc);
  calc->footer(
      "Examples:\n"
      "  headroom calc air --height 620 --qnh 1019 --temperature 27 --dew-point 14\n"
      "Figures are in your own units (headroom units) or carry theirs: 30.10inHg, 5883ft, 70F.");
}

}  // namespace headroom
