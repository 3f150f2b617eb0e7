#pragma once
// Whether a leg at a height touches an area of the owner's own map. Pure geometry: what such an area means, whether it is in
// force, and whether the owner's file is right, is not known here.
#include <optional>
#include <string>
#include <vector>

#include "core/earth/geodesy.h"
#include "core/result.h"
#include "core/units.h"

namespace headroom {

// A ring of places; first and last are the same place, or are joined. Edges are straight in longitude and latitude, as RFC 7946
// section 3.1.1 has them; no edge spans 180 degrees of longitude or more.
using Ring = std::vector<GeoPosition>;

struct AirspaceArea {
  std::string name;
  std::vector<Ring> rings;  // the outside, then holes
  // Above mean sea level. No floor: from the ground, whatever the height. No ceiling: upward without end. A floor or ceiling that
  // counts from the ground or in flight levels is the caller's to turn into these, leaning downward for a floor.
  std::optional<AltitudeMsl> floor, ceiling;
};

struct Touch {
  std::size_t area = 0;  // index
  Length nearest;        // from the leg to the area; zero when it meets it
};

// Areas that a leg from a to b meets, widened by `beside` on either side, at a height widened by `above` and `below`.
// Done in a plane about the middle of the leg (LocalFrame); edges are cut to 2 km before. For legs and areas within 100 km of the
// middle a distance is right to 1e-4 of itself plus 2 m; further areas are still judged, less exactly. Places within 3 m of an
// edge count as met. A polygon over a pole is not handled.
// Range: leg up to 200 km, latitudes within 85 degrees; beyond it, out_of_range.
struct LegInAir {
  GeoPosition from, to;
  AltitudeMsl height;
  Length beside = metres(0), above = metres(0), below = metres(0);
};
[[nodiscard]] Result<std::vector<Touch>> areas_touched(const LegInAir& leg, const std::vector<AirspaceArea>& areas);

}  // namespace headroom
