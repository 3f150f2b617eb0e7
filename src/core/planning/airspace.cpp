#include "core/planning/airspace.h"

#include <algorithm>
#include <cmath>

namespace headroom {

namespace {

constexpr double kEdgeTolerance_m = 3;

struct PlanePoint {
  double x = 0, y = 0;
};
PlanePoint operator-(PlanePoint a, PlanePoint b) {
  return {a.x - b.x, a.y - b.y};
}
double plane_cross(PlanePoint a, PlanePoint b) {
  return a.x * b.y - a.y * b.x;
}

double distance_to_segment(PlanePoint p, PlanePoint a, PlanePoint b) {
  const auto d = b - a;
  const double length2 = d.x * d.x + d.y * d.y;
  const double t = length2 > 0 ? std::clamp(((p.x - a.x) * d.x + (p.y - a.y) * d.y) / length2, 0.0, 1.0) : 0.0;
  return std::hypot(p.x - a.x - t * d.x, p.y - a.y - t * d.y);
}

double segment_distance(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d) {
  const double abc = plane_cross(b - a, c - a), abd = plane_cross(b - a, d - a), cda = plane_cross(d - c, a - c),
               cdb = plane_cross(d - c, b - c);
  if (((abc > 0) != (abd > 0)) && ((cda > 0) != (cdb > 0))) return 0;
  return std::min(
      {distance_to_segment(a, c, d), distance_to_segment(b, c, d), distance_to_segment(c, a, b), distance_to_segment(d, a, b)});
}

// Even-odd over all rings: a hole takes away.
bool in_rings(PlanePoint p, const std::vector<std::vector<PlanePoint>>& rings) {
  bool inside = false;
  for (const auto& r : rings)
    for (std::size_t i = 0, j = r.size() - 1; i < r.size(); j = i++)
      if ((r[i].y > p.y) != (r[j].y > p.y) && p.x < (r[j].x - r[i].x) * (p.y - r[i].y) / (r[j].y - r[i].y) + r[i].x)
        inside = !inside;
  return inside;
}

bool place_ok(GeoPosition p) {
  return std::abs(p.latitude_deg) <= 85 && std::abs(p.longitude_deg) <= 360;
}

}  // namespace

Result<std::vector<Touch>> areas_touched(const LegInAir& leg, const std::vector<AirspaceArea>& areas) {
  if (!place_ok(leg.from) || !place_ok(leg.to))
    return fail(ErrorKind::out_of_range, "a leg must lie within 85 degrees of latitude");
  const auto line = geodesic(leg.from, leg.to);
  if (!(line.distance.si() <= 200e3)) return fail(ErrorKind::out_of_range, "a leg must be no longer than 200 km");
  const bool widths_ok = leg.beside.si() >= 0 && leg.beside.si() <= 50e3 && leg.above.si() >= 0 && leg.below.si() >= 0;
  if (!widths_ok || !std::isfinite(leg.height.si()))
    return fail(ErrorKind::out_of_range, "a leg is widened by 0 to 50 km, at a height that is known");
  const auto middle = geodesic_end(leg.from, line.azimuth_at_start, line.distance / 2).position;
  const LocalFrame frame(middle);
  const auto plane = [&](GeoPosition p) {
    const auto l = frame.to_local(p);
    return PlanePoint{l.east.si(), l.north.si()};
  };
  const auto a = plane(leg.from), b = plane(leg.to);
  std::vector<Touch> out;
  for (std::size_t k = 0; k < areas.size(); ++k) {
    const auto& area = areas[k];
    if (area.floor && leg.height + leg.above < *area.floor) continue;
    if (area.ceiling && leg.height - leg.below > *area.ceiling) continue;
    std::vector<std::vector<PlanePoint>> rings;
    for (const auto& ring : area.rings) {
      if (ring.size() < 3) return fail(ErrorKind::bad_input, "an area's ring needs three places or more", area.name);
      std::vector<PlanePoint> points;
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const auto& from = ring[i];
        const auto& to = ring[(i + 1) % ring.size()];
        if (!(std::abs(from.latitude_deg) <= 90 && std::abs(from.longitude_deg) <= 360))
          return fail(ErrorKind::out_of_range, "an area's place is off the globe", area.name);
        const auto scale = metres_per_degree(std::clamp(from.latitude_deg, -89.0, 89.0));
        const double turn = longitude_difference(from.longitude_deg, to.longitude_deg);
        const double rough = std::hypot(turn * scale.east, (to.latitude_deg - from.latitude_deg) * scale.north);
        // Only edges that may matter are cut finely; an edge across half the globe is cut into no more than 2000.
        const int pieces = std::clamp(static_cast<int>(rough / 2000) + 1, 1, 2000);
        for (int p = 0; p < pieces; ++p) {
          const double s = static_cast<double>(p) / pieces;
          points.push_back(plane({from.latitude_deg + s * (to.latitude_deg - from.latitude_deg), from.longitude_deg + s * turn}));
        }
      }
      rings.push_back(std::move(points));
    }
    double nearest = 1e300;
    if (!rings.empty() && (in_rings(a, rings) || in_rings(b, rings))) {
      nearest = 0;
    } else {
      for (const auto& r : rings)
        for (std::size_t i = 0; i < r.size(); ++i)
          nearest = std::min(nearest, segment_distance(a, b, r[i], r[(i + 1) % r.size()]));
    }
    if (nearest <= leg.beside.si() + kEdgeTolerance_m) out.push_back({k, metres(nearest <= kEdgeTolerance_m ? 0 : nearest)});
  }
  return out;
}

}  // namespace headroom
