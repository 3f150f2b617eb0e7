#pragma once
// Areas from GeoJSON. Source: RFC 7946 (2016), The GeoJSON Format: FeatureCollection or Feature, geometry Polygon or
// MultiPolygon, positions longitude then latitude in WGS 84, rings closed with four positions or more (sections 3.1.6, 3.2, 3.3,
// 4).
#include <string>
#include <string_view>
#include <vector>

#include "core/planning/airspace.h"
#include "core/result.h"

namespace headroom {

// Which property of a feature holds what; heights above mean sea level in one unit.
struct GeoJsonAreas {
  std::string name = "name", floor = "floor_m", ceiling = "ceiling_m";
  double metres_per_unit = 1;  // 0.3048 for feet
};

struct AreaFile {
  std::vector<AirspaceArea> areas;    // one a polygon: a MultiPolygon gives several of one name
  std::vector<std::string> warnings;  // of a feature without a floor (counted from the ground), or of another geometry (left out)
};

// Bounds: 32 MB, 5000 polygons, 500000 positions, nesting of 64; heights -500 to 50000 m. A floor that is absent, null or text
// counts from the ground and is warned of; a floor of a wrong kind or beyond the bounds refuses the file, and so does a ceiling
// below its floor. Errors name the feature, counted from 1.
[[nodiscard]] Result<AreaFile> read_geojson_areas(std::string_view bytes, const GeoJsonAreas& properties = {});

}  // namespace headroom
