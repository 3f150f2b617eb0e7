// The engine from energy and from columns, on flights scripted so that its use is known.
#include "core/track/engine.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "core/track/analyse.h"
#include "scripted_recording.h"

namespace headroom {
namespace {

struct Told {
  Analysis analysis;
  EngineSolution engine;
};

Told tell(const Recording& recording, const EngineOptions& options) {
  Workspace workspace;
  auto a = analyse(recording, nullptr, workspace);
  Told out;
  if (!a || a->found.empty()) {
    out.engine.unknown = "no flight in the script";
    return out;
  }
  out.analysis = *std::move(a);
  const FoundFlight& f = out.analysis.found.front();
  const auto v = ground_velocities(out.analysis.track, out.analysis.smoothed, f.first, f.last);
  out.engine = find_engine(recording, out.analysis.track, out.analysis.smoothed, f, estimate_wind(v), options);
  return out;
}

constexpr EngineOptions kOwner{AircraftKnown::powered_paraglider, true};
constexpr EngineOptions kStranger{AircraftKnown::unknown, true};

// Straight legs and turns at 10 m/s, height as the throttle has it. Sink in the glide 1.7 m/s: within "sink power-off 1.3-2.3"
// (common practice, no source).
void fly(test::ScriptedRecording& r, double seconds, double climb) {
  r.leg(seconds, [climb](double t) {
    return test::ScriptedRecording::Velocity{10 * std::cos(t / 60), 10 * std::sin(t / 60), climb};
  });
}

test::ScriptedRecording powered_flight() {
  test::ScriptedRecording r;
  r.stand(60).take_off();
  fly(r, 150, 2.0);   // climb
  fly(r, 200, 0.0);   // level
  fly(r, 80, -1.7);   // throttle closed
  fly(r, 100, 1.8);   // opened again
  fly(r, 200, -1.7);  // down
  r.stand(60);
  return r;
}

double covered_by(const Told& told, Power power) {
  double sum = 0;
  for (const PowerStretch& s : told.engine.stretches)
    if (s.power == power) sum += duration_between(s.begin, s.end).si();
  return sum;
}

float on_at(const Told& told, double seconds_from_start) {
  const auto& fixes = told.analysis.track.fixes;
  for (std::size_t i = told.engine.first; i < told.engine.first + told.engine.on.size(); ++i)
    if (duration_between(fixes.front().time, fixes[i].time).si() >= seconds_from_start)
      return told.engine.on[i - told.engine.first];
  return -1;
}

// Powered from lift-off at about 66 s to 418 s and from 498 s to 598 s: 452 s by the script.
TEST(Engine, FindsThePowerOfAScriptedFlight) {
  const Told told = tell(powered_flight().recording_, kOwner);
  ASSERT_TRUE(told.engine.known()) << told.engine.unknown;
  EXPECT_EQ(told.engine.source, EngineSource::motion);
  EXPECT_NEAR(told.engine.powered_time.mid.si(), 452, 25);
  EXPECT_LE(told.engine.powered_time.low.si(), 452);
  EXPECT_GE(told.engine.powered_time.high.si(), 452);
  EXPECT_GT(on_at(told, 140), 0.9F);
  EXPECT_GT(on_at(told, 320), 0.8F);
  EXPECT_LT(on_at(told, 460), 0.2F);
  EXPECT_GT(on_at(told, 550), 0.9F);
  EXPECT_LT(on_at(told, 700), 0.1F);
  // Idle and the ground do not show: the running time is wider than the powered time and reaches above it.
  EXPECT_GT(told.engine.running_time.high.si(), told.engine.powered_time.high.si());
}

TEST(Engine, StretchesCoverTheFlightAndItsGroundWithoutGaps) {
  const Told told = tell(powered_flight().recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  std::size_t next = told.engine.first;
  for (const PowerStretch& s : told.engine.stretches) {
    EXPECT_EQ(s.first, next);
    EXPECT_GE(s.last, s.first);
    EXPECT_GE(s.certainty, 0);
    EXPECT_LE(s.certainty, 1);
    next = s.last + 1;
  }
  EXPECT_EQ(next, told.engine.first + told.engine.on.size());
  EXPECT_EQ(told.engine.stretches.front().power, Power::ground);
  for (const float p : told.engine.on) EXPECT_TRUE(p >= 0 && p <= 1);
}

// The same flight by an aircraft nobody knows could have been lift all along: nothing is claimed.
TEST(Engine, ClaimsNothingOfAnUnknownAircraft) {
  const Told told = tell(powered_flight().recording_, kStranger);
  ASSERT_TRUE(told.engine.known());
  EXPECT_EQ(covered_by(told, Power::under_power), 0);
  EXPECT_GT(covered_by(told, Power::engine_or_lift), 300);
  EXPECT_LT(*std::max_element(told.engine.on.begin(), told.engine.on.end()), 0.5F);
}

// A sailplane on wheels: a run, a launch, then gliding round wide turns at 27 m/s with 0.9 m/s of sink (common practice).
test::ScriptedRecording sailplane(double launch_s, double launch_speed, double launch_climb) {
  test::ScriptedRecording r;
  r.stand(60);
  r.leg(12, [&](double t) { return test::ScriptedRecording::Velocity{launch_speed * t / 12, 0, 0}; });
  const auto round = [](double speed, double climb) {
    return [=](double t) { return test::ScriptedRecording::Velocity{speed * std::cos(t / 80), speed * std::sin(t / 80), climb}; };
  };
  r.leg(launch_s, round(launch_speed, launch_climb));
  r.leg(std::floor(launch_s * launch_climb / 0.9), round(27, -0.9));
  r.leg(20, [](double t) { return test::ScriptedRecording::Velocity{27 * (1 - t / 20), 0, 0}; });
  r.stand(60);
  return r;
}

// The flight is given, not searched for: from the end of the run on, for `air_s`.
Told tell_given(const Recording& recording, const EngineOptions& options, double air_s) {
  Told out;
  CleanReport report;
  CleanScratch scratch;
  Analysis& a = out.analysis;
  if (!clean(recording, a.track, report, scratch)) return out;
  smooth(a.track, a.smoothed);
  FoundFlight f;
  const auto seconds_in = [&](std::size_t i) { return duration_between(a.track.fixes.front().time, a.track.fixes[i].time).si(); };
  while (seconds_in(f.first) < 72) ++f.first;
  f.last = f.first;
  while (f.last + 1 < a.track.fixes.size() && seconds_in(f.last + 1) < 72 + air_s) ++f.last;
  const auto v = ground_velocities(a.track, a.smoothed, f.first, f.last);
  out.engine = find_engine(recording, a.track, a.smoothed, f, estimate_wind(v), options);
  return out;
}

TEST(Engine, TellsAWinchFromALongerPull) {
  const Told winch = tell_given(sailplane(40, 27, 9).recording_, kStranger, 440);
  const Told pulled = tell_given(sailplane(200, 30, 3).recording_, kStranger, 866);
  ASSERT_TRUE(winch.engine.known()) << winch.engine.unknown;
  ASSERT_TRUE(pulled.engine.known()) << pulled.engine.unknown;
  EXPECT_NEAR(covered_by(winch, Power::winch), 40, 12);
  EXPECT_EQ(covered_by(winch, Power::powered_or_tow), 0);
  EXPECT_NEAR(covered_by(pulled, Power::powered_or_tow), 200, 20);
  EXPECT_FALSE(pulled.engine.powered_time.known());
  EXPECT_LE(*std::max_element(pulled.engine.on.begin(), pulled.engine.on.end()), 0.5F);
}

// Pulled for 200 s, but the column falls silent after 120 s: what it heard was the tug.
TEST(Engine, TakesNoTugForAnEngine) {
  auto r = sailplane(200, 30, 3);
  Channel c{"ENL", 1, {}};
  for (const Fix& f : r.recording_.fixes) {
    const double t = duration_between(test::ScriptedRecording::start(), f.time).si();
    c.raw.push_back(static_cast<std::int32_t>(5 * (static_cast<int>(t) % 4)) + (t > 60 && t < 190 ? 700 : 30));
  }
  r.recording_.channels.push_back(c);
  const Told told = tell_given(r.recording_, kStranger, 866);
  ASSERT_TRUE(told.engine.known()) << told.engine.unknown;
  EXPECT_NEAR(covered_by(told, Power::tow), 200, 20);
  EXPECT_EQ(covered_by(told, Power::under_power), 0);
  EXPECT_EQ(covered_by(told, Power::ground_running), 0);
}

Channel column(const test::ScriptedRecording& r, const char* code, std::int32_t ground, std::int32_t power, std::int32_t idle) {
  Channel c{code, 1, {}};
  for (const Fix& f : r.recording_.fixes) {
    const double t = duration_between(test::ScriptedRecording::start(), f.time).si();
    const bool on = (t > 62 && t <= 418) || (t > 498 && t <= 598);
    const auto knock = static_cast<std::int32_t>(7 * (static_cast<int>(t) % 5));
    c.raw.push_back(knock + (on ? power : t < 62 && t > 20 ? ground : idle));
  }
  return c;
}

TEST(Engine, ReadsRevolutions) {
  auto r = powered_flight();
  r.recording_.channels.push_back(column(r, "RPM", 2000, 7000, 0));
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  EXPECT_EQ(told.engine.source, EngineSource::column);
  EXPECT_EQ(told.engine.column, "RPM");
  EXPECT_NEAR(told.engine.powered_time.mid.si(), 452, 10);
  EXPECT_NEAR(covered_by(told, Power::ground_running), 42, 8);
  EXPECT_GT(covered_by(told, Power::off), 250);  // nothing turns: off is confirmed
  // 42 s on the ground and 452 s in the air.
  EXPECT_NEAR(told.engine.running_time.mid.si(), 494, 15);
}

TEST(Engine, HearsNoiseAndTellsItFromAirRushingPast) {
  auto r = powered_flight();
  Channel c = column(r, "ENL", 500, 800, 20);
  // Loud in the last descent too, where energy is lost faster than any wing would sink.
  test::ScriptedRecording dive;
  dive.stand(60).take_off();
  fly(dive, 150, 2.0);
  fly(dive, 200, 0.0);
  fly(dive, 80, -1.7);
  fly(dive, 100, 1.8);
  fly(dive, 40, -1.7);
  fly(dive, 80, -5.0);
  dive.stand(60);
  Channel d = column(dive, "ENL", 500, 800, 20);
  for (std::size_t i = 0; i < d.raw.size(); ++i) {
    const double t = duration_between(test::ScriptedRecording::start(), dive.recording_.fixes[i].time).si();
    if (t > 644 && t < 710) d.raw[i] = 600;
  }
  r.recording_.channels.push_back(c);
  dive.recording_.channels.push_back(d);
  const Told quiet = tell(r.recording_, kStranger), loud = tell(dive.recording_, kStranger);
  ASSERT_TRUE(quiet.engine.known() && loud.engine.known());
  EXPECT_NEAR(quiet.engine.powered_time.mid.si(), 452, 20);
  EXPECT_NEAR(loud.engine.powered_time.mid.si(), 452, 20);
  const bool said = std::any_of(loud.engine.notes.begin(), loud.engine.notes.end(),
                                [](const std::string& n) { return n.find("air rushing past") != std::string::npos; });
  EXPECT_TRUE(said);
}

Channel steady(const test::ScriptedRecording& r, const char* code, std::int32_t level) {
  Channel c{code, 1, {}};
  for (std::size_t i = 0; i < r.recording_.fixes.size(); ++i)
    c.raw.push_back(level == Channel::missing ? level : level + 7 * static_cast<std::int32_t>(i % 5));
  return c;
}
// No values from `from_s` to `to_s` after the start.
void drop_out(const test::ScriptedRecording& r, Channel& c, double from_s, double to_s) {
  for (std::size_t i = 0; i < c.raw.size(); ++i) {
    const double t = duration_between(test::ScriptedRecording::start(), r.recording_.fixes[i].time).si();
    if (t >= from_s && t < to_s) c.raw[i] = Channel::missing;
  }
}
bool noted(const EngineSolution& engine, std::string_view what) {
  return std::any_of(engine.notes.begin(), engine.notes.end(),
                     [&](const std::string& n) { return n.find(what) != std::string::npos; });
}

// The column drops out in the glide at 430 s and is back at 700 s: the power from 498 to 598 s is not heard, nor was it off.
TEST(Engine, HoldsNoClassThroughADropOut) {
  for (const char* code : {"ENL", "RPM"})
    for (const EngineOptions& options : {kOwner, kStranger}) {
      auto r = powered_flight();
      Channel c = column(r, code, 2000, 7000, 0);
      drop_out(r, c, 430, 700);
      r.recording_.channels.push_back(c);
      const Told told = tell(r.recording_, options);
      ASSERT_TRUE(told.engine.known());
      EXPECT_EQ(told.engine.source, EngineSource::column);
      EXPECT_LE(told.engine.powered_time.low.si(), 360) << code;
      EXPECT_GE(told.engine.powered_time.high.si(), 452) << code;
      EXPECT_LE(told.engine.running_time.low.si(), 400) << code;
      EXPECT_GE(told.engine.running_time.high.si(), 494) << code;
      EXPECT_LT(covered_by(told, Power::off), 180) << code;  // heard: 418 to 430 s, and from 700 s to the landing at 800 s
      EXPECT_TRUE(noted(told.engine, "has no values for")) << code;
      if (options.aircraft == AircraftKnown::powered_paraglider) {
        EXPECT_GT(on_at(told, 550), 0.8F) << code;
        EXPECT_LT(on_at(told, 660), 0.2F) << code;
      }
    }
}

// On the ground no more than in the air: silent before launch, the engine may have run.
TEST(Engine, AllowsForAColumnThatIsSilentOnTheGround) {
  auto r = powered_flight();
  Channel c = column(r, "RPM", 2000, 7000, 0);
  drop_out(r, c, 0, 62);
  r.recording_.channels.push_back(c);
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  EXPECT_NEAR(told.engine.powered_time.mid.si(), 452, 15);
  EXPECT_LE(told.engine.running_time.low.si(), 460);
  EXPECT_GE(told.engine.running_time.high.si(), 494);
}

// An electric or muffled engine, or a microphone shielded from it: quiet from end to end, and yet it climbs from the flat.
TEST(Engine, AColumnThatIsQuietThroughoutIsNoProofOfNoEngine) {
  auto r = powered_flight();
  r.recording_.channels.push_back(steady(r, "ENL", 20));
  const Told owner = tell(r.recording_, kOwner), stranger = tell(r.recording_, kStranger);
  ASSERT_TRUE(owner.engine.known() && stranger.engine.known());
  EXPECT_EQ(owner.engine.powered_time.low.si(), 0);
  EXPECT_GE(owner.engine.powered_time.high.si(), 452);
  EXPECT_GE(owner.engine.running_time.high.si(), 494);
  EXPECT_TRUE(noted(owner.engine, "quiet throughout"));
  EXPECT_EQ(stranger.engine.powered_time.low.si(), 0);
  EXPECT_GT(stranger.engine.powered_time.high.si(), 300);
  EXPECT_GT(stranger.engine.running_time.high.si(), 300);
  EXPECT_EQ(covered_by(stranger, Power::under_power), 0);
  EXPECT_LT(*std::max_element(stranger.engine.on.begin(), stranger.engine.on.end()), 0.5F);
  EXPECT_TRUE(noted(stranger.engine, "quiet throughout"));
}

// Pulled up while the column is quiet, and it never is anything else: a tug, or an engine that it does not hear.
TEST(Engine, AQuietColumnAllowsForALaunchByItsOwnEngine) {
  auto r = sailplane(200, 30, 3);
  r.recording_.channels.push_back(steady(r, "ENL", 20));
  const Told told = tell_given(r.recording_, kStranger, 866);
  ASSERT_TRUE(told.engine.known()) << told.engine.unknown;
  EXPECT_EQ(covered_by(told, Power::under_power), 0);
  EXPECT_EQ(told.engine.powered_time.low.si(), 0);
  EXPECT_GE(told.engine.powered_time.high.si(), 180);
}

// Loud from end to end: no two levels, so nothing is learned from it.
TEST(Engine, AColumnAtOneLoudLevelLeavesItToTheMotion) {
  auto r = powered_flight();
  r.recording_.channels.push_back(steady(r, "ENL", 600));
  const Told owner = tell(r.recording_, kOwner), stranger = tell(r.recording_, kStranger);
  ASSERT_TRUE(owner.engine.known() && stranger.engine.known());
  for (const Told* told : {&owner, &stranger}) {
    EXPECT_EQ(told->engine.source, EngineSource::motion);
    EXPECT_TRUE(noted(told->engine, "one level throughout"));
  }
  EXPECT_NEAR(owner.engine.powered_time.mid.si(), 452, 25);
  EXPECT_GT(stranger.engine.powered_time.high.si(), 300);
}

// Turning at one speed from before launch to after landing: running, but under power or idle is not to be told.
TEST(Engine, RevolutionsAtOneLevelLeaveItToTheMotion) {
  auto r = powered_flight();
  r.recording_.channels.push_back(steady(r, "RPM", 5000));
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  EXPECT_EQ(told.engine.source, EngineSource::motion);
  EXPECT_TRUE(noted(told.engine, "Column RPM is at one level throughout"));
  EXPECT_NEAR(told.engine.powered_time.mid.si(), 452, 25);
}

// A knock now and then shows that something is heard, not that the engine is.
TEST(Engine, KnocksAloneDoNotTurnTheOwnersEngineOff) {
  auto r = powered_flight();
  Channel c = steady(r, "ENL", 20);
  for (std::size_t i = 0; i < c.raw.size(); ++i)
    if (i % 150 < 3) c.raw[i] = 600;
  r.recording_.channels.push_back(c);
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  EXPECT_GE(told.engine.powered_time.high.si(), 452);
  EXPECT_TRUE(noted(told.engine, "quiet throughout"));
}

// A dead column hides no good one, and it is said why it was left.
TEST(Engine, TriesTheNextColumnWhereOneIsOfNoUse) {
  auto r = powered_flight();
  r.recording_.channels.push_back({"RPM", 1, std::vector<std::int32_t>(r.recording_.fixes.size(), 0)});
  r.recording_.channels.push_back(steady(r, "MOP", Channel::missing));
  r.recording_.channels.push_back(column(r, "ENL", 500, 800, 20));
  const Told told = tell(r.recording_, kStranger);
  ASSERT_TRUE(told.engine.known());
  EXPECT_EQ(told.engine.column, "ENL");
  EXPECT_NEAR(told.engine.powered_time.mid.si(), 452, 20);
  EXPECT_TRUE(noted(told.engine, "Column RPM never changes"));
  EXPECT_TRUE(noted(told.engine, "Column MOP is empty for most of the flight"));
}

// Bursts of 2 s are too short for stretches of their own. What is printed adds up, and the spread reaches what was heard.
TEST(Engine, ItsStretchesAddUpToItsTime) {
  auto r = powered_flight();
  Channel c = column(r, "RPM", 2000, 7000, 0);
  for (std::size_t i = 0; i < c.raw.size(); ++i) {
    const double t = duration_between(test::ScriptedRecording::start(), r.recording_.fixes[i].time).si();
    for (int k = 0; k < 15; ++k)
      if (t >= 620 + 10 * k && t < 622 + 10 * k) c.raw[i] = 7000;
  }
  r.recording_.channels.push_back(c);
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  double sum = 0;  // a fix stands for the time to the next
  for (const PowerStretch& s : told.engine.stretches)
    if (s.power == Power::under_power) sum += duration_between(s.begin, s.end).si() + 1;
  EXPECT_NEAR(told.engine.powered_time.mid.si(), sum, 0.01);
  EXPECT_GE(told.engine.powered_time.high.si(), 452 + 30);
}

TEST(Engine, WritesHoursAsHours) {
  test::ScriptedRecording r;
  r.stand(60).take_off();
  fly(r, 150, 2.0);
  fly(r, 4200, 0.0);
  fly(r, 170, -1.7);
  r.stand(60);
  const Told told = tell(r.recording_, kStranger);
  ASSERT_TRUE(told.engine.known());
  EXPECT_TRUE(noted(told.engine, "Energy was gained in the air for 1 h "));
}

TEST(Engine, LeavesAColumnThatNeverChangesAlone) {
  auto r = powered_flight();
  r.recording_.channels.push_back({"ENL", 1, std::vector<std::int32_t>(r.recording_.fixes.size(), 0)});
  const Told told = tell(r.recording_, kOwner);
  ASSERT_TRUE(told.engine.known());
  EXPECT_EQ(told.engine.source, EngineSource::motion);
}

TEST(Engine, SaysWhyItKnowsNothing) {
  Track track;
  SmoothedTrack smoothed;
  FoundFlight flight;
  const auto add = [&](int n, int step, double speed, bool heights) {
    track = {}, smoothed = {};
    for (int i = 0; i < n; ++i) {
      TrackFix f;
      f.time = utc(2026, 5, 2, 7) + std::chrono::seconds(i * step);
      f.position = {46, 7 + speed * step * i / 77'000};
      track.fixes.push_back(f);
      SmoothedFix s;
      s.east_m_s = speed;
      s.pressure = {500, 0, {}, heights};
      smoothed.fixes.push_back(s);
    }
    track.interval = seconds(step);
    flight.first = 0, flight.last = track.fixes.size() - 1;
    WindSolution wind;
    wind.unknown = "no wind";
    return find_engine({}, track, smoothed, flight, wind, kOwner);
  };
  EXPECT_TRUE(add(300, 1, 10, true).known());
  for (const EngineSolution& s : {add(20, 1, 10, true), add(300, 1, 10, false), add(100, 30, 10, true), add(300, 1, 0, true),
                                  add(300, 1, 200, true), add(1, 1, 10, true)}) {
    EXPECT_FALSE(s.known());
    EXPECT_FALSE(s.powered_time.known());
    EXPECT_FALSE(s.running_time.known());
    EXPECT_TRUE(s.on.empty());
    EXPECT_TRUE(s.stretches.empty());
  }
}

}  // namespace
}  // namespace headroom
