#include "adapters/paper/axis.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace headroom {

std::string Axis::text(double mark) const {
  // The typographic minus is as wide as a figure and no hyphen.
  return (mark < 0 ? "\u2212" : "") + fmt::format("{:.{}f}", std::abs(mark), decimals);
}

Axis round_axis(double low, double high, int most) {
  if (!std::isfinite(low) || !std::isfinite(high)) low = high = 0;
  if (high - low < 1e-9 * std::max(1.0, std::abs(high))) high = low + 1;
  constexpr std::array<double, 3> kNice = {1, 2, 5};
  constexpr double kSlack = 0.02;  // of a step: noise about zero does not earn a step of its own
  const int power = static_cast<int>(std::floor(std::log10((high - low) / most)));
  for (int p = power; p <= power + 2; ++p) {
    for (const double nice : kNice) {
      const double step = nice * std::pow(10.0, p);
      const double from = std::floor(low / step + kSlack), to = std::ceil(high / step - kSlack);
      if (to - from > most) continue;
      Axis axis{from * step, to * step, {}, std::max(0, -p)};
      for (double k = from; k <= to; ++k) axis.marks.push_back(k == 0 ? 0 : k * step);
      return axis;
    }
  }
  return {low, high, {low, high}, 0};
}

}  // namespace headroom
