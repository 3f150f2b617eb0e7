#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/learn/learned.h"
#include "core/learn/priors.h"
#include "support/learn_book.h"

namespace headroom {
namespace {

using testing::kMachine;
using testing::kOtherMachine;
using testing::kOtherPilot;
using testing::kPilot;
using testing::LearnBook;
using testing::learned_id;

MeasureSample usual_run(LearnBook& book, double room, double headwind, double density = 1) {
  auto& s = book.fly(MeasureKind::room_used, room, room * 0.05);
  s.headwind_m_s = static_cast<float>(headwind);
  s.density_ratio = static_cast<float>(density);
  return s;
}

// v^2 / 2a by hand: 8.5^2 / 2 = 36.125 m in calm standard air; half the density asks for 8.5 sqrt(2) m/s; 4 m/s of wind
// leaves 4.5.
TEST(PlainRun, IsConstantAcceleration) {
  EXPECT_NEAR(plain_run(1, metres_per_second(0))->si(), 36.125, 1e-12);
  EXPECT_NEAR(plain_run(0.5, metres_per_second(0))->si(), 72.25, 1e-12);
  EXPECT_NEAR(plain_run(1, metres_per_second(4))->si(), 10.125, 1e-12);
  EXPECT_FALSE(plain_run(1.3, metres_per_second(7)));  // nothing left to run
  EXPECT_FALSE(plain_run(0, metres_per_second(0)));
  EXPECT_FALSE(plain_run(1, metres_per_second(std::numeric_limits<double>::quiet_NaN())));
}

TEST(Observation, BadSamplesAreRefused) {
  LearnBook book;
  const auto good = book.fly(MeasureKind::roughness, 0.5, 0.05);
  ASSERT_TRUE(observation_of(good));
  EXPECT_NEAR(observation_of(good)->y, std::log(0.5), 1e-6);
  auto bad = good;
  bad.learnable = false;
  EXPECT_FALSE(observation_of(bad));
  bad = good;
  bad.low = 0;
  EXPECT_FALSE(observation_of(bad));
  bad = good;
  bad.high = std::numeric_limits<float>::infinity();
  EXPECT_FALSE(observation_of(bad));
  bad = good;
  bad.mid = bad.high + 1;
  EXPECT_FALSE(observation_of(bad));
  bad = good;
  bad.kind = MeasureKind::powered_time;
  EXPECT_FALSE(observation_of(bad));
  EXPECT_TRUE(observation_of(usual_run(book, 20, 2)));
  EXPECT_FALSE(observation_of(usual_run(book, 20, 0)));  // wind not known
  EXPECT_FALSE(observation_of(usual_run(book, 20, 2, 0)));
  // None of these are learned from: the book has only one run that is good enough.
  EXPECT_EQ(learned_now(book.state, LearnedKind::plain_run_factor, kMachine, kPilot)->n, 1);
}

TEST(Observation, StandardConditionsGoBeforeAsFlown) {
  LearnBook book;
  auto s = book.fly(MeasureKind::climb_rate, 1.2);
  s.has_standard = true;
  s.standard_low = 1.4F;
  s.standard_mid = 1.6F;
  s.standard_high = 1.8F;
  EXPECT_NEAR(observation_of(s)->y, 1.6, 1e-6);
}

TEST(Learned, ARunFactorIsTheRunOverThePlainRule) {
  LearnBook book;
  for (int k = 0; k < 40; ++k) {
    const double wind = 0.5 + (k % 7) * 0.5;
    usual_run(book, 1.5 * plain_run(1, metres_per_second(wind))->si(), wind);
  }
  const auto l = *learned_now(book.state, LearnedKind::plain_run_factor, kMachine, kPilot);
  EXPECT_NEAR(l.value.mid, 1.5, 0.03);
  EXPECT_EQ(l.n, 40);
}

TEST(Learned, FiguresFollowTheirMachineOrTheirPilot) {
  LearnBook book;
  book.fly(MeasureKind::roughness, 0.6, 0.05, kOtherMachine, kPilot);
  book.fly(MeasureKind::roughness, 0.6, 0.05, kMachine, kOtherPilot);
  book.fly(MeasureKind::sink_rate, 1.6, 0.05, kOtherMachine, kPilot);
  book.fly(MeasureKind::sink_rate, 1.6, 0.05, kMachine, kOtherPilot);
  const auto rough = *learned_now(book.state, LearnedKind::roughness, kMachine, kPilot);
  const auto sink = *learned_now(book.state, LearnedKind::sink_rate, kMachine, kPilot);
  EXPECT_EQ(rough.from, std::vector{learned_id(1000)});
  EXPECT_EQ(sink.from, std::vector{learned_id(1003)});
}

TEST(Usual, SaysHowManyThereAreUntilThereAreEnough) {
  LearnBook book;
  for (int k = 0; k < kUsualNeeds; ++k) {
    const auto s = book.fly(MeasureKind::sink_rate, 1.7);
    const auto answer = *how_unusual(s, *learned_before(book.state, LearnedKind::sink_rate, s.flight));
    EXPECT_FALSE(answer.enough);
    EXPECT_FALSE(answer.unusual);
    EXPECT_EQ(answer.n, k);
    EXPECT_FALSE(answer.why.empty());
  }
  const auto s = book.fly(MeasureKind::sink_rate, 1.7);
  EXPECT_TRUE(how_unusual(s, *learned_before(book.state, LearnedKind::sink_rate, s.flight))->enough);
}

TEST(Usual, FarOutIsUnusualAndTheMiddleIsNot) {
  LearnBook book;
  for (int k = 0; k < 20; ++k) book.fly(MeasureKind::sink_rate, 1.7 + (k % 3 - 1) * 0.15);
  const auto learned = *learned_now(book.state, LearnedKind::sink_rate, kMachine, kPilot);
  const auto answer = [&](double v, double error = 0.05) {
    auto copy = book;
    return *how_unusual(copy.fly(MeasureKind::sink_rate, v, error), learned);
  };
  EXPECT_FALSE(answer(1.75).unusual);
  EXPECT_TRUE(answer(2.9).unusual);
  EXPECT_TRUE(answer(0.6).unusual);
  EXPECT_LT(answer(2.9).chance, answer(2.2).chance);
  // The same value, badly measured, says less.
  EXPECT_FALSE(answer(2.9, 1.0).unusual);
  // The edge of the usual band has one in ten at least as far out.
  const auto edge = answer(1.7).usual.high;
  EXPECT_NEAR(answer(edge).chance, 0.1, 1e-3);
  auto copy = book;
  EXPECT_FALSE(how_unusual(copy.fly(MeasureKind::climb_rate, 2), learned));
}

// Flights drawn from one normal distribution are called unusual about as often as the threshold says.
TEST(Usual, CallsAboutOneInTwentyUnusual) {
  std::uint64_t seed = 7;
  const auto uniform = [&] {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (static_cast<double>(seed >> 11) + 0.5) / 9007199254740992.0;
  };
  int called = 0, asked = 0;
  for (int b = 0; b < 60; ++b) {
    LearnBook book;
    const double own = 1.5 + 0.6 * uniform();
    for (int k = 0; k < 20; ++k) {
      const double z = std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::acos(-1.0) * uniform());
      const auto s = book.fly(MeasureKind::sink_rate, own + 0.2 * z, 0.02);
      const auto answer = *how_unusual(s, *learned_before(book.state, LearnedKind::sink_rate, s.flight));
      asked += answer.enough ? 1 : 0;
      called += answer.unusual ? 1 : 0;
    }
  }
  EXPECT_EQ(asked, 60 * 15);
  // Five in a hundred, within three binomial deviations of 900: 2.8 to 7.2 %.
  EXPECT_GT(called, 25);
  EXPECT_LT(called, 65);
}

TEST(Usual, OfAFlightComparesEachMeasureWithTheFlightsBefore) {
  LearnBook book;
  for (int k = 0; k < 6; ++k) book.fly(MeasureKind::sink_rate, 1.7);
  const auto flown = book.fly(MeasureKind::sink_rate, 3.0);
  auto more = flown;
  more.kind = MeasureKind::powered_time;
  book.state.measures.push_back(more);
  book.fly(MeasureKind::sink_rate, 1.7);
  const auto id = book.state.flights[6].id;
  const auto all = *usual_of_flight(book.state, id);
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].learned->n, 6);
  EXPECT_TRUE(all[0].answer->unusual);
  EXPECT_FALSE(all[1].answer);
  EXPECT_FALSE(all[1].why_not.empty());
  EXPECT_FALSE(usual_of_flight(book.state, learned_id(9)));
  // The second recording of the same flight answers for the first.
  FlightState twin = book.state.flights[6];
  twin.id = learned_id(2000);
  twin.counts = false;
  twin.same_as = id;
  book.state.flights.push_back(twin);
  EXPECT_EQ(usual_of_flight(book.state, twin.id)->size(), 2U);
}

}  // namespace
}  // namespace headroom
