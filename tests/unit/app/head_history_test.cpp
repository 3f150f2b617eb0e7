// Head maxima one by one: the flight that each belongs to, and whether it was usual.
#include "app/head_history.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "core/learn/priors.h"

namespace headroom {
namespace {

State with_heads(const std::vector<double>& values) {
  State state;
  auto& list = state.readings[std::string(kHeadMaximum)];
  for (std::size_t i = 0; i < values.size(); ++i) {
    Sample s;
    s.at = utc(2026, 5, 1, 8) + std::chrono::hours(24 * static_cast<int>(i));
    s.value = values[i];
    list.push_back(s);
  }
  return state;
}

// Ten times the textbook example 1 1 2 2 4 6 9, whose median is 2 and whose median absolute deviation is 1 (cited from memory;
// sorted deviations 0 0 1 1 2 4 7).
TEST(HeadHistory, UsesMedianAndMedianDeviationOfTheEarlierOnes) {
  const auto points = head_history(with_heads({410, 410, 420, 420, 440, 460, 490, 421, 458}));
  ASSERT_EQ(points.size(), 9U);
  EXPECT_FALSE(points[4].enough) << "four earlier ones";
  EXPECT_TRUE(points[5].enough);
  EXPECT_EQ(points[7].earlier, 7);
  EXPECT_DOUBLE_EQ(points[7].middle.si(), 420);
  EXPECT_NEAR(points[7].high.si() - 420, 1.6449 * 14.826, 0.01);
  EXPECT_FALSE(points[7].unusual);
  EXPECT_FALSE(points[8].unusual) << "38 K off, 2.5 x 14.8 = 37 K with seven, more with eight";
  EXPECT_TRUE(head_history(with_heads({410, 410, 420, 420, 440, 460, 490, 458}))[7].unusual) << "38 K beyond 37 K";
}

TEST(HeadHistory, AgreesWithSortingTheDeviationsEachTime) {
  std::mt19937 chance(7);
  std::normal_distribution<double> about(450, 12);
  std::vector<double> values;
  for (int i = 0; i < 300; ++i) values.push_back(std::round(about(chance)));  // whole kelvins: many are equal
  const auto points = head_history(with_heads(values));
  for (std::size_t i = kUsualNeeds; i < values.size(); ++i) {
    std::vector<double> past(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(i));
    const auto median = [](std::vector<double> v) {
      std::sort(v.begin(), v.end());
      const auto n = v.size();
      return n % 2 == 1 ? v[n / 2] : (v[n / 2 - 1] + v[n / 2]) / 2;
    };
    const double mid = median(past);
    for (double& v : past) v = std::abs(v - mid);
    const double deviation = std::max(1.4826 * median(past), kUsualLeastSpreadKelvin);
    ASSERT_DOUBLE_EQ(points[i].middle.si(), mid) << i;
    ASSERT_NEAR(points[i].high.si() - mid, kNormal95 * deviation, 1e-9) << i;
    ASSERT_EQ(points[i].unusual, std::abs(values[i] - mid) > kUsualWidth * deviation) << i;
  }
}

TEST(HeadHistory, GivesAReadingToTheFlightItFollows) {
  auto state = with_heads({450, 451, 452, 453});  // 08:00 on 1, 2, 3, 4 May
  const auto flown = [&](UtcTime launch, int minutes, bool counts) {
    FlightState f;
    f.launch = launch;
    f.landing = launch + std::chrono::minutes(minutes);
    f.counts = counts;
    state.flights.push_back(f);
  };
  flown(utc(2026, 5, 1, 7), 120, true);     // in the air at the reading
  flown(utc(2026, 5, 2, 5), 30, true);      // landed two and a half hours before
  flown(utc(2026, 5, 3, 6), 30, true);      // landed an hour and a half before
  flown(utc(2026, 5, 3, 6, 1), 30, false);  // the same by a second recorder
  flown(utc(2026, 5, 4, 8, 30), 30, true);  // not launched yet
  const auto points = head_history(state);
  EXPECT_EQ(points[0].flight, 0U);
  EXPECT_EQ(points[1].flight, state.flights.size());
  EXPECT_EQ(points[2].flight, 2U);
  EXPECT_EQ(points[3].flight, state.flights.size());
}

}  // namespace
}  // namespace headroom
