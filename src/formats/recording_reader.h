#pragma once
// Any recording, told by its content.
#include <string_view>

#include "core/result.h"
#include "core/track/recording.h"
#include "formats/read_options.h"

namespace headroom {

// Errors: bad_input with a sentence when the bytes are empty, of no known format, or hold no fix at all. A half-good file
// is no error: its good half comes back with warnings.
[[nodiscard]] Result<Recording> read_recording(std::string_view bytes, const ReadOptions& options = {});

}  // namespace headroom
