// The simulated recorder: what it adds to the truth is what it was told to add.
#include "core/simulate/recorder.h"

#include <gtest/gtest.h>

#include <cmath>

namespace headroom::simulate {
namespace {

// Somebody standing for `hours`, which is all that noise statistics need.
SimulatedFlight standing(double hours_long) {
  SimulatedFlight flight;
  flight.script.begin = utc(2026, 5, 2, 7);
  flight.script.site = {{52.3, 0.4}, AltitudeMsl::from_si(30), metres(45), metres(0)};
  const auto n = static_cast<int>(hours_long * 3600 / kTruthInterval);
  for (int i = 0; i <= n; ++i) {
    TruthStep step;
    step.time_s = i * kTruthInterval;
    step.height_msl_m = 30;
    flight.truth.steps.push_back(step);
  }
  return flight;
}

Recording recorded(const SimulatedFlight& flight, const RecorderModel& model, std::uint64_t seed = 5) {
  auto recording = record(flight, model, seed);
  EXPECT_TRUE(recording);
  return recording ? *recording : Recording{};
}

TEST(SimulatedRecorder, NoiseHasTheSpreadAskedFor) {
  RecorderModel model;
  model.position_noise = metres(2);
  model.position_jitter = metres(0);
  model.height_noise = metres(4);
  model.height_jitter = metres(0);
  const Recording recording = recorded(standing(24), model);
  double north = 0, height = 0, mean = 0;
  for (const Fix& fix : recording.fixes) {
    const double metres_north = (fix.position.latitude_deg - 52.3) * 111270;  // a degree of latitude at 52.3 degrees
    north += metres_north * metres_north;
    height += (fix.gnss_height.si() - 75) * (fix.gnss_height.si() - 75);
    mean += fix.gnss_height.si();
  }
  const auto n = static_cast<double>(recording.fixes.size());
  EXPECT_EQ(recording.fixes.size(), 86401U);
  EXPECT_NEAR(std::sqrt(north / n), 2, 0.15);
  EXPECT_NEAR(std::sqrt(height / n), 4, 0.3);
  EXPECT_NEAR(mean / n, 75, 0.4);  // 30 m above the geoid, itself 45 m above the ellipsoid
}

TEST(SimulatedRecorder, PressureSensorDriftsAsToldOverAnHour) {
  RecorderModel model;
  model.pressure_drift = metres(3);
  model.pressure_jitter = metres(0);
  model.pressure_offset = metres(12);
  const SimulatedFlight flight = standing(1);
  double sum = 0, square = 0;
  const int n = 300;
  for (int seed = 1; seed <= n; ++seed) {
    const Recording recording = recorded(flight, model, static_cast<std::uint64_t>(seed));
    EXPECT_NEAR(recording.fixes.front().pressure_altitude.si(), 42, 1);
    const double end = recording.fixes.back().pressure_altitude.si() - 42;
    sum += end, square += end * end;
  }
  EXPECT_NEAR(sum / n, 0, 0.6);
  EXPECT_NEAR(std::sqrt(square / n), 3, 0.45);
}

TEST(SimulatedRecorder, GapsRepeatsAndUnlockedFixesComeAsTold) {
  RecorderModel model;
  model.dropouts_per_hour = 4;
  model.dropout_mean = seconds(20);
  model.repeated_seconds_per_hour = 6;
  model.unlocked_fixes = 7;
  const Recording recording = recorded(standing(50), model);
  int gaps = 0, repeats = 0, unlocked = 0;
  for (std::size_t i = 0; i < recording.fixes.size(); ++i) {
    unlocked += !recording.fixes[i].valid_3d;
    EXPECT_EQ(recording.fixes[i].has_gnss_height, recording.fixes[i].valid_3d);
    if (i == 0) continue;
    const double step = in_seconds(duration_between(recording.fixes[i - 1].time, recording.fixes[i].time));
    EXPECT_GE(step, 0);
    gaps += step > 1, repeats += step == 0;
  }
  EXPECT_EQ(unlocked, 7);
  EXPECT_NEAR(gaps, 200, 45);     // 50 h at 4 an hour, Poisson: sd 14
  EXPECT_NEAR(repeats, 300, 55);  // sd 17
  const double missing = 50 * 3600 + 1 + repeats - static_cast<double>(recording.fixes.size());
  EXPECT_NEAR(missing / gaps, 20, 5);
}

TEST(SimulatedRecorder, SlowRecorderWritesEveryFifthSecondAndSaysSimulated) {
  RecorderModel model;
  model.interval_s = 5;
  model.pressure = false;
  model.engine = EngineColumn::noise_level;
  const Recording recording = recorded(standing(1), model);
  EXPECT_EQ(recording.fixes.size(), 721U);
  EXPECT_TRUE(recording.simulated);
  EXPECT_FALSE(recording.fixes[3].has_pressure_altitude);
  EXPECT_EQ(recording.gnss_datum, HeightDatum::ellipsoid);
  ASSERT_EQ(recording.channels.size(), 1U);
  EXPECT_EQ(recording.channels[0].raw.size(), recording.fixes.size());
}

TEST(SimulatedRecorder, RefusesAnIntervalOfNothingAndAStartAfterTheEnd) {
  RecorderModel model;
  model.interval_s = 0;
  EXPECT_FALSE(record(standing(0.1), model, 1));
  model.interval_s = 1;
  model.starts_late = hours(1);
  EXPECT_FALSE(record(standing(0.1), model, 1));
}

}  // namespace
}  // namespace headroom::simulate
