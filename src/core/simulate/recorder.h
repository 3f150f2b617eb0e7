#pragma once
// What a small recorder would have written of a simulated flight, faults included.
#include "core/simulate/flight.h"

namespace headroom::simulate {

enum class EngineColumn : std::uint8_t { none, noise_level, rpm };  // IGC "ENL" 0 to 999, "RPM"

struct RecorderModel {
  int interval_s = 1;                     // 1 or more whole seconds
  Length position_noise = metres(1.5);    // east and north each, standard deviation, correlated over noise_time
  Length position_jitter = metres(0.25);  // the same, from fix to fix
  Duration noise_time = seconds(40);      // of position and GNSS height
  Length height_noise = metres(3.5);      // GNSS height, correlated
  Length height_jitter = metres(0.4);     // GNSS height, from fix to fix
  Length pressure_offset{};               // of the pressure sensor at the start
  Length pressure_drift = metres(2);      // standard deviation of its wandering over an hour (random walk)
  Length pressure_jitter = metres(0.15);  // from fix to fix
  Length pressure_by_speed{};            // what the air rushing past a pocket or case adds at 10 m/s of airspeed, with its square
  bool pressure = true;                  // false: a recorder without a sensor; has_pressure_altitude stays off
  int unlocked_fixes = 0;                // V fixes at the start, far off and without GNSS height
  double dropouts_per_hour = 0;          // gaps
  Duration dropout_mean = seconds(12);   // their mean length, exponential
  double repeated_seconds_per_hour = 0;  // fixes written twice under one time
  EngineColumn engine = EngineColumn::none;
  Duration starts_late{};  // after the script begins
};

// The recording as values, not yet rounded to what a file can hold: IGC rounds positions to 0.001 minute and heights to 1 m.
// `simulated` is set and the header says so. GNSS heights are above the WGS 84 ellipsoid. Errors: bad_input for an interval
// under 1 s or a start after the end.
[[nodiscard]] Result<Recording> record(const SimulatedFlight& flight, const RecorderModel& model, std::uint64_t seed);

}  // namespace headroom::simulate
