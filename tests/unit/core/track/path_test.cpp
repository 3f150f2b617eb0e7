#include "core/track/path.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

const UtcTime kLaunch = utc(2026, 5, 2, 7, 10, 3);

// A paraglider circling with a drift, seen by a recorder with its own interval, phase and offset.
std::vector<PathPoint> circling(int seconds_long, int interval_s, int phase_s, double offset_m) {
  std::vector<PathPoint> points;
  const MetresPerDegree m = metres_per_degree(46);
  for (int t = phase_s; t <= seconds_long; t += interval_s) {
    const double angle = t * 2 * std::numbers::pi / 22;
    points.push_back({kLaunch + std::chrono::seconds(t),
                      {46 + (40 * std::sin(angle) + offset_m) / m.north, 7 + (40 * std::cos(angle) + 3.0 * t) / m.east}});
  }
  return points;
}
std::string encoded(const std::vector<PathPoint>& p, UtcTime launch, int seconds_long) {
  return encode_path(p, launch, kLaunch + std::chrono::seconds(seconds_long));
}

TEST(Path, ComesBackAtWholeMultiplesOfTenSeconds) {
  const auto points = circling(600, 1, 0, 0);
  const std::string text = encoded(points, kLaunch, 600);
  const auto back = decode_path(text, kLaunch);
  ASSERT_TRUE(back);
  ASSERT_EQ(back->size(), 60U);
  for (const PathPoint& p : *back) {
    EXPECT_EQ(p.time.time_since_epoch().count() % 10000, 0);
    const auto& original = points[static_cast<std::size_t>(duration_between(kLaunch, p.time).si() + 0.5)];
    EXPECT_LT(short_distance(p.position, original.position).si(), 0.8);  // 1e-5 degrees is 1.1 m
  }
  EXPECT_LT(text.size(), 7 * back->size());
  for (const char c : text) EXPECT_TRUE(std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '_');
}

TEST(Path, TellsOneFlightFromTwoRecordersWhateverTheirIntervals) {
  const std::string a = encoded(circling(5000, 1, 0, 0), kLaunch, 5000);
  const UtcTime other_launch = kLaunch + std::chrono::milliseconds(7400);
  const std::string b = encoded(circling(3500, 3, 1, 6), other_launch, 3500);
  const PathOverlap overlap = compare_paths(a, kLaunch, b, other_launch);
  EXPECT_TRUE(overlap.same_flight());
  EXPECT_LT(overlap.median_separation.si(), 12);
  EXPECT_NEAR(overlap.shared.si(), 3480, 30);
  const PathOverlap back = compare_paths(b, other_launch, a, kLaunch);
  EXPECT_NEAR(back.shared.si(), overlap.shared.si(), 21);
}

TEST(Path, KeepsTwoFlyingTogetherOrOneAfterTheOtherApart) {
  const std::string a = encoded(circling(3000, 1, 0, 0), kLaunch, 3000);
  EXPECT_FALSE(compare_paths(a, kLaunch, encoded(circling(3000, 1, 0, 120), kLaunch, 3000), kLaunch).same_flight());
  const UtcTime later = kLaunch + std::chrono::seconds(2000);  // the same air, 2000 s on: shares a third
  EXPECT_FALSE(compare_paths(a, kLaunch, a, later).same_flight());
  EXPECT_EQ(compare_paths(a, kLaunch, a, kLaunch + std::chrono::hours(5)).shared, seconds(0));
}

TEST(Path, MakesNothingUpAcrossAGap) {
  auto points = circling(1000, 1, 0, 0);
  points.erase(points.begin() + 300, points.begin() + 600);
  const auto back = decode_path(encoded(points, kLaunch, 1000), kLaunch);
  ASSERT_TRUE(back);
  for (const PathPoint& p : *back) {
    const double s = duration_between(kLaunch, p.time).si();
    EXPECT_TRUE(s < 300 || s >= 600) << s;
  }
  const std::string text = encoded(points, kLaunch, 1000);
  EXPECT_NEAR(compare_paths(text, kLaunch, text, kLaunch).shared.si(), 690, 25);
}

TEST(Path, CrossesTheDateLine) {
  std::vector<PathPoint> points;
  for (int t = 0; t < 200; ++t) {
    double lon = 179.99 + t * 1e-4;
    if (lon > 180) lon -= 360;
    points.push_back({kLaunch + std::chrono::seconds(t), {-17, lon}});
  }
  const std::string text = encoded(points, kLaunch, 200);
  const auto back = decode_path(text, kLaunch);
  ASSERT_TRUE(back);
  EXPECT_LT(compare_paths(text, kLaunch, text, kLaunch).median_separation.si(), 1);
}

RC_GTEST_PROP(Path, DecodesAnythingWithoutHarm, (const std::string& noise)) {
  static constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::string text = "1";
  for (const char c : noise) text.push_back(digits[static_cast<unsigned char>(c) % 64]);
  for (const std::string& t : {noise, text}) {
    if (const auto points = decode_path(t, kLaunch))
      for (const PathPoint& p : *points)
        RC_ASSERT(std::abs(p.position.latitude_deg) <= 90.0 && std::abs(p.position.longitude_deg) <= 180.0);
    (void)compare_paths(t, kLaunch, text, kLaunch);
  }
}

}  // namespace
}  // namespace headroom
