#pragma once
// One line of an export: {"hash","header","facts","private"}, the parts being the verbatim bytes as JSON strings, or null.
#include <string>
#include <string_view>

#include "core/book/entry.h"
#include "core/result.h"

namespace headroom {

[[nodiscard]] std::string export_line(const EncodedEntry& entry, bool with_private);  // ends with LF; bytes must be UTF-8
// ErrorKind::bad_input when the line is no such object. Hashes are not checked here. `into` is reused.
[[nodiscard]] Result<void> read_export_line(std::string_view line, EncodedEntry& into);

}  // namespace headroom
