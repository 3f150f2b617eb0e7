#pragma once
// Encodings of text that recorders and the programs around them write.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/result.h"

namespace headroom {

void append_utf8(std::string& out, std::uint32_t code_point);

enum class Utf16 { none, little_endian, big_endian };

// How a text is written when it is UTF-16: by its byte-order mark, or, without one, because one of the two bytes of nearly
// every unit at its beginning is zero, as in a text of mostly Latin letters.
[[nodiscard]] Utf16 utf16_of(std::string_view bytes);

// More than this is not converted.
inline constexpr std::size_t kLargestUtf16 = std::size_t{128} << 20U;

// The text in UTF-8, a byte-order mark left out; a lone surrogate becomes U+FFFD, an odd last byte is dropped.
// Errors: bad_input above kLargestUtf16.
[[nodiscard]] Result<std::string> from_utf16(std::string_view bytes, Utf16 order);

}  // namespace headroom
