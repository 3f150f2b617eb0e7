#include "core/track/run.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

// Judged, none from a publication; see docs/analysis/measures.md.
constexpr double kSlowestRun_s = 6;                           // fixes further apart show no run
constexpr double kShortestRun_s = 1;                          // own choice: less than two steps
constexpr double kLongestRun_s = 60;                          // looked back from lift-off
constexpr double kStillTime_s = 25;                           // before the first step, from which the scale of standing is taken
constexpr double kStillLeast_m_s = 0.25;                      // scale of the speed of one who stands, besides noise
constexpr double kStillMost_m_s = 0.9;                        // and of one who keeps a wing overhead
constexpr double kSlowestStep_m_s = 0.4, kUsualStep_m_s = 4;  // speeds within a run: exponential above the slowest
constexpr double kTurnedAway = 0.2;                           // cosine: motion more across than this does not belong to the run
constexpr double kWander_m = 1.5, kWander_s = 40;             // receivers' slow wander: scale and correlation time
constexpr double kLearnLeast_m = 8;
constexpr double kBendUnlike_s = 0.3;  // lift-offs that do not bend the height as the model has it
constexpr double kRoomBin_m = 0.25;
constexpr double kHeadwindHeight_m = 2, kGradient = 1.0 / 7;  // the usual power law of wind with height

struct RunPoint {
  std::size_t fix = 0;
  double t = 0, way = 0, speed = 0;  // along the way, forward
  double east = 0, north = 0;
};

double normal_tail(double z) {  // chance of a standard normal above z
  return 0.5 * std::erfc(z / std::numbers::sqrt2);
}

// Weighted values, binned, from which quantiles are read after smearing by a normal error.
class Spread {
 public:
  explicit Spread(double bin) : bin_(bin) {}
  void add(double value, double weight) {
    values_.push_back({value, weight});
    total_ += weight;
  }
  // 5, 50 and 95 %.
  [[nodiscard]] std::array<double, 3> quantiles(double sd) {
    double low = 1e300, high = -1e300;
    for (const auto& v : values_)
      if (v.weight > 1e-9 * total_) low = std::min(low, v.value), high = std::max(high, v.value);
    low -= 5 * sd + bin_;
    high += 5 * sd + bin_;
    const auto n = static_cast<std::size_t>(std::min(4000.0, std::ceil((high - low) / bin_)) + 1);
    const double step = (high - low) / static_cast<double>(n - 1);
    std::vector<double> at(n, 0), smeared(n, 0);
    for (const auto& v : values_)
      if (v.value >= low && v.value <= high) at[static_cast<std::size_t>((v.value - low) / step + 0.5)] += v.weight;
    const auto reach = static_cast<std::size_t>(std::ceil(4 * sd / step));
    std::vector<double> kernel(reach + 1);
    for (std::size_t k = 0; k <= reach; ++k) {
      const double z = sd > 0 ? static_cast<double>(k) * step / sd : 0;
      kernel[k] = std::exp(-0.5 * z * z);
    }
    double sum = 0;
    for (std::size_t i = 0; i < n; ++i) {
      if (at[i] <= 0) continue;
      for (std::size_t j = i > reach ? i - reach : 0; j <= std::min(n - 1, i + reach); ++j)
        smeared[j] += at[i] * kernel[j > i ? j - i : i - j];
    }
    for (const double s : smeared) sum += s;
    std::array<double, 3> out{};
    std::size_t next = 0;
    double below = 0;
    constexpr std::array<double, 3> share{0.05, 0.5, 0.95};
    for (std::size_t i = 0; i < n && next < 3; ++i) {
      below += smeared[i];
      while (next < 3 && below >= share[next] * sum) out[next++] = low + step * static_cast<double>(i);
    }
    return out;
  }

 private:
  struct Value {
    double value, weight;
  };
  std::vector<Value> values_;
  double bin_, total_ = 0;
};

template <class Q>
Estimate<Q> run_figure(Q low, Q mid, Q high) {
  auto e = make_estimate(low, mid, high, measured());
  return e ? std::move(*e) : unknown_estimate<Q>("it cannot be told from what was recorded");
}

TakeOffRun not_seen(const FoundFlight& flight, std::string why) {
  TakeOffRun run;
  run.first = run.lift_off = flight.first;
  run.begin = run.end = flight.launch;
  run.why_not = run.not_learned = why;
  run.room = unknown_estimate<Length>(why);
  run.time = unknown_estimate<Duration>(why);
  run.lift_off_ground_speed = unknown_estimate<Speed>(why);
  run.headwind = unknown_estimate<Speed>(std::move(why));
  return run;
}

// Position along the way at an instant: a cubic through positions and speeds of the two fixes around it.
double way_at(const std::vector<RunPoint>& p, double t) {
  const auto after = std::lower_bound(p.begin() + 1, p.end() - 1, t, [](const RunPoint& a, double x) { return a.t < x; });
  const RunPoint &a = *(after - 1), &b = *after;
  const double h = b.t - a.t, s = std::clamp((t - a.t) / h, 0.0, 1.0), s2 = s * s, s3 = s2 * s;
  return (2 * s3 - 3 * s2 + 1) * a.way + (s3 - 2 * s2 + s) * h * a.speed + (3 * s2 - 2 * s3) * b.way + (s3 - s2) * h * b.speed;
}
double run_speed_at(const std::vector<RunPoint>& p, double t) {
  const auto after = std::lower_bound(p.begin() + 1, p.end() - 1, t, [](const RunPoint& a, double x) { return a.t < x; });
  const RunPoint &a = *(after - 1), &b = *after;
  const double s = std::clamp((t - a.t) / (b.t - a.t), 0.0, 1.0);
  return a.speed + s * (b.speed - a.speed);
}

// Headwind over the run at 2 m: the wind found where some height was flown just after, brought down by the power law.
Estimate<Speed> headwind_of(double lift_off_s, double towards_rad, std::span<const GroundVelocity> velocities,
                            const WindSolution& wind) {
  if (!wind.known()) return unknown_estimate<Speed>("the wind is not known: " + wind.unknown);
  const double t = lift_off_s + 25;
  const WindState w = wind.at(t);
  double height = 25;
  const GroundVelocity *left = nullptr, *then = nullptr;
  for (const GroundVelocity& v : velocities) {
    if (!v.has_height) continue;
    if (!left) left = &v;
    if (v.time_s <= t) then = &v;
  }
  if (left && then) height = std::clamp(then->height_m - left->height_m, 8.0, 200.0);
  const double factor = std::pow(kHeadwindHeight_m / height, kGradient);
  const double s = std::sin(towards_rad), c = std::cos(towards_rad);
  const double against = -(static_cast<double>(w.east_m_s) * s + static_cast<double>(w.north_m_s) * c);
  // Covariances are kept in single precision.
  const double variance =
      std::max(0.0, static_cast<double>(w.var_east) * s * s + 2 * static_cast<double>(w.cov_east_north) * s * c +
                        static_cast<double>(w.var_north) * c * c);
  // Gusts over the run's few seconds and a gradient other than the usual one: a quarter of the wind, and half a metre a second.
  const double sd = std::hypot(factor * std::sqrt(variance), 0.25 * factor * wind.at(t).speed_m_s(), 0.5);
  const double mid = factor * against;
  return run_figure(metres_per_second(mid - kNormal95 * sd), metres_per_second(mid), metres_per_second(mid + kNormal95 * sd));
}

}  // namespace

TakeOffRun find_take_off(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                         const ContactTimes& lift_off, std::span<const GroundVelocity> velocities, const WindSolution& wind) {
  if (flight.begins_in_air) return not_seen(flight, "the recording begins in the air");
  if (flight.launch_uncertainty.si() > 100) return not_seen(flight, "the launch lies in a gap of the recording");
  if (!(track.has_pressure || track.has_gnss))
    return not_seen(flight, "without heights the lift-off cannot be told from the run");
  if (track.interval.si() > kSlowestRun_s) return not_seen(flight, "its fixes are too far apart to see a run");
  if (!lift_off.known()) return not_seen(flight, "too little was recorded beside the launch");

  const auto time = [&](std::size_t i) { return duration_between(track.fixes.front().time, track.fixes[i].time).si(); };
  const double middle = lift_off.quantile_s(0.5), latest = lift_off.quantile_s(0.999);
  std::size_t begin = flight.first, end = flight.first;
  while (begin > 0 && time(begin - 1) >= middle - kLongestRun_s - kStillTime_s &&
         time(begin) - time(begin - 1) <= 3 * kSlowestRun_s)
    --begin;
  while (end + 1 < track.fixes.size() && (time(end) < latest + 2 || end < begin + 3) && time(end + 1) - time(end) <= kSmoothGap_s)
    ++end;
  if (end < begin + 3 || time(begin) > middle - 3) return not_seen(flight, "the recording begins within the run");

  // The way, on a plane about the launch.
  std::vector<RunPoint> p(end - begin + 1);
  const GeoPosition origin = smoothed.fixes[flight.first].position;
  const MetresPerDegree m = metres_per_degree(origin.latitude_deg);
  for (std::size_t k = 0; k < p.size(); ++k) {
    const SmoothedFix& f = smoothed.fixes[begin + k];
    p[k].fix = begin + k;
    p[k].t = time(begin + k);
    p[k].east = m.east * longitude_difference(origin.longitude_deg, f.position.longitude_deg);
    p[k].north = m.north * (f.position.latitude_deg - origin.latitude_deg);
  }
  // Direction of the run: over its last seconds.
  std::size_t last = p.size() - 1;
  while (last > 1 && p[last - 1].t >= middle) --last;
  std::size_t from = last;
  while (from > 0 && p[last].t - p[from].t < std::max(4.0, track.interval.si())) --from;
  const double run_e = p[last].east - p[from].east, run_n = p[last].north - p[from].north;
  const double run_length = std::hypot(run_e, run_n);
  if (!(run_length > 1)) return not_seen(flight, "no run is seen before the lift-off");
  const double ue = run_e / run_length, un = run_n / run_length;
  // Steps along the local direction, which bends with a curved run and is not lengthened by noise across.
  std::vector<double> step(p.size() - 1);
  for (std::size_t k = 0; k + 1 < p.size(); ++k) {
    const RunPoint &a = p[k == 0 ? 0 : k - 1], &b = p[std::min(k + 2, p.size() - 1)];
    double de = b.east - a.east, dn = b.north - a.north;
    const double d = std::hypot(de, dn);
    const bool along = d > 0.5 && (de * ue + dn * un) > kTurnedAway * d;
    if (!along) de = ue, dn = un;
    const double size = along ? d : 1;
    step[k] = ((p[k + 1].east - p[k].east) * de + (p[k + 1].north - p[k].north) * dn) / size;
    const SmoothedFix& f = smoothed.fixes[p[k].fix];
    p[k].speed = std::max(0.0, (f.east_m_s * de + f.north_m_s * dn) / size);
    p[k + 1].way = p[k].way + step[k];
  }
  p.back().speed = std::hypot(smoothed.fixes[p.back().fix].east_m_s, smoothed.fixes[p.back().fix].north_m_s);

  // The first step: going back from lift-off, each interval is either of the run or of the standing before it.
  const double fix_sd = std::sqrt(std::clamp<double>(smoothed.fixes[flight.first].horizontal.position, 0.02, 4.0));
  std::vector<double> stills;
  std::size_t top = last;  // intervals [k, k + 1] with k < top come before lift-off
  {
    // Where speed last was under a slow walk: the standing lies before.
    std::size_t slow = top;
    while (slow > 0 && step[slow - 1] > 1.0 * (p[slow].t - p[slow - 1].t)) --slow;
    for (std::size_t k = slow; k-- > 0 && p[slow].t - p[k].t < kStillTime_s;) {
      const double dt = p[k + 1].t - p[k].t, v = step[k] / dt;
      if (std::abs(v) > 2.5) break;
      stills.push_back(std::abs(v));
    }
  }
  const double noise = 0.7 * std::sqrt(std::clamp<double>(smoothed.fixes[flight.first].horizontal.velocity, 0.01, 4.0));
  double usual = 0.5;
  if (stills.size() > 2) {  // median, so that a walk within that time does not count as standing
    const auto half = stills.begin() + static_cast<std::ptrdiff_t>(stills.size() / 2);
    std::nth_element(stills.begin(), half, stills.end());
    usual = 1.4826 * *half;
  }
  const double still = std::clamp(usual, std::hypot(kStillLeast_m_s, noise), std::hypot(kStillMost_m_s, noise));
  const double ramp = std::hypot(noise, 0.15);
  std::vector<double> log_run(top + 1, 0), log_still(top + 1, 0);
  for (std::size_t k = 0; k < top; ++k) {
    const double v = step[k] / (p[k + 1].t - p[k].t);
    const double weight = std::min(1.5, p[k + 1].t - p[k].t);
    const double running = std::max(1e-5, normal_tail((kSlowestStep_m_s - v) / ramp)) *
                           std::exp(-std::max(v, 0.0) / kUsualStep_m_s) / kUsualStep_m_s;
    log_run[k] = weight * std::log(running);
    log_still[k] = weight * (std::max(-18.0, -0.5 * v * v / (still * still)) - std::log(still * 2.5066));
  }
  // Weight of the first step lying in interval k.
  std::vector<double> start(top, -1e300);
  double run_sum = 0, still_sum = 0, best = -1e300;
  for (std::size_t k = 0; k < top; ++k) still_sum += log_still[k];
  for (std::size_t k = top; k-- > 0;) {
    still_sum -= log_still[k];
    if (p[top].t - p[k].t > kLongestRun_s) break;
    // In its own interval the mean speed may be anything from none to a run's.
    const double v = step[k] / (p[k + 1].t - p[k].t);
    const double own = (v > 2 * ramp + 2.5 * (p[k + 1].t - p[k].t) ? -3.0 : 0.0) +
                       std::log(std::max(1e-5, normal_tail(-v / ramp))) - std::log(3.0);
    start[k] = run_sum + own + still_sum;
    best = std::max(best, start[k]);
    run_sum += log_run[k];
  }
  double total = 0;
  for (double& s : start) total += s = std::exp(s - best);

  TakeOffRun run;
  run.seen = true;
  Spread room(kRoomBin_m), duration(0.05), speed(0.05);
  double mean_start = 0, start_sum = 0;
  for (std::size_t i = 0; i < lift_off.weight.size(); ++i) {
    const double w = lift_off.weight[i];
    if (w < 1e-4) continue;
    const double t = lift_off.first_s + lift_off.step_s * static_cast<double>(i);
    const double way = way_at(p, t);
    speed.add(run_speed_at(p, t), w);
    for (std::size_t k = 0; k < top; ++k) {
      const double both = w * start[k] / total;
      if (both < 1e-6 || p[k].t >= t) continue;
      // Within the interval: the later the faster he then must have been; the earliest step is the likeliest for a slow start.
      const double dt = p[k + 1].t - p[k].t;
      const double share = std::clamp(1 - step[k] / dt / std::max(0.5, 2 * p[k + 1].speed), 0.0, 0.9);
      room.add(std::max(0.0, way - p[k].way), both);
      duration.add(t - p[k].t - share * dt, both);
      mean_start += both * (p[k].t + share * dt);
      start_sum += both;
    }
  }
  if (!(start_sum > 0)) return not_seen(flight, "no first step is seen before the lift-off");
  const double run_s = std::max(1.0, middle - mean_start / start_sum);
  const double wander = kWander_m * std::sqrt(2 * (1 - std::exp(-run_s / kWander_s)));
  const auto estimate = [](auto maker, std::array<double, 3> q) {
    for (double& x : q) x = std::max(x, 0.0);
    return run_figure(maker(q[0]), maker(q[1]), maker(q[2]));
  };
  run.room =
      estimate(metres, room.quantiles(std::hypot(std::sqrt(2.0) * fix_sd, wander, kBendUnlike_s * run_speed_at(p, middle))));
  run.time = estimate(seconds, duration.quantiles(0.3 * track.interval.si()));
  run.lift_off_ground_speed =
      estimate(metres_per_second,
               speed.quantiles(std::sqrt(std::clamp<double>(smoothed.fixes[flight.first].horizontal.velocity, 0.04, 4.0))));
  if (!(run.room.known() && run.time.known() && run.lift_off_ground_speed.known()))
    return not_seen(flight, "the run cannot be told from what was recorded");
  // One step at most: off a steep slope, or the recorder woke in the run.
  if (run.time.mid.si() < kShortestRun_s) return not_seen(flight, "no steps are seen before the lift-off");
  const double begin_s = middle - run.time.mid.si();
  run.begin = shifted(track.fixes.front().time, seconds(begin_s));
  run.end = shifted(track.fixes.front().time, seconds(middle));
  run.first = p[0].fix;
  for (const RunPoint& q : p)
    if (q.t <= begin_s) run.first = q.fix;
  run.lift_off = p[last].fix;
  const double towards = std::atan2(ue, un);
  run.towards_deg = std::fmod(towards * 180 / std::numbers::pi + 360, 360);
  run.headwind = headwind_of(middle, towards, velocities, wind);
  if (track.interval.si() > 1.5)
    run.not_learned = "its fixes are too far apart to learn from";
  else if (!track.has_pressure)
    run.not_learned = "without pressure heights the lift-off is not sharp enough to learn from";
  else if (run.room.mid.si() < kLearnLeast_m)
    run.not_learned = "the run is too short to learn from";
  else if (!run.headwind.known())  // taken for calm it would promise short runs without wind
    run.not_learned = "the headwind of the run is not known";
  run.learnable = run.not_learned.empty();
  return run;
}

}  // namespace headroom
