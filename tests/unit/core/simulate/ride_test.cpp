// Rides by car and recorders left on: they keep to the ground, to the road's speeds and to one clock.
#include "core/simulate/ride.h"

#include <gtest/gtest.h>

#include <cmath>

namespace headroom::simulate {
namespace {

RideScript some_ride() {
  RideScript ride;
  ride.begin = utc(2026, 6, 1, 9);
  ride.site = {{52.3, 0.4}, AltitudeMsl::from_si(38), metres(46), metres(6)};
  ride.road = {{500, 0, metres_per_second(12), {}},
               {500, 900, metres_per_second(20), seconds(15)},
               {3000, 900, metres_per_second(25), {}}};
  return ride;
}

TEST(Ride, KeepsToTheRoadItsSpeedsAndTheGround) {
  const RideScript script = some_ride();
  const auto ride = simulate_ride(script);
  ASSERT_TRUE(ride);
  EXPECT_EQ(ride->truth.launch, UtcTime{});
  double fastest = 0, length = 0;
  int halted = 0;
  const TruthStep* before = nullptr;
  for (const TruthStep& s : ride->truth.steps) {
    EXPECT_FALSE(s.airborne);
    EXPECT_NEAR(s.height_msl_m, ground_height_m(script.site, s.east_m, s.north_m), 1.5);
    const double speed = std::hypot(s.velocity_east_m_s, s.velocity_north_m_s);
    fastest = std::max(fastest, speed);
    halted += speed == 0;
    if (before != nullptr) {
      const double moved = std::hypot(s.east_m - before->east_m, s.north_m - before->north_m);
      EXPECT_NEAR(s.time_s - before->time_s, kTruthInterval, 1e-9);
      EXPECT_LE(std::abs(speed - std::hypot(before->velocity_east_m_s, before->velocity_north_m_s)), 5.1)
          << "braking and coming to rest only";
      length += moved;
    }
    before = &s;
  }
  EXPECT_GT(fastest, 22);
  EXPECT_LT(fastest, 29);
  EXPECT_NEAR(length, 500 + 900 + 2500, 60) << "corners are cut a little";
  EXPECT_GE(halted * kTruthInterval, 60 + 15 + 60 - 1);
  EXPECT_NEAR(before->east_m, 3000, 5);
  EXPECT_NEAR(before->north_m, 900, 5);
}

TEST(Ride, IsTheSameEachTimeAndNeedsARoad) {
  const auto one = simulate_ride(some_ride()), two = simulate_ride(some_ride());
  ASSERT_TRUE(one && two);
  ASSERT_EQ(one->truth.steps.size(), two->truth.steps.size());
  EXPECT_EQ(one->truth.steps[700].east_m, two->truth.steps[700].east_m);
  EXPECT_FALSE(simulate_ride({}));
}

TEST(Ride, ARecorderLeftOnMeetsBothOnOneClock) {
  RideScript later = some_ride();
  later.begin += std::chrono::minutes(20);
  const auto first = simulate_ride(some_ride()), second = simulate_ride(later);
  ASSERT_TRUE(first && second);
  const auto both = followed_by(*first, *second);
  ASSERT_TRUE(both);
  const auto& steps = both->truth.steps;
  for (std::size_t i = 1; i < steps.size(); ++i) ASSERT_NEAR(steps[i].time_s - steps[i - 1].time_s, kTruthInterval, 1e-6) << i;
  EXPECT_NEAR(steps.back().time_s, 1200 + second->truth.steps.back().time_s, 1e-6);
  EXPECT_FALSE(followed_by(*second, *first)) << "what follows cannot begin earlier";
}

}  // namespace
}  // namespace headroom::simulate
