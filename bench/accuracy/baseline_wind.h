#pragma once
// What a simple program would say of the wind, to set beside ours.
#include <span>
#include <vector>

#include "core/track/wind.h"

namespace headroom::accuracy {

struct PlainWind {
  double east_m_s = 0, north_m_s = 0;
};

// Whenever the track has turned through a full circle one way within 60 s, the mean ground velocity over it; held until the next,
// and taken back to the beginning.
[[nodiscard]] std::vector<PlainWind> full_circle_mean(std::span<const GroundVelocity> v);
// The centre of the circle through three ground velocities of the last three minutes whose tracks lie 90 degrees apart or
// more, when that wind is under 25 m/s; held and taken back likewise.
[[nodiscard]] std::vector<PlainWind> three_point_circle(std::span<const GroundVelocity> v);

// From which instants on a full circle has been flown (track turned 360 degrees one way within 60 s).
[[nodiscard]] std::vector<bool> circle_flown(std::span<const GroundVelocity> v);

}  // namespace headroom::accuracy
