#include "core/learn/priors.h"

#include <cmath>
#include <cstdlib>

namespace headroom {

namespace {

// Three numbers of plain decimal digits, parted by spaces; read by hand because strtod follows the locale.
std::optional<std::array<double, 3>> three_numbers(std::string_view text) {
  std::array<double, 3> out{};
  std::size_t at = 0;
  for (auto& value : out) {
    while (at < text.size() && text[at] == ' ') ++at;
    double number = 0, scale = 1;
    bool any = false, point = false;
    for (; at < text.size() && text[at] != ' '; ++at) {
      if (text[at] == '.' && !point) {
        point = true;
      } else if (text[at] >= '0' && text[at] <= '9') {
        number = number * 10 + (text[at] - '0');
        if (point) scale *= 10;
        any = true;
      } else {
        return std::nullopt;
      }
    }
    if (!any) return std::nullopt;
    value = number / scale;
  }
  while (at < text.size() && text[at] == ' ') ++at;
  if (at != text.size()) return std::nullopt;
  return out;
}

}  // namespace

Amount prior_amount(const Prior& prior, std::string_view setting_text) {
  Amount out{prior.dimension, prior.low, prior.mid, prior.high, assumed(), std::string(prior.source)};
  if (const auto own = three_numbers(setting_text)) {
    const auto [low, mid, high] = *own;
    if (std::isfinite(high) && low <= mid && mid <= high) {
      out.low = low;
      out.mid = mid;
      out.high = high;
      out.note = "your setting";
    }
  }
  out.low *= prior.si_per_unit;
  out.mid *= prior.si_per_unit;
  out.high *= prior.si_per_unit;
  return out;
}

}  // namespace headroom
