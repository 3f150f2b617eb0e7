#pragma once
// All that can be told of one flight beyond its launch and landing: wind and airspeed, engine, phases, measures.
#include <vector>

#include "core/track/analyse.h"
#include "core/track/engine.h"
#include "core/track/measures.h"
#include "core/track/phases.h"
#include "core/track/wind.h"

namespace headroom {

struct DetailOptions {
  AircraftKnown aircraft = AircraftKnown::unknown;
  bool use_columns = true;                // engine and air columns; false: as if they were hidden
  std::optional<AirspeedPrior> airspeed;  // never the learned one for what goes into the book: accepted measures are
                                          // computed with fixed wide priors (docs/analysis/measures.md)
  MeasureOptions measures;
};

struct FlightDetail {
  std::vector<GroundVelocity> velocities;  // times count from the track's first fix
  WindSolution wind;
  std::vector<WindLayer> layers;
  EngineSolution engine;
  FlightPhases phases;
  std::vector<FlightMeasure> measures;

  // Gives up what is told fix by fix and leaves what is told of the whole: a thousand flights are held at once.
  void keep_summary();
};

// `found` is one of `analysis.found`. Of `recording` only channels, slow series and header are read: its fixes may be gone.
[[nodiscard]] FlightDetail tell_flight(const Recording& recording, const Analysis& analysis, const FoundFlight& found,
                                       const DetailOptions& options = {});

}  // namespace headroom
