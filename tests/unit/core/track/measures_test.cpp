// Measures and phases against motions whose answer is known by hand; formulas against check values of published equations.
#include "core/track/measures.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "core/track/detail.h"
#include "core/track/measure_parts.h"
#include "core/track/standard.h"
#include "core/track/story.h"
#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

using test::ScriptedRecording;
using V = ScriptedRecording::Velocity;

struct ToldMeasures {
  Workspace workspace;
  Analysis analysis;
  FlightDetail detail;
  [[nodiscard]] const FlightMeasure& of(MeasureKind kind) const { return detail.measures.at(static_cast<std::size_t>(kind)); }
};

ToldMeasures tell(const Recording& recording, MeasureOptions measures = {}) {
  ToldMeasures t;
  auto analysis = analyse(recording, nullptr, t.workspace);
  EXPECT_TRUE(analysis);
  t.analysis = std::move(*analysis);
  EXPECT_EQ(t.analysis.found.size(), 1U);
  DetailOptions options;
  options.aircraft = AircraftKnown::powered_paraglider;
  options.measures = measures;
  if (t.analysis.found.size() == 1) t.detail = tell_flight(recording, t.analysis, t.analysis.found[0], options);
  return t;
}

// Airspeed 10 along a slowly turning heading, in a wind blowing towards the east.
V flying(double heading, double up, double airspeed = 10, double wind_east = 2) {
  return {airspeed * std::sin(heading) + wind_east, airspeed * std::cos(heading), up};
}

// 60 s of standing, a run of 27 m by constant acceleration from rest against the wind (a = 1.5 m/s2, V = 9 m/s on the ground:
// check values, 8.3), climb at 2 m/s, two circles level, a straight glide at 1.5 m/s down, landing.
ScriptedRecording local_flight(unsigned seed = 1, double start_height_m = 100) {
  ScriptedRecording s(seed, start_height_m);
  s.stand(60);
  s.leg(6, [](double t) { return V{-1.5 * (t + 0.5), 0, 0}; });
  s.leg(100, [](double t) { return flying(-std::numbers::pi / 2 + 0.002 * t, std::min(2.0, 0.4 * (t + 1))); });
  s.leg(160, [](double t) { return flying(-1.37 + t * 2 * std::numbers::pi / 40, 0); });
  s.leg(120, [](double) { return flying(-1.37, 0); });
  s.leg(100, [](double) { return flying(-1.37, -1.5); });
  s.leg(2, [](double) { return flying(-1.37, -0.5, 8); });
  s.leg(3, V{-2, 0, 0});
  s.stand(60);
  return s;
}

TEST(Measures, KeysAreThereForEveryKindAndComeBack) {
  for (std::size_t i = 0; i < kMeasureKinds; ++i) {
    const auto kind = static_cast<MeasureKind>(i);
    EXPECT_EQ(measure_of_key(measure_key(kind)), kind);
    EXPECT_FALSE(measure_words(kind).empty());
  }
  EXPECT_FALSE(measure_of_key("altitude"));
  EXPECT_EQ(measure_dimension(MeasureKind::climb_rate), Dimension::climb);
  EXPECT_EQ(measure_dimension(MeasureKind::sink_rate), Dimension::climb);
  EXPECT_EQ(measure_dimension(MeasureKind::roughness), Dimension::climb);
}

// Check values, 8.1: 10.6 m/s at 100 kg and 1.225 is 12.4940 m/s at 120 kg and 1.0581; here the way back.
// Common practice, no source: a paraglider's trim speed is 8 to 16 m/s, up to 19 with trimmers open; sailplanes cruise at 25
// to 50.
TEST(Measures, WhatFliesFasterThanAParagliderIsDoubted) {
  FlightMeasure trim;
  trim.kind = MeasureKind::trim_airspeed;
  for (const auto& [low, mid, doubted] :
       {std::tuple(9.0, 10.5, false), std::tuple(17.0, 21.0, false), std::tuple(28.0, 31.0, true)}) {
    trim.as_flown = {Dimension::speed, low, mid, mid + 1, measured(), {}};
    EXPECT_EQ(!aircraft_doubt({trim}).empty(), doubted) << mid;
  }
  trim.as_flown = unknown_amount(Dimension::speed, "not told");
  EXPECT_TRUE(aircraft_doubt({trim}).empty());
}

TEST(Measures, SpeedGoesWithTheRootOfMassOverDensity) {
  EXPECT_NEAR(standard_speed(12.4940, 1.0581 / 1.225, 100.0 / 120.0), 10.6, 5e-5);
}

// Check values, 8.1: T 500 N, m 110 kg, L/D 7, V 11 m/s climbs at 3.527152 m/s. The same machine in air of density ratio 0.9
// has 450 N and flies at 11/sqrt(0.9); its climb there by the same formula must come back to 3.527152.
TEST(Measures, ClimbIsBroughtToStandardByExcessPower) {
  constexpr double g = 9.80665;
  EXPECT_NEAR(standard_climb(3.527152, 11, 7, 1, 1), 3.527152, 1e-9);
  const double v = 11 / std::sqrt(0.9), thin = v * (450 / (110 * g) - 1.0 / 7);
  EXPECT_LT(thin, 3.2);
  EXPECT_NEAR(standard_climb(thin, v, 7, 0.9, 1), 3.527152, 5e-6);
  // At 130 kg with the same 500 N: V goes with the root of mass.
  const double heavy_v = 11 * std::sqrt(130.0 / 110), heavy = heavy_v * (500 / (130 * g) - 1.0 / 7);
  EXPECT_NEAR(standard_climb(heavy, heavy_v, 7, 1, 110.0 / 130), 3.527152, 5e-6);
}

TEST(Measures, OneOfEachKindInOrder) {
  const ToldMeasures t = tell(local_flight().recording_);
  ASSERT_EQ(t.detail.measures.size(), kMeasureKinds);
  for (std::size_t i = 0; i < kMeasureKinds; ++i) {
    const FlightMeasure& m = t.detail.measures[i];
    EXPECT_EQ(m.kind, static_cast<MeasureKind>(i));
    EXPECT_EQ(m.as_flown.dimension, measure_dimension(m.kind));
    if (m.as_flown.known()) {
      EXPECT_LE(m.as_flown.low, m.as_flown.mid) << measure_key(m.kind);
      EXPECT_LE(m.as_flown.mid, m.as_flown.high) << measure_key(m.kind);
    } else {
      EXPECT_FALSE(m.as_flown.note.empty()) << measure_key(m.kind);
      EXPECT_FALSE(m.learnable);
    }
  }
  EXPECT_EQ(t.of(MeasureKind::lowest_above_ground).as_flown.note, "terrain is not known yet");
}

void expect_holds(const FlightMeasure& m, double truth, double widest) {
  ASSERT_TRUE(m.as_flown.known()) << measure_key(m.kind) << ": " << m.as_flown.note;
  EXPECT_LE(m.as_flown.low, truth) << measure_key(m.kind);
  EXPECT_GE(m.as_flown.high, truth) << measure_key(m.kind);
  EXPECT_LE(m.as_flown.high - m.as_flown.low, widest) << measure_key(m.kind);
}

TEST(Measures, OfAFlightMadeToOrder) {
  const ToldMeasures t = tell(local_flight().recording_);
  expect_holds(t.of(MeasureKind::climb_rate), 2, 1.2);
  expect_holds(t.of(MeasureKind::level_speed), 10, 3);
  expect_holds(t.of(MeasureKind::sink_rate), 1.5, 1.2);
  expect_holds(t.of(MeasureKind::glide), 10 / 1.5, 6);
  expect_holds(t.of(MeasureKind::wind_speed), 2, 3);
  // 40 s a circle: 0.15708 rad/s; bank atan(10 x 0.15708 / 9.80665) = 9.10 degrees.
  expect_holds(t.of(MeasureKind::fastest_turn), 2 * std::numbers::pi / 40, 0.08);
  expect_holds(t.of(MeasureKind::steepest_bank), std::atan(10 * 2 * std::numbers::pi / 40 / 9.80665), 0.12);
  EXPECT_NE(t.of(MeasureKind::sink_rate).remark.find("Idle or off"), std::string::npos);
  EXPECT_FALSE(t.of(MeasureKind::sink_rate).learnable);  // idle thrust would be learned as less sink
  EXPECT_FALSE(t.of(MeasureKind::glide).learnable);
  // Without masses density alone is corrected for, and said.
  ASSERT_TRUE(t.of(MeasureKind::climb_rate).standard);
  EXPECT_NE(t.of(MeasureKind::climb_rate).remark.find("density alone"), std::string::npos);
}

// Speeds go with the root of the masses: 100 kg for 121 flown is a factor 1/1.1.
TEST(Measures, MassBringsSpeedsToStandard) {
  MeasureOptions options;
  options.all_up = kilograms(121);
  options.reference = kilograms(100);
  const ToldMeasures bare = tell(local_flight().recording_), told = tell(local_flight().recording_, options);
  for (const MeasureKind kind : {MeasureKind::level_speed, MeasureKind::sink_rate}) {
    ASSERT_TRUE(bare.of(kind).standard && told.of(kind).standard);
    EXPECT_NEAR(told.of(kind).standard->mid * 1.1, bare.of(kind).standard->mid, 1e-9);
    EXPECT_EQ(told.of(kind).remark.find("mass is not known"), std::string::npos);
  }
  EXPECT_FALSE(bare.of(MeasureKind::trim_airspeed).standard);
  ASSERT_TRUE(told.of(MeasureKind::trim_airspeed).standard);
  EXPECT_NEAR(told.of(MeasureKind::trim_airspeed).standard->mid * 1.1, told.of(MeasureKind::trim_airspeed).as_flown.mid, 1e-9);
}

// ISO 2533: 1.1117 kg/m3 at 1000 m, where this flight begins (its pressure heights are 60 m under the true ones); on average it
// is flown some 150 m above.
TEST(Measures, ARunIsMetWithTheAirOfItsLaunch) {
  const ToldMeasures t = tell(local_flight(1, 1060).recording_);
  for (const MeasureKind kind :
       {MeasureKind::room_used, MeasureKind::run_time, MeasureKind::run_headwind, MeasureKind::lift_off_ground_speed}) {
    ASSERT_TRUE(t.of(kind).as_flown.known()) << t.of(kind).as_flown.note;
    EXPECT_NEAR(t.of(kind).density_ratio, 1.1117 / 1.225, 0.0005) << measure_key(kind);
  }
  EXPECT_LT(t.of(MeasureKind::climb_rate).density_ratio, 1.1117 / 1.225 - 0.005);
}

// A walk round in four seconds before the run is no turn of the flight, though the flight is found from within it.
TEST(Measures, TurnsAreLookedForBetweenLiftOffAndTouchdown) {
  ScriptedRecording s;
  s.stand(60);
  s.leg(16, [](double t) { return V{3 * std::sin(t * std::numbers::pi / 2), 3 * std::cos(t * std::numbers::pi / 2), 0}; });
  s.stand(3);
  s.leg(6, [](double t) { return V{-1.5 * (t + 0.5), 0, 0}; });
  s.leg(100, [](double t) { return flying(-std::numbers::pi / 2 + 0.002 * t, std::min(2.0, 0.4 * (t + 1))); });
  s.leg(160, [](double t) { return flying(-1.37 + t * 2 * std::numbers::pi / 40, 0); });
  s.leg(133, [](double) { return flying(-1.37, -1.5); });
  s.stand(60);
  ToldMeasures t;
  auto analysis = analyse(s.recording_, nullptr, t.workspace);
  ASSERT_TRUE(analysis);
  ASSERT_EQ(analysis->found.size(), 1U);
  FoundFlight found = analysis->found[0];
  ASSERT_TRUE(found.lift_off.known());
  for (const std::size_t early : {0U, 15U, 20U}) {  // the flight's first fix within the run, within the walk
    found.first = analysis->found[0].first - early;
    t.detail = tell_flight(s.recording_, *analysis, found);
    ASSERT_TRUE(t.detail.phases.take_off.seen) << t.detail.phases.take_off.why_not;
    expect_holds(t.of(MeasureKind::fastest_turn), 2 * std::numbers::pi / 40, 0.1);
    expect_holds(t.of(MeasureKind::steepest_bank), std::atan(10 * 2 * std::numbers::pi / 40 / 9.80665), 0.15);
  }
}

// A climb rate of 0.6 sin(2 pi t / 10): deviation 0.424. Averaged over 5 s, of 10, it keeps 2/pi (sinc 1/2); the three fixes
// averaged keep (1 + 2 cos 36) / 3 = 0.873: 0.236.
TEST(Measures, RoughnessSeesTenSecondsAndNotTheRounding) {
  const auto fly = [](double swing) {
    ScriptedRecording s;
    s.stand(40).take_off();
    // Slow changes of the mean climb, which the band leaves out.
    s.leg(100, [](double t) { return flying(0.002 * t, 2 * std::sin(std::numbers::pi * t / 100)); });
    s.leg(700, [swing](double t) { return flying(t / 40, swing * std::sin(2 * std::numbers::pi * t / 10)); });
    s.leg(140, [](double t) { return flying(1, -1.6 * std::sin(std::numbers::pi * t / 140)); });
    s.stand(60);
    return tell(s.recording_);
  };
  const ToldMeasures rough = fly(0.6), smooth = fly(0);
  const Amount& a = rough.of(MeasureKind::roughness).as_flown;
  ASSERT_TRUE(a.known()) << a.note;
  EXPECT_NEAR(a.mid, 0.236, 0.03);
  const Amount& b = smooth.of(MeasureKind::roughness).as_flown;
  ASSERT_TRUE(b.known()) << b.note;
  EXPECT_LT(b.mid, 0.09);
}

// The same air, exact heights, a third of the time without any: what is not there is neither calm nor a step. Between whole
// seconds within five there are four, which keep sin(0.4 pi) / (0.4 pi) = 0.757 of the swing: 0.424 x 0.757 x 0.873 = 0.280.
TEST(Measures, RoughnessLeavesOutWhereHeightsAreMissing) {
  FlightSeries s;
  s.heights = s.by_pressure = true;
  for (int i = 0; i < 860; ++i) {
    const double h = i % 43 < 13 ? std::nan("") : 500 - 6 / (2 * std::numbers::pi) * std::cos(2 * std::numbers::pi * i / 10);
    s.time_s.push_back(i);
    s.height_m.push_back(h);
    s.raw_m.push_back(h);
  }
  const Roughness r = roughness_of(s, std::vector<char>(s.size(), 1));
  EXPECT_NEAR(r.sd_m_s, 0.280, 0.01);
  EXPECT_GT(r.seconds, 60);
  EXPECT_LT(r.seconds, 600);
}

TEST(Measures, NoClimbIsTakenAcrossMissingHeights) {
  ScriptedRecording s = local_flight();
  constexpr std::size_t from = 90, to = 130;  // seconds of the climb
  for (std::size_t i = from; i < to; ++i)
    s.recording_.fixes[i].has_gnss_height = s.recording_.fixes[i].has_pressure_altitude = false;
  const ToldMeasures t = tell(s.recording_);
  const FlightSeries series = flight_series(t.analysis.track, t.analysis.smoothed, t.analysis.found.at(0), t.detail.wind);
  const auto blocks = climb_blocks(series, std::vector<char>(series.size(), 1), 20);
  ASSERT_GT(blocks.size(), 5U);
  for (const ClimbBlock& b : blocks) {
    const bool apart = b.begin_s + b.seconds < static_cast<double>(from) || b.begin_s >= static_cast<double>(to);
    EXPECT_TRUE(apart) << b.begin_s << " to " << b.begin_s + b.seconds;
  }
}

// The sentence of the wind and its measure are of one mean: 2 m/s towards the east, and one spread.
TEST(Measures, TheSentenceOfTheWindHasTheMeanOfTheMeasure) {
  const ToldMeasures t = tell(local_flight().recording_);
  ASSERT_TRUE(t.detail.wind.known());
  const WindState& mean = t.detail.wind.mean;
  EXPECT_NEAR(static_cast<double>(mean.east_m_s), 2, 1);
  EXPECT_NEAR(static_cast<double>(mean.north_m_s), 0, 1);
  EXPECT_NEAR(t.of(MeasureKind::wind_speed).as_flown.mid, mean.speed_m_s(), 0.2);
  FlightDetail kept = t.detail;
  kept.keep_summary();
  const Sentence told = wind_sentence(kept);
  ASSERT_GE(told.parts.size(), 3U);
  EXPECT_NEAR(std::get<Amount>(told.parts[1]).mid, mean.speed_m_s(), 1e-9);
  EXPECT_NEAR(std::get<Amount>(told.parts[2]).mid, mean.spread_m_s(), 1e-9);
}

// Bad input: a reason, never a number.
void expect_unknown(const ToldMeasures& t, std::initializer_list<MeasureKind> kinds) {
  for (const MeasureKind kind : kinds) {
    const FlightMeasure& m = t.of(kind);
    EXPECT_FALSE(m.as_flown.known()) << measure_key(kind);
    EXPECT_FALSE(m.as_flown.note.empty()) << measure_key(kind);
    EXPECT_FALSE(m.standard) << measure_key(kind);
    EXPECT_FALSE(m.learnable) << measure_key(kind);
  }
}

TEST(Measures, WithoutHeightsNoClimbNoSinkNoRoughness) {
  Recording r = local_flight().recording_;
  for (Fix& f : r.fixes) f.has_gnss_height = f.has_pressure_altitude = false;
  const ToldMeasures t = tell(r);
  expect_unknown(t, {MeasureKind::room_used, MeasureKind::climb_rate, MeasureKind::level_speed, MeasureKind::sink_rate,
                     MeasureKind::glide, MeasureKind::roughness});
}

TEST(Measures, ThirtySecondsApartTellNoClimbNoTurnNoRoughness) {
  Recording r = local_flight().recording_;
  Recording thin = r;
  thin.fixes.clear();
  for (std::size_t i = 0; i < r.fixes.size(); i += 30) thin.fixes.push_back(r.fixes[i]);
  ToldMeasures t;
  auto analysis = analyse(thin, nullptr, t.workspace);
  ASSERT_TRUE(analysis);
  FoundFlight found;
  found.first = 2;
  found.last = analysis->track.fixes.size() - 3;
  found.launch = analysis->track.fixes.at(found.first).time;
  found.landing = analysis->track.fixes.at(found.last).time;
  t.detail = tell_flight(thin, *analysis, found);
  expect_unknown(t, {MeasureKind::room_used, MeasureKind::climb_rate, MeasureKind::level_speed, MeasureKind::trim_airspeed,
                     MeasureKind::sink_rate, MeasureKind::glide, MeasureKind::steepest_bank, MeasureKind::fastest_turn,
                     MeasureKind::roughness, MeasureKind::wind_speed});
}

// A hop of some 40 s, a recorder at rest: measured as if they had been found to be flights.
TEST(Measures, TooShortOrAtRestTellsNothing) {
  for (const double speed : {9.0, 0.0}) {
    ScriptedRecording s;
    s.stand(30).leg(30, V{speed, 0, 0}).stand(30);
    ToldMeasures t;
    auto analysis = analyse(s.recording_, nullptr, t.workspace);
    ASSERT_TRUE(analysis);
    FoundFlight found;
    found.first = 30;
    found.last = 60;
    found.launch = analysis->track.fixes[found.first].time;
    found.landing = analysis->track.fixes[found.last].time;
    t.detail = tell_flight(s.recording_, *analysis, found);
    expect_unknown(t, {MeasureKind::climb_rate, MeasureKind::level_speed, MeasureKind::trim_airspeed, MeasureKind::sink_rate,
                       MeasureKind::glide, MeasureKind::steepest_bank, MeasureKind::roughness, MeasureKind::wind_speed});
  }
}

// One straight line at one speed: nothing tells the wind from the airspeed.
TEST(Measures, AStraightLineTellsNoWind) {
  ScriptedRecording s;
  s.stand(60).take_off();
  s.leg(100, V{9, 0, 2}).leg(300, V{9, 0, 0}).leg(125, V{9, 0, -1.6}).stand(60);
  const ToldMeasures t = tell(s.recording_);
  const FlightMeasure& wind = t.of(MeasureKind::wind_speed);
  EXPECT_FALSE(wind.learnable);
  if (wind.as_flown.known()) {
    EXPECT_GT(wind.as_flown.high - wind.as_flown.low, 3);
  }
}

TEST(Measures, AbsurdSpeedsAreNotBelieved) {
  ScriptedRecording s;
  s.stand(60).take_off();
  s.leg(100, [](double t) { return flying(0.05 * t, 2, 110); });
  s.leg(200, [](double t) { return flying(0.05 * t, 0, 110); });
  s.leg(120, [](double t) { return flying(0.05 * t, -1.6, 110); });
  s.stand(60);
  ToldMeasures t;
  auto analysis = analyse(s.recording_, nullptr, t.workspace);
  ASSERT_TRUE(analysis);
  FoundFlight found;
  found.first = 75;
  found.last = 480;
  found.launch = analysis->track.fixes.at(found.first).time;
  found.landing = analysis->track.fixes.at(found.last).time;
  t.detail = tell_flight(s.recording_, *analysis, found);
  expect_unknown(t, {MeasureKind::level_speed, MeasureKind::trim_airspeed, MeasureKind::glide, MeasureKind::steepest_bank,
                     MeasureKind::fastest_turn, MeasureKind::wind_speed});
}

}  // namespace
}  // namespace headroom
