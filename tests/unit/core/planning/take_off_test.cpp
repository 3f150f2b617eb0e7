#include "core/planning/take_off.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "core/learn/priors.h"

namespace headroom {
namespace {

TakeOffInputs usual_take_off() {
  TakeOffInputs in;
  in.mass = kilograms(115);
  in.density = Density::from_si(1.2);
  in.wing_area = square_metres(26);
  in.thrust = {newtons(550), Density::from_si(1.225), metres(1.25), 0};
  in.surface = Surface::dry_grass;
  in.headwind = metres_per_second(4);
  in.fastest_run = metres_per_second(9);
  in.inflation = metres(6);
  in.strip = metres(150);
  in.obstacles = {{"trees", metres(250), metres(12)}};
  return in;
}
Amount spread(double low, double mid, double high, Basis basis = measured()) {
  return {Dimension::none, low, mid, high, basis, {}};
}
TakeOffEstimates usual_estimates() {
  TakeOffEstimates e;
  e.fixed = usual_take_off();
  e.mass = *make_estimate(kilograms(112), kilograms(115), kilograms(118), measured());
  e.density = spread(1.19, 1.20, 1.21);
  e.headwind = *make_estimate(metres_per_second(2), metres_per_second(4), metres_per_second(6), measured());
  e.thrust = spread(500, 550, 600);
  e.lift_off_cl = prior_amount(prior::lift_off_cl);
  e.trim_cl = prior_amount(prior::trim_cl);
  e.glide = prior_amount(prior::glide);
  e.resistance = prior_amount(prior::resistance);
  e.slope = spread(0, 0, 0);
  e.run_factor = prior_amount(prior::run_factor);
  e.fastest_run = *make_estimate(metres_per_second(8), metres_per_second(9), metres_per_second(10), measured());
  e.inflation = *make_estimate(metres(4), metres(6), metres(8), measured());
  e.walked = true;
  return e;
}

// Need over trees grows with each of these, and never shrinks: mass, thin air, uphill, tail wind, taller trees, resistance.
RC_GTEST_PROP(TakeOff, NeedNeverShrinksWhenAnythingWorsens, ()) {
  auto in = usual_take_off();
  in.published = *rc::gen::arbitrary<bool>();
  in.mass = kilograms(*rc::gen::inRange(90, 150));
  in.headwind = metres_per_second(*rc::gen::inRange(-10, 50) / 10.0);
  in.wheels = true;
  in.slope = *rc::gen::inRange(0, 40) / 1000.0;
  if (*rc::gen::arbitrary<bool>()) in.thrust.diameter.reset(), in.thrust.lost_per_m_s = 0.022;
  auto worse = in;
  const int what = *rc::gen::inRange(0, 7);
  if (what == 0) worse.mass = in.mass * 1.05;
  if (what == 1) worse.density = in.density * 0.95;
  if (what == 2) worse.slope += 0.01;
  if (what == 3) worse.headwind -= metres_per_second(0.5);
  if (what == 4) worse.obstacles[0].height += metres(3);
  if (what == 5) worse.resistance += 0.02;
  if (what == 6) worse.surface = Surface::wet_grass;
  const auto a = take_off(in), b = take_off(worse);
  RC_ASSERT(a.has_value() && b.has_value());
  RC_PRE(a->impossible == NoTakeOff::none);
  if (b->impossible != NoTakeOff::none) return;
  for (std::size_t k = 0; k < 2; ++k) RC_ASSERT(b->clearances[k].need.si() >= a->clearances[k].need.si() - 1e-6);
  RC_ASSERT(b->clearances[1].left <= a->clearances[1].left);
}

TEST(TakeOff, OnFootMissingSpeedIsNoLiftOffAndNotALongerRun) {
  auto in = usual_take_off();
  in.fastest_run = metres_per_second(5);
  in.headwind = Speed{};
  const auto r = take_off(in);
  ASSERT_TRUE(r);
  EXPECT_EQ(r->impossible, NoTakeOff::legs);
  EXPECT_NEAR(r->missing.si(), r->lift_off.si() - 5, 1e-9);
  EXPECT_FALSE(r->clears());
  EXPECT_FALSE(r->abort_point);
  in.strip = metres(5000);
  EXPECT_FALSE(take_off(in)->clears());
  in.wheels = true;
  EXPECT_EQ(take_off(in)->impossible, NoTakeOff::none);
}

TEST(TakeOff, UntilOwnRunsTheNeedIsNoBetterThanThePublishedFactorsGive) {
  auto in = usual_take_off();
  in.run_factor = 0.5;
  in.published = false;
  const auto own = take_off(in);
  in.published = true;
  const auto held = take_off(in);
  ASSERT_TRUE(own && held);
  EXPECT_TRUE(held->floor_holds);
  EXPECT_NEAR(held->factor, 1.20 * 1.33, 1e-12);
  // The published product on the plain run: the own run without its factors, times them.
  const double plain = own->run.si() / 0.5 / 1.20;
  EXPECT_NEAR(held->to_lift_off.si(), (6 + plain) * 1.20 * 1.33, 1e-6);
  EXPECT_GT(held->clearances[1].need, own->clearances[1].need);
}

TEST(TakeOff, AbortPointLeavesRoomToStopAndToClear) {
  const auto in = usual_take_off();
  const auto r = take_off(in);
  ASSERT_TRUE(r && r->abort_point);
  const double v = r->ground_speed_at_lift_off.si();
  EXPECT_NEAR(r->stopping.si(), v * 1.0 + v * v / (2 * 1.5), 1e-9);  // v t + v^2/(2 a)
  EXPECT_LE(r->abort_point->si() + r->stopping.si(), 150 + 1e-9);
  const double climb = r->clearances[1].need.si() - r->to_lift_off.si();
  EXPECT_LE(r->abort_point->si() + climb, 250 + 1e-9);
  auto tight = in;
  tight.strip = metres(r->stopping.si() + 5);
  EXPECT_FALSE(take_off(tight)->abort_point);
}

TEST(TakeOff, RefusesNonsenseWithTheRange) {
  const auto refused = [](auto change) {
    auto in = usual_take_off();
    change(in);
    const auto r = take_off(in);
    return !r && r.error().kind == ErrorKind::out_of_range && r.error().what.find("must be") != std::string::npos;
  };
  EXPECT_TRUE(refused([](auto& in) { in.headwind = knots(400); }));
  EXPECT_TRUE(refused([](auto& in) { in.strip = metres(2); }));
  EXPECT_TRUE(refused([](auto& in) { in.mass = kilograms(7); }));
  EXPECT_TRUE(refused([](auto& in) { in.density = Density::from_si(std::nan("")); }));
  EXPECT_TRUE(refused([](auto& in) { in.obstacles[0].height = metres(-1); }));
  EXPECT_TRUE(refused([](auto& in) { in.thrust.stationary = newtons(0); }));
  EXPECT_TRUE(refused([](auto& in) { in.slope = 2; }));
}

TEST(TakeOffMargin, IsUnknownUntilSomebodyHasWalkedTheObstacles) {
  auto e = usual_estimates();
  e.walked = false;
  const auto m = take_off_margin(e);
  ASSERT_TRUE(m);
  EXPECT_EQ(m->margin.state, MarginState::unknown);
  ASSERT_FALSE(m->margin.measure.empty());
  e.walked = true;
  e.thrust = unknown_amount(Dimension::none, "never measured");
  EXPECT_EQ(take_off_margin(e)->margin.state, MarginState::unknown);
}

TEST(TakeOffMargin, HoldsHaveNeedAndLeftTogether) {
  const auto m = take_off_margin(usual_estimates());
  ASSERT_TRUE(m) << m.error().what;
  EXPECT_EQ(m->chance_short_of.size(), 2U);
  EXPECT_TRUE(m->margin.assumed);
  EXPECT_LE(m->margin.left.low, m->margin.left.high);
  EXPECT_NEAR(m->margin.left.mid, m->margin.have.mid - m->margin.need.mid, 12);
  for (const double c : m->chance_short_of) EXPECT_LE(c, *m->margin.chance_short);
  EXPECT_GE(*m->margin.chance_short, m->chance_no_lift_off);
  EXPECT_LE(m->abort_point.low, m->abort_point.mid);
  EXPECT_NEAR(m->abort_point.mid, m->middle.abort_point->si(), 8);
  // The same input gives the same answer.
  EXPECT_EQ(*take_off_margin(usual_estimates())->margin.chance_short, *m->margin.chance_short);
}

TEST(TakeOffMargin, ChanceGrowsWithTreesMassAndAWeakerRunner) {
  const auto chance = [](const TakeOffEstimates& e) { return *take_off_margin(e)->margin.chance_short; };
  const double base = chance(usual_estimates());
  auto trees = usual_estimates();
  trees.fixed.obstacles[0].height = metres(25);
  EXPECT_GT(chance(trees), base);
  auto heavy = usual_estimates();
  heavy.mass = *make_estimate(kilograms(137), kilograms(140), kilograms(143), measured());
  EXPECT_GT(chance(heavy), base);
  auto slow = usual_estimates();
  slow.fastest_run = *make_estimate(metres_per_second(4), metres_per_second(5), metres_per_second(6), assumed());
  const auto m = take_off_margin(slow);
  EXPECT_GT(*m->margin.chance_short, base);
  EXPECT_EQ(m->margin.state, MarginState::short_of);
  EXPECT_GT(m->chance_no_lift_off, 0.5);
  EXPECT_FALSE(m->margin.left.known()) << "metres left where no length is enough";
}

// What is left must not stand wholly on the good side while one case in some does not lift off at all.
TEST(TakeOffMargin, CasesWithoutLiftOffCountAgainstWhatIsLeft) {
  auto tired = usual_estimates();
  tired.fixed.obstacles.clear();
  tired.fixed.strip = metres(400);
  bool seen = false;
  for (double fastest = 4; fastest < 9; fastest += 0.25) {
    tired.fastest_run =
        *make_estimate(metres_per_second(fastest - 1), metres_per_second(fastest), metres_per_second(fastest + 1), assumed());
    const auto m = take_off_margin(tired);
    ASSERT_TRUE(m) << m.error().what;
    if (m->chance_no_lift_off < 0.1 || m->chance_no_lift_off >= 0.5) continue;
    seen = true;
    EXPECT_LT(m->margin.left.low, 0) << m->chance_no_lift_off;
  }
  EXPECT_TRUE(seen);
}

// With a factor that was learned over the middles of these figures the distance to lift-off does not spread with them again.
TEST(TakeOffMargin, ALearnedFactorIsNotSpreadByTheFiguresItHolds) {
  auto wide = usual_estimates();
  wide.fixed.wheels = true;
  wide.fixed.obstacles.clear();
  wide.fixed.strip = metres(3000);
  wide.own_runs = 20;
  wide.run_factor = {Dimension::none, 0.9, 1.0, 1.1, learned_from(20), {}};
  auto narrow = wide;
  for (Amount* a : {&narrow.lift_off_cl, &narrow.trim_cl, &narrow.resistance}) a->low = a->high = a->mid;
  narrow.inflation.low = narrow.inflation.high = narrow.inflation.mid;
  const auto width = [](const TakeOffEstimates& e) {
    const auto m = take_off_margin(e);
    return m->margin.need.high - m->margin.need.low;
  };
  EXPECT_GT(width(wide), 1.2 * width(narrow));
  wide.factor_holds_figures = narrow.factor_holds_figures = true;
  wide.factor_holds_inflation = narrow.factor_holds_inflation = true;
  EXPECT_NEAR(width(wide), width(narrow), 1e-9);
  // A run walked off from the wing overhead has no inflation in it: its spread stays.
  wide.factor_holds_inflation = false;
  EXPECT_GT(width(wide), 1.05 * width(narrow));
}

TEST(TakeOffChanges, ComeLargestFirstAndPointTheRightWay) {
  auto e = usual_estimates();
  e.fixed.obstacles[0].height = metres(20);
  const double now = *take_off_margin(e)->margin.chance_short;
  ASSERT_GT(now, 0.02);
  ASSERT_LT(now, 0.98);
  const auto changes = take_off_changes(e);
  ASSERT_EQ(changes.size(), 4U);
  for (std::size_t k = 0; k < 4; ++k) {
    const double then = *changes[k].chance_short;
    if (k > 0) {
      EXPECT_GE(std::abs(*changes[k - 1].chance_short - now), std::abs(then - now));
    }
    if (changes[k].what.text.find("less headwind") == std::string::npos) {
      EXPECT_LE(then, now) << changes[k].what.text;
    } else {
      EXPECT_GE(then, now);
    }
  }
  e.walked = false;
  EXPECT_TRUE(take_off_changes(e).empty());
}

}  // namespace
}  // namespace headroom
