#include "core/earth/geodesy.h"

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/TransverseMercator.hpp>
#include <numbers>

namespace headroom {
namespace {

constexpr double kA = 6378137.0;
constexpr double kF = 1 / 298.257223563;
constexpr double kE2 = kF * (2 - kF);
constexpr double kRadian = std::numbers::pi / 180;

const GeographicLib::TransverseMercator& plane_projection() {
  static const GeographicLib::TransverseMercator projection(kA, kF, 1.0);
  return projection;
}

}  // namespace

GeodesicLine geodesic(GeoPosition from, GeoPosition to) {
  double s = 0, azi1 = 0, azi2 = 0;
  GeographicLib::Geodesic::WGS84().Inverse(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg, s, azi1,
                                           azi2);
  return {metres(s), track_towards_degrees(azi1), track_towards_degrees(azi2)};
}

GeodesicEnd geodesic_end(GeoPosition from, TrackTowards azimuth, Length distance) {
  GeodesicEnd end;
  double azi2 = 0;
  GeographicLib::Geodesic::WGS84().Direct(from.latitude_deg, from.longitude_deg, azimuth.degrees(), in_metres(distance),
                                          end.position.latitude_deg, end.position.longitude_deg, azi2);
  end.azimuth = track_towards_degrees(azi2);
  return end;
}

Length geodesic_distance(GeoPosition from, GeoPosition to) {
  double s = 0;
  GeographicLib::Geodesic::WGS84().Inverse(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg, s);
  return metres(s);
}

MetresPerDegree metres_per_degree(double latitude_deg) {
  const double sine = std::sin(latitude_deg * kRadian), cosine = std::cos(latitude_deg * kRadian);
  const double w2 = 1 - kE2 * sine * sine;
  const double w = std::sqrt(w2);
  return {kRadian * kA * (1 - kE2) / (w2 * w), kRadian * kA * cosine / w};
}

MetresPerDegree MetricScale::recentre(double latitude_deg) {
  const double sine = std::sin(latitude_deg * kRadian), cosine = std::cos(latitude_deg * kRadian);
  const double w2 = 1 - kE2 * sine * sine;
  const double w = std::sqrt(w2);
  const double m = kA * (1 - kE2) / (w2 * w), n = kA / w;
  centre_ = latitude_deg;
  base_ = {kRadian * m, kRadian * n * cosine};
  // dM/dphi = 3 e2 M sin cos / w^2,  d(N cos phi)/dphi = -M sin phi, per radian; per degree once more.
  slope_ = {kRadian * kRadian * 3 * kE2 * m * sine * cosine / w2, -kRadian * kRadian * m * sine};
  return base_;
}

Length short_distance(GeoPosition a, GeoPosition b) {
  const MetresPerDegree scale = metres_per_degree(0.5 * (a.latitude_deg + b.latitude_deg));
  return metres(std::hypot(scale.north * (b.latitude_deg - a.latitude_deg),
                           scale.east * longitude_difference(a.longitude_deg, b.longitude_deg)));
}

LocalFrame::LocalFrame(GeoPosition origin) : origin_(origin) {
  double x = 0;
  plane_projection().Forward(origin.longitude_deg, origin.latitude_deg, origin.longitude_deg, x, north_of_equator_);
}

EastNorth LocalFrame::to_local(GeoPosition p) const {
  double x = 0, y = 0;
  plane_projection().Forward(origin_.longitude_deg, p.latitude_deg, p.longitude_deg, x, y);
  return {metres(x), metres(y - north_of_equator_)};
}

GeoPosition LocalFrame::to_position(EastNorth p) const {
  GeoPosition out;
  plane_projection().Reverse(origin_.longitude_deg, in_metres(p.east), in_metres(p.north) + north_of_equator_, out.latitude_deg,
                             out.longitude_deg);
  return out;
}

}  // namespace headroom
