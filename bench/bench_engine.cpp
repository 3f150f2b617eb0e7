// Engine use of an invented flight, one fix a second, from its motion and from a column. Smoothing and wind are not in it.
#include <benchmark/benchmark.h>

#include <cmath>

#include "core/track/engine.h"

namespace headroom {
namespace {

struct InventedFlight {
  Track track;
  SmoothedTrack smoothed;
  FoundFlight flight;
  WindSolution wind;
};

InventedFlight invented_flight(int fixes) {
  InventedFlight f;
  f.track.interval = seconds(1);
  f.track.has_pressure = true;
  double height = 300;
  for (int i = 0; i < fixes; ++i) {
    height += i % 600 < 450 ? 0.6 + 0.8 * std::sin(i / 11.0) : -1.8 + 0.3 * std::sin(i / 13.0);
    TrackFix fix;
    fix.time = utc(2026, 5, 2, 8) + std::chrono::seconds(i);
    fix.position = {46 + 900 * std::cos(i / 90.0) / 111'200, 7 + 900 * std::sin(i / 90.0) / 77'200};
    fix.pressure_altitude = PressureAltitude::from_si(std::round(height));
    fix.has_pressure_altitude = true;
    f.track.fixes.push_back(fix);
  }
  smooth(f.track, f.smoothed);
  f.flight.first = 0, f.flight.last = f.track.fixes.size() - 1;
  f.wind = estimate_wind(ground_velocities(f.track, f.smoothed, f.flight.first, f.flight.last));
  return f;
}

void engine_from_motion(benchmark::State& state) {
  const InventedFlight f = invented_flight(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const EngineSolution s = find_engine({}, f.track, f.smoothed, f.flight, f.wind, {AircraftKnown::powered_paraglider, true});
    benchmark::DoNotOptimize(s.on.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(f.track.fixes.size()));
}
void engine_from_a_column(benchmark::State& state) {
  InventedFlight f = invented_flight(static_cast<int>(state.range(0)));
  Recording recording;
  recording.channels.push_back({"ENL", 1, {}});
  for (std::size_t i = 0; i < f.track.fixes.size(); ++i) {
    f.track.fixes[i].source = static_cast<std::uint32_t>(i);
    recording.channels[0].raw.push_back(static_cast<std::int32_t>((i % 600 < 450 ? 700 : 20) + i * 7919 % 60));
  }
  for (auto _ : state) {
    const EngineSolution s =
        find_engine(recording, f.track, f.smoothed, f.flight, f.wind, {AircraftKnown::powered_paraglider, true});
    benchmark::DoNotOptimize(s.on.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(f.track.fixes.size()));
}
BENCHMARK(engine_from_a_column)->Arg(10'000)->Unit(benchmark::kMillisecond);
BENCHMARK(engine_from_motion)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headroom
