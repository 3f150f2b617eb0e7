#pragma once
// What was found at every fix of a recording, as comma-separated values (RFC 4180, with line feeds alone). The columns, their
// units and what an empty cell means: docs/formats/series.md.
#include <span>
#include <string>

#include "core/track/analyse.h"
#include "core/track/detail.h"

namespace headroom {

// A header and a row a fix of `analysis.track`. `details` holds one a flight of `analysis.found`, in its order, with what is
// told fix by fix still there; a flight beyond its end has nothing but its motion. Memory goes with the number of rows.
[[nodiscard]] std::string series_csv(const Analysis& analysis, std::span<const FlightDetail* const> details);

}  // namespace headroom
