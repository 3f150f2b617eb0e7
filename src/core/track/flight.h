#pragma once
// What a flight was: the result of flight detection, before it becomes an entry.
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/estimate.h"
#include "core/track/recording.h"

namespace headroom {

// Raised whenever detection, smoothing or the summary would give another answer for the same bytes.
inline constexpr int kAnalysisVersion = 2;

struct FlightSummary {
  Duration air_time;         // launch to landing, or the recorded part of it
  Length track_length;       // along the cleaned track, launch to landing
  Length farthest_distance;  // greatest geodesic distance from launch
  GeoPosition farthest_point;
  std::optional<AltitudeMsl> launch_height, landing_height, highest, lowest;  // GNSS with the geoid applied, else none
  std::optional<PressureAltitude> highest_pressure, lowest_pressure;
  Length height_gained;               // sum of climbs of the smoothed height
  Speed climb_5, climb_50, climb_95;  // quantiles over time of the smoothed climb rate, sink negative
  Speed ground_speed_50, ground_speed_95, ground_speed_highest;
};

// One flight found in a recording.
struct Flight {
  UtcTime launch{}, landing{};
  bool begins_in_air = false;                        // already flying when the recording begins: launch is then the first fix
  bool ends_in_air = false;                          // still flying when it ends
  Duration launch_uncertainty, landing_uncertainty;  // one standard deviation
  GeoPosition launch_position, landing_position;
  FlightSummary summary;
  std::vector<std::string> doubts;  // sentences
};

}  // namespace headroom
