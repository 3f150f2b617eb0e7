#pragma once
// headroom without a command: the state of the book, and the most useful next thing to enter.
#include "cli/command.h"

namespace headroom {

int run_book_state(World& world);

}  // namespace headroom
