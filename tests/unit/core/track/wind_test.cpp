// Wind and airspeed from ground velocity, against circles of known centre and by their symmetries.
#include "core/track/wind.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>

namespace headroom {
namespace {

struct Air {
  double east = 3, north = -2, airspeed = 10;
};

// Headings flown one after another at `step` seconds, velocities exact at each instant.
std::vector<GroundVelocity> flown(const Air& air, const std::vector<double>& headings_deg, double step = 4) {
  std::vector<GroundVelocity> out;
  double t = 0;
  for (const double h : headings_deg) {
    GroundVelocity g;
    g.time_s = t;
    g.east_m_s = air.east + air.airspeed * std::sin(h * std::numbers::pi / 180);
    g.north_m_s = air.north + air.airspeed * std::cos(h * std::numbers::pi / 180);
    g.variance_m2_s2 = 0.04;
    out.push_back(g);
    t += step;
  }
  return out;
}
std::vector<double> circles(double turns, double degrees_a_step = 60) {
  std::vector<double> out;
  for (int i = 0; i * degrees_a_step <= turns * 360; ++i) out.push_back(i * degrees_a_step);
  return out;
}
double miss(const WindState& w, const Air& air) {
  return std::hypot(static_cast<double>(w.east_m_s) - air.east, static_cast<double>(w.north_m_s) - air.north);
}

// The velocities of an exact circle: wind (3, -2) m/s, airspeed 10 m/s, headings 0, 60, ... 300 (elementary geometry: ground
// velocities less wind lie on a circle of radius airspeed). Wind from 303.690068 degrees, 3.605551 m/s: atan2 and hypot.
TEST(Wind, FindsTheCentreOfAnExactCircle) {
  const Air air;
  const auto v = flown(air, circles(10));
  ASSERT_NEAR(v[1].east_m_s, 11.660254, 1e-6);
  ASSERT_NEAR(v[1].north_m_s, 3, 1e-6);
  const WindSolution s = estimate_wind(v);
  ASSERT_TRUE(s.known()) << s.unknown;
  ASSERT_EQ(s.states.size(), v.size());
  const WindState w = s.at(120);
  EXPECT_LT(miss(w, air), 0.15);  // the prior that winds are small pulls a little
  EXPECT_NEAR(static_cast<double>(w.airspeed_m_s), 10, 0.15);
  EXPECT_NEAR(w.from().degrees(), 303.690068, 2.5);
  EXPECT_NEAR(w.speed_m_s(), 3.605551, 0.15);
  EXPECT_LT(w.spread_m_s(), 0.8);
}

// Eight noisy velocities whose geometric least-squares circle has its centre at (3.105391, -1.802573) and a radius of
// 10.172599 (computed with SciPy 1.10.1): the same set flown over and over must be told within its own spread.
TEST(Wind, AgreesWithALeastSquaresCircle) {
  constexpr double set[][2] = {{12.9, -1.8}, {11.4, 5.2},   {3.2, 7.9},   {-5.9, 3.1},
                               {-7.1, -3.2}, {-2.1, -10.4}, {6.3, -11.6}, {11.6, -7.3}};
  std::vector<GroundVelocity> v;
  for (int i = 0; i < 64; ++i) {
    GroundVelocity g;
    g.time_s = 4.0 * i;
    g.east_m_s = set[i % 8][0];
    g.north_m_s = set[i % 8][1];
    g.variance_m2_s2 = 0.1;
    v.push_back(g);
  }
  const WindSolution s = estimate_wind(v);
  ASSERT_TRUE(s.known());
  const WindState w = s.at(128);
  EXPECT_LT(miss(w, {3.105391, -1.802573, 0}), 0.25);
  EXPECT_NEAR(static_cast<double>(w.airspeed_m_s), 10.172599, 0.9);
}

TEST(Wind, AllowsForWhatAMeanOverATurnLosesInLength) {
  const Air air;
  // A circle in 20 s seen every 5 s as mean velocities: each is shorter than the airspeed by sin(45 deg) / (pi/4) = 0.9003.
  std::vector<GroundVelocity> v = flown({3, -2, 10 * 0.900316}, circles(15, 90), 5);
  for (GroundVelocity& g : v) g.over_s = 5;
  const WindSolution s = estimate_wind(v);
  ASSERT_TRUE(s.known());
  EXPECT_LT(miss(s.at(150), air), 0.2);
  EXPECT_NEAR(static_cast<double>(s.at(150).airspeed_m_s), 10, 0.15);
}

TEST(Wind, OwnsThatStraightFlightCannotTellIt) {
  const WindSolution s = estimate_wind(flown({}, std::vector<double>(150, 40.0)));
  ASSERT_TRUE(s.known());
  for (const WindState& w : s.states) EXPECT_GT(w.spread_m_s(), 3.0);
  // The truth lies within what is claimed.
  const WindState w = s.at(300);
  EXPECT_LT(miss(w, {}), 2.5 * w.spread_m_s());
}

TEST(Wind, KnowsLessTheLongerAgoTheTurnWas) {
  std::vector<double> headings = circles(2, 30);
  headings.insert(headings.end(), 400, 0.0);
  const WindSolution s = estimate_wind(flown({}, headings));
  ASSERT_TRUE(s.known());
  EXPECT_LT(s.at(40).spread_m_s(), 1.0);
  EXPECT_GT(s.at(400).spread_m_s(), s.at(40).spread_m_s());
  EXPECT_GT(s.at(1500).spread_m_s(), s.at(400).spread_m_s());
}

RC_GTEST_PROP(Wind, TurnsWithTheVelocities, ()) {
  const double angle = *rc::gen::inRange(0, 16) * 2 * std::numbers::pi / 16;  // the tiling of the starts turns onto itself
  const double c = std::cos(angle), n = std::sin(angle);
  std::vector<GroundVelocity> v = flown({*rc::gen::inRange(-6, 6) * 1.0, 1.5, 9}, circles(3, *rc::gen::inRange(15, 70)));
  const WindSolution before = estimate_wind(v);
  for (GroundVelocity& g : v) {
    const double e = g.east_m_s;
    g.east_m_s = c * e - n * g.north_m_s;
    g.north_m_s = n * e + c * g.north_m_s;
  }
  const WindSolution after = estimate_wind(v);
  RC_ASSERT(before.known() && after.known());
  for (std::size_t k = 0; k < v.size(); ++k) {
    const double e = static_cast<double>(before.states[k].east_m_s), no = static_cast<double>(before.states[k].north_m_s);
    RC_ASSERT(std::abs(static_cast<double>(after.states[k].east_m_s) - (c * e - n * no)) < 0.03);
    RC_ASSERT(std::abs(static_cast<double>(after.states[k].north_m_s) - (n * e + c * no)) < 0.03);
    RC_ASSERT(std::abs(after.states[k].spread_m_s() - before.states[k].spread_m_s()) < 0.03);
  }
}

RC_GTEST_PROP(Wind, MovesWithAConstantAddedToTheVelocities, ()) {
  // Flown in full circles: what is assumed of winds beforehand (they are small) then weighs little.
  const double de = *rc::gen::inRange(-4, 5), dn = *rc::gen::inRange(-4, 5);
  const WindSolution still = estimate_wind(flown({0, 0, 10}, circles(6, 45)));
  const WindSolution moved = estimate_wind(flown({de, dn, 10}, circles(6, 45)));
  RC_ASSERT(still.known() && moved.known());
  const std::size_t k = still.states.size() / 2;
  RC_ASSERT(std::abs(static_cast<double>(moved.states[k].east_m_s - still.states[k].east_m_s) - de) < 0.2);
  RC_ASSERT(std::abs(static_cast<double>(moved.states[k].north_m_s - still.states[k].north_m_s) - dn) < 0.2);
}

RC_GTEST_PROP(Wind, IsAsSureAsItIsRight, ()) {
  // Independent Gaussian errors, several times those stated would show as misses far beyond the spread.
  std::mt19937 chance(static_cast<unsigned>(*rc::gen::inRange(1, 100000)));
  std::normal_distribution<double> normal(0, 0.3);
  const Air air{*rc::gen::inRange(-5, 6) * 1.0, *rc::gen::inRange(-5, 6) * 1.0, 10};
  auto v = flown(air, circles(8, 40));
  for (GroundVelocity& g : v) g.east_m_s += normal(chance), g.north_m_s += normal(chance), g.variance_m2_s2 = 0.09;
  const WindSolution s = estimate_wind(v);
  RC_ASSERT(s.known());
  for (const WindState& w : s.states) {
    RC_ASSERT(w.var_east > 0 && w.var_north > 0 && w.var_airspeed > 0);
    RC_ASSERT(w.cov_east_north * w.cov_east_north <= w.var_east * w.var_north * 1.001F);
    RC_ASSERT(miss(w, air) < 3.5 * w.spread_m_s());
  }
}

TEST(Wind, AWrongAirspeedPriorGivesWayToATurn) {
  const Air air;
  for (const double wrong : {7.5, 12.5}) {
    const WindSolution s =
        estimate_wind(flown(air, circles(6, 45)), {.airspeed = AirspeedPrior{metres_per_second(wrong), metres_per_second(0.5)}});
    ASSERT_TRUE(s.known());
    EXPECT_LT(miss(s.at(100), air), 0.4) << wrong;
    EXPECT_NEAR(static_cast<double>(s.at(100).airspeed_m_s), 10, 0.4) << wrong;
  }
}

TEST(Wind, UsesARecordedAirspeedWithItsBiasAndCanLeaveItOut) {
  const Air air;
  std::vector<double> headings;
  for (int i = 0; i < 60; ++i) headings.push_back(i < 30 ? 20 : 140);  // two legs only
  auto v = flown(air, headings);
  const WindSolution without = estimate_wind(v);
  for (GroundVelocity& g : v)
    g.airspeed_m_s = 10.0, g.heading_rad = headings[static_cast<std::size_t>(g.time_s / 4)] * std::numbers::pi / 180;
  const WindSolution hidden = estimate_wind(v, {.airspeed = {}, .use_recorded = false});
  const WindSolution with = estimate_wind(v);
  ASSERT_TRUE(with.known());
  EXPECT_EQ(hidden.at(60).east_m_s, without.at(60).east_m_s);
  EXPECT_LT(with.at(60).spread_m_s(), without.at(60).spread_m_s());
  ASSERT_TRUE(with.airspeed_column_bias_m_s && with.heading_column_bias_rad);
  // Circles tell a column that reads 3 m/s too high.
  auto round = flown(air, circles(8, 45));
  for (GroundVelocity& g : round) g.airspeed_m_s = 13.0;
  const WindSolution biased = estimate_wind(round);
  EXPECT_NEAR(biased.airspeed_column_bias_m_s.value(), 3, 0.5);
  EXPECT_LT(miss(biased.at(100), air), 0.3);
}

TEST(Wind, SaysWhyItIsUnknown) {
  const auto why = [](const std::vector<GroundVelocity>& v) {
    const WindSolution s = estimate_wind(v);
    EXPECT_TRUE(s.states.empty() == !s.known());
    return s.unknown;
  };
  EXPECT_FALSE(why({}).empty());
  EXPECT_FALSE(why(flown({}, {0, 90, 180})).empty());                          // too short
  EXPECT_FALSE(why(flown({0, 0, 0.1}, std::vector<double>(100, 0))).empty());  // a still recorder
  EXPECT_FALSE(why(flown({}, circles(20), 30)).empty());                       // 30 s between fixes
  EXPECT_FALSE(why(flown({0, 0, 300}, circles(20))).empty());                  // absurd speeds
  auto v = flown({}, circles(20));
  v[7].time_s = v[6].time_s;
  EXPECT_FALSE(why(v).empty());
  v = flown({}, circles(20));
  v[7].east_m_s = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(why(v).empty());
  v = flown({}, circles(20));
  v[7].variance_m2_s2 = -1;
  EXPECT_FALSE(why(v).empty());
  EXPECT_TRUE(why(flown({}, circles(20))).empty());
}

TEST(Wind, GivesLayersByHeight) {
  auto v = flown({}, circles(20, 45));
  for (GroundVelocity& g : v) g.has_height = true, g.height_m = g.time_s < 320 ? 140 : 260;
  const WindSolution s = estimate_wind(v);
  const auto layers = wind_by_height(v, s);
  ASSERT_EQ(layers.size(), 2U);
  EXPECT_EQ(layers[0].bottom_m, 100);
  EXPECT_EQ(layers[1].top_m, 300);
  EXPECT_NEAR(layers[0].seconds + layers[1].seconds, v.back().time_s, 1e-9);
  for (const WindLayer& l : layers) {
    EXPECT_NEAR(l.east_m_s, 3, 0.3);
    EXPECT_NEAR(l.north_m_s, -2, 0.3);
    EXPECT_GT(l.spread_m_s, 0);
  }
}

TEST(Wind, GivesTheSameOverBlocks) {
  // Longer than a block: the joint must not show.
  const auto v = flown({}, circles(600, 45));
  ASSERT_GT(v.size(), 4500U);
  const WindSolution s = estimate_wind(v);
  ASSERT_TRUE(s.known());
  ASSERT_EQ(s.states.size(), v.size());
  for (std::size_t k = 100; k + 100 < s.states.size(); ++k) {
    ASSERT_LT(miss(s.states[k], {}), 0.2) << k;
    ASSERT_NEAR(s.states[k].spread_m_s(), s.states[1000].spread_m_s(), 0.02) << k;
  }
}

}  // namespace
}  // namespace headroom
