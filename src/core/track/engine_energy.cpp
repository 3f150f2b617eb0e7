// Energy of the aircraft along the flight, and what its wing would sink there.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/track/engine_parts.h"

namespace headroom::engine_parts {
namespace {

constexpr double kStep_s = 5;
constexpr double kInducedShare = 0.45;  // of the drag at the median airspeed; 0.5 would be the best glide

// Mean of the heights as cleaned within kHeightReach_s: the smoother would draw a throttle cut out over many seconds, and its
// errors last from instant to instant. `known` is the smoother's.
constexpr double kHeightReach_s = 2.2;
struct MeanHeight {
  double height_m = 0;
  bool known = false;
};
MeanHeight height_at(const Track& track, const SmoothedTrack& smoothed, std::size_t at, bool pressure) {
  const SmoothedFix& s = smoothed.fixes[at];
  const SmoothedHeight& h = pressure ? s.pressure : s.gnss;
  MeanHeight out{h.height_m, h.known};
  if (!out.known) return out;
  // Weighted towards the middle, and symmetric in time.
  double sum = 0, weight = 0;
  const auto take = [&](std::size_t i, double w) {
    const TrackFix& f = track.fixes[i];
    if (pressure ? !f.has_pressure_altitude : !f.has_gnss_height) return false;
    sum += w * (pressure ? f.pressure_altitude.si() : f.gnss_height.si());
    weight += w;
    return true;
  };
  const auto away = [&](std::size_t i) { return std::abs(duration_between(track.fixes[at].time, track.fixes[i].time).si()); };
  if (!take(at, 1)) return out;
  for (std::size_t k = 1; at >= k && at + k < track.fixes.size(); ++k) {
    const double a = away(at - k), b = away(at + k);
    if (a > kHeightReach_s || b > kHeightReach_s || std::abs(a - b) > 0.1) break;
    const double w = 1 - 0.25 * a;
    if (!take(at - k, w) || !take(at + k, w)) break;
  }
  out.height_m = sum / weight;
  return out;
}

// Sink of a parabolic polar over its value at v = 1, n = 1: (1 - c) v^3 + c n^2 / v.
double polar_factor(double v, double n2) {
  v = std::clamp(v, 0.75, 1.6);
  return (1 - kInducedShare) * v * v * v + kInducedShare * std::min(n2, 4.0) / v;
}

// Seconds of the flight that each kind of height covers; the longer one is taken, pressure at a draw.
bool pressure_is_better(const SmoothedTrack& s, const FoundFlight& f) {
  std::size_t pressure = 0, gnss = 0;
  for (std::size_t i = f.first; i <= f.last; ++i) {
    pressure += s.fixes[i].pressure.known ? 1U : 0U;
    gnss += s.fixes[i].gnss.known ? 1U : 0U;
  }
  return pressure * 10 >= gnss * 9 && pressure > 0;
}

}  // namespace

EnergySeries energy_of(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight, const WindSolution& wind) {
  EnergySeries out;
  const auto& fixes = track.fixes;
  if (flight.last <= flight.first || flight.last >= fixes.size() || smoothed.fixes.size() != fixes.size()) {
    out.unknown = "there is no flight to look at";
    return out;
  }
  const double whole = duration_between(fixes[flight.first].time, fixes[flight.last].time).si();
  if (whole < kShortestFlight_s) {
    out.unknown = "the flight is too short to tell power from lift";
    return out;
  }
  if (whole / static_cast<double>(flight.last - flight.first) > kSlowestSampling_s) {
    out.unknown = "fixes lie more than 15 s apart: a throttle cut falls between them";
    return out;
  }
  const bool pressure = pressure_is_better(smoothed, flight);
  out.steps.reserve(static_cast<std::size_t>(whole / kStep_s) + 2);
  struct Node {
    double t, h, ve, vn, v;
    bool known;
  };
  const auto node = [&](std::size_t i) {
    const SmoothedFix& s = smoothed.fixes[i];
    Node n{duration_between(fixes[flight.first].time, fixes[i].time).si(), 0, s.east_m_s, s.north_m_s, 0, false};
    if (wind.known()) {
      const WindState w = wind.at(duration_between(fixes.front().time, fixes[i].time).si());
      n.ve -= static_cast<double>(w.east_m_s), n.vn -= static_cast<double>(w.north_m_s);
    }
    n.v = std::sqrt(n.ve * n.ve + n.vn * n.vn);
    const MeanHeight h = height_at(track, smoothed, i, pressure);
    n.h = h.height_m, n.known = h.known && std::isfinite(h.height_m) && std::isfinite(n.v);
    return n;
  };
  std::vector<float> speeds;
  speeds.reserve(out.steps.capacity());
  Node a = node(flight.first);
  std::size_t from = flight.first;
  for (std::size_t i = flight.first + 1; i <= flight.last; ++i) {
    const double dt = duration_between(fixes[from].time, fixes[i].time).si();
    if (dt < kStep_s - 0.2 && i != flight.last) continue;
    const Node b = node(i);
    EnergyStep e;
    e.from = from, e.to = i, e.begin_s = static_cast<float>(a.t), e.dt_s = static_cast<float>(dt);
    // The last step may be a short one: a metre of rounding over a second is no rate.
    e.known = a.known && b.known && dt <= kSmoothGap_s && dt >= 0.6 * kStep_s;
    if (e.known) {
      const double cross = a.ve * b.vn - a.vn * b.ve, dot = a.ve * b.ve + a.vn * b.vn;
      e.rate_m_s = static_cast<float>((b.h - a.h) / dt + (b.v * b.v - a.v * a.v) / (2 * kGravity_m_s2 * dt));
      e.airspeed_m_s = static_cast<float>(0.5 * (a.v + b.v));
      e.turn_rad_s = static_cast<float>(-std::atan2(cross, dot) / dt);
      out.known_s += dt;
      speeds.push_back(e.airspeed_m_s);
    }
    out.steps.push_back(e);
    a = b, from = i;
  }
  if (out.known_s < kShortestFlight_s || out.known_s < 0.5 * whole) {
    out.unknown = "heights are missing: without them power cannot be told from glide";
    return out;
  }
  std::nth_element(speeds.begin(), speeds.begin() + static_cast<std::ptrdiff_t>(speeds.size() / 2), speeds.end());
  out.airspeed_m_s = static_cast<double>(speeds[speeds.size() / 2]);
  if (out.airspeed_m_s < 3) {
    out.unknown = "the recorder hardly moved";
    return out;
  }
  if (out.airspeed_m_s > 110) {
    out.unknown = "speeds are beyond any aircraft this is meant for";
    return out;
  }
  for (EnergyStep& e : out.steps) {
    if (!e.known) continue;
    const double lateral = static_cast<double>(e.airspeed_m_s * e.turn_rad_s) / kGravity_m_s2;
    e.polar = static_cast<float>(polar_factor(static_cast<double>(e.airspeed_m_s) / out.airspeed_m_s, 1 + lateral * lateral));
  }
  return out;
}

MeanEnergy mean_energy(const EnergySeries& energy, std::size_t from_fix, std::size_t to_fix) {
  MeanEnergy m;
  auto it = std::lower_bound(energy.steps.begin(), energy.steps.end(), from_fix,
                             [](const EnergyStep& e, std::size_t fix) { return e.to <= fix; });
  for (; it != energy.steps.end() && it->from < to_fix; ++it) {
    if (!it->known) continue;
    const auto dt = static_cast<double>(it->dt_s);
    m.seconds += dt;
    m.rate_m_s += dt * static_cast<double>(it->rate_m_s);
    m.polar += dt * static_cast<double>(it->polar);
  }
  if (m.seconds > 0) m.rate_m_s /= m.seconds, m.polar /= m.seconds;
  return m;
}

}  // namespace headroom::engine_parts
