// Values: GeographicLib's geodesic test lines as shipped with PROJ (src/tests/geodtest), GeodSolve 2.1.2 for the short ones.
#include "core/earth/geodesy.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace headroom {
namespace {

struct Line {
  double lat1, lon1, azi1, lat2, lon2, azi2, s12;
};

TEST(Geodesic, MatchesTheLinesOfTheProjTestSuite) {
  const Line lines[] = {
      {35.60777, -139.44815, 111.098748429560326, -11.17491, -69.95921, 129.289270889708762, 8935244.5604818305},
      {55.52454, 106.05087, 22.020059880982801, 77.03196, 197.18234, 109.112041110671519, 4105086.1713924406},
      {-21.97856, 142.59065, -32.44456876433189, 41.84138, 98.56635, -41.84359951440466, 8394328.894657671},
      {-19.79938, -174.47484, 71.167275780171533, -11.99349, -154.35109, 65.589099775199228, 2319004.8601169389},
      {-41.22777, 122.32875, 14.285113402275739, -7.57291, 130.37946, 10.805303085187369, 3812686.035106021},
  };
  for (const Line& l : lines) {
    const GeodesicLine g = geodesic({l.lat1, l.lon1}, {l.lat2, l.lon2});
    EXPECT_NEAR(g.distance.si(), l.s12, 1e-6);
    EXPECT_NEAR(g.azimuth_at_start.degrees(), l.azi1, 1e-9);
    EXPECT_NEAR(g.azimuth_at_end.degrees(), l.azi2, 1e-9);
    const GeodesicEnd e = geodesic_end({l.lat1, l.lon1}, track_towards_degrees(l.azi1), metres(l.s12));
    EXPECT_NEAR(e.position.latitude_deg, l.lat2, 1e-9);
    EXPECT_NEAR(longitude_difference(e.position.longitude_deg, l.lon2), 0, 1e-9);
    EXPECT_NEAR(e.azimuth.degrees(), l.azi2, 1e-9);
  }
}

TEST(Geodesic, MatchesThePublishedAirportLineAndItsDirectProblem) {
  const GeodesicLine g = geodesic({40.6, -73.8}, {49.01666667, 2.55});
  EXPECT_NEAR(g.distance.si(), 5853226, 0.5);
  EXPECT_NEAR(g.azimuth_at_start.degrees(), 53.47022, 5e-6);
  EXPECT_NEAR(g.azimuth_at_end.degrees(), 111.59367, 5e-6);
  const GeodesicEnd e = geodesic_end({40.63972222, -73.77888889}, track_towards_degrees(53.5), kilometres(5850));
  EXPECT_NEAR(e.position.latitude_deg, 49.01467, 5e-6);
  EXPECT_NEAR(e.position.longitude_deg, 2.56106, 5e-6);
  EXPECT_NEAR(e.azimuth.degrees(), 111.62947, 5e-6);
}

TEST(Geodesic, MatchesShortLinesAndNearAntipodes) {
  EXPECT_NEAR(geodesic_distance({46, 7}, {46.01, 7.01}).si(), 1354.773744, 2e-6);
  EXPECT_NEAR(geodesic({46, 7}, {46.01, 7.01}).azimuth_at_start.degrees(), 34.86727387, 1e-8);
  EXPECT_NEAR(geodesic_distance({46, 7}, {46, 7.1}).si(), 7746.329401, 2e-6);
  EXPECT_NEAR(geodesic_distance({46, 7}, {47, 7}).si(), 111161.082504, 2e-6);
  EXPECT_NEAR(geodesic_distance({0, 0}, {0, 1}).si(), 111319.490793, 2e-6);
  EXPECT_NEAR(geodesic_distance({0, 0}, {1, 0}).si(), 110574.388558, 2e-6);
  EXPECT_NEAR(geodesic_distance({60, 10}, {60, 11}).si(), 55799.470393, 2e-6);
  EXPECT_NEAR(geodesic_distance({56.320923501171, 0}, {-56.320923501171, 179.664747671772880215}).si(), 19993558.287, 5e-4);
  const GeodesicEnd a = geodesic_end({46, 7}, track_towards_degrees(45), metres(1000));
  EXPECT_NEAR(a.position.latitude_deg, 46.0063612908119, 1e-12);
  EXPECT_NEAR(a.position.longitude_deg, 7.0091293275121, 1e-12);
  const GeodesicEnd b = geodesic_end({60, 10}, track_towards_degrees(270), kilometres(25));
  EXPECT_NEAR(b.position.latitude_deg, 59.9992402246, 1e-9);
  EXPECT_NEAR(b.position.longitude_deg, 9.5519781873, 1e-9);
}

double drawn(int low, int high) {  // thousandths between low and high
  return static_cast<double>(*rc::gen::inRange(low * 1000, high * 1000)) * 1e-3;
}

RC_GTEST_PROP(ShortDistance, IsTheGeodesicToTwoPartsInAMillionWithin20Km, ()) {
  const GeoPosition a{drawn(-70, 70), drawn(-180, 180)};
  const GeodesicEnd b = geodesic_end(a, track_towards_degrees(drawn(-180, 180)), metres(drawn(1, 20000)));
  RC_PRE(std::abs(b.position.latitude_deg) <= 70);  // the declared range holds for both ends
  const double exact = geodesic_distance(a, b.position).si();
  RC_ASSERT(std::abs(short_distance(a, b.position).si() - exact) <= 2e-6 * exact + 1e-7);
}

RC_GTEST_PROP(MetricScale, IsTheExactScaleToOnePartInAMillion, ()) {
  MetricScale scale;
  double latitude = drawn(-85, 85);
  for (int i = 0; i < 20; ++i) {
    latitude = std::clamp(latitude + 1e-3 * drawn(-30, 30), -85.0, 85.0);
    const MetresPerDegree m = scale.at(latitude), exact = metres_per_degree(latitude);
    RC_ASSERT(std::abs(m.north / exact.north - 1) < 1e-6);
    RC_ASSERT(std::abs(m.east / exact.east - 1) < 1e-6);
  }
}

RC_GTEST_PROP(LocalFrame, KeepsDistancesAndComesBack, ()) {
  const GeoPosition origin{drawn(-80, 80), drawn(-180, 180)};
  const LocalFrame frame(origin);
  const GeoPosition p = geodesic_end(origin, track_towards_degrees(drawn(-180, 180)), metres(drawn(0, 20000))).position;
  const GeoPosition q = geodesic_end(origin, track_towards_degrees(drawn(-180, 180)), metres(drawn(0, 20000))).position;
  const EastNorth a = frame.to_local(p), b = frame.to_local(q);
  const double flat = std::hypot((a.east - b.east).si(), (a.north - b.north).si());
  const double exact = geodesic_distance(p, q).si();
  RC_ASSERT(std::abs(flat - exact) <= 5e-6 * exact + 1e-6);
  const GeoPosition again = frame.to_position(a);
  RC_ASSERT(geodesic_distance(again, p).si() < 1e-6);
}

TEST(LongitudeDifference, GoesTheShortWayRound) {
  EXPECT_DOUBLE_EQ(longitude_difference(179.5, -179.5), 1);
  EXPECT_DOUBLE_EQ(longitude_difference(-179.5, 179.5), -1);
  EXPECT_DOUBLE_EQ(longitude_difference(10, 12), 2);
}

}  // namespace
}  // namespace headroom
