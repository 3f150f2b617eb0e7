#include "core/learn/learned.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/learn_book.h"

namespace headroom {
namespace {

using testing::kMachine;
using testing::kPilot;
using testing::LearnBook;

Learned learned_of_book(const LearnBook& book, LearnedKind kind) {
  auto l = learned_now(book.state, kind, kMachine, kPilot);
  EXPECT_TRUE(l.has_value());
  return *l;
}
double learned_width(const Amount& a) {
  return a.high - a.low;
}

TEST(Learned, WithoutFlightsItIsThePrior) {
  const LearnBook book;
  for (const auto kind : kLearnedKinds) {
    const auto l = learned_of_book(book, kind);
    EXPECT_EQ(l.value.basis, assumed());
    EXPECT_EQ(l.n, 0);
    EXPECT_FALSE(l.without_newest);
    EXPECT_GT(learned_width(l.next), learned_width(l.value)) << learned_key(kind);
  }
  // 36 to 42 km/h and 1.3 to 2.3 m/s: common practice, no source.
  EXPECT_NEAR(learned_of_book(book, LearnedKind::trim_airspeed).value.low, 10.0, 1e-9);
  EXPECT_NEAR(learned_of_book(book, LearnedKind::sink_rate).value.high, 2.3, 1e-9);
}

TEST(Learned, TheOwnersPriorIsTaken) {
  LearnBook book;
  book.state.settings["prior.trim_airspeed"].value = "40 45 50";
  EXPECT_NEAR(learned_of_book(book, LearnedKind::trim_airspeed).value.mid, 12.5, 1e-9);
  book.state.settings["prior.trim_airspeed"].value = "45 45 45";
  EXPECT_FALSE(learned_now(book.state, LearnedKind::trim_airspeed, kMachine, kPilot));
}

// Exact observations are ordinary conjugate ones: Gelman et al., Bayesian Data Analysis, section 3.3 (from memory).
TEST(Learned, MeanAndScatterAreTheConjugateOnes) {
  const auto start = *make_normal_inverse_gamma(Eigen::VectorXd::Constant(1, 10.0), Eigen::MatrixXd::Constant(1, 1, 0.5), 3, 0.5);
  const auto g = *learn_constant(start, {{10.1, 0, 1}, {10.4, 0, 1}, {10.6, 0, 1}, {10.5, 0, 1}});
  EXPECT_NEAR(g.mean(0), (0.5 * 10 + 4 * 10.4) / 4.5, 1e-12);
  EXPECT_NEAR(g.a, 5, 1e-12);
  EXPECT_NEAR(g.b, 0.5 + 0.14 / 2 + 0.5 * 4 * 0.16 / (2 * 4.5), 1e-12);
  // With errors of measurement it is the general regression with weights s^2 / (s^2 + e^2); here s^2 = 0.5 / 2.
  auto by_one = start;
  const std::vector<LearnedObservation> rough{{10.1, 0.3, 1}, {10.4, 0.1, 1}, {10.6, 0.5, 1}};
  for (const auto& o : rough) by_one = *updated(by_one, Eigen::VectorXd::Ones(1), o.y, 0.25 / (0.25 + o.error_sd * o.error_sd));
  const auto at_once = *learn_constant(start, rough);
  EXPECT_NEAR(at_once.mean(0), by_one.mean(0), 1e-12);
  EXPECT_NEAR(at_once.precision(0, 0), by_one.precision(0, 0), 1e-12);
  EXPECT_NEAR(at_once.a, by_one.a, 1e-12);
  EXPECT_NEAR(at_once.b, by_one.b, 1e-12);
}

RC_GTEST_PROP(LearnedProperties, MoreOfTheSameNarrows, ()) {
  const double middle = *rc::gen::inRange(100, 117) / 10.0;
  LearnBook book;
  double before = learned_width(learned_of_book(book, LearnedKind::trim_airspeed).value);
  for (int k = 1; k <= 4; ++k) {
    for (int j = 0; j < 4; ++j) book.fly(MeasureKind::trim_airspeed, middle + (j % 2 ? 0.2 : -0.2));
    const auto l = learned_of_book(book, LearnedKind::trim_airspeed);
    RC_ASSERT(learned_width(l.value) < before);
    RC_ASSERT(l.value.basis == learned_from(4 * k));
    before = learned_width(l.value);
  }
}

RC_GTEST_PROP(LearnedProperties, OrderDoesNotMatter, ()) {
  const auto raw = *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(-300, 300)));
  const auto start = *make_normal_inverse_gamma(Eigen::VectorXd::Zero(1), Eigen::MatrixXd::Constant(1, 1, 0.2), 3, 2);
  std::vector<LearnedObservation> one;
  for (const int r : raw) one.push_back({r / 50.0, (r & 3) * 0.2, 1});
  auto other = one;
  std::reverse(other.begin(), other.end());
  const auto a = *learn_constant(start, one), b = *learn_constant(start, other);
  RC_ASSERT(std::abs(a.mean(0) - b.mean(0)) < 1e-8);
  RC_ASSERT(std::abs(a.b - b.b) < 1e-7 * (1 + a.b));
}

RC_GTEST_PROP(LearnedProperties, LeavingTheNewestOutIsLearningWithoutIt, ()) {
  const auto raw = *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(14, 24)));
  LearnBook book;
  for (std::size_t k = 0; k + 1 < raw.size(); ++k) book.fly(MeasureKind::sink_rate, raw[k] / 10.0);
  const auto before = learned_of_book(book, LearnedKind::sink_rate);
  book.fly(MeasureKind::sink_rate, raw.back() / 10.0);
  const auto after = learned_of_book(book, LearnedKind::sink_rate);
  RC_ASSERT(after.without_newest.has_value());
  RC_ASSERT(after.without_newest->low == before.value.low);
  RC_ASSERT(after.without_newest->high == before.value.high);
  RC_ASSERT(after.without_newest->basis == before.value.basis);
  RC_ASSERT(after.from.back() == book.state.flights.back().id);
  const auto then = learned_before(book.state, LearnedKind::sink_rate, book.state.flights.size() - 1);
  RC_ASSERT(then->value.mid == before.value.mid);
}

TEST(Learned, AnOutlierMovesLittle) {
  LearnBook book;
  for (int k = 0; k < 12; ++k) book.fly(MeasureKind::trim_airspeed, 10.8 + (k % 3 - 1) * 0.3);
  const auto before = learned_of_book(book, LearnedKind::trim_airspeed);
  book.fly(MeasureKind::trim_airspeed, 22);
  const auto after = learned_of_book(book, LearnedKind::trim_airspeed);
  // A plain mean of 13 would move by 0.86 m/s.
  EXPECT_LT(std::abs(after.value.mid - before.value.mid), 0.1);
  EXPECT_EQ(after.n, 13);
  // A first flight that is far out does not become the machine's own either.
  LearnBook fresh;
  fresh.fly(MeasureKind::trim_airspeed, 22);
  EXPECT_LT(learned_of_book(fresh, LearnedKind::trim_airspeed).value.mid, 13.5);
}

TEST(Learned, ABadlyMeasuredFlightCountsForLess) {
  LearnBook well, badly;
  well.fly(MeasureKind::climb_rate, 2.6, 0.05);
  badly.fly(MeasureKind::climb_rate, 2.6, 0.8);
  const auto w = learned_of_book(well, LearnedKind::climb_rate), b = learned_of_book(badly, LearnedKind::climb_rate);
  EXPECT_GT(w.value.mid, b.value.mid);
  EXPECT_GT(b.value.mid, 2.0);
  EXPECT_LT(learned_width(w.value), learned_width(b.value));
}

}  // namespace
}  // namespace headroom
