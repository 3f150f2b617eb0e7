#pragma once
// A flight of the book analysed anew from the recording that the book keeps.
#include "app/access.h"
#include "core/book/state.h"
#include "core/track/detail.h"

namespace headroom {

struct FlightAgain {
  Recording recording;
  Analysis analysis;      // of the whole recording
  std::size_t index = 0;  // of the flight in analysis.flights and analysis.found
  FlightDetail detail;
};

// With the geoid if there is one. Errors: not_found for a flight by hand, for a recording that is not in this copy of the book
// and for one in which the flight is not found again (within 5 minutes of its launch); those of reading and analysing.
[[nodiscard]] Result<FlightAgain> flight_again(const FlightState& flight, const DetailOptions& options, Ports& ports);

}  // namespace headroom
