// Wind and airspeed at every fix of an invented flight with a fix a second, some 3.5 hours; smoothing is not in it.
#include <benchmark/benchmark.h>

#include <cmath>

#include "core/track/smooth.h"
#include "core/track/wind.h"

namespace headroom {
namespace {

// Legs of 200 s between three circles each, in a wind that slowly turns.
const Track& invented_track() {
  static const Track track = [] {
    Track t;
    t.interval = seconds(1);
    double east = 0, north = 0, heading = 0;
    for (int i = 0; i < 12'600; ++i) {
      const int phase = i % 260;
      heading += phase < 60 ? 0.314 : 0.01 * std::sin(i / 37.0);
      const double airspeed = 10.5 + 0.8 * std::sin(i / 91.0);
      east += airspeed * std::sin(heading) + 3 * std::cos(i / 4000.0);
      north += airspeed * std::cos(heading) + 3 * std::sin(i / 4000.0);
      TrackFix fix;
      fix.time = utc(2026, 5, 2, 8) + std::chrono::seconds(i);
      fix.position = {46 + std::round(north / 1.85) * 1.85 / 111'200, 7 + std::round(east / 1.3) * 1.3 / 77'200};
      fix.pressure_altitude = PressureAltitude::from_si(500 + 100 * std::sin(i / 300.0));
      fix.has_pressure_altitude = true;
      t.fixes.push_back(fix);
    }
    t.has_pressure = true;
    return t;
  }();
  return track;
}

void wind_at_every_fix(benchmark::State& state) {
  const Track& track = invented_track();
  SmoothedTrack smoothed;
  smooth(track, smoothed);
  for (auto _ : state) {
    const auto velocities = ground_velocities(track, smoothed, 0, track.fixes.size() - 1);
    const WindSolution solution = estimate_wind(velocities);
    float sum = 0;
    for (std::size_t i = 0; i < track.fixes.size(); ++i) sum += solution.at(static_cast<double>(i)).east_m_s;
    benchmark::DoNotOptimize(sum);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(track.fixes.size()));
}
BENCHMARK(wind_at_every_fix)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headroom
