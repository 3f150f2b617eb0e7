#include "core/simulate/recorder.h"

#include <algorithm>
#include <cmath>

namespace headroom::simulate {
namespace {

std::int32_t engine_value(EngineColumn column, const TruthStep& step, Pcg32& chance) {
  if (column == EngineColumn::rpm) {
    if (!step.engine_running) return 0;
    return static_cast<std::int32_t>(std::lround(2100 + 6200 * std::pow(step.throttle, 0.6) + 60 * chance.gaussian()));
  }
  // Noise: engine, air rushing past, and now and then a knock.
  double level = 15 + 4.0 * std::max(0.0, step.airspeed_m_s - 6) + 12 * std::abs(chance.gaussian());
  if (step.engine_running) level += 260 + 480 * step.throttle + 40 * chance.gaussian();
  if (chance.uniform() < 0.002) level = 700 + 299 * chance.uniform();
  return std::clamp(static_cast<std::int32_t>(std::lround(level)), 0, 999);
}

}  // namespace

Result<Recording> record(const SimulatedFlight& flight, const RecorderModel& model, std::uint64_t seed) {
  if (model.interval_s < 1) return fail(ErrorKind::bad_input, "a simulated recorder writes every 1 s or slower");
  const auto& steps = flight.truth.steps;
  constexpr int kPerSecond = 5;  // steps of kTruthInterval
  static_assert(kTruthInterval * kPerSecond == 1.0);

  Recording recording;
  recording.format = "simulated";
  recording.simulated = true;
  recording.gnss_datum = HeightDatum::ellipsoid;
  recording.header.push_back({"HFFTY", "SIMULATED", 0});
  if (model.engine != EngineColumn::none)
    recording.channels.push_back({model.engine == EngineColumn::rpm ? "RPM" : "ENL", 1, {}});

  Pcg32 chance(seed, 211);
  GaussMarkov east, north, height;
  east.start(chance);
  north.start(chance);
  height.start(chance);
  double pressure_error = in_metres(model.pressure_offset);
  double silent_until = -1;
  const double interval = model.interval_s;
  const double noise_time = in_seconds(model.noise_time);
  const auto first = static_cast<std::size_t>(std::ceil(in_seconds(model.starts_late))) * kPerSecond;
  if (first >= steps.size()) return fail(ErrorKind::bad_input, "the simulated recorder starts after the flight has ended");

  const auto add = [&](const TruthStep& step, double jitter_east, double jitter_north, double jitter_height, double error_east,
                       double error_north, double error_height, bool locked) {
    Fix fix;
    fix.time = shifted(flight.script.begin, seconds(step.time_s));
    fix.position =
        position_at(flight.script.site, step.east_m + error_east + jitter_east, step.north_m + error_north + jitter_north);
    fix.valid_3d = locked;
    if (model.pressure) {
      const double shown = pressure_altitude_at(flight.script.air, AltitudeMsl::from_si(step.height_msl_m)).si();
      const double rush = in_metres(model.pressure_by_speed) * step.airspeed_m_s * step.airspeed_m_s / 100;
      fix.pressure_altitude =
          PressureAltitude::from_si(shown + pressure_error + rush + in_metres(model.pressure_jitter) * chance.gaussian());
      fix.has_pressure_altitude = true;
    }
    if (locked) {
      fix.gnss_height =
          GnssHeight::from_si(step.height_msl_m + in_metres(flight.script.site.geoid_height) + error_height + jitter_height);
      fix.has_gnss_height = true;
    }
    recording.fixes.push_back(fix);
    if (model.engine != EngineColumn::none) recording.channels[0].raw.push_back(engine_value(model.engine, step, chance));
  };

  int unlocked = model.unlocked_fixes;
  for (std::size_t i = first; i < steps.size(); i += static_cast<std::size_t>(model.interval_s) * kPerSecond) {
    const TruthStep& step = steps[i];
    const double error_east = east.step(interval, noise_time, in_metres(model.position_noise), chance);
    const double error_north = north.step(interval, noise_time, in_metres(model.position_noise), chance);
    const double error_height = height.step(interval, noise_time, in_metres(model.height_noise), chance);
    pressure_error += in_metres(model.pressure_drift) * std::sqrt(interval / 3600.0) * chance.gaussian();
    const double jitter_east = in_metres(model.position_jitter) * chance.gaussian();
    const double jitter_north = in_metres(model.position_jitter) * chance.gaussian();
    const double jitter_height = in_metres(model.height_jitter) * chance.gaussian();
    if (step.time_s < silent_until) continue;
    if (chance.uniform() < model.dropouts_per_hour * interval / 3600.0) {
      silent_until = step.time_s - in_seconds(model.dropout_mean) * std::log(chance.uniform());
      continue;
    }
    const bool locked = unlocked <= 0;
    const double off = locked ? 0.0 : 40.0 * unlocked;
    if (!locked) --unlocked;
    add(step, jitter_east + off, jitter_north - 0.6 * off, jitter_height, error_east, error_north, error_height, locked);
    if (chance.uniform() < model.repeated_seconds_per_hour * interval / 3600.0)
      add(step, jitter_north, jitter_east, jitter_height, error_east, error_north, error_height, locked);
  }
  return recording;
}

}  // namespace headroom::simulate
