#include "core/track/flights.h"

#include <gtest/gtest.h>

#include "core/track/analyse.h"
#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

using test::ScriptedRecording;
using Velocity = ScriptedRecording::Velocity;

Analysis analysed(const ScriptedRecording& script) {
  Workspace workspace;
  auto analysis = analyse(script.recording_, nullptr, workspace);
  EXPECT_TRUE(analysis) << (analysis ? "" : analysis.error().what);
  return analysis ? std::move(*analysis) : Analysis{};
}
double seconds_apart(UtcTime a, UtcTime b) {
  return std::abs(duration_between(a, b).si());
}

// Every case is tried with and without a pressure sensor and with several draws of receiver noise.
class Scripted : public testing::TestWithParam<std::tuple<unsigned, bool>> {
 protected:
  ScriptedRecording script() const {
    ScriptedRecording s(std::get<0>(GetParam()));
    s.pressure_ = std::get<1>(GetParam());
    return s;
  }
};
INSTANTIATE_TEST_SUITE_P(Noise, Scripted, testing::Combine(testing::Values(1U, 2U, 3U, 4U, 5U), testing::Bool()));

TEST_P(Scripted, PlainHopIsOneFlightWithItsTimes) {
  ScriptedRecording s = script();
  s.stand(60).take_off();
  const UtcTime launch = s.now();
  s.climb(60).descend(75);
  const UtcTime landing = s.now();
  s.stand(60);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  EXPECT_LE(seconds_apart(a.flights[0].launch, launch), 4);
  EXPECT_LE(seconds_apart(a.flights[0].landing, landing), 4);
  EXPECT_FALSE(a.flights[0].begins_in_air);
  EXPECT_FALSE(a.flights[0].ends_in_air);
}

TEST_P(Scripted, HoverAtZeroGroundSpeedIsNoLanding) {
  ScriptedRecording s = script();
  s.stand(60).take_off();
  s.leg(25, Velocity{6, 0, 2});
  s.leg(300, [](double t) { return Velocity{0.2 * std::sin(t / 5), 0.2 * std::cos(t / 8), 0.1 * std::sin(t / 9)}; });
  s.leg(30, Velocity{6, 2, -1.6}).stand(60);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  EXPECT_NEAR(a.flights[0].summary.air_time.si(), 355, 15);
}

TEST_P(Scripted, WalkAlongAHillIsNoFlight) {
  ScriptedRecording s = script();
  s.stand(30).leg(1800, [](double t) { return Velocity{1.3, 0.4 * std::sin(t / 60), 0.25 * std::sin(t / 200)}; }).stand(30);
  EXPECT_TRUE(analysed(s).flights.empty());
}

TEST_P(Scripted, CarOnAHillyRoadIsNoFlight) {
  ScriptedRecording s = script();
  // 60 km/h, slopes to 7 %, bends, and a stop at a crossing.
  const auto road = [](double t) {
    return Velocity{16.7 * std::cos(0.5 * std::sin(t / 25)), 16.7 * std::sin(0.5 * std::sin(t / 25)), 1.1 * std::sin(t / 20)};
  };
  s.stand(30).leg(600, road).stand(20).leg(600, road).stand(30);
  EXPECT_TRUE(analysed(s).flights.empty());
}

TEST_P(Scripted, KitingBeforeLaunchIsOnTheGround) {
  ScriptedRecording s = script();
  s.stand(60);
  s.leg(600, [](double t) { return Velocity{2.2 * std::sin(t / 4), 1.5 * std::cos(t / 7), 0.05 * std::sin(t / 10)}; });
  s.take_off();
  const UtcTime launch = s.now();
  s.climb(90).descend(100).stand(60);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  EXPECT_LE(seconds_apart(a.flights[0].launch, launch), 5);
}

TEST_P(Scripted, TwoHopsWithThreeMinutesBetweenAreTwoFlights) {
  ScriptedRecording s = script();
  for (int hop = 0; hop < 2; ++hop) s.stand(90).take_off().climb(60).descend(75).stand(90);
  EXPECT_EQ(analysed(s).flights.size(), 2U);
}

TEST_P(Scripted, DriveToTheFieldThenFlightIsOneFlight) {
  ScriptedRecording s = script();
  s.leg(500, [](double t) { return Velocity{14 + 3 * std::sin(t / 30), 2 * std::sin(t / 17), 0.5 * std::sin(t / 25)}; });
  s.stand(600).take_off();
  const UtcTime launch = s.now();
  s.climb(120).descend(150).stand(60);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  EXPECT_LE(seconds_apart(a.flights[0].launch, launch), 5);
}

TEST_P(Scripted, BoatAndLiftAreNoFlights) {
  ScriptedRecording boat = script();
  boat.stand(30).leg(900, [](double t) { return Velocity{8, 2 * std::sin(t / 50), 0.15 * std::sin(t / 2)}; }).stand(30);
  EXPECT_TRUE(analysed(boat).flights.empty());
  ScriptedRecording lift = script();
  lift.stand(60).leg(420, Velocity{4.2, 1, 1.9}).stand(60);
  EXPECT_TRUE(analysed(lift).flights.empty());
}

TEST_P(Scripted, GapInFlightIsNoLandingAndIsSaid) {
  ScriptedRecording s = script();
  s.stand(60).take_off().climb(200).off().climb(150).on().descend(400).stand(60);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  ASSERT_FALSE(a.flights[0].doubts.empty());
  EXPECT_NE(a.flights[0].doubts[0].find("no fixes for 151 s"), std::string::npos) << a.flights[0].doubts[0];
}

TEST_P(Scripted, BeginsAndEndsInTheAirAreSaid) {
  ScriptedRecording s = script();
  s.off().stand(10).take_off().climb(60).on().climb(120).descend(60).off().descend(200);
  const Analysis a = analysed(s);
  ASSERT_EQ(a.flights.size(), 1U);
  EXPECT_TRUE(a.flights[0].begins_in_air);
  EXPECT_TRUE(a.flights[0].ends_in_air);
  EXPECT_EQ(a.flights[0].launch, s.recording_.fixes.front().time);
  EXPECT_EQ(a.flights[0].landing, s.recording_.fixes.back().time);
}

TEST(Flights, DeclaredGroundVehicleIsWhatItSaysForWholeWordsOnly) {
  Recording r;
  EXPECT_EQ(declared_carrier(r), Declared::nothing);
  r.header.push_back({"HFGTY", "GLIDERTYPE:Cargo 23", 1});
  EXPECT_EQ(declared_carrier(r), Declared::nothing);
  r.header.push_back({"HFGTY", "GLIDERTYPE:Mountain Bike", 2});
  EXPECT_EQ(declared_carrier(r), Declared::ground_vehicle);
}

TEST(Flights, OneFixOrNoneIsNoFlight) {
  ScriptedRecording s;
  s.stand(1);
  EXPECT_TRUE(analysed(s).flights.empty());
}

}  // namespace
}  // namespace headroom
