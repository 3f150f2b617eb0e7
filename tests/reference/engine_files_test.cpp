// The engine of real recordings, against what their columns show: SOURCES.md of the collection, "How far the recorded truth can
// be trusted", gives the times used here in seconds from the first fix.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/track/analyse.h"
#include "core/track/engine.h"
#include "formats/igc.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct Heard {
  Recording recording;
  EngineSolution engine;
  double launch_s = 0;
  bool flew = false;
};

Heard hear(const std::string& name, const EngineOptions& options) {
  Heard h;
  h.recording = read_igc(test::bytes_of(test::shared_folder() / "recordings" / "igc" / name));
  Workspace workspace;
  const auto a = analyse(h.recording, nullptr, workspace);
  if (!a || a->found.empty()) return h;
  const FoundFlight& f = a->found.front();
  const auto v = ground_velocities(a->track, a->smoothed, f.first, f.last);
  h.engine = find_engine(h.recording, a->track, a->smoothed, f,
                         estimate_wind(v, {.airspeed = {}, .use_recorded = options.use_columns}), options);
  h.launch_s = duration_between(h.recording.fixes.front().time, f.launch).si();
  h.flew = true;
  return h;
}
double begin_of(const Heard& h, const PowerStretch& s) {
  return duration_between(h.recording.fixes.front().time, s.begin).si();
}
double end_of(const Heard& h, const PowerStretch& s) {
  return duration_between(h.recording.fixes.front().time, s.end).si();
}
std::size_t count_of(const Heard& h, Power power) {
  return static_cast<std::size_t>(std::count_if(h.engine.stretches.begin(), h.engine.stretches.end(),
                                                [&](const PowerStretch& s) { return s.power == power; }));
}

// s_001: the engine ran from 304 to 551 s; loud at 7551 to 7630 s with a loss of 400 m is air noise.
TEST(EngineOfRealFiles, SelfLauncherWithItsColumn) {
  HEADROOM_NEEDS_SHARED_DATA();
  const Heard h = hear("s_001.igc", {});
  ASSERT_TRUE(h.flew && h.engine.known());
  EXPECT_EQ(h.engine.column, "ENL");
  ASSERT_EQ(count_of(h, Power::ground_running), 1U);
  ASSERT_EQ(count_of(h, Power::under_power), 1U);
  for (const PowerStretch& s : h.engine.stretches) {
    if (s.power == Power::ground_running) {
      EXPECT_NEAR(begin_of(h, s), 304, 15);
    }
    if (s.power == Power::under_power) {
      EXPECT_NEAR(end_of(h, s), 551, 15);
    }
  }
}

TEST(EngineOfRealFiles, SelfLauncherWithItsColumnHidden) {
  HEADROOM_NEEDS_SHARED_DATA();
  const Heard h = hear("s_001.igc", {AircraftKnown::unknown, false});
  ASSERT_TRUE(h.flew && h.engine.known());
  double claimed = 0, right = 0;
  for (const PowerStretch& s : h.engine.stretches) {
    if (s.power != Power::under_power && s.power != Power::powered_or_tow) continue;
    claimed += end_of(h, s) - begin_of(h, s);
    right += std::max(0.0, std::min(551.0, end_of(h, s)) - std::max(h.launch_s, begin_of(h, s)));
  }
  EXPECT_GE(2 * right / (claimed + 551 - h.launch_s), 0.85);
}

// s_019: noise of the tug from 292 to 473 s; the aircraft has no engine.
TEST(EngineOfRealFiles, TugIsNotAnEngine) {
  HEADROOM_NEEDS_SHARED_DATA();
  const Heard h = hear("s_019.igc", {});
  ASSERT_TRUE(h.flew && h.engine.known());
  EXPECT_EQ(h.engine.column, "ENL");
  EXPECT_EQ(count_of(h, Power::under_power), 0U);
  EXPECT_EQ(count_of(h, Power::ground_running), 0U);
  ASSERT_EQ(count_of(h, Power::tow), 1U);
}

// Spikes, and never an engine.
TEST(EngineOfRealFiles, SpikesAreNotAnEngine) {
  HEADROOM_NEEDS_SHARED_DATA();
  for (const char* name : {"s_008.igc", "s_015.igc", "s_016.igc", "s_018.igc", "s_023.igc"}) {
    const Heard h = hear(name, {});
    ASSERT_TRUE(h.flew && h.engine.known()) << name;
    EXPECT_EQ(count_of(h, Power::under_power), 0U) << name;
    EXPECT_EQ(count_of(h, Power::ground_running), 0U) << name;
    EXPECT_LT(h.engine.powered_time.high.si(), 1) << name;
  }
}

// Sailplanes whose recording does not begin in the air (SOURCES.md): off the ground they are pulled, or launch themselves, for
// minutes (common practice, no source). Paragliders made for power (s_003 to s_005) start on foot.
TEST(EngineOfRealFiles, LaunchesAreToldOfSailplanesAndNotOfFootLaunches) {
  HEADROOM_NEEDS_SHARED_DATA();
  const auto name_of = [](int i) { return std::string("s_0") + (i < 10 ? "0" : "") + std::to_string(i) + ".igc"; };
  const auto pulls = [](const Heard& h) { return count_of(h, Power::powered_or_tow) + count_of(h, Power::winch); };
  for (const int i : {6, 8, 9, 15, 16, 17, 18, 19, 20, 21, 23, 34, 42, 43, 44, 54}) {
    const Heard h = hear(name_of(i), {AircraftKnown::unknown, false});
    ASSERT_TRUE(h.flew && h.engine.known()) << name_of(i);
    EXPECT_EQ(pulls(h), 1U) << name_of(i);
    for (const PowerStretch& s : h.engine.stretches)
      if (s.power == Power::powered_or_tow || s.power == Power::winch) {
        EXPECT_LT(end_of(h, s) - begin_of(h, s), 600) << name_of(i);
      }
  }
  for (const int i : {3, 4, 5}) {
    const Heard h = hear(name_of(i), {AircraftKnown::unknown, false});
    ASSERT_TRUE(h.flew && h.engine.known()) << name_of(i);
    EXPECT_EQ(pulls(h), 0U) << name_of(i);
  }
}

// The column of a sailplane that stays quiet (s_002, s_009: at most 160 and 196) is no proof; the motion says how long at most.
TEST(EngineOfRealFiles, QuietColumnsAreNoProof) {
  HEADROOM_NEEDS_SHARED_DATA();
  for (const char* name : {"s_002.igc", "s_009.igc"}) {
    const Heard h = hear(name, {});
    ASSERT_TRUE(h.flew && h.engine.known()) << name;
    EXPECT_EQ(count_of(h, Power::under_power), 0U) << name;
    EXPECT_EQ(count_of(h, Power::off), 0U) << name;
    EXPECT_EQ(h.engine.powered_time.low.si(), 0) << name;
    EXPECT_GT(h.engine.powered_time.high.si(), 60) << name;
  }
}

}  // namespace
}  // namespace headroom
