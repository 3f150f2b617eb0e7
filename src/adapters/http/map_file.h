#pragma once
// The owner's own map: a PMTiles file, read piece by piece for the page, which knows what is in it.
#include <cstdint>
#include <string>

#include "core/result.h"

namespace headroom::http {

inline constexpr std::uint64_t kMostMapBytes = 4U << 20;  // of one piece

// PMTiles specification version 3, section 3: the file begins with "PMTiles" and 3, in a header of 127 bytes. Errors: not_found
// and io of the file; bad_input for another one.
[[nodiscard]] Result<void> check_map_file(const std::string& path);

struct MapPiece {
  std::string bytes;       // fewer than asked for at the end of the file
  std::uint64_t size = 0;  // of the whole file
  std::string tag;         // changes with the file
};
// out_of_range for more than kMostMapBytes, and for what begins past the end.
[[nodiscard]] Result<MapPiece> read_map_piece(const std::string& path, std::uint64_t offset, std::uint64_t length);

}  // namespace headroom::http
