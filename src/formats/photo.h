#pragma once
// What kind of picture some bytes are, by their first ones.
#include <cstdint>
#include <optional>
#include <string_view>

namespace headroom {

enum class PhotoKind : std::uint8_t { jpeg, png };

// JPEG: the SOI marker and the next one's first byte, FF D8 FF (ISO/IEC 10918-1, B.1.1.3). PNG: its eight bytes (ISO/IEC 15948,
// 5.2). Nothing for any other bytes. The picture itself is not looked at.
[[nodiscard]] std::optional<PhotoKind> photo_kind(std::string_view bytes);

}  // namespace headroom
