#pragma once
// The hidden command that writes what the project commits of its own command tree: manual pages and completions.
#include "cli/command.h"

namespace headroom {

void add_docs(CommandTree& tree);

}  // namespace headroom
