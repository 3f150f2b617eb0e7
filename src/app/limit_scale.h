#pragma once
// A margin on the common scale of the limit line: 0 the limit, 1 as much again as is needed ("double").
#include <optional>

#include "core/margin.h"

namespace headroom {

struct LimitScale {
  double low = 0, mid = 0, high = 0;  // of what is left
};
// What is left over what is needed; of what counts up to a limit, and of a wind, over the limit; of temperatures, over
// kDegreesOfScale, since a share of an absolute temperature says nothing. Far beyond the scale where nothing is needed. Nothing
// when it is not known, or when the state contradicts the interval, so that a line would say the opposite of the word beside it.
inline constexpr double kDegreesOfScale = 60;  // own choice: a head runs some 20 to 60 degrees under its limit
[[nodiscard]] std::optional<LimitScale> limit_scale(const Margin& margin);

}  // namespace headroom
