#pragma once
// A QR code (ISO/IEC 18004) of a short text, for a phone's camera.
#include <string>
#include <string_view>
#include <vector>

namespace headroom::http {

struct QrCode {
  int size = 0;                                // modules a side, without the quiet zone of four
  std::vector<std::vector<bool>> dark;         // [row][column]
  [[nodiscard]] std::string svg_path() const;  // "M0 0h7v1h-7z...", one unit a module
  // Two rows of modules a line, in block characters (U+2580, U+2584, U+2588) with the quiet zone; light modules are drawn, as on
  // a dark terminal.
  [[nodiscard]] std::string blocks() const;
};
[[nodiscard]] QrCode qr_code(std::string_view text);

}  // namespace headroom::http
