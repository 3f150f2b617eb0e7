#pragma once
// The measures of one flight.
#include "core/earth/geoid.h"
#include "core/track/clean.h"
#include "core/track/flight.h"
#include "core/track/flights.h"
#include "core/track/smooth.h"

namespace headroom {

// Heights are those of the smoothed track; climbs and speeds are its rates, quantiles weighted by time (each fix counts for
// the time to its neighbours, at most kSmoothGap_s). Height gained sums the rises of the smoothed height that exceed
// kGainStep_m from the last low, so that the wander of a receiver is not climbed; the pressure height is used where there
// is one. Track length sums the steps between smoothed positions; a gap counts as the straight line across it.
inline constexpr double kGainStep_m = 3;
[[nodiscard]] FlightSummary summarise(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                      const Geoid* geoid);

}  // namespace headroom
