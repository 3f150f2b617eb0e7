#pragma once
// A place on the earth.

namespace headroom {

// WGS 84 geodetic position. Latitude -90..90 north positive, longitude -180..180 east positive, degrees.
struct GeoPosition {
  double latitude_deg = 0;
  double longitude_deg = 0;
  bool operator==(const GeoPosition&) const = default;
};

}  // namespace headroom
