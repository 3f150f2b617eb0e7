#pragma once
// A ride by car with the recorder left on: what flight detection must not take for a flight.
#include "core/simulate/flight.h"

namespace headroom::simulate {

// A point of the road and how fast the stretch towards it is driven.
struct RoadPoint {
  double east_m = 0, north_m = 0;
  Speed speed;
  Duration stop{};  // at a junction, a gate
};

struct RideScript {
  std::uint64_t seed = 1;
  UtcTime begin{};  // a whole second
  Site site;
  AirScript air;
  double start_east_m = 0, start_north_m = 0;
  Duration parked_before = seconds(60), parked_after = seconds(60);
  std::vector<RoadPoint> road;
};

// Drives it. The truth holds steps only: no launch, no landing, nothing airborne. The car keeps to the ground, slows for bends
// and brakes for stops. Errors: bad_input without a road; out_of_range when it is not over within 6 h.
[[nodiscard]] Result<SimulatedFlight> simulate_ride(const RideScript& script);

}  // namespace headroom::simulate
