#include "core/track/smooth.h"

#include <algorithm>
#include <cmath>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

double smooth_step(const TrackFix& a, const TrackFix& b) {
  return static_cast<double>((b.time - a.time).count()) * 1e-3;
}

// Before the first fix of a stretch little is known of speed: 1 sigma 40 m/s along the ground, 10 m/s upward.
constexpr double kFirstSpeedVariance = 1600;
constexpr double kFirstClimbVariance = 100;
// Scratch of a longer track than this (a day at 1 s) is given back to the system.
constexpr std::size_t kKeptScratch = 100'000;
// A measurement beyond 4 sigma is weighed as if it lay at 4 sigma (its variance is raised to fit).
constexpr double kDoubtSigma2 = 16;

using WorkedCovariance = SmoothedTrack::Filtered;
inline AxisCovariance kept(const WorkedCovariance& p) {
  return {p.position, p.cross, p.velocity};
}

// P = F P F' + Q for F = [1 dt; 0 1], Q = q [dt^3/3 dt^2/2; dt^2/2 dt] (Bar-Shalom et al. 2001, eq. 6.2.2-4).
inline WorkedCovariance predicted(const WorkedCovariance& p, double dt, double q) {
  const double qdt = q * dt;
  const double half = 0.5 * qdt * dt;
  return {p.position + dt * (2 * p.cross + dt * p.velocity) + qdt * dt * dt / 3, p.cross + dt * p.velocity + half,
          p.velocity + qdt};
}

struct Gain {
  double position, velocity;
};
// Update with a position of variance r; P is changed in place.
inline Gain update(WorkedCovariance& p, double r) {
  const double inverse = 1 / (p.position + r);
  const Gain k{p.position * inverse, p.cross * inverse};
  p.velocity -= k.velocity * p.cross;
  p.cross *= r * inverse;
  p.position *= r * inverse;
  return k;
}

// C = P F' (F P F' + Q)^-1, the smoother's gain, and the smoothed covariance P + C (Ps - Pp) C'.
struct BackGain {
  double c11, c12, c21, c22;
};
inline BackGain back(WorkedCovariance& p, const WorkedCovariance& next_smoothed, double dt, double q) {
  const WorkedCovariance pp = predicted(p, dt, q);
  const double a = p.position + dt * p.cross, b = p.cross, c = p.cross + dt * p.velocity, d = p.velocity;  // P F'
  const double inverse = 1 / (pp.position * pp.velocity - pp.cross * pp.cross);
  const BackGain g{(a * pp.velocity - b * pp.cross) * inverse, (b * pp.position - a * pp.cross) * inverse,
                   (c * pp.velocity - d * pp.cross) * inverse, (d * pp.position - c * pp.cross) * inverse};
  const double e = next_smoothed.position - pp.position, f = next_smoothed.cross - pp.cross,
               h = next_smoothed.velocity - pp.velocity;
  const double u1 = g.c11 * e + g.c12 * f, u2 = g.c11 * f + g.c12 * h;
  const double w1 = g.c21 * e + g.c22 * f, w2 = g.c21 * f + g.c22 * h;
  p.position += u1 * g.c11 + u2 * g.c12;
  p.cross += u1 * g.c21 + u2 * g.c22;
  p.velocity += w1 * g.c21 + w2 * g.c22;
  return g;
}

std::size_t stretch_end(const Track& track, std::size_t begin) {
  std::size_t end = begin + 1;
  while (end < track.fixes.size() && smooth_step(track.fixes[end - 1], track.fixes[end]) <= kSmoothGap_s) ++end;
  return end;
}

std::size_t smooth_horizontal(const Track& track, std::size_t begin, std::size_t end, const AxisNoise& noise,
                              std::vector<WorkedCovariance>& filtered, std::vector<SmoothedFix>& out) {
  const double r = noise.measurement_variance_m2, q = noise.acceleration_density_m2_s3;
  MetricScale scale;
  std::size_t doubted = 0;
  out[begin].position = track.fixes[begin].position;
  out[begin].east_m_s = out[begin].north_m_s = 0;
  WorkedCovariance p{r, 0, kFirstSpeedVariance};
  filtered[begin] = p;
  for (std::size_t i = begin + 1; i < end; ++i) {
    const double dt = smooth_step(track.fixes[i - 1], track.fixes[i]);
    const SmoothedFix& before = out[i - 1];
    SmoothedFix& now = out[i];
    const MetresPerDegree m = scale.at(before.position.latitude_deg);
    const double lat = before.position.latitude_deg + before.north_m_s * dt / m.north;
    const double lon = before.position.longitude_deg + before.east_m_s * dt / m.east;
    p = predicted(p, dt, q);
    const double north = (track.fixes[i].position.latitude_deg - lat) * m.north;
    const double east = longitude_difference(lon, track.fixes[i].position.longitude_deg) * m.east;
    const double miss2 = north * north + east * east;
    double r_here = r;
    if (miss2 > kDoubtSigma2 * (p.position + r)) {
      r_here = std::max(r, miss2 / kDoubtSigma2 - p.position);
      ++doubted;
    }
    const Gain k = update(p, r_here);
    now.position = {lat + k.position * north / m.north, lon + k.position * east / m.east};
    now.north_m_s = before.north_m_s + k.velocity * north;
    now.east_m_s = before.east_m_s + k.velocity * east;
    filtered[i] = p;
  }
  out[end - 1].horizontal = kept(p);
  for (std::size_t i = end - 1; i-- > begin;) {  // p is the smoothed covariance of the fix after
    const double dt = smooth_step(track.fixes[i], track.fixes[i + 1]);
    const SmoothedFix& next = out[i + 1];
    SmoothedFix& now = out[i];
    const MetresPerDegree m = scale.at(now.position.latitude_deg);
    const BackGain g = back(filtered[i], p, dt, q);
    p = filtered[i];
    now.horizontal = kept(p);
    const double dn = (next.position.latitude_deg - now.position.latitude_deg) * m.north - now.north_m_s * dt;
    const double de = (next.position.longitude_deg - now.position.longitude_deg) * m.east - now.east_m_s * dt;
    const double dvn = next.north_m_s - now.north_m_s, dve = next.east_m_s - now.east_m_s;
    now.position.latitude_deg += (g.c11 * dn + g.c12 * dvn) / m.north;
    now.position.longitude_deg += (g.c11 * de + g.c12 * dve) / m.east;
    now.north_m_s += g.c21 * dn + g.c22 * dvn;
    now.east_m_s += g.c21 * de + g.c22 * dve;
  }
  for (std::size_t i = begin; i < end; ++i) {  // the filter follows its own longitude across the date line
    double& lon = out[i].position.longitude_deg;
    if (lon > 180) lon -= 360;
    if (lon < -180) lon += 360;
  }
  return doubted;
}

// One kind of height. Fixes without it are predicted through; those before the first one count back from it.
template <class Has, class Value>
std::size_t smooth_height(const Track& track, std::size_t begin, std::size_t end, const AxisNoise& noise, Has has, Value value,
                          SmoothedHeight SmoothedFix::*channel, std::vector<WorkedCovariance>& filtered,
                          std::vector<SmoothedFix>& out) {
  const double r = noise.measurement_variance_m2, q = noise.acceleration_density_m2_s3;
  std::size_t first = begin, doubted = 0;
  while (first < end && !(track.fixes[first].*has)) ++first;
  if (first == end) {
    for (std::size_t i = begin; i < end; ++i) out[i].*channel = {};
    return 0;
  }
  WorkedCovariance p{first == begin ? r : 1e6, 0, kFirstClimbVariance};
  filtered[begin] = p;
  out[begin].*channel = {(track.fixes[first].*value).si(), 0, {}, true};
  for (std::size_t i = begin + 1; i < end; ++i) {
    const double dt = smooth_step(track.fixes[i - 1], track.fixes[i]);
    const SmoothedHeight& before = out[i - 1].*channel;
    SmoothedHeight& now = out[i].*channel;
    now.height_m = before.height_m + before.rate_m_s * dt;
    now.rate_m_s = before.rate_m_s;
    p = predicted(p, dt, q);
    now.known = true;
    if (track.fixes[i].*has) {
      const double miss = (track.fixes[i].*value).si() - now.height_m;
      double r_here = r;
      if (miss * miss > kDoubtSigma2 * (p.position + r)) {
        r_here = std::max(r, miss * miss / kDoubtSigma2 - p.position);
        ++doubted;
      }
      const Gain k = update(p, r_here);
      now.height_m += k.position * miss;
      now.rate_m_s += k.velocity * miss;
    }
    filtered[i] = p;
  }
  (out[end - 1].*channel).covariance = kept(p);
  for (std::size_t i = end - 1; i-- > begin;) {
    const double dt = smooth_step(track.fixes[i], track.fixes[i + 1]);
    const SmoothedHeight& next = out[i + 1].*channel;
    SmoothedHeight& now = out[i].*channel;
    const BackGain g = back(filtered[i], p, dt, q);
    p = filtered[i];
    now.covariance = kept(p);
    const double dh = next.height_m - now.height_m - now.rate_m_s * dt, dv = next.rate_m_s - now.rate_m_s;
    now.height_m += g.c11 * dh + g.c12 * dv;
    now.rate_m_s += g.c21 * dh + g.c22 * dv;
  }
  return doubted;
}

// Runs one axis over every stretch. When `adapt` is set and more than 1 measurement in 50 lies beyond 4 sigma, the motion
// was livelier than its estimate (manoeuvres in a long quiet track): q is raised fourfold and the axis done again, since
// weighing down true turns as outliers would bend the answer.
template <class Stretchwise>
std::size_t smooth_axis(const Track& track, bool adapt, AxisNoise& noise, const Stretchwise& stretchwise) {
  for (int round = 0;; ++round) {
    std::size_t doubted = 0;
    for (std::size_t begin = 0; begin < track.fixes.size();) {
      const std::size_t end = stretch_end(track, begin);
      doubted += stretchwise(begin, end);
      begin = end;
    }
    if (!adapt || round == 2 || doubted * 50 <= track.fixes.size()) return doubted;
    noise.acceleration_density_m2_s3 *= 4;
  }
}

void smooth_all(const Track& track, const AxisNoise& horizontal, const AxisNoise& gnss, const AxisNoise& pressure, bool adapt,
                SmoothedTrack& out) {
  out.fixes.resize(track.fixes.size());
  out.filtered.resize(track.fixes.size());
  out.horizontal = horizontal;
  out.gnss = gnss;
  out.pressure = pressure;
  out.doubted = smooth_axis(track, adapt, out.horizontal, [&](std::size_t begin, std::size_t end) {
    return smooth_horizontal(track, begin, end, out.horizontal, out.filtered, out.fixes);
  });
  if (track.has_gnss)
    smooth_axis(track, adapt, out.gnss, [&](std::size_t begin, std::size_t end) {
      return smooth_height(track, begin, end, out.gnss, &TrackFix::has_gnss_height, &TrackFix::gnss_height, &SmoothedFix::gnss,
                           out.filtered, out.fixes);
    });
  else
    for (SmoothedFix& f : out.fixes) f.gnss = {};
  if (track.has_pressure)
    smooth_axis(track, adapt, out.pressure, [&](std::size_t begin, std::size_t end) {
      return smooth_height(track, begin, end, out.pressure, &TrackFix::has_pressure_altitude, &TrackFix::pressure_altitude,
                           &SmoothedFix::pressure, out.filtered, out.fixes);
    });
  else
    for (SmoothedFix& f : out.fixes) f.pressure = {};
  if (out.filtered.size() > kKeptScratch) std::vector<WorkedCovariance>().swap(out.filtered);
}

// Second differences of a value over triples of fixes at the usual step; at most about 4000 of them, evenly taken in runs
// of 64 so that neighbours stay together.
template <class Usable, class At>
AxisNoise noise_of(const Track& track, double quantum, const Usable& usable, const At& at) {
  NoiseEstimator estimator;
  const std::size_t n = track.fixes.size();
  const double dt = track.interval.si();
  const std::size_t skip = n > 4096 ? (n / 4096) * 64 : 64;
  // Where the recorder moved: standing still says little about the noise in motion and nothing about the motion.
  MetricScale scale;
  const auto moving = [&](const TrackFix& a, const TrackFix& c) {
    const MetresPerDegree m = scale.at(a.position.latitude_deg);
    const double north = m.north * (c.position.latitude_deg - a.position.latitude_deg);
    const double east = m.east * longitude_difference(a.position.longitude_deg, c.position.longitude_deg);
    const double least = 3 * smooth_step(a, c);
    return north * north + east * east > least * least;
  };
  for (std::size_t start = 1; start < n; start += skip) {
    bool follows = false;
    for (std::size_t i = start; i < std::min(start + 64, n - 1); ++i) {
      const TrackFix &a = track.fixes[i - 1], &b = track.fixes[i], &c = track.fixes[i + 1];
      const bool even = std::abs(smooth_step(a, b) - dt) < 0.26 * dt && std::abs(smooth_step(b, c) - dt) < 0.26 * dt;
      if (!even || !moving(a, c) || !usable(a) || !usable(b) || !usable(c)) {
        follows = false;
        continue;
      }
      estimator.add_second_difference(at(a, b, c), follows);
      follows = true;
    }
  }
  return estimator.estimate(dt, quantum);
}

// The step of the coordinates as written: 1.85 m (0.001 minute) unless finer digits are met.
double position_quantum(const Track& track) {
  int fine = 0, seen = 0;
  const std::size_t stride = std::max<std::size_t>(1, track.fixes.size() / 200);
  for (std::size_t i = 0; i < track.fixes.size(); i += stride, ++seen) {
    const double thousandths = track.fixes[i].position.latitude_deg * 60000;
    if (std::abs(thousandths - std::round(thousandths)) > 0.02) ++fine;
  }
  return fine * 2 > seen ? 0.2 : 1.85;
}

}  // namespace

AxisNoise NoiseEstimator::estimate(double dt, double quantum) const {
  // What the estimate may be: GNSS fixes scatter 0.1 to 15 m about their own slow wander; the motion of an aircraft has
  // an acceleration density between that of a parked one's drift and that of aerobatics.
  const double r_min = quantum * quantum / 12 + 0.01, r_max = 36;
  constexpr double q_min = 0.05, q_max = 150;
  AxisNoise noise{std::max(r_min, 1.0), 1.0};
  if (differences_.size() < 20) return noise;
  std::vector<double> size;
  size.reserve(differences_.size());
  for (const Difference& d : differences_) size.push_back(std::abs(d.value));
  const auto middle = size.begin() + static_cast<std::ptrdiff_t>(size.size() * 3 / 4);
  std::nth_element(size.begin(), middle, size.end());
  // 0.75 quantile of |N(0, s)| is 1.150 s; a recorder parked for half its time would have a median of zero.
  const double cut = 5 * std::max(*middle / 1.150, quantum);
  double c0 = 0, c1 = 0;
  std::size_t n0 = 0, n1 = 0;
  for (std::size_t i = 0; i < differences_.size(); ++i) {
    const double d = differences_[i].value;
    if (std::abs(d) > cut) continue;
    c0 += d * d;
    ++n0;
    if (!differences_[i].follows || i == 0 || std::abs(differences_[i - 1].value) > cut) continue;
    c1 += d * differences_[i - 1].value;
    ++n1;
  }
  if (n0 < 20 || n1 < 20) return noise;
  c0 /= static_cast<double>(n0);
  c1 /= static_cast<double>(n1);
  const double dt3 = dt * dt * dt;
  noise.measurement_variance_m2 = std::clamp((c0 - 4 * c1) / 22, r_min, r_max);
  noise.acceleration_density_m2_s3 = std::clamp(1.5 * (c0 - 6 * noise.measurement_variance_m2) / dt3, q_min, q_max);
  return noise;
}

void smooth(const Track& track, SmoothedTrack& out) {
  MetricScale scale;
  const auto always = [](const TrackFix&) { return true; };
  const double quantum = position_quantum(track);
  const AxisNoise north = noise_of(track, quantum, always, [&](const TrackFix& a, const TrackFix& b, const TrackFix& c) {
    return scale.at(b.position.latitude_deg).north *
           (a.position.latitude_deg - 2 * b.position.latitude_deg + c.position.latitude_deg);
  });
  const AxisNoise east = noise_of(track, quantum, always, [&](const TrackFix& a, const TrackFix& b, const TrackFix& c) {
    return scale.at(b.position.latitude_deg).east * (longitude_difference(b.position.longitude_deg, c.position.longitude_deg) -
                                                     longitude_difference(a.position.longitude_deg, b.position.longitude_deg));
  });
  const AxisNoise horizontal{0.5 * (north.measurement_variance_m2 + east.measurement_variance_m2),
                             0.5 * (north.acceleration_density_m2_s3 + east.acceleration_density_m2_s3)};
  const AxisNoise gnss = noise_of(
      track, 1.0, [](const TrackFix& f) { return f.has_gnss_height; },
      [](const TrackFix& a, const TrackFix& b, const TrackFix& c) {
        return a.gnss_height.si() - 2 * b.gnss_height.si() + c.gnss_height.si();
      });
  const AxisNoise pressure = noise_of(
      track, 1.0, [](const TrackFix& f) { return f.has_pressure_altitude; },
      [](const TrackFix& a, const TrackFix& b, const TrackFix& c) {
        return a.pressure_altitude.si() - 2 * b.pressure_altitude.si() + c.pressure_altitude.si();
      });
  smooth_all(track, horizontal, gnss, pressure, true, out);
}

void smooth(const Track& track, const AxisNoise& horizontal, const AxisNoise& gnss, const AxisNoise& pressure,
            SmoothedTrack& out) {
  smooth_all(track, horizontal, gnss, pressure, false, out);
}

}  // namespace headroom
