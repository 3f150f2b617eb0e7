// Straights inside polygons whose longest is known in closed form, and simulated walks of such polygons.
#include "core/planning/walk.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "core/simulate/random.h"

namespace headroom {
namespace {

constexpr double kDeg = std::numbers::pi / 180;
const GeoPosition kInvented{47.2, 8.4};  // simulated walks, an invented place

std::vector<EastNorth> polygon(const std::vector<std::pair<double, double>>& corners, double turned_deg = 0) {
  std::vector<EastNorth> out;
  for (const auto& [e, n] : corners) {
    // Turned as a compass turns: an edge towards 090 points towards 090 + turned.
    const double c = std::cos(turned_deg * kDeg), s = std::sin(turned_deg * kDeg);
    out.push_back({metres(c * e + s * n), metres(-s * e + c * n)});
  }
  return out;
}

double longest(const std::vector<EastNorth>& corners) {
  const auto straight = longest_straight(corners);
  return straight ? in_metres(straight->length) : -1;
}

// ---- closed forms

TEST(LongestStraight, OfARectangleIsItsDiagonal) {
  for (const double turned : {0.0, 30.0, 77.0})
    EXPECT_NEAR(longest(polygon({{0, 0}, {200, 0}, {200, 60}, {0, 60}}, turned)), std::hypot(200, 60), 1e-6);
}

TEST(LongestStraight, OfATriangleIsItsLongestSide) {
  EXPECT_NEAR(longest(polygon({{0, 0}, {80, 0}, {10, 150}}, 12)), std::hypot(70, 150), 1e-6);
}

// An L of two arms 100 m long and 20 m wide: the line from the end of one outer edge (100, 0) that grazes the inner corner
// (20, 20) meets the other outer edge at 100 * 20 / 80 = 25 m, and 100 sqrt(1 + 1/16) is more than the arm's own diagonal.
TEST(LongestStraight, OfAnLGrazesItsInnerCorner) {
  const auto l = polygon({{0, 0}, {100, 0}, {100, 20}, {20, 20}, {20, 100}, {0, 100}}, 30);
  EXPECT_NEAR(longest(l), 100 * std::sqrt(1 + 1.0 / 16), 1e-6);
  EXPECT_GT(longest(l), std::hypot(100, 20));
}

// A U of legs 90 m high and 10 m wide about a gap 80 m wide and 80 m deep: nothing crosses the gap.
TEST(LongestStraight, DoesNotCrossWhatIsOutside) {
  const auto u = polygon({{0, 0}, {100, 0}, {100, 90}, {90, 90}, {90, 10}, {10, 10}, {10, 90}, {0, 90}});
  // From a corner of the base (100, 0) past the inner corner (10, 10) to the far leg, 1 m up for 9 m along:
  // 100 sqrt(1 + 1/81). Corner to corner over the gap would be sqrt(100^2 + 90^2).
  EXPECT_NEAR(longest(u), 100 * std::sqrt(1 + 1.0 / 81), 1e-6);
}

TEST(LongestStraight, OfARegularPolygonIsItsWidestDiagonal) {
  std::vector<std::pair<double, double>> corners;
  for (int k = 0; k < 9; ++k) corners.emplace_back(50 * std::sin(40 * k * kDeg), 50 * std::cos(40 * k * kDeg));
  EXPECT_NEAR(longest(polygon(corners)), 2 * 50 * std::cos(10 * kDeg), 1e-6);  // odd n: 2 r cos(pi / 2n)
}

TEST(LongestStraight, OfNothingIsNothing) {
  EXPECT_FALSE(longest_straight({}));
  EXPECT_FALSE(longest_straight(polygon({{0, 0}, {10, 0}})));
  EXPECT_FALSE(longest_straight(polygon({{0, 0}, {10, 0}, {20, 0}})));
}

// Where the answer is not known in closed form: no sampled straight that stays inside is longer, and the answer stays inside.
RC_GTEST_PROP(LongestStraight, IsNoShorterThanAnySampledOne, ()) {
  const int n = *rc::gen::inRange(5, 12);
  std::vector<EastNorth> star;
  for (int k = 0; k < n; ++k) {
    const double r = *rc::gen::inRange(20, 100), angle = 2 * std::numbers::pi * k / n;
    star.push_back({metres(r * std::sin(angle)), metres(r * std::cos(angle))});
  }
  const auto radius_in = [&](double e, double n_) {
    // A star about the origin: a point is inside when it is nearer than the edge in its direction.
    for (int k = 0; k < n; ++k) {
      const auto& a = star[static_cast<std::size_t>(k)];
      const auto& b = star[static_cast<std::size_t>((k + 1) % n)];
      const double ae = a.east.si(), an = a.north.si(), be = b.east.si(), bn = b.north.si();
      const double in_a = ae * n_ - an * e, in_b = e * bn - n_ * be;  // both <= 0: within this sector (clockwise)
      if (in_a <= 0 && in_b <= 0) {
        const double side = (be - ae) * (n_ - an) - (bn - an) * (e - ae);
        return side <= 1e-6;
      }
    }
    return false;
  };
  const auto straight = longest_straight(star);
  RC_ASSERT(straight.has_value());
  const auto along = [](const EastNorth& a, const EastNorth& b, double t) {
    return std::pair{a.east.si() + t * (b.east.si() - a.east.si()), a.north.si() + t * (b.north.si() - a.north.si())};
  };
  for (int k = 1; k < 40; ++k) {
    const auto [e, nn] = along(straight->from, straight->to, k / 40.0);
    RC_ASSERT(radius_in(e * 0.999999, nn * 0.999999));
  }
  std::vector<EastNorth> edge;
  for (int k = 0; k < n; ++k)
    for (int s = 0; s < 8; ++s) {
      const auto [e, nn] = along(star[static_cast<std::size_t>(k)], star[static_cast<std::size_t>((k + 1) % n)], s / 8.0);
      edge.push_back({metres(e), metres(nn)});
    }
  for (const auto& a : edge)
    for (const auto& b : edge) {
      bool inside = true;
      for (int k = 1; k < 60 && inside; ++k) {
        const auto [e, nn] = along(a, b, k / 60.0);
        inside = radius_in(e, nn);
      }
      // A sampled straight may leave the edge unseen between its samples near a corner: 2 % is given.
      if (inside) RC_ASSERT(std::hypot(b.east.si() - a.east.si(), b.north.si() - a.north.si()) <= 1.02 * straight->length.si());
    }
}

// ---- simulated walks

struct Receiver {
  double noise_m = 0;   // white, each axis
  double wander_m = 0;  // Gauss-Markov of 60 s
  double height_noise_m = 0;
  std::uint64_t seed = 1;
  bool pressure = false;
};

// One fix a second along the corners at `speed`.
Track walked(const std::vector<EastNorth>& way, double speed = 1.3, Receiver receiver = {}, double rise_per_east = 0) {
  const LocalFrame frame(kInvented);
  simulate::Pcg32 chance(receiver.seed, 7);
  simulate::GaussMarkov east, north;
  east.start(chance);
  north.start(chance);
  Track track;
  track.gnss_datum = HeightDatum::geoid;
  track.has_gnss = true;
  track.has_pressure = receiver.pressure;
  double left = 0;
  for (std::size_t i = 0; i + 1 < way.size(); ++i) {
    const double e0 = way[i].east.si(), n0 = way[i].north.si(), e1 = way[i + 1].east.si(), n1 = way[i + 1].north.si();
    const double length = std::hypot(e1 - e0, n1 - n0);
    for (; left <= length; left += speed) {
      const double t = left / length, e = e0 + t * (e1 - e0), n = n0 + t * (n1 - n0);
      const double de = receiver.noise_m * chance.gaussian() + east.step(1, 60, receiver.wander_m, chance);
      const double dn = receiver.noise_m * chance.gaussian() + north.step(1, 60, receiver.wander_m, chance);
      TrackFix fix;
      fix.time = utc(2026, 5, 2, 8) + std::chrono::seconds(track.fixes.size());
      fix.position = frame.to_position({metres(e + de), metres(n + dn)});
      const double h = 420 + rise_per_east * e;
      fix.gnss_height = GnssHeight::from_si(h + receiver.height_noise_m * chance.gaussian());
      fix.has_gnss_height = true;
      fix.pressure_altitude = PressureAltitude::from_si(std::round(h - 60));
      fix.has_pressure_altitude = receiver.pressure;
      track.fixes.push_back(fix);
    }
    left -= length;
  }
  return track;
}

std::vector<EastNorth> meadow() {  // 200 by 60 m turned by 30 degrees, closed
  return polygon({{0, 0}, {200, 0}, {200, 60}, {0, 60}, {0, 0}}, 30);
}
const double kDiagonal = std::hypot(200, 60);
const double kOff = 2 * kEndSpreads * kReceiverSpread_m;  // what the spread takes off: 9.9 m

// Either diagonal is as long: 90 + 30 -+ atan(60 / 200) degrees.
bool along_a_diagonal(double towards, double within) {
  const double half = std::atan2(60, 200) / kDeg;
  return std::abs(towards - (120 - half)) < within || std::abs(towards - (120 + half)) < within;
}

TEST(ReadWalk, RoundARectangleGivesItsDiagonalLessTheSpreadAtBothEnds) {
  const auto walk = read_walk(walked(meadow()), nullptr);
  ASSERT_TRUE(walk) << walk.error().what;
  EXPECT_EQ(walk->kind, WalkKind::edge);
  EXPECT_NEAR(in_metres(walk->spread), kReceiverSpread_m, 1e-9);
  ASSERT_EQ(walk->strips.size(), 2u);
  // Smoothing rounds a corner by at most half of 7 s at 1.3 m/s, so that the straight is a little short and never long.
  EXPECT_LE(in_metres(walk->strips[0].straight), kDiagonal);
  EXPECT_GE(in_metres(walk->strips[0].straight), kDiagonal - 5);
  EXPECT_NEAR(in_metres(walk->strips[0].straight - walk->strips[0].length), kOff, 1e-6);
  EXPECT_TRUE(along_a_diagonal(walk->strips[0].towards_deg, 2)) << walk->strips[0].towards_deg;
  EXPECT_NEAR(walk->strips[1].towards_deg - walk->strips[0].towards_deg, 180, 1e-9);
  EXPECT_NEAR(walk->area.si(), 12000, 200);
  EXPECT_LT(in_metres(walk->gap), 5);  // either end is drawn in by half of its 3.5 s
  // The strip begins where it should: by the geodesic from its begin the end lies in the bearing given (Karney 2013).
  const auto end =
      geodesic_end(walk->strips[0].begin, track_towards_degrees(walk->strips[0].towards_deg), walk->strips[0].straight);
  EXPECT_LT(in_metres(geodesic_distance(end.position, walk->strips[1].begin)), 0.01);
  // The middle of the rectangle: (100, 30) turned by 30 degrees.
  const auto middle = LocalFrame(kInvented).to_position(polygon({{100, 30}}, 30).front());
  EXPECT_LT(in_metres(geodesic_distance(walk->centre, middle)), 1);
  ASSERT_TRUE(walk->height);
  EXPECT_NEAR(walk->height->si(), 420, 1e-6);
}

// 60 receivers of 3 m white noise and of 3 m slow wander: what is given is never longer than the ground is.
TEST(ReadWalk, UnderNoiseOfThreeMetresTheLengthGivenStaysUnderTheGround) {
  int longer = 0, off = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    Receiver receiver;
    receiver.seed = seed;
    (seed % 2 == 0 ? receiver.noise_m : receiver.wander_m) = 3;
    const auto walk = read_walk(walked(meadow(), 1.3, receiver), nullptr);
    ASSERT_TRUE(walk) << walk.error().what << " seed " << seed;
    ASSERT_EQ(walk->kind, WalkKind::edge) << seed;
    const double length = in_metres(walk->strips[0].length);
    longer += length > kDiagonal ? 1 : 0;
    EXPECT_GT(length, kDiagonal - 2.5 * kOff) << seed;
    // A straight to 35 m along the short side instead of its end 60 m along is 5 m shorter and 7 degrees off: noise chooses.
    EXPECT_TRUE(along_a_diagonal(walk->strips[0].towards_deg, 8)) << walk->strips[0].towards_deg;
    off += std::abs(walk->area.si() - 12000) > 2 * walk->area_spread.si() ? 1 : 0;
  }
  EXPECT_LE(longer, 3) << "1 in 20 of 60";
  EXPECT_LE(off, 6) << "areas outside of two spreads";
}

TEST(ReadWalk, SpikesOfTheReceiverAreLeftOut) {
  auto track = walked(meadow());
  const LocalFrame frame(kInvented);
  const auto clean = read_walk(track, nullptr);
  for (const std::size_t i : {40u, 41u, 42u, 150u, 260u}) {
    auto p = frame.to_local(track.fixes[i].position);
    p.north += metres(90);
    p.east += metres(40);
    track.fixes[i].position = frame.to_position(p);
  }
  const auto walk = read_walk(track, nullptr);
  ASSERT_TRUE(clean);
  ASSERT_TRUE(walk) << walk.error().what;
  EXPECT_EQ(walk->set_aside, 5u);
  EXPECT_NEAR(in_metres(walk->strips[0].length), in_metres(clean->strips[0].length), 3);
  EXPECT_NEAR(walk->area.si(), clean->area.si(), 100);
}

TEST(ReadWalk, TheWayFromTheCarAndBackIsNoPartOfTheField) {
  // From 80 m beyond a corner, round, past the beginning, and back to the car.
  const auto way = polygon({{-80, -10}, {0, 0}, {200, 0}, {200, 60}, {0, 60}, {0, 0}, {30, 0}, {0, 0}, {-80, -10}}, 30);
  const auto walk = read_walk(walked(way), nullptr);
  ASSERT_TRUE(walk) << walk.error().what;
  EXPECT_NEAR(walk->area.si(), 12000, 300);
  EXPECT_LE(in_metres(walk->strips[0].straight), kDiagonal + 1);
  EXPECT_GE(in_metres(walk->strips[0].straight), kDiagonal - 8);
}

TEST(ReadWalk, AnOpenLoopIsClosedByAStraightAndSaidToBe) {
  auto way = polygon({{0, 0}, {200, 0}, {200, 60}, {0, 60}, {0, 40}}, 30);  // ends 40 m before its beginning
  const auto walk = read_walk(walked(way), nullptr);
  ASSERT_TRUE(walk) << walk.error().what;
  EXPECT_NEAR(in_metres(walk->gap), 40, 3);
  ASSERT_FALSE(walk->remarks.empty());
  EXPECT_NE(walk->remarks.front().text.find("taken as straight"), std::string::npos);
  EXPECT_NEAR(walk->area.si(), 12000, 300);

  way = polygon({{0, 0}, {200, 0}, {200, 60}});  // two sides: no field, no line
  const auto half = read_walk(walked(way), nullptr);
  ASSERT_FALSE(half);
  EXPECT_NE(half.error().what.find("neither closes"), std::string::npos) << half.error().what;
}

TEST(ReadWalk, AlongOneLineAndBackIsOneStripTheWayOut) {
  const auto out = polygon({{0, 0}, {180, 0}}, -25);
  const auto back = polygon({{0, 0}, {180, 0}, {0, 0}}, -25);
  for (const auto& way : {out, back}) {
    Receiver receiver;
    receiver.noise_m = 1;
    const auto walk = read_walk(walked(way, 1.3, receiver), nullptr);
    ASSERT_TRUE(walk) << walk.error().what;
    EXPECT_EQ(walk->kind, WalkKind::line);
    ASSERT_EQ(walk->strips.size(), 1u);
    EXPECT_NEAR(walk->strips[0].towards_deg, 65, 1);
    // Smoothing draws either end in by up to half of 3.5 s at 1.3 m/s; noise of 1 m over 7 s is 0.4 m.
    EXPECT_NEAR(in_metres(walk->strips[0].length), 180 - kOff - 3, 3);
  }
}

TEST(ReadWalk, TheSlopeIsSaidOnlyWhereTheHeightsTellIt) {
  // 3 % up towards 090: 6 m over the 200 m of a line.
  const auto way = polygon({{0, 0}, {200, 0}, {0, 0}});
  Receiver receiver;
  receiver.height_noise_m = 3;
  auto walk = read_walk(walked(way, 1.3, receiver, 0.03), nullptr);
  ASSERT_TRUE(walk);
  EXPECT_FALSE(walk->strips[0].slope) << "6 m is within the spread of two GNSS heights";
  EXPECT_NE(walk->slope_remark.find("left unsaid"), std::string::npos);

  receiver.pressure = true;
  walk = read_walk(walked(way, 1.3, receiver, 0.03), nullptr);
  ASSERT_TRUE(walk);
  ASSERT_TRUE(walk->strips[0].slope);
  EXPECT_NEAR(*walk->strips[0].slope, 0.03, walk->strips[0].slope_spread);
  EXPECT_LT(walk->strips[0].slope_spread, 0.02);

  receiver.pressure = false;
  walk = read_walk(walked(way, 1.3, receiver, 0.12), nullptr);  // 24 m stands clear
  ASSERT_TRUE(walk);
  ASSERT_TRUE(walk->strips[0].slope);
  EXPECT_NEAR(*walk->strips[0].slope, 0.12, walk->strips[0].slope_spread);

  // Round an edge the two ways have opposite slopes.
  receiver.pressure = true;
  walk = read_walk(walked(meadow(), 1.3, receiver, 0.05), nullptr);
  ASSERT_TRUE(walk);
  ASSERT_TRUE(walk->strips[0].slope && walk->strips[1].slope);
  EXPECT_NEAR(*walk->strips[0].slope, -*walk->strips[1].slope, 1e-9);
  EXPECT_GT(*walk->strips[0].slope, 0) << "up to the east";
}

TEST(ReadWalk, RefusesWhatIsNoWalkAndSaysWhy) {
  const auto refused = [](const Track& track) {
    const auto walk = read_walk(track, nullptr);
    EXPECT_FALSE(walk);
    return walk ? std::string() : walk.error().what;
  };
  EXPECT_NE(refused(walked(meadow(), 11)).find("not on foot"), std::string::npos);  // flown round
  auto few = walked(meadow());
  few.fixes.resize(12);
  EXPECT_NE(refused(few).find("at least 20"), std::string::npos);
  EXPECT_NE(refused(walked(polygon({{0, 0}, {6, 0}, {6, 5}, {0, 0}}), 0.3)).find("within 15 m"), std::string::npos);
  EXPECT_NE(refused(Track{}).find("at least 20"), std::string::npos);
}

TEST(ReadWalk, ARecorderThatWritesSeldomIsDoubted) {
  auto track = walked(polygon({{0, 0}, {400, 0}, {400, 300}, {0, 300}, {0, 0}}));
  std::vector<TrackFix> every_40;
  for (std::size_t i = 0; i < track.fixes.size(); i += 40) every_40.push_back(track.fixes[i]);
  track.fixes = every_40;
  const auto walk = read_walk(track, nullptr);
  ASSERT_TRUE(walk) << walk.error().what;
  ASSERT_FALSE(walk->remarks.empty());
  EXPECT_NE(walk->remarks.front().text.find("not known"), std::string::npos);
}

}  // namespace
}  // namespace headroom
