#pragma once
// An axis with round marks.
#include <string>
#include <vector>

namespace headroom {

struct Axis {
  double low = 0, high = 1;
  std::vector<double> marks;  // within it, in order; steps of 1, 2 or 5 times a power of ten
  int decimals = 0;
  [[nodiscard]] std::string text(double mark) const;
};

// Holds low and high, save a few hundredths of a step, and ends at marks; about `most` steps, never more. Not finite or empty
// ranges are made one wide.
[[nodiscard]] Axis round_axis(double low, double high, int most);

}  // namespace headroom
