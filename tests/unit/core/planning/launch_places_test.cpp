// Places and directions of launches set out by hand, with distances by the geodesic (Karney 2013).
#include "core/planning/launch_places.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

const GeoPosition kHome{47.2, 8.4};  // invented

LaunchSeen at(double bearing_deg, double distance_m, double height_m = 420) {
  LaunchSeen seen;
  seen.position = geodesic_end(kHome, track_towards_degrees(bearing_deg), metres(distance_m)).position;
  seen.height = AltitudeMsl::from_si(height_m);
  return seen;
}

TEST(LaunchPlaces, AreJoinedFromNeighbourToNeighbourWithin300Metres) {
  // 0, 290 and 580 m: the ends are 580 m apart and yet one place; 305 m further on is another.
  const auto places = launch_places({at(90, 0, 410), at(90, 290, 430), at(90, 580, 420), at(90, 885)});
  ASSERT_EQ(places.size(), 2u);
  EXPECT_EQ(places[0].launches, (std::vector<std::size_t>{0, 1, 2}));
  EXPECT_EQ(places[1].launches, (std::vector<std::size_t>{3}));
  EXPECT_LT(in_metres(geodesic_distance(places[0].position, at(90, 290).position)), 0.1) << "the median launch";
  EXPECT_NEAR(places[0].height->si(), 420, 1e-9);
}

TEST(LaunchPlaces, TheMostUsedComesFirstWhateverTheOrder) {
  const auto places = launch_places({at(0, 9000), at(180, 0), at(180, 40), at(0, 9010), at(180, 20)});
  ASSERT_EQ(places.size(), 2u);
  EXPECT_EQ(places[0].launches, (std::vector<std::size_t>{1, 2, 4}));
  EXPECT_TRUE(launch_places({}).empty());
}

TEST(LaunchPlaces, AcrossTheDateLineAreOnePlace) {
  LaunchSeen east, west;
  east.position = {-17.0, 179.9995};
  west.position = {-17.0, -179.9995};  // 106 m apart
  EXPECT_EQ(launch_places({east, west}).size(), 1u);
}

TEST(LaunchPlaces, KeepsNoHeightWhereThereIsNone) {
  LaunchSeen seen;
  seen.position = kHome;
  const auto places = launch_places({seen});
  ASSERT_EQ(places.size(), 1u);
  EXPECT_FALSE(places[0].height);
  EXPECT_FALSE(places[0].room_used);
  EXPECT_TRUE(places[0].directions.empty());
}

TEST(UsualDirections, AreGroupsOnTheCircleNotCutAtNorth) {
  const auto groups = usual_directions({350, 0, 10, 170, 180, 190, 180});
  ASSERT_EQ(groups.size(), 2u);
  EXPECT_EQ(groups[0].launches, 4u);
  EXPECT_NEAR(groups[0].towards_deg, 180, 1e-9);
  EXPECT_EQ(groups[1].launches, 3u);
  EXPECT_NEAR(std::min(groups[1].towards_deg, 360 - groups[1].towards_deg), 0, 1e-9);
  // R of -10, 0 and 10 degrees is (1 + 2 cos 10) / 3.
  const double r = (1 + 2 * std::cos(10 * std::numbers::pi / 180)) / 3;
  EXPECT_NEAR(groups[1].spread_deg, std::sqrt(-2 * std::log(r)) * 180 / std::numbers::pi, 1e-9);
}

// A chain of neighbours all the way round is not one direction: each arc of 60 degrees takes what it holds.
TEST(UsualDirections, ALongChainIsCutIntoArcs) {
  std::vector<double> all;
  for (int d = 0; d < 360; d += 20) all.push_back(d);
  const auto groups = usual_directions(all);
  ASSERT_GE(groups.size(), 5u);
  EXPECT_EQ(groups[0].launches, 4u);  // 0, 20, 40 and 60
  EXPECT_NEAR(groups[0].towards_deg, 30, 1e-9);
  std::size_t launches = 0;
  for (const auto& g : groups) launches += g.launches;
  EXPECT_EQ(launches, all.size());
  EXPECT_EQ(usual_directions({10, 10, 10}).front().launches, 3u);
  ASSERT_EQ(usual_directions({725}).size(), 1u);
  EXPECT_NEAR(usual_directions({725})[0].towards_deg, 5, 1e-9);
  EXPECT_TRUE(usual_directions({}).empty());
}

}  // namespace
}  // namespace headroom
