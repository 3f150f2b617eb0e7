// What the wind is found from: mean velocities between fixes, and the recording's own columns of airspeed and heading.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <string_view>

#include "core/air/standard_atmosphere.h"
#include "core/earth/geodesy.h"
#include "core/track/wind.h"

namespace headroom {
namespace {
// A name of its own, since sources may be compiled together.
namespace windinput {

constexpr double kWildHeading_rad = 0.5;
constexpr double kMostFixVariance_m2 = 4;  // of one fix within some seconds: what is larger is motion taken for noise

double middle_of(std::vector<double>& values) {
  const auto place = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), place, values.end());
  return *place;
}

// True over equivalent airspeed; heights beyond the standard atmosphere's lowest layer are taken at its edge, for a spike of
// height must not end the answer.
double airspeed_factor_of(double height_m) {
  return *standard_airspeed_factor(
      PressureAltitude::from_si(std::clamp(height_m, kLowestStandardHeight_m, kHighestStandardHeight_m)));
}

// The track's fixes that each of the velocities is averaged over, by time: [begin, end).
struct FixRange {
  std::size_t begin, end;
};
std::vector<FixRange> ranges_of(const Track& track, std::span<const GroundVelocity> v) {
  std::vector<FixRange> out;
  out.reserve(v.size());
  const auto time = [&](std::size_t i) { return duration_between(track.fixes.front().time, track.fixes[i].time).si(); };
  std::size_t i = 0;
  for (const GroundVelocity& g : v) {
    const double half = 0.5 * g.over_s + 1e-3;
    while (i < track.fixes.size() && time(i) < g.time_s - half) ++i;
    std::size_t end = i;
    while (end < track.fixes.size() && time(end) <= g.time_s + half) ++end;
    out.push_back({i, end});
    if (end > i) i = end - 1;  // the next one may begin where this one ends
  }
  return out;
}

const Channel* channel_called(const Recording& recording, std::string_view code) {
  for (const Channel& c : recording.channels)
    if (c.code == code) return &c;
  return nullptr;
}

double value_at(const Channel& c, const Track& track, std::size_t fix) {
  const std::uint32_t source = track.fixes[fix].source;
  const std::int32_t raw = source < c.raw.size() ? c.raw[source] : Channel::missing;
  return raw == Channel::missing ? -1 : raw * c.scale;
}
// Mean of a column over a range; the first and the last fix count half. Negative when a value is missing.
double mean_over(const Channel& c, const Track& track, FixRange range) {
  double sum = 0, weight = 0;
  for (std::size_t i = range.begin; i < range.end; ++i) {
    const double x = value_at(c, track, i), w = i == range.begin || i + 1 == range.end ? 0.5 : 1;
    if (x < 0) return -1;
    sum += w * x;
    weight += w;
  }
  return weight > 0 ? sum / weight : -1;
}

std::string add_airspeed(const Channel& c, bool indicated, const Track& track, std::span<GroundVelocity> v,
                         const std::vector<FixRange>& ranges) {
  std::vector<double> said, ground;
  for (std::size_t k = 0; k < v.size(); ++k) {
    const double x = mean_over(c, track, ranges[k]), g = std::hypot(v[k].east_m_s, v[k].north_m_s);
    if (x > 0 && g > 4) said.push_back(x), ground.push_back(g);
  }
  if (said.size() < 30 || said.size() * 2 < v.size()) return "Column " + c.code + " holds no speeds; it is left alone.";
  // Wind takes away one way what it gives the other: over a flight the medians differ by its small change only.
  const double ratio = middle_of(ground) / middle_of(said);
  struct Unit {
    double factor;
    const char* name;
  };
  constexpr std::array<Unit, 6> units = {{{1 / 3.6, "km/h"},
                                          {0.1 / 3.6, "0.1 km/h"},
                                          {0.01 / 3.6, "0.01 km/h"},
                                          {1852.0 / 3600, "kt"},
                                          {1, "m/s"},
                                          {0.1, "0.1 m/s"}}};
  // km/h and kt differ by 1.85, which a strong wind can make: the forms of km/h go first where they fit at all.
  const Unit* best = nullptr;
  for (std::size_t i = 0; i < units.size() && !best; ++i)
    if (i < 3 && std::abs(std::log(ratio / units[i].factor)) < std::log(1.5)) best = &units[i];
  for (const Unit& u : units)
    if (!best && std::abs(std::log(ratio / u.factor)) < std::log(1.4)) best = &u;
  if (!best) return "Column " + c.code + " fits ground speed in no known unit; it is left alone.";
  for (std::size_t k = 0; k < v.size(); ++k) {
    const double x = mean_over(c, track, ranges[k]) * best->factor;
    if (!(x > 1)) continue;
    double f = 1;
    if (indicated && v[k].has_height) f = airspeed_factor_of(v[k].height_m);
    v[k].airspeed_m_s = x * f;
  }
  return std::string("Column ") + c.code + " is used as airspeed in " + best->name + ", with a bias of its own.";
}

std::string add_heading(const Channel& c, const Track& track, std::span<GroundVelocity> v, const std::vector<FixRange>& ranges) {
  std::vector<double> found(v.size(), -9);  // radians; -9 none
  // A heading follows the motion through the air, a track that over the ground; some recorders write the track under this code.
  const WindSolution without = estimate_wind(v, {.airspeed = {}, .use_recorded = false});
  double from_track2 = 0, from_air2 = 0;
  int n = 0;
  for (std::size_t k = 0; k < v.size(); ++k) {
    double east = 0, north = 0;
    for (std::size_t i = ranges[k].begin; i < ranges[k].end; ++i) {
      const double degrees = value_at(c, track, i);
      if (degrees < 0 || degrees > 360) continue;
      east += std::sin(degrees * std::numbers::pi / 180);
      north += std::cos(degrees * std::numbers::pi / 180);
    }
    if (std::hypot(east, north) < 0.3) continue;
    found[k] = std::atan2(east, north);
    if (std::hypot(v[k].east_m_s, v[k].north_m_s) < 4 || !without.known()) continue;
    const WindState& w = without.states[k];
    const auto apart2 = [&](double e, double no) {
      const double d = std::remainder(found[k] - std::atan2(e, no), 2 * std::numbers::pi);
      return std::min(d * d, 1.0);
    };
    from_track2 += apart2(v[k].east_m_s, v[k].north_m_s);
    from_air2 += apart2(v[k].east_m_s - static_cast<double>(w.east_m_s), v[k].north_m_s - static_cast<double>(w.north_m_s));
    ++n;
  }
  if (n < 30) return "Column " + c.code + " holds no headings that can be tried; it is left alone.";
  if (from_air2 > 0.7 * from_track2)
    return "Column " + c.code + " follows the track over the ground as well as the motion through the air; it is left alone.";
  if (std::sqrt(from_air2 / n) > kWildHeading_rad)
    return "Column " + c.code + " does not follow the motion through the air; it is left alone.";
  for (std::size_t k = 0; k < v.size(); ++k)
    if (found[k] > -4) v[k].heading_rad = found[k];
  return "Column " + c.code + " is used as heading, with a bias of its own.";
}

}  // namespace windinput
}  // namespace

std::vector<GroundVelocity> ground_velocities(const Track& track, const SmoothedTrack& smoothed, std::size_t first,
                                              std::size_t last) {
  std::vector<GroundVelocity> out;
  if (track.fixes.empty()) return out;
  last = std::min(last, track.fixes.size() - 1);
  MetricScale scale;
  // From the fixes as cleaned, not as smoothed: the smoother draws turns in, and its errors last from instant to instant.
  const auto place = [&](std::size_t i) { return track.fixes[i].position; };
  const auto time = [&](std::size_t i) { return duration_between(track.fixes.front().time, track.fixes[i].time).si(); };
  std::size_t a = first;
  for (std::size_t b = first + 1; b <= last; ++b) {
    const double dt = time(b) - time(a);
    if (dt < kWindStep_s - 0.01) continue;
    if (dt <= kWindLongestStep_s) {
      const GeoPosition p = place(a), q = place(b);
      const MetresPerDegree m = scale.at(0.5 * (p.latitude_deg + q.latitude_deg));
      GroundVelocity g;
      g.time_s = 0.5 * (time(a) + time(b));
      g.over_s = dt;
      g.east_m_s = longitude_difference(p.longitude_deg, q.longitude_deg) * m.east / dt;
      g.north_m_s = (q.latitude_deg - p.latitude_deg) * m.north / dt;
      g.variance_m2_s2 = 2 * std::min(smoothed.horizontal.measurement_variance_m2, windinput::kMostFixVariance_m2) / (dt * dt);
      const SmoothedFix& s = smoothed.fixes[(a + b) / 2];
      const SmoothedHeight& h = s.pressure.known ? s.pressure : s.gnss;
      g.has_height = h.known;
      g.height_m = h.height_m;
      out.push_back(g);
    }
    a = b;
  }
  return out;
}

std::vector<std::string> add_recorded_air(const Recording& recording, const Track& track, std::span<GroundVelocity> into) {
  std::vector<std::string> notes;
  const auto ranges = windinput::ranges_of(track, into);
  if (const Channel* tas = windinput::channel_called(recording, "TAS"))
    notes.push_back(windinput::add_airspeed(*tas, false, track, into, ranges));
  else if (const Channel* ias = windinput::channel_called(recording, "IAS"))
    notes.push_back(windinput::add_airspeed(*ias, true, track, into, ranges));
  if (const Channel* heading = windinput::channel_called(recording, "HDT"))
    notes.push_back(windinput::add_heading(*heading, track, into, ranges));
  return notes;
}

}  // namespace headroom
