// Phases and the take-off run against motions whose answer is known by hand.
#include "core/track/phases.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "core/track/contact.h"
#include "core/track/detail.h"
#include "core/track/run.h"
#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

using test::ScriptedRecording;
using PhaseV = ScriptedRecording::Velocity;

PhaseV eastward(double speed, double up) {
  return {speed, 0, up};
}

// Constant acceleration from rest to V = 9 m/s at a = 1.5 m/s2 takes s = V^2/(2a) = 27.0 m in 6 s (check values, 8.3, without
// wind).
void run_and_fly(ScriptedRecording& s) {
  s.leg(6, [](double t) { return eastward(1.5 * (t + 0.5), 0); });
  s.leg(100, [](double t) { return eastward(9.5, std::min(2.0, 0.8 * (t + 1))); });
  s.leg(120, [](double) { return eastward(10, 0); });
  s.leg(125, [](double) { return eastward(10, -1.6); });
  s.leg(3, [](double t) { return eastward(8 - 2 * t, 0); });
  s.stand(60);
}

struct PhasesTold {
  Workspace workspace;
  Analysis analysis;
  FlightPhases phases;
};

PhasesTold phases_of(const Recording& recording) {
  PhasesTold t;
  auto analysis = analyse(recording, nullptr, t.workspace);
  EXPECT_TRUE(analysis);
  t.analysis = std::move(*analysis);
  EXPECT_EQ(t.analysis.found.size(), 1U);
  DetailOptions options;
  options.aircraft = AircraftKnown::powered_paraglider;
  if (t.analysis.found.size() == 1) t.phases = tell_flight(recording, t.analysis, t.analysis.found[0], options).phases;
  return t;
}

double from_start(UtcTime t) {
  return duration_between(ScriptedRecording::start(), t).si();
}

TEST(Phases, InOrderWithoutGapsFromTheGroundToTheGround) {
  ScriptedRecording s;
  s.stand(60);
  run_and_fly(s);
  const auto t = phases_of(s.recording_);
  std::vector<Phase> order;
  for (std::size_t i = 0; i < t.phases.stretches.size(); ++i) {
    const PhaseStretch& p = t.phases.stretches[i];
    EXPECT_LT(p.first, p.last);
    if (i > 0) {
      EXPECT_EQ(p.first, t.phases.stretches[i - 1].last);
    }
    if (order.empty() || order.back() != p.phase) order.push_back(p.phase);
  }
  const std::vector<Phase> expected{Phase::on_foot, Phase::run,     Phase::initial_climb, Phase::climb,
                                    Phase::level,   Phase::descent, Phase::landing,       Phase::on_foot};
  EXPECT_EQ(order, expected);
}

TEST(TakeOffRun, RoomTimeAndSpeedOfAnEvenAcceleration) {
  for (unsigned seed = 1; seed <= 5; ++seed) {
    ScriptedRecording s(seed);
    s.stand(60);
    run_and_fly(s);
    const TakeOffRun run = phases_of(s.recording_).phases.take_off;
    ASSERT_TRUE(run.seen) << run.why_not;
    EXPECT_NEAR(run.room.mid.si(), 27, 8) << seed;
    EXPECT_LE(run.room.low.si(), 27);
    EXPECT_GE(run.room.high.si(), 27);
    EXPECT_NEAR(run.time.mid.si(), 6, 2.3);
    EXPECT_NEAR(run.lift_off_ground_speed.mid.si(), 9, 1.5);
    EXPECT_NEAR(run.towards_deg, 90, 8);
    EXPECT_NEAR(from_start(run.end), 66, 2);
    EXPECT_TRUE(run.learnable) << run.not_learned;
  }
}

// A false start of 8 m back to standing, a walk back over the same ground, half a minute of standing: none of it counts.
TEST(TakeOffRun, FalseStartAndWalkingBackDoNotCount) {
  ScriptedRecording s(3);
  s.stand(60);
  s.leg(4, [](double t) { return eastward(t < 2 ? 1.5 * (t + 0.5) : 3 - 1.5 * (t - 1.5), 0); });
  s.stand(5);
  s.leg(8, PhaseV{-1.0, 0, 0});
  s.stand(30);
  run_and_fly(s);
  const TakeOffRun run = phases_of(s.recording_).phases.take_off;
  ASSERT_TRUE(run.seen) << run.why_not;
  EXPECT_NEAR(run.room.mid.si(), 27, 8);
  EXPECT_NEAR(from_start(run.begin), 107, 2.5);
}

TEST(TakeOffRun, WithoutPressureHeightsItIsShownAndNotLearnedFrom) {
  ScriptedRecording s(2);
  s.pressure_ = false;
  s.stand(60);
  run_and_fly(s);
  const TakeOffRun run = phases_of(s.recording_).phases.take_off;
  ASSERT_TRUE(run.seen) << run.why_not;
  EXPECT_FALSE(run.learnable);
  EXPECT_NE(run.not_learned.find("pressure"), std::string::npos);
}

TEST(TakeOffRun, ARecordingThatBeginsInTheAirShowsNone) {
  ScriptedRecording s;
  s.off().stand(60);
  s.leg(6, [](double t) { return eastward(1.5 * (t + 0.5), 0); });
  s.leg(30, [](double) { return eastward(9.5, 2); });
  s.on();
  s.leg(100, [](double) { return eastward(9.5, 2); });
  s.leg(150, [](double) { return eastward(10, -1.6); });
  s.stand(60);
  const TakeOffRun run = phases_of(s.recording_).phases.take_off;
  EXPECT_FALSE(run.seen);
  EXPECT_FALSE(run.room.known());
  EXPECT_FALSE(run.why_not.empty());
}

// The run of `t` seen again in a wind made to order.
TakeOffRun run_in(const PhasesTold& t, const WindSolution& wind) {
  const FoundFlight& found = t.analysis.found.at(0);
  const auto velocities = ground_velocities(t.analysis.track, t.analysis.smoothed, found.first, found.last);
  return find_take_off(t.analysis.track, t.analysis.smoothed, found, found.lift_off, velocities, wind);
}

// A headwind not known is no calm: learned as one, a short run into wind would promise short runs without it.
TEST(TakeOffRun, WithoutAKnownHeadwindItIsShownAndNotLearnedFrom) {
  ScriptedRecording s(2);
  s.stand(60);
  run_and_fly(s);
  const PhasesTold t = phases_of(s.recording_);
  ASSERT_TRUE(t.phases.take_off.learnable) << t.phases.take_off.not_learned;
  WindSolution wind;
  wind.unknown = "it did not turn";
  const TakeOffRun run = run_in(t, wind);
  ASSERT_TRUE(run.seen) << run.why_not;
  EXPECT_TRUE(run.room.known());
  EXPECT_FALSE(run.headwind.known());
  EXPECT_FALSE(run.learnable);
  EXPECT_NE(run.not_learned.find("headwind"), std::string::npos) << run.not_learned;
}

// Covariances are kept in single precision: along one direction their variance may come out below nothing.
TEST(TakeOffRun, AWindThatMakesNoEstimateLeavesTheHeadwindUnknown) {
  ScriptedRecording s(2);
  s.stand(60);
  run_and_fly(s);
  const PhasesTold t = phases_of(s.recording_);
  WindSolution wind;
  wind.times_s = {0};
  wind.states.resize(1);
  wind.states[0].east_m_s = std::numeric_limits<float>::quiet_NaN();
  TakeOffRun run = run_in(t, wind);
  ASSERT_TRUE(run.seen) << run.why_not;
  EXPECT_FALSE(run.headwind.known());
  EXPECT_FALSE(run.headwind.note.empty());
  EXPECT_FALSE(run.learnable);
  wind.states[0].east_m_s = -2;
  wind.states[0].var_east = -1e-7F;
  run = run_in(t, wind);
  ASSERT_TRUE(run.headwind.known()) << run.headwind.note;
  EXPECT_GT(run.headwind.mid.si(), 0);
}

// Every n-th fix alone, as a recorder set to n seconds writes it.
Recording thinned_to(const Recording& from, std::size_t n) {
  Recording out = from;
  out.fixes.clear();
  for (std::size_t i = 0; i < from.fixes.size(); i += n) out.fixes.push_back(from.fixes[i]);
  return out;
}

TEST(TakeOffRun, FiveSecondsAreShownAndNotLearnedFromThirtyShowNone) {
  ScriptedRecording s(4);
  s.stand(120);
  run_and_fly(s);
  s.stand(120);
  const TakeOffRun five = phases_of(thinned_to(s.recording_, 5)).phases.take_off;
  ASSERT_TRUE(five.seen) << five.why_not;
  EXPECT_FALSE(five.learnable);
  EXPECT_FALSE(five.not_learned.empty());
  const TakeOffRun thirty = phases_of(thinned_to(s.recording_, 30)).phases.take_off;
  EXPECT_FALSE(thirty.seen);
  EXPECT_FALSE(thirty.room.known());
}

}  // namespace
}  // namespace headroom
