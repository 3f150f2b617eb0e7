#pragma once
// What the files of headroom field share.
#include "app/field.h"
#include "cli/command.h"
#include "cli/display.h"
#include "formats/answer_json.h"

namespace headroom {

// One field on the terminal.
[[nodiscard]] std::string field_text(const FieldState& f, const Session& session, World& world);

// Writes the change with the blobs it speaks of. Sentences about what a fresh book had to assume come back.
[[nodiscard]] Result<std::vector<std::string>> write_field(const FieldChange& change, const Session& session, World& world,
                                                           std::vector<NamedBlob> blobs = {});

// Reads the book anew and shows the field as it is described now. Exit code.
[[nodiscard]] int show_described(const std::string& field, World& world);

void add_field_walk(CommandTree& tree, CLI::App& field);
void add_field_photo(CommandTree& tree, CLI::App& field);
void add_field_from_launches(CommandTree& tree, CLI::App& field);

}  // namespace headroom
