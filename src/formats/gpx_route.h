#pragma once
// The points of a route from GPX. Source: GPX 1.1 schema (topografix.com/GPX/1/1), rteType and trkType; lat and lon in WGS 84
// degrees.
#include <string_view>
#include <vector>

#include "core/planning/navigation.h"
#include "core/result.h"

namespace headroom {

// The first route; a file without one gives its first track, thinned to at most 100 points. Points without a name are counted.
// Errors bad_input: no XML, no route or track of two points, a position off the earth. Bound: 16 MB.
[[nodiscard]] Result<std::vector<RoutePoint>> read_route(std::string_view bytes);

}  // namespace headroom
