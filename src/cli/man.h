#pragma once
// Manual pages from the command tree: troff with the man macros, man(7), section 1.
#include <string>

#include "cli/page.h"

namespace headroom {

// `root` is the program's page. The page of the program itself, or of one of its commands with all that stands below it.
[[nodiscard]] std::string manual_of_program(const Page& root);
[[nodiscard]] std::string manual_of_command(const Page& root, const Page& command);

}  // namespace headroom
