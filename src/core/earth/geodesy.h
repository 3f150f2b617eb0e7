#pragma once
// Distances and directions on the WGS 84 ellipsoid (a = 6378137 m, f = 1/298.257223563).
// The one header behind which GeographicLib stands; method: Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43-55.
#include <cmath>

#include "core/earth/position.h"
#include "core/units.h"

namespace headroom {

// The shortest line between two places. Azimuths are those of the line's own direction, at its two ends.
struct GeodesicLine {
  Length distance;
  TrackTowards azimuth_at_start, azimuth_at_end;
};
struct GeodesicEnd {
  GeoPosition position;
  TrackTowards azimuth;
};

// Inverse and direct problem, exact to about 15 nm for any two places, antipodes included.
[[nodiscard]] GeodesicLine geodesic(GeoPosition from, GeoPosition to);
[[nodiscard]] GeodesicEnd geodesic_end(GeoPosition from, TrackTowards azimuth, Length distance);
[[nodiscard]] Length geodesic_distance(GeoPosition from, GeoPosition to);

// b - a in degrees of longitude, the short way round: -180 < result <= 180 for longitudes within +-360.
inline double longitude_difference(double a_deg, double b_deg) {
  const double d = b_deg - a_deg;
  if (d > 180) return d - 360;
  if (d <= -180) return d + 360;
  return d;
}

// Metres per degree along the meridian and along the parallel at a latitude:
//   m = pi/180 a (1 - e2) / (1 - e2 sin^2 phi)^(3/2),   p = pi/180 a cos phi / (1 - e2 sin^2 phi)^(1/2)
// Source: Torge & Mueller, Geodesy, 4th ed. (2012), sec. 4.1.3 (radii of curvature M and N).
struct MetresPerDegree {
  double north = 0, east = 0;
};
[[nodiscard]] MetresPerDegree metres_per_degree(double latitude_deg);

// The same for a run of nearby latitudes: sine and cosine are worked out anew only when the latitude has moved by more
// than 0.02 degrees, with the first-order term between. Relative error of either scale under 1e-6 up to 85 degrees.
class MetricScale {
 public:
  [[nodiscard]] MetresPerDegree at(double latitude_deg) {
    const double d = latitude_deg - centre_;
    if (!(std::abs(d) <= 0.02)) return recentre(latitude_deg);
    return {base_.north + slope_.north * d, base_.east + slope_.east * d};
  }

 private:
  MetresPerDegree recentre(double latitude_deg);
  double centre_ = 1e9;
  MetresPerDegree base_, slope_;
};

// Distance by the scales at the middle latitude (the "mid-latitude formula"). Relative error under 2e-6 up to 20 km and 70
// degrees of latitude; use geodesic_distance beyond.
[[nodiscard]] Length short_distance(GeoPosition a, GeoPosition b);

// A flat east-north plane about a place: transverse Mercator with the origin's meridian as the central one and scale 1
// there (Karney, Transverse Mercator with an accuracy of a few nanometers, J. Geodesy 85 (2011) 475-485). Angles are true;
// lengths are too long by x^2 / (2 R^2), under 5e-6 within 20 km east or west of the origin, at any distance north or south.
struct EastNorth {
  Length east, north;
};
class LocalFrame {
 public:
  explicit LocalFrame(GeoPosition origin);
  [[nodiscard]] EastNorth to_local(GeoPosition p) const;
  [[nodiscard]] GeoPosition to_position(EastNorth p) const;
  [[nodiscard]] GeoPosition origin() const { return origin_; }

 private:
  GeoPosition origin_;
  double north_of_equator_ = 0;
};

}  // namespace headroom
