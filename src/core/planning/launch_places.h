#pragma once
// Where flights were launched, brought together into places: what past flights say of a field.
#include <cstddef>
#include <optional>
#include <vector>

#include "core/earth/position.h"
#include "core/units.h"

namespace headroom {

// One launch as the book keeps it.
struct LaunchSeen {
  GeoPosition position;
  std::optional<AltitudeMsl> height;
  std::optional<double> towards_deg;  // true, 0 to 360
  std::optional<Length> room_used;    // first step to lift-off
};

// Launches that went much the same way.
struct UsualDirection {
  double towards_deg = 0;  // circular mean, true, 0 to 360
  double spread_deg = 0;   // circular standard deviation, sqrt(-2 ln R): Mardia & Jupp, Directional Statistics (2000), 2.3.1
  std::size_t launches = 0;
};
inline constexpr double kDirectionWidth_deg = 60;
// The arc of that width which holds the most launches is a direction; of the launches left, the next; until none is left. Of arcs
// that hold as many, the first clockwise from north. The most used first. Directions may be any finite number of degrees.
[[nodiscard]] std::vector<UsualDirection> usual_directions(const std::vector<double>& towards_deg);

struct LaunchPlace {
  std::vector<std::size_t> launches;  // indices, in order
  GeoPosition position;               // median east and median north
  std::optional<AltitudeMsl> height;  // median
  std::optional<Length> room_used;    // median of those measured
  std::size_t heights = 0, rooms = 0;
  std::vector<UsualDirection> directions;
};

// Single linkage: each launch of a place lies within this of another of it.
inline constexpr double kSamePlace_m = 300;
// The most used first; of as many, the one whose first launch comes first. Distances by the middle latitude (short_distance).
// Latitudes within 85 degrees.
[[nodiscard]] std::vector<LaunchPlace> launch_places(const std::vector<LaunchSeen>& launches);

}  // namespace headroom
