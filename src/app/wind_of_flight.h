#pragma once
// The wind that an earlier flight of the day found, as the wind aloft of the next.
#include "app/access.h"
#include "core/book/state.h"
#include "core/planning/day.h"

namespace headroom {

// Of the last recorded flight that landed within the six hours before `start`: the layer of 100 m that holds `height`, or is next
// to it; without a height the layer flown longest of those from 100 m above the lowest one on. Its spread is what the flight
// knows it to, and grows by 0.6 m/s for each hour since (own estimate, no source). The recording is analysed anew. Errors:
// not_found without such a flight, or with its recording gone; refused when the flight does not tell its wind.
[[nodiscard]] Result<DayWind> wind_of_flight(const State& state, Ports& ports, UtcTime start, std::optional<AltitudeMsl> height);

}  // namespace headroom
