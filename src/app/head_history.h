#pragma once
// The head maxima of the book one by one, each beside those before it and beside the flight that it belongs to.
#include <optional>
#include <vector>

#include "core/book/state.h"

namespace headroom {

struct HeadPoint {
  Temperature value;
  UtcTime at{};
  std::size_t flight = 0;  // its place in State::flights; State::flights.size(): of none
  int earlier = 0;
  bool enough = false;  // kUsualNeeds or more earlier ones; without them what follows says nothing
  bool unusual = false;
  Temperature middle, low, high;  // median of the earlier ones and their 5 to 95 %
};

// By time. Usual is what the brief calls so: kUsualWidth robust deviations about the median of all earlier ones, at least
// kUsualLeastSpreadKelvin each (core/learn/priors.h); the 5 to 95 % are those of a normal distribution of that deviation. A
// reading belongs to the last counting flight that was flying at its time or landed within the two hours before.
[[nodiscard]] std::vector<HeadPoint> head_history(const State& state);
// The same band from all of them, as the next one will be judged; nothing with fewer than kUsualNeeds.
struct UsualHead {
  Temperature low, middle, high;
};
[[nodiscard]] std::optional<UsualHead> usual_head(const State& state);

}  // namespace headroom
