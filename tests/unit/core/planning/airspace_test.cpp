#include "core/planning/airspace.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace headroom {
namespace {

AltitudeMsl msl(double m) {
  return AltitudeMsl::from_si(m);
}
AirspaceArea box(double south, double west, double north, double east) {
  return {"box", {{{south, west}, {south, east}, {north, east}, {north, west}}}, msl(300), msl(1500)};
}
bool meets(LegInAir leg, const AirspaceArea& area) {
  const auto t = areas_touched(leg, {area});
  EXPECT_TRUE(t);
  return t && !t->empty();
}

TEST(AreasTouched, ByCrossingByBeingInsideAndNotBeside) {
  const auto area = box(47.0, 9.0, 47.1, 9.2);
  EXPECT_TRUE(meets({{47.05, 8.8}, {47.05, 9.4}, msl(500)}, area));   // across, both ends outside
  EXPECT_TRUE(meets({{47.04, 9.1}, {47.05, 9.12}, msl(500)}, area));  // inside
  EXPECT_FALSE(meets({{46.9, 8.8}, {46.9, 9.4}, msl(500)}, area));
  EXPECT_FALSE(meets({{47.05, 8.8}, {47.05, 9.4}, msl(200)}, area));  // under the floor
  EXPECT_FALSE(meets({{47.05, 8.8}, {47.05, 9.4}, msl(1600)}, area));
  EXPECT_TRUE(meets({{47.05, 8.8}, {47.05, 9.4}, msl(300)}, area));  // at the floor counts
  LegInAir high{{47.05, 8.8}, {47.05, 9.4}, msl(250)};
  high.above = metres(60);
  EXPECT_TRUE(meets(high, area));
  auto from_ground = area;
  from_ground.floor.reset();
  EXPECT_TRUE(meets({{47.05, 8.8}, {47.05, 9.4}, msl(0)}, from_ground));
}

TEST(AreasTouched, AHoleIsOutside) {
  auto area = box(47.0, 9.0, 47.1, 9.2);
  area.rings.push_back({{47.03, 9.05}, {47.03, 9.15}, {47.07, 9.15}, {47.07, 9.05}});
  EXPECT_FALSE(meets({{47.05, 9.08}, {47.05, 9.12}, msl(500)}, area));
  EXPECT_TRUE(meets({{47.05, 9.08}, {47.05, 9.18}, msl(500)}, area));
}

// The distance at which a widened leg begins to touch is the geodesic distance to the corner (GeographicLib, Karney 2013).
RC_GTEST_PROP(AreasTouched, WidthIsAGeodesicDistance, ()) {
  const double lat = *rc::gen::inRange(-700, 700) / 10.0;
  const double lon = *rc::gen::inRange(-1800, 1800) / 10.0;
  const double metres_away = *rc::gen::inRange(100, 40000);
  const GeoPosition corner{lat, lon};
  const auto at = geodesic_end(corner, track_towards_degrees(225), metres(metres_away)).position;
  // A box to the north-east of its corner; the leg lies across the line to that corner.
  const auto a = geodesic_end(at, track_towards_degrees(135), metres(3000)).position;
  const auto b = geodesic_end(at, track_towards_degrees(315), metres(3000)).position;
  const AirspaceArea area{
      "a", {{corner, {lat, lon + 0.2}, {lat + 0.2, lon + 0.2}, {lat + 0.2, lon}}}, std::nullopt, std::nullopt};
  LegInAir leg{a, b, msl(100)};
  const double slack = 8 + 1e-4 * metres_away;
  leg.beside = metres(metres_away + slack);
  RC_ASSERT(areas_touched(leg, {area})->size() == 1U);
  leg.beside = metres(metres_away - slack);
  RC_ASSERT(areas_touched(leg, {area})->empty());
}

TEST(AreasTouched, AcrossTheDateLine) {
  const AirspaceArea area{"a", {{{10, 179.9}, {10, -179.9}, {10.1, -179.9}, {10.1, 179.9}}}, std::nullopt, std::nullopt};
  EXPECT_TRUE(meets({{10.05, 179.7}, {10.05, -179.7}, msl(100)}, area));
  EXPECT_FALSE(meets({{10.05, 179.7}, {10.05, 179.8}, msl(100)}, area));
  EXPECT_FALSE(meets({{10.05, 0.1}, {10.05, 0.2}, msl(100)}, area));
}

TEST(AreasTouched, RefusesWhatItCannotJudge) {
  const auto area = box(47.0, 9.0, 47.1, 9.2);
  EXPECT_FALSE(areas_touched({{88, 0}, {88, 1}, msl(100)}, {area}));
  EXPECT_FALSE(areas_touched({{40, 0}, {45, 1}, msl(100)}, {area}));
  EXPECT_FALSE(areas_touched({{47, 9}, {47, 9.1}, msl(std::nan(""))}, {area}));
}

}  // namespace
}  // namespace headroom
