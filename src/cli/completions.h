#pragma once
// Completions for bash and zsh from the command tree. They run no program when a key is pressed: commands, options, the words
// an argument takes, files and folders are all in the script.
#include <string>

#include "cli/page.h"

namespace headroom {

[[nodiscard]] std::string bash_completion(const Page& root);
[[nodiscard]] std::string zsh_completion(const Page& root);

}  // namespace headroom
