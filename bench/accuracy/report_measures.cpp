#include "accuracy/report_measures.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>
#include <vector>

#include "accuracy/scenarios.h"
#include "accuracy/scenarios_engine.h"
#include "accuracy/targets.h"
#include "core/track/detail.h"
#include "formats/igc.h"
#include "formats/igc_write.h"

namespace headroom::accuracy {
namespace {

struct FigureTally {
  int n = 0, told = 0, covered = 0;
  std::vector<double> error, width, plain;
  void add(const FigureTally& o) {
    n += o.n, told += o.told, covered += o.covered;
    error.insert(error.end(), o.error.begin(), o.error.end());
    width.insert(width.end(), o.width.begin(), o.width.end());
    plain.insert(plain.end(), o.plain.begin(), o.plain.end());
  }
};
struct MeasuresTally {
  FigureTally climb, sink;
  double seconds = 0, fixes = 0;
  void add(const MeasuresTally& o) {
    climb.add(o.climb), sink.add(o.sink);
    seconds += o.seconds, fixes += o.fixes;
  }
};

double share_of(int part, int whole) {
  return whole > 0 ? 100.0 * part / whole : 0;
}
double median_abs(std::vector<double> x) {
  if (x.empty()) return 0;
  for (double& v : x) v = std::abs(v);
  std::nth_element(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2), x.end());
  return x[x.size() / 2];
}

// What the machine did in the air that met it: climb rate less the air's own, over the steps for which `keep` holds.
template <class Keep>
double still_air_climb(const simulate::Truth& truth, Keep keep, double& seconds) {
  double sum = 0, count = 0;
  for (const auto& s : truth.steps) {
    if (!s.airborne || std::abs(s.bank_deg) > 8 || !keep(s)) continue;
    sum += s.velocity_up_m_s - s.wind_up_m_s;
    count += 1;
  }
  seconds = count * simulate::kTruthInterval;
  return count > 0 ? sum / count : 0;
}

void judge_figure(const FlightMeasure& m, double truth, double seconds, double plain, FigureTally& t) {
  if (seconds < 60) return;  // hardly any in this flight
  ++t.n;
  t.plain.push_back(plain - truth);
  if (!m.as_flown.known()) return;
  ++t.told;
  t.covered += m.as_flown.low <= truth && truth <= m.as_flown.high;
  t.error.push_back(m.as_flown.mid - truth);
  t.width.push_back(m.as_flown.high - m.as_flown.low);
}

MeasuresTally judge_measures(Programme programme, double vertical, int interval_s, std::uint64_t seed, Workspace& workspace) {
  MeasuresTally t;
  const auto flight = simulate_flight(script_of(programme, vertical, seed));
  if (!flight) return t;
  const auto recording = record(*flight, recorder_of(interval_s, seed), seed);
  if (!recording) return t;
  const Recording read = read_igc(write_simulated_igc(*recording).value_or(std::string()));
  auto analysis = analyse(read, nullptr, workspace);
  if (!analysis) return t;
  if (analysis->found.size() == 1) {
    DetailOptions options;
    options.aircraft = AircraftKnown::powered_paraglider;
    const FoundFlight& found = analysis->found[0];
    const FlightDetail d = tell_flight(read, *analysis, found, options);
    const auto begin = std::chrono::steady_clock::now();
    const FlightPhases phases = find_phases(analysis->track, analysis->smoothed, found, d.engine, d.velocities, d.wind);
    const auto measures = measure_flight(analysis->track, analysis->smoothed, found, d.wind, d.engine, phases, {});
    t.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    t.fixes = static_cast<double>(analysis->track.fixes.size());
    double seconds = 0;
    const double full = still_air_climb(
        flight->truth, [](const auto& s) { return s.stage == simulate::Stage::climb && s.throttle > 0.9; }, seconds);
    // Beside it: the mean of all climb rates over 0.5 m/s, of all under -0.5 m/s.
    double up = 0, ups = 0, down = 0, downs = 0;
    for (std::size_t i = found.first; i <= found.last; ++i) {
      const SmoothedFix& fix = analysis->smoothed.fixes[i];
      const double w = analysis->track.has_pressure ? fix.pressure.rate_m_s : fix.gnss.rate_m_s;
      if (w > 0.5) up += w, ups += 1;
      if (w < -0.5) down -= w, downs += 1;
    }
    judge_figure(measures[static_cast<std::size_t>(MeasureKind::climb_rate)], full, seconds, ups > 0 ? up / ups : 0, t.climb);
    const double sink = -still_air_climb(
        flight->truth, [](const auto& s) { return s.stage == simulate::Stage::glide && s.throttle < 0.1; }, seconds);
    judge_figure(measures[static_cast<std::size_t>(MeasureKind::sink_rate)], sink, seconds, downs > 0 ? down / downs : 0, t.sink);
  }
  workspace.give_back(std::move(*analysis));
  return t;
}

void print_figure(const char* what, const FigureTally& t) {
  std::printf("  %-6s n %3d told %3.0f%% | median error %.2f (plain %.2f) | covers %3.0f%%, median width %.2f", what, t.n,
              share_of(t.told, t.n), median_abs(t.error), median_abs(t.plain), share_of(t.covered, t.told), median_abs(t.width));
}

}  // namespace

int report_measures(std::uint64_t first_seed, int flights) {
  std::printf("\nClimb and sink: simulated flights, against the machine's own in still air [m/s]\n");
  Workspace workspace;
  MeasuresTally all, plenty;  // plenty: minutes of climb and of glide, air calm to moderate
  double least_climb = 100, least_sink = 100;
  for (const int interval_s : {1, 5})
    for (const double vertical : {0.2, 0.6, 1.0})
      for (const Programme programme : kProgrammes) {
        MeasuresTally t;
        for (int i = 0; i < flights; ++i)
          t.add(judge_measures(programme, vertical, interval_s, first_seed + static_cast<std::uint64_t>(i), workspace));
        std::printf("%d s, air %.1f, %-9s", interval_s, vertical, std::string(name_of(programme)).c_str());
        print_figure("climb", t.climb);
        print_figure("sink", t.sink);
        std::printf("\n");
        if (t.climb.told >= 5) least_climb = std::min(least_climb, share_of(t.climb.covered, t.climb.told));
        if (t.sink.told >= 5) least_sink = std::min(least_sink, share_of(t.sink.covered, t.sink.told));
        if (programme == Programme::long_off && vertical < 0.8) plenty.add(t);
        all.add(t);
      }
  std::printf("all, %d flights", flights);
  print_figure("climb", all.climb);
  print_figure("sink", all.sink);
  std::printf("\n");
  Targets targets;
  targets.hold("climb: 90 % intervals cover [%], 85 to 97", share_of(all.climb.covered, all.climb.told), 85, 97);
  targets.hold_above("climb: least cover of a scenario [%], 80", least_climb, 80, 100, 75, 100);
  targets.hold("climb: median width, long climbs, air to 0.6 [m/s], at most 1.0", median_abs(plenty.climb.width), 0.01, 1.0);
  targets.hold("sink: 90 % intervals cover [%], 85 to 97", share_of(all.sink.covered, all.sink.told), 85, 97);
  targets.hold_above("sink: least cover of a scenario [%], 80", least_sink, 80, 100, 77, 100);
  targets.hold_above("sink: median width, long glides, air to 0.6 [m/s], at most 0.5", median_abs(plenty.sink.width), 0.01, 0.5,
                     0.01, 0.54);
  targets.hold("climb told of long flights [%], 90", share_of(plenty.climb.told, plenty.climb.n), 90, 100);
  targets.hold("sink told of long glides [%], 90", share_of(plenty.sink.told, plenty.sink.n), 90, 100);
  std::printf("  phases and measures: %.3f ms for 10,000 fixes\n", all.fixes > 0 ? 1e3 * all.seconds * 1e4 / all.fixes : 0);
  return targets.failed();
}

}  // namespace headroom::accuracy
