#include "core/track/phases.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/track/contact.h"
#include "core/track/run.h"

namespace headroom {
namespace {

// Judged, none from a publication; see docs/analysis/measures.md.
constexpr double kPhaseSpan_s = 20;      // climb rate that decides: over this long
constexpr double kPhaseLevel_m_s = 0.4;  // neither climbing nor descending
constexpr double kPhaseShortest_s = 15;  // a shorter stretch belongs to the one before it
constexpr double kLandingBefore_s = 10, kLandingAfter_s = 20;
constexpr double kLandingStill_m_s = 1;
constexpr double kHeightWander_m = 3.5, kHeightWander_s = 40;  // of GNSS heights
constexpr double kSensorDrift_m = 0.3;                         // of a pressure height, per square root of a minute

struct PhaseLabel {
  Phase phase = Phase::airborne;
  Power power = Power::ground;
  bool operator==(const PhaseLabel&) const = default;
};

struct PhaseRun {
  PhaseLabel label;
  std::size_t first = 0, last = 0;
};

class PhaseMaker {
 public:
  PhaseMaker(const Track& track, const SmoothedTrack& smoothed, const EngineSolution& engine)
      : track_(track), smoothed_(smoothed), engine_(engine) {}

  [[nodiscard]] double time(std::size_t i) const {
    return duration_between(track_.fixes.front().time, track_.fixes[i].time).si();
  }
  [[nodiscard]] const SmoothedHeight& height(std::size_t i) const {
    const SmoothedFix& f = smoothed_.fixes[i];
    return track_.has_pressure ? f.pressure : f.gnss;
  }
  [[nodiscard]] bool height_known(std::size_t i) const { return (track_.has_pressure || track_.has_gnss) && height(i).known; }

  // Fixes that the engine answer covers; without one, the flight alone.
  [[nodiscard]] std::size_t earliest(const FoundFlight& f) const {
    return engine_.on.empty() ? f.first : std::min(engine_.first, f.first);
  }
  [[nodiscard]] std::size_t latest(const FoundFlight& f) const {
    return engine_.on.empty() ? f.last : std::clamp(engine_.first + engine_.on.size() - 1, f.last, track_.fixes.size() - 1);
  }

  void add(Phase phase, std::size_t first, std::size_t last, std::vector<PhaseStretch>& into) const {
    if (last <= first || last >= track_.fixes.size()) return;
    PhaseStretch s;
    s.phase = phase;
    s.power = power_over(first, last);
    s.first = first;
    s.last = last;
    s.begin = track_.fixes[first].time;
    s.end = track_.fixes[last].time;
    const double t = time(last) - time(first);
    if (height_known(first) && height_known(last) && t > 0) {
      const double rise = height(last).height_m - height(first).height_m;
      s.height_change = metres(rise);
      const double wander = track_.has_pressure ? kSensorDrift_m * std::sqrt(t / 60)
                                                : kHeightWander_m * std::sqrt(2 * (1 - std::exp(-t / kHeightWander_s)));
      const double noise = static_cast<double>(height(first).covariance.position) + height(last).covariance.position;
      const double sd = std::sqrt(noise + wander * wander) / t, mid = rise / t;
      if (auto e = make_estimate(metres_per_second(mid - kNormal95 * sd), metres_per_second(mid),
                                 metres_per_second(mid + kNormal95 * sd), measured()))
        s.climb = *e;
    }
    into.push_back(std::move(s));
  }

  // The air between two fixes: climb, level and descent, split where the power changes.
  [[nodiscard]] std::vector<PhaseRun> air(std::size_t first, std::size_t last) const {
    std::vector<PhaseRun> raw;
    std::size_t a = first, b = first, piece = 0;
    for (std::size_t i = first; i <= last; ++i) {
      while (a < i && time(i) - time(a) > 0.5 * kPhaseSpan_s) ++a;
      b = std::max(b, i);
      while (b < last && time(b) - time(i) < 0.5 * kPhaseSpan_s) ++b;
      while (piece + 1 < engine_.stretches.size() && engine_.stretches[piece].last < i) ++piece;
      PhaseLabel label;
      label.power = engine_.stretches.empty() ? Power::idle_or_off : engine_.stretches[piece].power;
      const double t = time(b) - time(a);
      if (height_known(a) && height_known(b) && t > 0) {
        const double rate = (height(b).height_m - height(a).height_m) / t;
        label.phase = rate > kPhaseLevel_m_s ? Phase::climb : rate < -kPhaseLevel_m_s ? Phase::descent : Phase::level;
      }
      if (raw.empty() || !(raw.back().label == label))
        raw.push_back({label, i, i});
      else
        raw.back().last = i;
    }
    std::vector<PhaseRun> out;
    bool settled = false;  // until something lasts, the first stretch takes its name from what follows
    for (const PhaseRun& r : raw) {
      const bool lasts = time(std::min(r.last + 1, last)) - time(r.first) >= kPhaseShortest_s;
      if (out.empty() || (settled && lasts && !(out.back().label == r.label))) {
        out.push_back(r);
      } else {
        out.back().last = r.last;
        if (!settled && lasts) out.back().label = r.label;
      }
      settled = settled || lasts;
    }
    return out;
  }

 private:
  [[nodiscard]] Power power_over(std::size_t first, std::size_t last) const {
    std::array<double, 9> seconds{};
    for (const PowerStretch& s : engine_.stretches) {
      const std::size_t a = std::max(s.first, first), b = std::min(s.last, last);
      if (a <= b) seconds[static_cast<std::size_t>(s.power)] += time(b) - time(a) + 1e-3;
    }
    const auto most = std::max_element(seconds.begin(), seconds.end());
    return *most > 0 ? static_cast<Power>(most - seconds.begin()) : Power::ground;
  }

  const Track& track_;
  const SmoothedTrack& smoothed_;
  const EngineSolution& engine_;
};

}  // namespace

FlightPhases find_phases(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                         const EngineSolution& engine, std::span<const GroundVelocity> velocities, const WindSolution& wind) {
  FlightPhases out;
  out.take_off = find_take_off(track, smoothed, flight, flight.lift_off, velocities, wind);
  if (flight.last <= flight.first || flight.last >= track.fixes.size()) return out;

  const PhaseMaker make(track, smoothed, engine);
  const TakeOffRun& run = out.take_off;
  auto& into = out.stretches;
  const std::size_t begin = make.earliest(flight), end = make.latest(flight);
  std::size_t first = flight.first;
  if (run.seen) {
    first = std::min(run.lift_off, flight.last - 1);
    if (run.first > begin) make.add(Phase::on_foot, begin, run.first, into);
    make.add(Phase::run, std::max(run.first, begin), first, into);
  } else if (!flight.begins_in_air && first > begin) {
    make.add(Phase::on_foot, begin, first, into);
  }
  // Landing: from some seconds before the ground to standing.
  std::size_t last = flight.last;
  std::size_t stop = flight.last;
  if (!flight.ends_in_air) {
    while (last > first + 1 && make.time(flight.last) - make.time(last) < kLandingBefore_s) --last;
    const auto speed = [&](std::size_t i) { return std::hypot(smoothed.fixes[i].east_m_s, smoothed.fixes[i].north_m_s); };
    while (stop < end && make.time(stop) - make.time(flight.last) < kLandingAfter_s && speed(stop) > kLandingStill_m_s) ++stop;
  }
  const auto air = make.air(first, last);
  for (std::size_t k = 0; k < air.size(); ++k) {
    std::size_t from = air[k].first;
    const std::size_t to = k + 1 < air.size() ? air[k + 1].first : last;
    if (k == 0 && run.seen && air[k].label.phase == Phase::climb) {
      std::size_t high = from;
      while (high < to && make.height(high).height_m - make.height(from).height_m < kInitialClimb_m) ++high;
      make.add(Phase::initial_climb, from, high, into);
      from = high;
    }
    make.add(air[k].label.phase, from, to, into);
  }
  if (!flight.ends_in_air) {
    make.add(Phase::landing, last, stop, into);
    make.add(Phase::on_foot, stop, end, into);
  }
  return out;
}

}  // namespace headroom
