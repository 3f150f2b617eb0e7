#pragma once
// The options that say the day on the command line.
#include <string>

#include "app/said_day.h"
#include "cli/command.h"
#include "cli/display.h"

namespace headroom {

// What was pasted, or what stands in the file: one word is a file; a report or forecast has many.
[[nodiscard]] Result<std::string> text_or_file(const std::string& said, World& world);

void add_day_options(CLI::App& command, SaidDay& options);
// Puts what stands in the files that the options name in the place of their names.
[[nodiscard]] Result<void> read_named_files(SaidDay& said, World& world);

}  // namespace headroom
