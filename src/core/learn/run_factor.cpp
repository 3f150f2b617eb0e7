#include "core/learn/run_factor.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace headroom {

namespace {

constexpr int kRunGrid = 15;

struct RunMixture {
  std::array<double, kRunGrid> weight{}, mean{}, sd{};
  // Quantile by halving between limits that hold it.
  [[nodiscard]] double quantile(double p) const {
    double low = 1e300, high = -1e300;
    for (std::size_t g = 0; g < kRunGrid; ++g) {
      low = std::min(low, mean[g] - 8 * sd[g]);
      high = std::max(high, mean[g] + 8 * sd[g]);
    }
    for (int k = 0; k < 80; ++k) {
      const double x = (low + high) / 2;
      double below = 0;
      for (std::size_t g = 0; g < kRunGrid; ++g) below += weight[g] * 0.5 * std::erfc(-(x - mean[g]) / (sd[g] * std::sqrt(2.0)));
      (below < p ? low : high) = x;
    }
    return (low + high) / 2;
  }
  [[nodiscard]] Amount amount(Basis basis) const {
    return {Dimension::none, std::exp(quantile(0.05)), std::exp(quantile(0.5)), std::exp(quantile(0.95)), basis, {}};
  }
};

}  // namespace

Result<RunFactor> learn_run_factor(const std::vector<OwnRun>& runs, const Amount& prior, double common_sd) {
  if (!(prior.low > 0 && prior.low < prior.high && std::isfinite(prior.high)))
    return fail(ErrorKind::out_of_range, "the prior of a run factor needs 0 < 5 % < 95 %, finite");
  if (!(common_sd >= 0 && common_sd <= 1)) return fail(ErrorKind::out_of_range, "what all runs share must be 0 to 1 of ln f");
  const double mean0 = 0.5 * (std::log(prior.low) + std::log(prior.high));
  const double sd0 = std::log(prior.high / prior.low) / (2 * kNormal95);
  const double log_s0 = 0.5 * (std::log(0.06) + std::log(0.32)), log_s_sd = std::log(0.32 / 0.06) / (2 * kNormal95);

  struct Seen {
    double ratio, variance;
  };
  std::vector<Seen> seen;
  for (std::size_t k = 0; k < runs.size(); ++k) {
    const auto& r = runs[k];
    const auto& m = r.measured;
    if (!(r.by_force_balance.si() >= 1 && r.by_force_balance.si() <= 2000) || !m.known() ||
        !(m.low.si() >= 0.5 && m.low <= m.mid && m.mid <= m.high && m.high.si() <= 2000))
      return fail(ErrorKind::out_of_range, "a run must be 0.5 to 2000 m as measured and 1 to 2000 m by the force balance",
                  "run " + std::to_string(k + 1));
    const double e = std::log(m.high / m.low) / (2 * kNormal95);
    seen.push_back({std::log(m.mid / r.by_force_balance), e * e});
  }

  RunMixture own, next;
  std::array<double, kRunGrid> s{};
  double best = -1e300;
  for (std::size_t g = 0; g < kRunGrid; ++g) {
    const double z = -3 + 6.0 * static_cast<double>(g) / (kRunGrid - 1);
    s[g] = std::exp(log_s0 + z * log_s_sd);
    // One run after another: the evidence is the product of their predictions.
    double mean = mean0, variance = sd0 * sd0, evidence = -0.5 * z * z;
    for (const auto& k : seen) {
      const double noise = s[g] * s[g] + k.variance, total = variance + noise, off = k.ratio - mean;
      evidence -= 0.5 * (off * off / total + std::log(total));
      mean += variance / total * off;
      variance *= noise / total;
    }
    const double shared = common_sd * (1 - variance / (sd0 * sd0));
    variance += shared * shared;
    own.mean[g] = next.mean[g] = mean;
    own.sd[g] = std::sqrt(variance);
    next.sd[g] = std::sqrt(variance + s[g] * s[g]);
    own.weight[g] = evidence;
    best = std::max(best, evidence);
  }
  double sum = 0;
  for (auto& w : own.weight) sum += w = std::exp(w - best);
  double s2 = 0, mean = 0, square = 0;
  for (std::size_t g = 0; g < kRunGrid; ++g) {
    next.weight[g] = own.weight[g] /= sum;
    s2 += own.weight[g] * s[g] * s[g];
    mean += own.weight[g] * own.mean[g];
    square += own.weight[g] * (own.mean[g] * own.mean[g] + own.sd[g] * own.sd[g]);
  }
  RunFactor out;
  out.runs = static_cast<int>(runs.size());
  out.scatter = std::sqrt(s2);
  out.told = std::sqrt(std::max(square - mean * mean, 0.0)) / sd0;
  const Basis basis = out.runs >= 3 && out.told <= 0.5 ? learned_from(out.runs) : assumed();
  out.own = own.amount(basis);
  out.next = next.amount(basis);
  return out;
}

Estimate<Speed> fastest_run(const std::vector<Estimate<Speed>>& speeds, const Amount& prior) {
  int n = 0;
  Speed low, mid;
  for (const auto& v : speeds) {
    if (!v.known() || !(v.low.si() > 0 && v.mid.si() < 12)) continue;
    ++n;
    low = std::max(low, v.low);
    mid = std::max(mid, v.mid);
  }
  const auto speed = [](double v) { return metres_per_second(v); };
  if (n < kRunsToKnowLegs) return {speed(prior.low), speed(prior.mid), speed(prior.high), assumed(), prior.note};
  return {low, (low + mid) / 2, mid, learned_from(n), {}};
}

}  // namespace headroom
