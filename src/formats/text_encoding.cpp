#include "formats/text_encoding.h"

#include <fmt/format.h>
#include <algorithm>

namespace headroom {

void append_utf8(std::string& out, std::uint32_t c) {
  if (c < 0x80) {
    out += static_cast<char>(c);
  } else if (c < 0x800) {
    out += static_cast<char>(0xC0U | c >> 6U);
    out += static_cast<char>(0x80U | (c & 0x3FU));
  } else if (c < 0x10000) {
    out += static_cast<char>(0xE0U | c >> 12U);
    out += static_cast<char>(0x80U | (c >> 6U & 0x3FU));
    out += static_cast<char>(0x80U | (c & 0x3FU));
  } else {
    out += static_cast<char>(0xF0U | c >> 18U);
    out += static_cast<char>(0x80U | (c >> 12U & 0x3FU));
    out += static_cast<char>(0x80U | (c >> 6U & 0x3FU));
    out += static_cast<char>(0x80U | (c & 0x3FU));
  }
}

Utf16 utf16_of(std::string_view bytes) {
  if (bytes.starts_with("\xFF\xFE")) return Utf16::little_endian;
  if (bytes.starts_with("\xFE\xFF")) return Utf16::big_endian;
  const std::size_t units = std::min<std::size_t>(bytes.size(), 512) / 2;
  if (units < 4) return Utf16::none;
  std::size_t first_zero = 0, second_zero = 0;
  for (std::size_t i = 0; i < units; ++i) {
    first_zero += bytes[2 * i] == '\0' ? 1U : 0U;
    second_zero += bytes[2 * i + 1] == '\0' ? 1U : 0U;
  }
  if (first_zero == 0 && second_zero * 10 >= units * 9) return Utf16::little_endian;
  if (second_zero == 0 && first_zero * 10 >= units * 9) return Utf16::big_endian;
  return Utf16::none;
}

Result<std::string> from_utf16(std::string_view bytes, Utf16 order) {
  if (bytes.size() > kLargestUtf16)
    return fail(ErrorKind::bad_input,
                fmt::format("a UTF-16 text of more than {} MiB is not read: save it as plain text", kLargestUtf16 >> 20U));
  const bool big = order == Utf16::big_endian;
  const auto unit = [&](std::size_t i) {
    const auto a = static_cast<unsigned char>(bytes[i]), b = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<std::uint32_t>(big ? a << 8U | b : b << 8U | a);
  };
  std::string out;
  out.reserve(bytes.size() / 2 + 16);
  for (std::size_t i = 0; i + 2 <= bytes.size(); i += 2) {
    std::uint32_t c = unit(i);
    if (i == 0 && c == 0xFEFF) continue;
    if (c >= 0xD800 && c < 0xDC00 && i + 4 <= bytes.size() && (unit(i + 2) & 0xFC00U) == 0xDC00U) {
      c = 0x10000 + ((c & 0x3FFU) << 10U) + (unit(i + 2) & 0x3FFU);
      i += 2;
    } else if (c >= 0xD800 && c < 0xE000) {
      c = 0xFFFD;
    }
    append_utf8(out, c);
  }
  return out;
}

}  // namespace headroom
