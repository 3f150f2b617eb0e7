#include "adapters/http/qr.h"

#include <qrcodegen/qrcodegen.hpp>

namespace headroom::http {

QrCode qr_code(std::string_view text) {
  const auto code = qrcodegen::QrCode::encodeText(std::string(text).c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
  QrCode out;
  out.size = code.getSize();
  for (int y = 0; y < out.size; ++y) {
    auto& row = out.dark.emplace_back();
    for (int x = 0; x < out.size; ++x) row.push_back(code.getModule(x, y));
  }
  return out;
}

std::string QrCode::svg_path() const {
  std::string out;
  for (std::size_t y = 0; y < dark.size(); ++y)
    for (std::size_t x = 0; x < dark[y].size(); ++x) {
      if (!dark[y][x]) continue;
      const auto from = x;
      while (x + 1 < dark[y].size() && dark[y][x + 1]) ++x;
      const auto run = std::to_string(x + 1 - from);
      out += "M" + std::to_string(from) + " " + std::to_string(y) + "h" + run + "v1h-" + run + "z";
    }
  return out;
}

std::string QrCode::blocks() const {
  constexpr int kQuiet = 2;  // narrower than the standard's four, which would not fit 80 columns with a long address
  const auto light = [&](int x, int y) {
    return x < 0 || y < 0 || x >= size || y >= size || !dark[static_cast<std::size_t>(y)][static_cast<std::size_t>(x)];
  };
  std::string out;
  for (int y = -kQuiet; y < size + kQuiet; y += 2) {
    for (int x = -kQuiet; x < size + kQuiet; ++x) {
      const bool upper = light(x, y), lower = y + 1 < size + kQuiet && light(x, y + 1);
      out += upper && lower ? "\u2588" : upper ? "\u2580" : lower ? "\u2584" : " ";
    }
    out += '\n';
  }
  return out;
}

}  // namespace headroom::http
