#pragma once
// headroom calc WHAT: one question answered from its figures alone. Nothing is written; of the book only the owner's units are
// used. Each question has its file calc_WHAT.cpp and one line in command_calc.cpp.
#include "cli/command.h"

namespace headroom {

void add_calc_air(CommandTree& tree, CLI::App& calc);
void add_calc_sun(CommandTree& tree, CLI::App& calc);
void add_calc_metar(CommandTree& tree, CLI::App& calc);
void add_calc_run(CommandTree& tree, CLI::App& calc);
void add_calc_turn_back(CommandTree& tree, CLI::App& calc);
void add_calc_load(CommandTree& tree, CLI::App& calc);

}  // namespace headroom
