#include "core/learn/regimes.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "core/learn/learned.h"
#include "support/learn_book.h"

namespace headroom {
namespace {

using testing::kMachine;
using testing::kPilot;
using testing::LearnBook;
using testing::learned_day;

Amount regime_value(const LearnBook& book, LearnedKind kind) {
  return learned_now(book.state, kind, kMachine, kPilot)->value;
}
void regime_flights(LearnBook& book, int n, double trim = 10.8) {
  for (int k = 0; k < n; ++k) book.fly(MeasureKind::trim_airspeed, trim + (k % 2 ? 0.1 : -0.1), 0.02);
}

TEST(Regimes, EveryAreaOfAnAlterationHasARow) {
  for (const auto* area : {"wing", "lines", "propeller", "jet", "plug", "oil", "exhaust", "undercarriage", "seats", "other"})
    EXPECT_TRUE(std::any_of(std::begin(kRegimeTable), std::end(kRegimeTable), [&](const auto& r) { return r.area == area; }))
        << area;
  EXPECT_TRUE(touches("lines", LearnedKind::trim_airspeed));
  EXPECT_FALSE(touches("jet", LearnedKind::trim_airspeed));
  EXPECT_TRUE(touches("jet", LearnedKind::climb_rate));
  EXPECT_TRUE(touches("no such area", LearnedKind::sink_rate));
}

TEST(Regimes, ANewConfigurationStartsWithThreeTimesTheSpread) {
  LearnBook book;
  regime_flights(book, 60);
  const auto old = regime_value(book, LearnedKind::trim_airspeed);
  book.alter(book.days, "jet");
  EXPECT_EQ(regime_value(book, LearnedKind::trim_airspeed).low, old.low);
  book.alter(book.days, "lines");
  const auto fresh = *learned_now(book.state, LearnedKind::trim_airspeed, kMachine, kPilot);
  EXPECT_EQ(fresh.n, 0);
  EXPECT_EQ(fresh.n_before, 60);
  EXPECT_EQ(fresh.value.basis, assumed());
  EXPECT_NEAR(fresh.value.mid, old.mid, 1e-12);
  EXPECT_NEAR(fresh.value.high - fresh.value.low, 3 * (old.high - old.low), 1e-9);
  // No wider than of a machine nobody knows, though.
  LearnBook little;
  regime_flights(little, 1);
  little.alter(little.days, "lines");
  const auto wide = regime_value(little, LearnedKind::trim_airspeed),
             prior = regime_value(LearnBook{}, LearnedKind::trim_airspeed);
  EXPECT_NEAR(wide.high - wide.low, prior.high - prior.low, 1e-9);
}

TEST(Regimes, GoingBackToAWingGoesBackToWhatWasKnownOfIt) {
  LearnBook book;
  book.part(11, "wing", {{0, 10}, {15, -1}});
  book.part(12, "wing", {{10, 15}});
  regime_flights(book, 10);
  const auto first = *learned_before(book.state, LearnedKind::trim_airspeed, 9);
  EXPECT_EQ(first.n, 9);
  regime_flights(book, 5, 12.5);
  const auto second = *learned_before(book.state, LearnedKind::trim_airspeed, 14);
  EXPECT_EQ(second.n, 4);
  EXPECT_GT(second.value.mid, 11.5);
  const auto back = *learned_now(book.state, LearnedKind::trim_airspeed, kMachine, kPilot);
  EXPECT_EQ(back.n, 10);
  EXPECT_EQ(back.n_before, 5);
  // The same as if the other wing had never been flown.
  LearnBook only;
  only.part(11, "wing", {{0, -1}});
  regime_flights(only, 10);
  EXPECT_EQ(back.value.low, regime_value(only, LearnedKind::trim_airspeed).low);
  EXPECT_EQ(back.value.high, regime_value(only, LearnedKind::trim_airspeed).high);
}

TEST(Regimes, APropellerTouchesTheClimbAndNotTheTrim) {
  LearnBook book;
  book.part(21, "propeller", {{0, 3}});
  book.part(22, "propeller", {{3, -1}});
  const auto at = [&](LearnedKind kind, int day) { return configuration(book.state, kind, kMachine, learned_day(day)); };
  EXPECT_EQ(at(LearnedKind::trim_airspeed, 1), at(LearnedKind::trim_airspeed, 5));
  EXPECT_NE(at(LearnedKind::climb_rate, 1), at(LearnedKind::climb_rate, 5));
  EXPECT_EQ(at(LearnedKind::roughness, 1), at(LearnedKind::roughness, 5));
}

TEST(Regimes, LinesAlteredStayWithTheirWing) {
  LearnBook book;
  book.part(11, "wing", {{0, 10}, {15, -1}});
  book.part(12, "wing", {{10, 15}});
  regime_flights(book, 20);
  book.alter(12, "lines");
  const auto at = [&](int day) { return configuration(book.state, LearnedKind::sink_rate, kMachine, learned_day(day)); };
  EXPECT_EQ(at(5), at(16));
  EXPECT_NE(at(11), at(13));
}

}  // namespace
}  // namespace headroom
