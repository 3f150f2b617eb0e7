#include "core/track/wind.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "core/air/standard_atmosphere.h"

namespace headroom {
namespace {
// A name of its own, since sources may be compiled together.
namespace windfit {

// --- what is assumed of air and pilot (docs/analysis/wind.md says where each comes from) ---

constexpr double kWindWalk_m2_s3 = 0.002;         // each component, by time
constexpr double kWindWalkByHeight_m_s2 = 0.001;  // each component, variance per metre of height
constexpr double kWindPriorSd = 5;                // each component, at paraglider speeds; grows with airspeed
constexpr double kSlowTime_s = 60, kFastTime_s = 6;
constexpr double kParaglider_m_s = 10, kSlowSd_m_s = 1.0, kFastSd_m_s = 0.9;  // at a paraglider's airspeed
constexpr double kTrimWalk_m2_s3 = 0.01 / 600;                                // fuel burnt, brakes: 0.1 m/s in ten minutes
constexpr double kOwnNoise_m2_s2 = 0.1;        // of the relation itself: the receiver's slow wander, climb, curvature
constexpr double kDoubt2 = 16;                 // 4 sigma
constexpr double kAirspeedNoise_m2_s2 = 0.25;  // of a recorded airspeed, beside its bias
constexpr double kHeadingNoise_rad = 0.4;      // 0.2 in the recordings at hand, lasting over several instants

constexpr int kDirections = 16;
constexpr std::size_t kBlock = 2048, kLookAhead = 450, kMostPaths = 20;
// Between paths a likelihood counts for half: gusts and a pilot's hands last over several instants, and what is assumed of them
// is not exact, so that instants are fewer witnesses than they seem.
constexpr double kTrust = 0.5;
constexpr double kForget = 14;  // log weight below the best at which a path is dropped

// State: wind east, wind north, trim airspeed (equivalent), slow and fast deviation, bias of airspeed, bias of heading.
constexpr std::size_t kStates = 7;
enum : std::size_t { kE = 0, kN = 1, kTrim = 2, kSlow = 3, kFast = 4, kBiasV = 5, kBiasH = 6 };

// N is 5 without columns, 7 with them.
template <std::size_t N>
struct Gaussian {
  std::array<double, N> x{};
  std::array<double, N * N> p{};  // whole, both halves

  [[nodiscard]] double& cov(std::size_t i, std::size_t j) { return p[i * N + j]; }
  [[nodiscard]] double cov(std::size_t i, std::size_t j) const { return p[i * N + j]; }
};

// What every path shares at an instant.
struct Instant {
  double dt = 0;
  double east = 0, north = 0, variance = 0;
  double before_east = 0, before_north = 0, after_east = 0, after_north = 0;  // of the neighbours
  double turn_before = 0, turn_after = 0;  // averaging time over the time to either neighbour, halved; 0 where none is
  double mean_east = 0, mean_north = 0;    // over the neighbours: its direction is the steadier one
  double density_factor = 1;               // true over equivalent airspeed
  double keep_slow = 1, keep_fast = 1;
  double walked_height = 0, q_trim = 0, q_slow = 0, q_fast = 0;
  double airspeed = -1;  // recorded, or negative
  double heading_east = 0, heading_north = 0;
  bool has_heading = false;
};

struct Model {
  double trim_mean = 10, trim_sd = 4;
  double wind_sd = kWindPriorSd;
  double slow_sd = kSlowSd_m_s, fast_sd = kFastSd_m_s;
  double walk = kWindWalk_m2_s3;
  double bias_airspeed_sd = 4, bias_heading_sd = 0.35;
};

// One scalar measurement as it was applied, for the way back.
template <std::size_t N>
struct Applied {
  std::array<double, N> h{}, gain{};
  double inverse_s = 0, innovation = 0;
};

template <std::size_t N>
struct Step {
  Gaussian<N> predicted;
  std::array<Applied<N>, N == 5 ? 1 : 3> applied;
  std::size_t count = 0;
};

template <std::size_t N>
void predict(Gaussian<N>& g, const Instant& now, const Model& model) {
  g.x[kSlow] *= now.keep_slow;
  g.x[kFast] *= now.keep_fast;
  for (std::size_t i = 0; i < N; ++i) {
    g.cov(kSlow, i) *= now.keep_slow;
    g.cov(kFast, i) *= now.keep_fast;
  }
  for (std::size_t i = 0; i < N; ++i) {
    g.cov(i, kSlow) *= now.keep_slow;
    g.cov(i, kFast) *= now.keep_fast;
  }
  const double walked = model.walk * now.dt + kWindWalkByHeight_m_s2 * now.walked_height;
  g.cov(kE, kE) += walked;
  g.cov(kN, kN) += walked;
  g.cov(kTrim, kTrim) += now.q_trim;
  g.cov(kSlow, kSlow) += now.q_slow;
  g.cov(kFast, kFast) += now.q_fast;
}

// Returns the log likelihood, doubt beyond 4 sigma held.
template <std::size_t N>
double apply(Gaussian<N>& g, const std::array<double, N>& h, double z, double r, Applied<N>& note) {
  std::array<double, N> ph{};
  double s = r, innovation = z;
  for (std::size_t i = 0; i < N; ++i) {
    double sum = 0;
    for (std::size_t j = 0; j < N; ++j) sum += g.cov(i, j) * h[j];
    ph[i] = sum;
    s += sum * h[i];
    innovation -= h[i] * g.x[i];
  }
  const double distance2 = innovation * innovation / s;
  const double log_likelihood = -0.5 * kTrust * (std::log(s) + std::min(distance2, kDoubt2));
  if (distance2 > kDoubt2) s = innovation * innovation / kDoubt2;
  const double inverse = 1 / s;
  for (std::size_t i = 0; i < N; ++i) {
    note.gain[i] = ph[i] * inverse;
    g.x[i] += note.gain[i] * innovation;
    for (std::size_t j = 0; j < N; ++j) g.cov(i, j) -= note.gain[i] * ph[j];
  }
  note.h = h;
  note.inverse_s = inverse;
  note.innovation = innovation;
  return log_likelihood;
}

// An average over a turn by alpha is shorter than what is averaged: by sin(alpha/2) / (alpha/2).
inline double shortened(const Instant& now, double we, double wn) {
  if (now.turn_before == 0 && now.turn_after == 0) return 1;
  const auto turn = [&](double ae, double an, double be, double bn) {
    return std::abs(std::atan2(ae * bn - an * be, ae * be + an * bn));
  };
  const double e = now.east - we, n = now.north - wn;
  const double alpha = now.turn_before * turn(now.before_east - we, now.before_north - wn, e, n) +
                       now.turn_after * turn(e, n, now.after_east - we, now.after_north - wn);
  const double half2 = 0.25 * std::min(alpha * alpha, 9.0);
  return 1 - half2 / 6 * (1 - half2 / 20 * (1 - half2 / 42));
}

// The relation seen from the wind (we, wn): u . g = u . w + airspeed, u the unit vector of g - w.
template <std::size_t N>
double observe(Gaussian<N>& g, const Instant& now, double we, double wn, double extra_variance, Step<N>& step) {
  double ue = now.mean_east - we, un = now.mean_north - wn;
  const double length = std::hypot(ue, un);
  if (length > 1e-6) {
    ue /= length;
    un /= length;
  } else {
    ue = 0;
    un = 1;
  }
  const double f = now.density_factor;
  const double fc = f * shortened(now, we, wn);
  step.count = 0;
  std::array<double, N> h{};
  h[kE] = ue;
  h[kN] = un;
  h[kTrim] = h[kSlow] = h[kFast] = fc;
  double log_likelihood =
      apply<N>(g, h, ue * now.east + un * now.north, now.variance + kOwnNoise_m2_s2 + extra_variance, step.applied[step.count++]);
  if constexpr (N == kStates) {
    if (now.airspeed >= 0) {
      std::array<double, N> ha{};
      ha[kTrim] = ha[kSlow] = ha[kFast] = f;
      ha[kBiasV] = 1;
      log_likelihood += apply<N>(g, ha, now.airspeed, kAirspeedNoise_m2_s2, step.applied[step.count++]);
    }
    if (now.has_heading) {
      // Across the recorded heading t: t . (g - w) = V b.
      const double te = now.heading_north, tn = -now.heading_east;
      std::array<double, N> ht{};
      ht[kE] = te;
      ht[kN] = tn;
      const double v = std::max(1.0, length);
      ht[kBiasH] = v;
      log_likelihood += apply<N>(g, ht, te * now.east + tn * now.north,
                                 now.variance + kHeadingNoise_rad * kHeadingNoise_rad * v * v, step.applied[step.count++]);
    }
  }
  return log_likelihood;
}

// One hypothesis: a whole course of the state from one start.
template <std::size_t N>
struct Path {
  Gaussian<N> state;
  double log_weight = 0;
  bool alive = true;
};

// Two paths have come to the same place: their difference is small against their spread.
template <std::size_t N>
bool coincide(const Gaussian<N>& a, const Gaussian<N>& b) {
  const double de = a.x[kE] - b.x[kE], dn = a.x[kN] - b.x[kN], dv = a.x[kTrim] - b.x[kTrim];
  const double spread2 = std::min(a.cov(kE, kE) + a.cov(kN, kN), b.cov(kE, kE) + b.cov(kN, kN));
  return de * de + dn * dn < 0.02 * spread2 && dv * dv < 0.02 * std::min(a.cov(kTrim, kTrim), b.cov(kTrim, kTrim));
}

template <std::size_t N>
void prune(std::vector<Path<N>>& paths, std::size_t most) {
  double best = -1e300;
  for (const auto& path : paths)
    if (path.alive) best = std::max(best, path.log_weight);
  for (auto& path : paths)
    if (path.alive && path.log_weight < best - kForget) path.alive = false;
  std::sort(paths.begin(), paths.end(),
            [](const Path<N>& a, const Path<N>& b) { return a.alive != b.alive ? a.alive : a.log_weight > b.log_weight; });
  while (!paths.empty() && !paths.back().alive) paths.pop_back();
  for (std::size_t i = 0; i < paths.size(); ++i) {
    if (!paths[i].alive) continue;
    for (std::size_t j = i + 1; j < paths.size(); ++j) {
      if (!paths[j].alive || !coincide(paths[i].state, paths[j].state)) continue;
      const double high = std::max(paths[i].log_weight, paths[j].log_weight);
      paths[i].log_weight = high + std::log(std::exp(paths[i].log_weight - high) + std::exp(paths[j].log_weight - high));
      paths[j].alive = false;
    }
  }
  std::erase_if(paths, [](const Path<N>& path) { return !path.alive; });
  if (paths.size() > most) paths.resize(most);
}

// True over equivalent airspeed; heights beyond the standard atmosphere's lowest layer are taken at its edge, for a spike of
// height must not end the answer.
double airspeed_factor_at(double height_m) {
  return *standard_airspeed_factor(
      PressureAltitude::from_si(std::clamp(height_m, kLowestStandardHeight_m, kHighestStandardHeight_m)));
}

Instant instant_of(std::span<const GroundVelocity> v, std::size_t k, const Model& model, bool use_recorded) {
  Instant i;
  const GroundVelocity& g = v[k];
  i.dt = k == 0 ? 0 : g.time_s - v[k - 1].time_s;
  i.east = g.east_m_s;
  i.north = g.north_m_s;
  i.variance = g.variance_m2_s2;
  i.mean_east = i.east;
  i.mean_north = i.north;
  if (k > 0 && k + 1 < v.size()) {
    i.mean_east = 0.25 * (v[k - 1].east_m_s + v[k + 1].east_m_s) + 0.5 * i.east;
    i.mean_north = 0.25 * (v[k - 1].north_m_s + v[k + 1].north_m_s) + 0.5 * i.north;
  }
  if (g.over_s > 0) {
    const double half = k > 0 && k + 1 < v.size() ? 0.5 : 1;
    if (k > 0) {
      i.before_east = v[k - 1].east_m_s;
      i.before_north = v[k - 1].north_m_s;
      i.turn_before = half * std::min(1.0, g.over_s / (g.time_s - v[k - 1].time_s));
    }
    if (k + 1 < v.size()) {
      i.after_east = v[k + 1].east_m_s;
      i.after_north = v[k + 1].north_m_s;
      i.turn_after = half * std::min(1.0, g.over_s / (v[k + 1].time_s - g.time_s));
    }
  }
  if (g.has_height) i.density_factor = airspeed_factor_at(g.height_m);
  i.keep_slow = std::exp(-i.dt / kSlowTime_s);
  i.keep_fast = std::exp(-i.dt / kFastTime_s);
  const double rise = k > 0 && g.has_height && v[k - 1].has_height ? std::abs(g.height_m - v[k - 1].height_m) : 0;
  i.walked_height = rise;
  i.q_trim = kTrimWalk_m2_s3 * i.dt;
  i.q_slow = model.slow_sd * model.slow_sd * (1 - i.keep_slow * i.keep_slow);
  i.q_fast = model.fast_sd * model.fast_sd * (1 - i.keep_fast * i.keep_fast);
  if (use_recorded && g.airspeed_m_s) i.airspeed = *g.airspeed_m_s;
  if (use_recorded && g.heading_rad) {
    i.has_heading = true;
    i.heading_east = std::sin(*g.heading_rad);
    i.heading_north = std::cos(*g.heading_rad);
  }
  return i;
}

template <std::size_t N>
class Estimator {
 public:
  Estimator(std::span<const GroundVelocity> velocities, const Model& model, bool use_recorded)
      : velocities_(velocities), model_(model), use_recorded_(use_recorded) {}

  void run(WindSolution& out) {
    std::vector<Path<N>> paths;
    const std::size_t n = velocities_.size();
    for (std::size_t begin = 0; begin < n; begin += kBlock) {
      const std::size_t end = std::min(begin + kBlock, n);
      const std::size_t far = std::min(end + kLookAhead, n);
      instants_.clear();
      for (std::size_t k = begin; k < far; ++k) instants_.push_back(instant_of(velocities_, k, model_, use_recorded_));
      if (begin == 0) paths = starts();
      paths = block(paths, end - begin, far - begin, out);
    }
    out.trim_airspeed_m_s = trim_ / trim_weight_;
    out.trim_airspeed_sd_m_s = std::sqrt(std::max(0.0, trim_variance_ / trim_weight_));
    if (!use_recorded_) return;
    for (const GroundVelocity& g : velocities_) {
      if (g.airspeed_m_s) out.airspeed_column_bias_m_s = bias_v_ / trim_weight_;
      if (g.heading_rad) out.heading_column_bias_rad = bias_h_ / trim_weight_;
    }
  }

 private:
  // Winds from which the first ground velocity is reached at each of some airspeeds and headings: a tiling of the prior.
  std::vector<Path<N>> starts() const {
    double ge = 0, gn = 0;
    const std::size_t few = std::min<std::size_t>(instants_.size(), 3);
    for (std::size_t i = 0; i < few; ++i) {
      ge += instants_[i].east / static_cast<double>(few);
      gn += instants_[i].north / static_cast<double>(few);
    }
    std::vector<Path<N>> paths;
    // Gauss-Hermite nodes of three points for the airspeed, each with the spread that makes up the whole again.
    constexpr std::array<double, 3> place = {-1.2247, 0, 1.2247}, weight = {0.25, 0.5, 0.25};
    for (std::size_t level = 0; level < place.size(); ++level) {
      const double trim = model_.trim_mean + place[level] * model_.trim_sd * 0.9;
      if (trim < 3) continue;
      const double trim_sd = 0.6 * model_.trim_sd;
      const double v = trim * instants_[0].density_factor;
      const double along = std::hypot(trim_sd, model_.slow_sd) + 0.5;
      const double across = v * std::numbers::pi / kDirections;
      for (int d = 0; d < kDirections; ++d) {
        const double angle = 2 * std::numbers::pi * d / kDirections;
        const double ue = std::sin(angle), un = std::cos(angle);
        Path<N> path;
        auto& g = path.state;
        g.x[kE] = ge - v * ue;
        g.x[kN] = gn - v * un;
        g.x[kTrim] = trim;
        const double a2 = along * along, c2 = across * across;
        g.cov(kE, kE) = a2 * ue * ue + c2 * un * un;
        g.cov(kN, kN) = a2 * un * un + c2 * ue * ue;
        g.cov(kE, kN) = g.cov(kN, kE) = (a2 - c2) * ue * un;
        g.cov(kTrim, kTrim) = trim_sd * trim_sd;
        g.cov(kSlow, kSlow) = model_.slow_sd * model_.slow_sd;
        g.cov(kFast, kFast) = model_.fast_sd * model_.fast_sd;
        if constexpr (N == kStates) {
          g.cov(kBiasV, kBiasV) = model_.bias_airspeed_sd * model_.bias_airspeed_sd;
          g.cov(kBiasH, kBiasH) = model_.bias_heading_sd * model_.bias_heading_sd;
        }
        const double w2 = (g.x[kE] * g.x[kE] + g.x[kN] * g.x[kN]) / (model_.wind_sd * model_.wind_sd);
        path.log_weight = std::log(weight[level] * v) - 0.5 * w2;
        paths.push_back(path);
      }
    }
    return paths;
  }

  static double forward_from_itself(Gaussian<N>& g, const Instant& now, Step<N>& step) {
    // |g - w| of an uncertain w is longer than at its mean: its square across, over twice the airspeed.
    const double ue = now.mean_east - g.x[kE], un = now.mean_north - g.x[kN];
    const double length2 = std::max(9.0, ue * ue + un * un);
    const double across2 =
        std::max(0.0, (g.cov(kE, kE) * un * un + g.cov(kN, kN) * ue * ue - 2 * g.cov(kE, kN) * ue * un) / length2);
    return observe(g, now, g.x[kE], g.x[kN], 0.25 * across2 * across2 / length2, step);
  }

  // Instants [0, n) of the block, of which the first `wanted` are answered and the rest look ahead. Returns the paths as they
  // stand after those wanted.
  std::vector<Path<N>> block(const std::vector<Path<N>>& from, std::size_t wanted, std::size_t n, WindSolution& out) {
    const std::vector<std::size_t> survivors = live_on(from);
    steps_.resize(n);
    std::vector<Path<N>> carried;
    std::vector<double> weights;
    smoothed_.resize(survivors.size());
    for (std::size_t s = 0; s < survivors.size(); ++s) {
      const Path<N>& start = from[survivors[s]];
      course_.assign(n, {0, 0});
      double log_weight = 0;
      Path<N> at_end;
      for (int pass = 0; pass < kPasses; ++pass) {
        Gaussian<N> g = start.state;
        log_weight = start.log_weight;
        for (std::size_t k = 0; k < n; ++k) {
          const Instant& now = instants_[k];
          predict(g, now, model_);
          steps_[k].predicted = g;
          log_weight += pass == 0 ? forward_from_itself(g, now, steps_[k])
                                  : observe(g, now, course_[k].east, course_[k].north, 0, steps_[k]);
          if (k + 1 == wanted) at_end = {g, log_weight, true};
        }
        backward(n, wanted, pass + 1 == kPasses ? &smoothed_[s] : nullptr);
      }
      weights.push_back(log_weight);
      carried.push_back(at_end);
    }
    const double best = *std::max_element(weights.begin(), weights.end());
    double sum = 0;
    for (double& w : weights) sum += w = std::exp(w - best);
    for (double& w : weights) w /= sum;
    mix(weights, wanted, out);
    prune(carried, kMostPaths);
    return carried;
  }

  // Indices of the paths worth following through the block, best first: forward only, with the relation seen from where each
  // path itself stands.
  std::vector<std::size_t> live_on(const std::vector<Path<N>>& from) const {
    struct Tagged {
      Path<N> path;
      std::size_t index;
    };
    std::vector<Tagged> all;
    for (std::size_t i = 0; i < from.size(); ++i) all.push_back({from[i], i});
    Step<N> unused;
    for (std::size_t k = 0; k < instants_.size() && all.size() > 1; ++k) {
      for (auto& t : all) {
        predict(t.path.state, instants_[k], model_);
        t.path.log_weight += forward_from_itself(t.path.state, instants_[k], unused);
      }
      const bool last = k + 1 == instants_.size();
      if (k % 8 == 7 || last) thin(all, last ? kMostPaths : all.size());
    }
    std::vector<std::size_t> indices;
    for (const auto& t : all) indices.push_back(t.index);
    return indices;
  }

  template <class Tagged>
  static void thin(std::vector<Tagged>& all, std::size_t most) {
    std::sort(all.begin(), all.end(), [](const Tagged& a, const Tagged& b) { return a.path.log_weight > b.path.log_weight; });
    const double best = all.front().path.log_weight;
    std::vector<Tagged> kept;
    for (const auto& t : all) {
      if (t.path.log_weight < best - kForget) break;
      bool same = false;
      for (const auto& k : kept) same = same || coincide(k.path.state, t.path.state);
      if (!same && kept.size() < most) kept.push_back(t);
    }
    all.swap(kept);
  }

  struct Place {
    double east, north;
  };
  struct Smoothed {
    std::array<float, 2> wind;
    std::array<float, 3> cov;
    float airspeed, var_airspeed, trim, var_trim, bias_v, bias_h;
  };

  // Modified Bryson-Frazier: the adjoint lambda and its information Lambda, no inverse of a covariance.
  void backward(std::size_t n, std::size_t wanted, std::vector<Smoothed>* result) {
    std::array<double, N> lambda{};
    std::array<double, N * N> info{};
    const auto at = [](std::size_t i, std::size_t j) { return i * N + j; };
    if (result) result->resize(wanted);
    for (std::size_t k = n; k-- > 0;) {
      const Step<N>& step = steps_[k];
      for (std::size_t m = step.count; m-- > 0;) {
        const Applied<N>& a = step.applied[m];
        double kl = 0, klk = 0;
        std::array<double, N> lk{};
        for (std::size_t i = 0; i < N; ++i) {
          kl += a.gain[i] * lambda[i];
          double sum = 0;
          for (std::size_t j = 0; j < N; ++j) sum += info[at(i, j)] * a.gain[j];
          lk[i] = sum;
          klk += sum * a.gain[i];
        }
        const double both = kl + a.innovation * a.inverse_s;
        for (std::size_t i = 0; i < N; ++i) {
          lambda[i] -= a.h[i] * both;
          for (std::size_t j = 0; j < N; ++j) {
            info[at(i, j)] += a.h[i] * a.h[j] * (klk + a.inverse_s) - a.h[i] * lk[j] - lk[i] * a.h[j];
          }
        }
      }
      const Gaussian<N>& p = step.predicted;
      if (!result || k < wanted) {
        const auto smoothed_mean = [&](std::size_t i) {
          double x = p.x[i];
          for (std::size_t j = 0; j < N; ++j) x -= p.cov(i, j) * lambda[j];
          return x;
        };
        const double we = smoothed_mean(kE), wn = smoothed_mean(kN);
        course_[k] = {we, wn};
        if (result) write(p, info, smoothed_mean, instants_[k].density_factor, (*result)[k]);
      }
      // Back over the prediction: lambda = F' lambda, Lambda = F' Lambda F.
      const double ks = instants_[k].keep_slow, kf = instants_[k].keep_fast;
      lambda[kSlow] *= ks;
      lambda[kFast] *= kf;
      for (std::size_t i = 0; i < N; ++i) {
        info[at(kSlow, i)] *= ks;
        info[at(i, kSlow)] *= ks;
        info[at(kFast, i)] *= kf;
        info[at(i, kFast)] *= kf;
      }
    }
  }

  template <class Mean>
  static void write(const Gaussian<N>& p, const std::array<double, N * N>& info, Mean mean, double f, Smoothed& out) {
    // Rows of P for wind east, wind north, airspeed and trim; then P - P Lambda P among them.
    std::array<std::array<double, N>, 4> row{};
    for (std::size_t j = 0; j < N; ++j) {
      row[0][j] = p.cov(kE, j);
      row[1][j] = p.cov(kN, j);
      row[2][j] = f * (p.cov(kTrim, j) + p.cov(kSlow, j) + p.cov(kFast, j));
      row[3][j] = p.cov(kTrim, j);
    }
    std::array<std::array<double, N>, 4> li{};
    for (std::size_t r = 0; r < 4; ++r)
      for (std::size_t i = 0; i < N; ++i) {
        double sum = 0;
        for (std::size_t j = 0; j < N; ++j) sum += info[i * N + j] * row[r][j];
        li[r][i] = sum;
      }
    const auto less = [&](std::size_t a, std::size_t b, double prior) {
      for (std::size_t i = 0; i < N; ++i) prior -= row[a][i] * li[b][i];
      return static_cast<float>(prior);
    };
    out.wind = {static_cast<float>(mean(kE)), static_cast<float>(mean(kN))};
    out.cov = {less(0, 0, p.cov(kE, kE)), less(0, 1, p.cov(kE, kN)), less(1, 1, p.cov(kN, kN))};
    const double pv = f * (row[2][kTrim] + row[2][kSlow] + row[2][kFast]);
    out.airspeed = static_cast<float>(f * (mean(kTrim) + mean(kSlow) + mean(kFast)));
    out.var_airspeed = less(2, 2, pv);
    out.trim = static_cast<float>(mean(kTrim));
    out.var_trim = less(3, 3, p.cov(kTrim, kTrim));
    if constexpr (N == kStates) {
      out.bias_v = static_cast<float>(mean(kBiasV));
      out.bias_h = static_cast<float>(mean(kBiasH));
    }
  }

  // Mean and covariance of the weighted paths at each instant.
  void mix(const std::vector<double>& weights, std::size_t wanted, WindSolution& out) {
    for (std::size_t k = 0; k < wanted; ++k) {
      double e = 0, n = 0, v = 0, trim = 0;
      for (std::size_t s = 0; s < weights.size(); ++s) {
        const Smoothed& x = smoothed_[s][k];
        e += weights[s] * static_cast<double>(x.wind[0]);
        n += weights[s] * static_cast<double>(x.wind[1]);
        v += weights[s] * static_cast<double>(x.airspeed);
        trim += weights[s] * static_cast<double>(x.trim);
      }
      double ee = 0, en = 0, nn = 0, vv = 0, tt = 0;
      for (std::size_t s = 0; s < weights.size(); ++s) {
        const Smoothed& x = smoothed_[s][k];
        const double de = static_cast<double>(x.wind[0]) - e, dn = static_cast<double>(x.wind[1]) - n;
        const double dv = static_cast<double>(x.airspeed) - v, dt = static_cast<double>(x.trim) - trim;
        ee += weights[s] * (static_cast<double>(x.cov[0]) + de * de);
        en += weights[s] * (static_cast<double>(x.cov[1]) + de * dn);
        nn += weights[s] * (static_cast<double>(x.cov[2]) + dn * dn);
        vv += weights[s] * (static_cast<double>(x.var_airspeed) + dv * dv);
        tt += weights[s] * (static_cast<double>(x.var_trim) + dt * dt);
        bias_v_ += weights[s] * static_cast<double>(x.bias_v);
        bias_h_ += weights[s] * static_cast<double>(x.bias_h);
      }
      trim_ += trim;
      trim_variance_ += tt;
      trim_weight_ += 1;
      out.states.push_back({static_cast<float>(e), static_cast<float>(n), static_cast<float>(ee), static_cast<float>(en),
                            static_cast<float>(nn), static_cast<float>(v), static_cast<float>(vv)});
    }
  }

  static constexpr int kPasses = 3;
  std::span<const GroundVelocity> velocities_;
  const Model& model_;
  bool use_recorded_;
  std::vector<Instant> instants_;  // of the block
  std::vector<Step<N>> steps_;
  std::vector<Place> course_;
  std::vector<std::vector<Smoothed>> smoothed_;
  double trim_ = 0, trim_variance_ = 0, trim_weight_ = 0, bias_v_ = 0, bias_h_ = 0;
};

// --- from velocities to instants, and what cannot be answered ---

double nth_of(std::vector<double>& values, double share) {
  const auto place = static_cast<std::size_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(place), values.end());
  return values[place];
}

std::string why_unknown(std::span<const GroundVelocity> v) {
  for (const GroundVelocity& g : v)
    if (!std::isfinite(g.time_s) || !std::isfinite(g.east_m_s) || !std::isfinite(g.north_m_s) ||
        !(g.variance_m2_s2 >= 0 && g.variance_m2_s2 < 1e12) || (g.has_height && !std::isfinite(g.height_m)))
      return "The track holds values that are no numbers.";
  for (std::size_t i = 1; i < v.size(); ++i)
    if (!(v[i].time_s > v[i - 1].time_s)) return "The times of the track do not increase.";
  if (v.size() < 12 || v.back().time_s - v.front().time_s < kWindShortest_s) return "The flight is too short to tell the wind.";
  std::vector<double> steps, speeds;
  for (std::size_t i = 0; i < v.size(); ++i) {
    if (i > 0) steps.push_back(v[i].time_s - v[i - 1].time_s);
    speeds.push_back(std::hypot(v[i].east_m_s, v[i].north_m_s));
  }
  if (nth_of(steps, 0.5) > kWindSlowest_s) return "The fixes are too far apart: turns between them are not seen.";
  if (nth_of(speeds, 0.95) < 1.0) return "The recorder hardly moved.";
  if (nth_of(speeds, 0.5) > 110) return "The speeds are not those of an aircraft of this kind.";
  return {};
}

Model model_of(std::span<const GroundVelocity> v, const std::optional<AirspeedPrior>& prior) {
  std::vector<double> speeds;
  for (const GroundVelocity& g : v) speeds.push_back(std::hypot(g.east_m_s, g.north_m_s));
  const double middle = nth_of(speeds, 0.5);
  Model model;
  model.trim_mean = std::clamp(middle, 6.0, 60.0);
  model.trim_sd = 2.0 + 0.2 * model.trim_mean;
  const double size = std::max(10.0, model.trim_mean);
  if (prior && prior->mean.si() > 3 && prior->sd.si() > 0) {
    model.trim_mean = prior->mean.si();
    model.trim_sd = std::max(1.5, 2 * prior->sd.si());
  }
  // Faster aircraft are flown over a wider range of speeds and cross more of the air in a second.
  const double relative = size / kParaglider_m_s;
  model.slow_sd = kSlowSd_m_s * std::pow(relative, 1.8);
  model.fast_sd = kFastSd_m_s * std::pow(relative, 1.4);
  model.walk = kWindWalk_m2_s3 * std::sqrt(relative);
  model.wind_sd = kWindPriorSd * std::min(2.0, std::sqrt(size / 10));
  return model;
}

}  // namespace windfit
}  // namespace

double WindState::spread_m_s() const {
  return std::sqrt(static_cast<double>(var_east) + static_cast<double>(var_north));
}
double WindState::speed_m_s() const {
  return std::hypot(static_cast<double>(east_m_s), static_cast<double>(north_m_s));
}
WindFrom WindState::from() const {
  const double towards = std::atan2(static_cast<double>(east_m_s), static_cast<double>(north_m_s));
  const double from = towards + std::numbers::pi;  // 0 to 2 pi
  return WindFrom(from >= 2 * std::numbers::pi ? from - 2 * std::numbers::pi : from);
}

WindState WindSolution::at(double time_s) const {
  const auto after = std::lower_bound(times_s.begin(), times_s.end(), time_s);
  if (after == times_s.begin()) return states.front();
  if (after == times_s.end()) return states.back();
  const auto j = static_cast<std::size_t>(after - times_s.begin());
  const WindState &a = states[j - 1], &b = states[j];
  const auto f = static_cast<float>((time_s - times_s[j - 1]) / (times_s[j] - times_s[j - 1]));
  const auto between = [f](float x, float y) { return x + f * (y - x); };
  return {between(a.east_m_s, b.east_m_s),        between(a.north_m_s, b.north_m_s),
          between(a.var_east, b.var_east),        between(a.cov_east_north, b.cov_east_north),
          between(a.var_north, b.var_north),      between(a.airspeed_m_s, b.airspeed_m_s),
          between(a.var_airspeed, b.var_airspeed)};
}

namespace {

WindState mean_state(const std::vector<WindState>& states) {
  constexpr std::array kParts{&WindState::east_m_s,       &WindState::north_m_s, &WindState::var_east,
                              &WindState::cov_east_north, &WindState::var_north, &WindState::airspeed_m_s,
                              &WindState::var_airspeed};
  WindState out;
  if (states.empty()) return out;
  for (const auto part : kParts) {
    double sum = 0;
    for (const WindState& s : states) sum += static_cast<double>(s.*part);
    out.*part = static_cast<float>(sum / static_cast<double>(states.size()));
  }
  return out;
}

}  // namespace

WindSolution estimate_wind(std::span<const GroundVelocity> velocities, const WindOptions& options) {
  WindSolution out;
  out.unknown = windfit::why_unknown(velocities);
  if (!out.known()) return out;
  const windfit::Model model = windfit::model_of(velocities, options.airspeed);
  bool columns = false;
  for (const GroundVelocity& g : velocities) columns = columns || g.airspeed_m_s || g.heading_rad;
  columns = columns && options.use_recorded;
  out.times_s.reserve(velocities.size());
  out.states.reserve(velocities.size());
  for (const GroundVelocity& g : velocities) out.times_s.push_back(g.time_s);
  if (columns)
    windfit::Estimator<windfit::kStates>(velocities, model, true).run(out);
  else
    windfit::Estimator<5>(velocities, model, false).run(out);
  out.mean = mean_state(out.states);
  return out;
}

std::vector<WindLayer> wind_by_height(std::span<const GroundVelocity> velocities, const WindSolution& solution,
                                      Length thickness) {
  struct Piece {
    long layer;
    double seconds, east, north, spread;
  };
  std::vector<WindLayer> layers;
  if (!solution.known() || !(thickness.si() > 0)) return layers;
  std::vector<Piece> pieces;
  for (std::size_t k = 0; k < velocities.size(); ++k) {
    if (!velocities[k].has_height) continue;
    const double before = k > 0 ? std::min(30.0, velocities[k].time_s - velocities[k - 1].time_s) : 0;
    const double after = k + 1 < velocities.size() ? std::min(30.0, velocities[k + 1].time_s - velocities[k].time_s) : 0;
    const WindState& s = solution.states[k];
    pieces.push_back({static_cast<long>(std::floor(velocities[k].height_m / thickness.si())), 0.5 * (before + after),
                      static_cast<double>(s.east_m_s), static_cast<double>(s.north_m_s), s.spread_m_s()});
  }
  std::stable_sort(pieces.begin(), pieces.end(), [](const Piece& a, const Piece& b) { return a.layer < b.layer; });
  for (std::size_t i = 0; i < pieces.size();) {
    std::size_t j = i;
    WindLayer layer;
    std::vector<double> east, north, spread;
    for (; j < pieces.size() && pieces[j].layer == pieces[i].layer; ++j) {
      layer.seconds += pieces[j].seconds;
      east.push_back(pieces[j].east);
      north.push_back(pieces[j].north);
      spread.push_back(pieces[j].spread);
    }
    layer.bottom_m = static_cast<double>(pieces[i].layer) * thickness.si();
    layer.top_m = layer.bottom_m + thickness.si();
    layer.east_m_s = windfit::nth_of(east, 0.5);
    layer.north_m_s = windfit::nth_of(north, 0.5);
    layer.spread_m_s = windfit::nth_of(spread, 0.5);
    if (layer.seconds >= 20) layers.push_back(layer);
    i = j;
  }
  return layers;
}

}  // namespace headroom
