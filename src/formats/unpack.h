#pragma once
// Recordings out of a zip or gzip archive, told by content, with bounds on what an archive may unpack to.
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace headroom {

struct UnpackLimits {
  std::uint64_t most_bytes = std::uint64_t{256} << 20U;  // unpacked, of all files together
  std::uint64_t most_files = 1000;
  // A file above `ratio_from` bytes may unpack to so many times its packed size, no more. Text recordings pack by about 4
  // to 10, an all but empty one by 100; the method's own end is near 1030.
  std::uint64_t most_ratio = 200;
  std::uint64_t ratio_from = std::uint64_t{1} << 20U;
};

struct UnpackedFile {
  std::string name;             // in UTF-8 without control characters, to be shown; empty when a gzip has none
  Result<std::string> content;  // why this one was not unpacked: bad_input with a sentence
};

// The files of the archive in its own order; folders and the side files that some systems add under __MACOSX/ are left
// out. An archive within the archive is not opened: it comes back as an error, as does a file that is damaged, encrypted,
// packed by another method or beyond the limits, while the others come back whole.
// Errors: bad_input when the bytes are no archive, cannot be read as one at all, or hold more than `most_files` files.
[[nodiscard]] Result<std::vector<UnpackedFile>> unpack(std::string_view bytes, UnpackLimits limits = {});

}  // namespace headroom
