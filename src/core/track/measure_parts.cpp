#include "core/track/measure_parts.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace headroom {
namespace {

// Judged, none from a publication; see docs/analysis/measures.md.
constexpr double kBlockAlike = 0.5;     // correlation of the vertical air of neighbouring blocks
constexpr double kAirUsual_m_s = 0.30;  // deviation of one block's mean before anything is seen ...
constexpr double kAirUsualWorth = 3;    // ... which counts as much as this many differences
constexpr double kAirWorth = 8;         // what the air of the whole flight counts for, in blocks, beside those that are averaged
constexpr double kAirSlow_m_s = 0.10;   // air that moves up or down over the whole flight
constexpr double kGnssWander_m = 3.5;   // of a GNSS height over a block's seconds, at most
constexpr double kGnssWander_s = 40;
constexpr double kFast_s = 5, kSlow_s = 20;  // roughness: climb over the one, less climb over the other
constexpr double kLongestStep_s = 12;

}  // namespace

FlightSeries flight_series(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                           const WindSolution& wind) {
  FlightSeries s;
  s.first = flight.first;
  s.by_pressure = track.has_pressure;
  s.wind = wind.known();
  s.height_variance_m2 =
      std::max(s.by_pressure ? smoothed.pressure.measurement_variance_m2 : smoothed.gnss.measurement_variance_m2, 1.0 / 12);
  if (flight.last >= track.fixes.size() || flight.last <= flight.first) return s;
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  double before = 0, turned = 0;
  for (std::size_t i = flight.first; i <= flight.last; ++i) {
    const TrackFix& f = track.fixes[i];
    const SmoothedFix& m = smoothed.fixes[i];
    const double t = duration_between(track.fixes.front().time, f.time).si();
    s.time_s.push_back(t);
    const SmoothedHeight& h = s.by_pressure ? m.pressure : m.gnss;
    const bool written = s.by_pressure ? f.has_pressure_altitude : track.has_gnss && f.has_gnss_height;
    s.height_m.push_back(h.known ? h.height_m : kNone);
    s.raw_m.push_back(!written ? kNone : s.by_pressure ? f.pressure_altitude.si() : f.gnss_height.si());
    s.heights = s.heights || s.has_height(s.size() - 1);
    double east = m.east_m_s, north = m.north_m_s;
    if (s.wind) {
      const WindState w = wind.at(t);
      east -= static_cast<double>(w.east_m_s);
      north -= static_cast<double>(w.north_m_s);
      s.airspeed_m_s.push_back(static_cast<double>(w.airspeed_m_s));
      s.airspeed_var.push_back(static_cast<double>(w.var_airspeed));
    }
    const double heading = std::atan2(east, north);
    if (i > flight.first) turned += std::remainder(heading - before, 2 * std::numbers::pi);
    before = heading;
    s.heading_rad.push_back(turned);
  }
  return s;
}

std::vector<double> turn_rates(const FlightSeries& s, double span_s) {
  std::vector<double> out(s.size(), 0);
  std::size_t a = 0, b = 0;
  for (std::size_t i = 0; i < s.size(); ++i) {
    while (a < i && s.time_s[i] - s.time_s[a] > 0.5 * span_s + 1e-6) ++a;
    while (b + 1 < s.size() && s.time_s[b + 1] - s.time_s[i] <= 0.5 * span_s + 1e-6) ++b;
    std::size_t from = a, to = std::max(b, i);
    if (s.time_s[to] - s.time_s[from] < 0.5 * span_s) {  // fixes further apart than the span
      from = i > 0 ? i - 1 : i;
      to = from + 1 < s.size() ? from + 1 : from;
    }
    const double t = s.time_s[to] - s.time_s[from];
    if (t > 0 && t <= kLongestStep_s) out[i] = (s.heading_rad[to] - s.heading_rad[from]) / t;
  }
  return out;
}

std::vector<ClimbBlock> climb_blocks(const FlightSeries& s, const std::vector<char>& chosen, double length_s) {
  std::vector<ClimbBlock> out;
  const auto close = [&](std::size_t a, std::size_t b) {
    const double t = s.time_s[b] - s.time_s[a];
    if (t < 0.6 * length_s) return;
    ClimbBlock block;
    block.seconds = t;
    block.begin_s = s.time_s[a];
    block.climb_m_s = (s.height_m[b] - s.height_m[a]) / t;
    if (s.wind) {
      for (std::size_t i = a; i <= b; ++i) block.airspeed_m_s += s.airspeed_m_s[i], block.airspeed_var += s.airspeed_var[i];
      block.airspeed_m_s /= static_cast<double>(b - a + 1);
      block.airspeed_var /= static_cast<double>(b - a + 1);
    }
    out.push_back(block);
  };
  std::size_t a = 0, last = 0;  // last: of the open piece
  bool open = false;
  for (std::size_t i = 0; i < s.size(); ++i) {
    if (chosen[i] && !s.has_height(i)) continue;
    const bool joined = chosen[i] && (!open || s.time_s[i] - s.time_s[last] <= kLongestStep_s);
    if (open && !joined) {
      close(a, last);
      open = false;
    }
    if (!chosen[i]) continue;
    if (!open) {
      a = i;
      open = true;
    } else if (s.time_s[i] - s.time_s[a] >= length_s) {
      close(a, i);
      a = i;
    }
    last = i;
  }
  if (open) close(a, last);
  return out;
}

BlockMean mean_of_blocks(std::span<const ClimbBlock> blocks, bool by_pressure, double air_m_s) {
  BlockMean out;
  double sum = 0;
  for (const ClimbBlock& b : blocks) out.seconds += b.seconds, sum += b.seconds * b.climb_m_s;
  if (blocks.empty()) return out;
  out.mean = sum / out.seconds;
  const double n = static_cast<double>(blocks.size()), length = out.seconds / n;
  double off2 = 0;
  for (const ClimbBlock& b : blocks) off2 += b.seconds / length * (b.climb_m_s - out.mean) * (b.climb_m_s - out.mean);
  // The scatter about their own mean hides what the blocks have in common.
  const double usual = air_m_s * air_m_s;
  const double one = (kAirWorth * usual + off2) / (kAirWorth + std::max(0.0, n - 1));
  double count = n;  // independent ones among them
  for (std::size_t lag = 1; lag < blocks.size() && lag < 8; ++lag)
    count += 2 * (n - static_cast<double>(lag)) * std::pow(kBlockAlike, static_cast<double>(lag));
  double variance = one * count / (n * n) + kAirSlow_m_s * kAirSlow_m_s;
  if (!by_pressure) {
    const double wander = kGnssWander_m * std::sqrt(2 * (1 - std::exp(-length / kGnssWander_s))) / length;
    variance += wander * wander / n;
  }
  out.sd = std::sqrt(variance);
  return out;
}

double vertical_air(std::span<const ClimbBlock> blocks) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    const ClimbBlock &a = blocks[i - 1], &b = blocks[i];
    if (std::abs(a.begin_s + a.seconds - b.begin_s) < 1) steps.push_back(std::abs(b.climb_m_s - a.climb_m_s));
  }
  const double usual = kAirUsual_m_s * kAirUsual_m_s, n = static_cast<double>(steps.size());
  if (steps.empty()) return kAirUsual_m_s;
  // The median, for a step between climb and level is the pilot's.
  const auto half = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), half, steps.end());
  const double seen = 1.4826 * *half / std::sqrt(2 * (1 - kBlockAlike));
  return std::sqrt((kAirUsualWorth * usual + n * seen * seen) / (kAirUsualWorth + n));
}

Roughness roughness_of(const FlightSeries& s, const std::vector<char>& chosen) {
  Roughness out;
  const std::size_t n = s.size();
  // Heights as written, three and three averaged, so that whole metres do not show as steps; one missing leaves out all three.
  std::vector<double> h(n);
  for (std::size_t i = 0; i < n; ++i) h[i] = i > 0 && i + 1 < n ? (s.raw_m[i - 1] + s.raw_m[i] + s.raw_m[i + 1]) / 3 : s.raw_m[i];
  double sum2 = 0, noise2 = 0, count = 0;
  std::size_t a = 0, b = 0, c = 0, d = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double t = s.time_s[i];
    while (s.time_s[a] < t - 0.5 * kSlow_s - 1e-6) ++a;
    while (s.time_s[b] < t - 0.5 * kFast_s - 1e-6) ++b;
    while (c + 1 < n && s.time_s[c + 1] <= t + 0.5 * kFast_s + 1e-6) ++c;
    while (d + 1 < n && s.time_s[d + 1] <= t + 0.5 * kSlow_s + 1e-6) ++d;
    const double fast = s.time_s[c] - s.time_s[b], slow = s.time_s[d] - s.time_s[a];
    if (!chosen[i] || !chosen[a] || !chosen[d] || fast < 0.7 * kFast_s || slow < 0.9 * kSlow_s || d - a < 15) continue;
    const double off = (h[c] - h[b]) / fast - (h[d] - h[a]) / slow;
    if (!std::isfinite(off)) continue;
    sum2 += off * off;
    noise2 += 2 * s.height_variance_m2 / 3 * (1 / (fast * fast) + 1 / (slow * slow));
    count += 1;
    out.seconds += i > 0 ? std::min(s.time_s[i] - s.time_s[i - 1], 2.0) : 1;
  }
  if (count < 1) return out;
  const double all = sum2 / count, noise = noise2 / count, rest = std::max(all - noise, 0.0);
  out.sd_m_s = std::sqrt(rest);
  // One independent look in about ten seconds; the noise itself known to a third.
  const double variance = std::sqrt(std::pow(all * std::sqrt(2 / std::max(1.0, out.seconds / 10)), 2) + noise * noise / 9);
  out.error_m_s = rest > variance ? variance / (2 * out.sd_m_s) : 0.5 * std::sqrt(variance);
  return out;
}

}  // namespace headroom
