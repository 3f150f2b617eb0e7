#include "core/track/detail.h"

#include <algorithm>
#include <utility>

namespace headroom {
namespace {

// The round thickness at which a flight has at most eight layers.
Length layer_thickness(std::span<const GroundVelocity> velocities) {
  double low = 0, high = 0;
  bool any = false;
  for (const GroundVelocity& v : velocities) {
    if (!v.has_height) continue;
    low = any ? std::min(low, v.height_m) : v.height_m;
    high = any ? std::max(high, v.height_m) : v.height_m;
    any = true;
  }
  for (const double m : {50.0, 100.0, 200.0, 300.0, 500.0})
    if (high - low <= 7 * m) return metres(m);
  return metres(1000);
}

}  // namespace

FlightDetail tell_flight(const Recording& recording, const Analysis& analysis, const FoundFlight& found,
                         const DetailOptions& options) {
  FlightDetail d;
  const Track& track = analysis.track;
  const SmoothedTrack& smoothed = analysis.smoothed;
  d.velocities = ground_velocities(track, smoothed, found.first, found.last);
  WindOptions wind;
  wind.airspeed = options.airspeed;
  wind.use_recorded = options.use_columns;
  std::vector<std::string> said;
  if (options.use_columns) said = add_recorded_air(recording, track, d.velocities);
  d.wind = estimate_wind(d.velocities, wind);
  d.wind.notes.insert(d.wind.notes.begin(), said.begin(), said.end());
  d.layers = wind_by_height(d.velocities, d.wind, layer_thickness(d.velocities));
  d.engine = find_engine(recording, track, smoothed, found, d.wind, {options.aircraft, options.use_columns});
  d.phases = find_phases(track, smoothed, found, d.engine, d.velocities, d.wind);
  d.measures = measure_flight(track, smoothed, found, d.wind, d.engine, d.phases, options.measures);
  return d;
}

void FlightDetail::keep_summary() {
  std::vector<GroundVelocity>().swap(velocities);
  std::vector<WindState>().swap(wind.states);
  std::vector<double>().swap(wind.times_s);
  std::vector<float>().swap(engine.on);
}

}  // namespace headroom
