// Nanoseconds a fix of the track core, on a made-up flight of 10000 fixes a second apart with quantised positions and heights.
#include <benchmark/benchmark.h>

#include "core/track/analyse.h"
#include "unit/core/track/scripted_recording.h"

namespace {

using namespace headroom;

const Recording& flown_recording() {
  static const Recording recording = [] {
    test::ScriptedRecording s;
    s.stand(120).take_off();
    for (int i = 0; i < 24; ++i) s.climb(180).descend(220);
    s.stand(272);
    return s.recording_;
  }();
  return recording;
}
void per_fix(benchmark::State& state) {
  const auto fixes = static_cast<double>(flown_recording().fixes.size());
  state.counters["per_fix"] =
      benchmark::Counter(fixes, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void BM_Clean(benchmark::State& state) {
  Track track;
  CleanReport report;
  CleanScratch scratch;
  for (auto _ : state) benchmark::DoNotOptimize(clean(flown_recording(), track, report, scratch));
  per_fix(state);
}
BENCHMARK(BM_Clean);

void BM_Smooth(benchmark::State& state) {
  Track track;
  CleanReport report;
  CleanScratch scratch;
  (void)clean(flown_recording(), track, report, scratch);
  SmoothedTrack out;
  for (auto _ : state) {
    smooth(track, out);
    benchmark::DoNotOptimize(out.fixes.data());
  }
  per_fix(state);
}
BENCHMARK(BM_Smooth);

void BM_FindFlights(benchmark::State& state) {
  Track track;
  CleanReport report;
  CleanScratch scratch;
  (void)clean(flown_recording(), track, report, scratch);
  SmoothedTrack smoothed;
  smooth(track, smoothed);
  FlightSearch search;
  for (auto _ : state) {
    find_flights(track, smoothed, Declared::nothing, search);
    benchmark::DoNotOptimize(search.flights.data());
  }
  state.counters["flights"] = static_cast<double>(search.flights.size());
  per_fix(state);
}
BENCHMARK(BM_FindFlights);

void BM_Analyse(benchmark::State& state) {
  Workspace workspace;
  for (auto _ : state) {
    auto analysis = analyse(flown_recording(), nullptr, workspace);
    benchmark::DoNotOptimize(analysis->flights.data());
    workspace.give_back(std::move(*analysis));
  }
  per_fix(state);
}
BENCHMARK(BM_Analyse);

}  // namespace
