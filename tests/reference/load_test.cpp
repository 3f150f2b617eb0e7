// Loads against published figures; "recomputed" was worked out from the closed form outside this project.
#include "core/planning/load.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace headroom {
namespace {

Density air(double v) {
  return Density::from_si(v);
}

// V2 = V1 sqrt((m2/m1)(rho1/rho2)): 10.6 m/s at 100 kg and 1.225 becomes 12.4940 at 120 kg and 1.0581; W/S of 110 kg on 22 m2 is
// 49.033 N/m2. Recomputed.
TEST(LoadEffect, MatchesTheSquareRootLaw) {
  EXPECT_NEAR(10.6 * load_effect(kilograms(100), kilograms(120), air(1.225), air(1.0581))->speeds, 12.4940, 1e-4);
  EXPECT_NEAR(wing_loading(kilograms(110), square_metres(22))->si(), 49.033, 1e-3);
  // FAA-H-8083-25, performance chapter (from memory): ten per cent more weight lengthens the take-off by at least 21 %.
  EXPECT_NEAR(load_effect(kilograms(100), kilograms(110), air(1.225), air(1.225))->run_same_thrust, 1.21, 1e-12);
  // Lift-off speed squared with 1/rho and thrust with rho: 1/0.81 at a density ratio of 0.9.
  EXPECT_NEAR(load_effect(kilograms(100), kilograms(100), air(1.225), air(1.1025))->run_falling_thrust, 1.234568, 1e-6);
}

// v = sqrt(2 m g/(rho S C_D)) of 120 kg, 36 m2, 0.9; from a rating of 5.5 m/s (EN 12491:2015, 4.3.1) by sqrt(load/density), at
// the standard's densities of 1500, 2000 and 3000 m. Recomputed.
TEST(ReserveSink, MatchesTheClosedForms) {
  EXPECT_NEAR(reserve_sink(kilograms(120), air(1.2250), square_metres(32.4))->si(), 7.70061, 1e-5);
  EXPECT_NEAR(reserve_sink(kilograms(120), air(1.0065), square_metres(32.4))->si(), 8.49545, 1e-5);
  EXPECT_NEAR(rated_reserve_sink(kilograms(110), kilograms(100), air(1.225))->si(), 5.7684, 1e-4);
  EXPECT_NEAR(rated_reserve_sink(kilograms(100), kilograms(100), air(1.058067))->si(), 5.9179, 1e-4);
  EXPECT_NEAR(rated_reserve_sink(kilograms(100), kilograms(100), air(0.909122))->si(), 6.3844, 1e-4);
  EXPECT_NEAR(rated_reserve_sink(kilograms(120), kilograms(100), air(1.006490))->si(), 6.6468, 1e-4);
  EXPECT_NEAR(drop_height(metres_per_second(5.5)).si(), 1.5423, 1e-4);
  EXPECT_NEAR(drop_height(metres_per_second(6.8)).si(), 2.3576, 1e-4);
}

// A letter of a manufacturers' association prints 1800 and 2750 J for 120 kg at 5.5 and 6.8 m/s.
TEST(ReserveSink, ArrivesWithTheEnergyAnAssociationPrints) {
  const auto energy = [](double v) { return 120 * 9.80665 * drop_height(metres_per_second(v)).si(); };
  EXPECT_NEAR(energy(5.5), 1800, 25);
  EXPECT_NEAR(energy(6.8), 2750, 25);
}

// EN 926-1 by a retailer's summary: the greater of 14 g m and 14000 N; 120 kg give 16480.8 N; the floor governs below 101.94 kg.
TEST(LineStrength, MatchesTheSummary) {
  EXPECT_NEAR(line_strength_asked(kilograms(120))->si(), 16480.8, 1e-9);
  EXPECT_EQ(line_strength_asked(kilograms(101.9))->si(), 14000);
  EXPECT_GT(line_strength_asked(kilograms(101.95))->si(), 14000);
}

Estimate<Mass> about(double kg, double spread, Basis basis) {
  return *make_estimate(kilograms(kg - spread), kilograms(kg), kilograms(kg + spread), basis);
}

TEST(AllUpMass, AddsWeighedErrorsInQuadratureAndAssumedOnesStraight) {
  const auto weighed = all_up_mass({{"pilot", about(80, 3, measured())}, {"machine", about(25, 4, measured())}});
  EXPECT_NEAR(weighed->mid.si(), 105, 1e-12);
  EXPECT_NEAR((weighed->high - weighed->mid).si(), 5, 1e-12);
  const auto guessed = all_up_mass({{"pilot", about(80, 3, assumed())}, {"machine", about(25, 4, assumed())}});
  EXPECT_NEAR((guessed->high - guessed->mid).si(), 7, 1e-12);
  EXPECT_EQ(guessed->basis.kind, BasisKind::assumed);
  const auto missing = all_up_mass({{"pilot", about(80, 3, measured())}, {"wing", unknown_estimate<Mass>("")}});
  EXPECT_FALSE(missing->known());
  EXPECT_NE(missing->note.find("wing"), std::string::npos);
  EXPECT_FALSE(all_up_mass({{"anvil", about(500, 1, measured())}}));
}

LoadQuestion load_question(double all_up, double density) {
  LoadQuestion q;
  q.all_up = about(all_up, 2, measured());
  q.hanging = about(all_up - 6, 2, measured());
  q.density = {Dimension::none, density - 0.005, density, density + 0.005, measured(), {}};
  q.limits = {kilograms(90), kilograms(130), kilograms(125), kilograms(140), std::nullopt};
  return q;
}
const Margin& named(const std::vector<Margin>& all, std::string_view id) {
  for (const auto& m : all)
    if (m.id == id) return m;
  ADD_FAILURE() << id;
  return all.front();
}

TEST(LoadMargins, SayAmpleShortAndUnknown) {
  const auto m = load_margins(load_question(115, 1.225));
  ASSERT_TRUE(m);
  EXPECT_EQ(named(*m, "load_on_wing").state, MarginState::ample);
  EXPECT_EQ(named(*m, "load_on_reserve").state, MarginState::ample);
  EXPECT_EQ(named(*m, "load_on_carabiners").state, MarginState::unknown);
  EXPECT_FALSE(named(*m, "load_on_carabiners").measure.empty());
  // The same load is too much for the reserve in thin air: 125 kg x 1.0065/1.225 = 102.7 kg.
  const auto high = load_margins(load_question(115, 1.0065));
  EXPECT_NEAR(named(*high, "load_on_reserve").have.mid, 102.70, 0.02);
  EXPECT_EQ(named(*high, "load_on_reserve").state, MarginState::short_of);
  EXPECT_EQ(named(*high, "load_on_wing").state, MarginState::ample);
  EXPECT_NE(named(*load_margins(load_question(90, 1.225)), "load_on_wing").state, MarginState::ample);  // under the least
  EXPECT_FALSE(load_margins(load_question(7, 1.225)));
}

RC_GTEST_PROP(LoadMargins, MoreMassNeverLowersTheChanceOfBeingShort, ()) {
  const int kg = *rc::gen::inRange(95, 140), more = *rc::gen::inRange(1, 10);
  const auto a = load_margins(load_question(kg, 1.15)), b = load_margins(load_question(kg + more, 1.15));
  for (const char* id : {"load_on_wing", "load_on_reserve", "load_on_harness"})
    RC_ASSERT(*named(*a, id).chance_short <= *named(*b, id).chance_short);
}

}  // namespace
}  // namespace headroom
