#include "core/learn/burn.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>

#include "core/learn/priors.h"
#include "core/planning/draws.h"

namespace headroom {

namespace {

using BurnVector = Eigen::Vector3d;
using BurnMatrix = Eigen::Matrix3d;
constexpr double kPriorCorrelation = 0.5;

struct LogBurnPrior {
  BurnVector mean;
  BurnMatrix cov;
  double log_scatter = 0, log_scatter_sd = 0;
};

double log_middle(const Amount& a) {
  return 0.5 * (std::log(a.low) + std::log(a.high));
}
double log_spread(const Amount& a) {
  return std::log(a.high / a.low) / (2 * kNormal95);
}

struct BurnMode {
  BurnVector theta;
  BurnMatrix cov;
  double log_evidence = 0;
};

BurnMode mode_at(const std::vector<RefuelInterval>& data, const LogBurnPrior& prior, double s) {
  const BurnMatrix prior_information = prior.cov.inverse();
  BurnMode out;
  out.theta = prior.mean;
  BurnMatrix information = prior_information;
  double fit = 0;
  for (int step = 0; step < 60; ++step) {
    information = prior_information;
    BurnVector gradient = -prior_information * (out.theta - prior.mean);
    fit = 0;
    for (const auto& k : data) {
      BurnVector b_h;  // derivative of the litres by ln b
      double noise = k.error_sd.si() * k.error_sd.si();
      for (int j = 0; j < 3; ++j) {
        const double b = std::exp(out.theta[j]);
        const auto u = static_cast<std::size_t>(j);
        b_h[j] = b * k.time[u].si();
        noise += b * b * k.time_sd[u].si() * k.time_sd[u].si();
      }
      const double mean = b_h.sum();
      const double variance = noise + s * s * mean * mean / k.flights;
      const double off = k.burnt.si() - mean;
      gradient += b_h * (off / variance);
      information += b_h * b_h.transpose() / variance;
      fit += -0.5 * off * off / variance - 0.5 * std::log(variance);
    }
    BurnVector move = information.ldlt().solve(gradient);
    const double largest = move.cwiseAbs().maxCoeff();
    if (largest > 0.5) move *= 0.5 / largest;  // a bounded step: ln b is curved far from the mode
    out.theta += move;
    if (largest < 1e-10) break;
  }
  const BurnVector d = out.theta - prior.mean;
  out.cov = information.inverse();
  out.log_evidence = fit - 0.5 * d.dot(prior_information * d) - 0.5 * std::log(information.determinant());
  return out;
}

Estimate<VolumeFlow> burn_estimate(double log_mean, double log_sd, Basis basis) {
  const double w = kNormal95 * log_sd;
  const auto flow = [](double si) { return VolumeFlow::from_si(si); };
  return {flow(std::exp(log_mean - w)), flow(std::exp(log_mean)), flow(std::exp(log_mean + w)), basis, {}};
}

// Mean and standard deviation of ln of the shares' mean burn, on the draws.
std::array<double, 2> usual_log(const BurnPosterior& p, const std::array<double, kBurnPhases>& share) {
  double sum = 0, square = 0;
  for (std::size_t i = 0; i < kDraws; ++i) {
    const auto b = draw_burn(p, i);
    const double x = std::log(share[0] * b[0] + share[1] * b[1] + share[2] * b[2]);
    sum += x;
    square += x * x;
  }
  const double n = static_cast<double>(kDraws), mean = sum / n;
  return {mean, std::sqrt(std::max(square / n - mean * mean, 0.0))};
}

BurnMatrix matrix_of(const std::array<std::array<double, kBurnPhases>, kBurnPhases>& a) {
  BurnMatrix m;
  for (int j = 0; j < 3; ++j)
    for (int k = 0; k < 3; ++k) m(j, k) = a[static_cast<std::size_t>(j)][static_cast<std::size_t>(k)];
  return m;
}
void store_log(BurnPosterior& p, const BurnVector& mean, const BurnMatrix& cov) {
  for (int j = 0; j < 3; ++j) {
    p.log_mean[static_cast<std::size_t>(j)] = mean[j];
    for (int k = 0; k < 3; ++k) p.log_cov[static_cast<std::size_t>(j)][static_cast<std::size_t>(k)] = cov(j, k);
  }
}

}  // namespace

BurnPrior usual_burn_prior() {
  return {{prior_amount(prior::burn_ground), prior_amount(prior::burn_climb), prior_amount(prior::burn_level)},
          prior_amount(prior::burn_scatter)};
}

Result<BurnPosterior> learn_burn(const std::vector<RefuelInterval>& data, const BurnPrior& prior) {
  LogBurnPrior log_prior;
  std::array<double, 3> sd{};
  for (std::size_t j = 0; j < 3; ++j) {
    const auto& a = prior.burn[j];
    if (!(a.low > 0 && a.low < a.high && std::isfinite(a.high)))
      return fail(ErrorKind::out_of_range, "a prior of a burn needs 0 < 5 % < 95 %, finite");
    log_prior.mean[static_cast<int>(j)] = log_middle(a);
    sd[j] = log_spread(a);
  }
  if (!(prior.scatter.low > 0 && prior.scatter.low < prior.scatter.high && prior.scatter.high < 1))
    return fail(ErrorKind::out_of_range, "the prior of the scatter between flights needs 0 < 5 % < 95 % < 1");
  for (std::size_t j = 0; j < 3; ++j)
    for (std::size_t k = 0; k < 3; ++k)
      log_prior.cov(static_cast<int>(j), static_cast<int>(k)) = sd[j] * sd[k] * (j == k ? 1.0 : kPriorCorrelation);
  log_prior.log_scatter = log_middle(prior.scatter);
  log_prior.log_scatter_sd = log_spread(prior.scatter);

  std::array<double, 3> flown{};
  for (std::size_t k = 0; k < data.size(); ++k) {
    const auto& d = data[k];
    double sum = 0;
    bool ok = in_litres(d.burnt) >= 0.05 && in_litres(d.burnt) <= 300 && in_litres(d.error_sd) >= 0.01 &&
              in_litres(d.error_sd) <= 20 && d.flights >= 1 && d.flights <= 100;
    for (std::size_t j = 0; j < 3; ++j) {
      const double h = in_hours(d.time[j]), e = in_hours(d.time_sd[j]);
      ok = ok && h >= 0 && h <= 100 && e >= 0 && e <= 100;
      sum += h;
      flown[j] += h;
    }
    if (!ok || !(sum > 0.01))
      return fail(ErrorKind::out_of_range,
                  "between two fills: 0 to 100 h a phase, 0.05 to 300 L burnt, an error of 0.01 to 20 L, 1 to 100 flights",
                  "refuel " + std::to_string(k + 1));
  }

  BurnPosterior out;
  out.intervals = static_cast<int>(data.size());
  const double total = flown[0] + flown[1] + flown[2];
  out.usual_share = {0.1, 0.1, 0.8};
  if (total > 0) out.usual_share = {flown[0] / total, flown[1] / total, flown[2] / total};

  BurnPosterior before = out;  // the prior alone, to compare spreads with
  store_log(before, log_prior.mean, log_prior.cov);

  constexpr int kBurnGrid = 13;
  std::array<BurnMode, kBurnGrid> modes;
  std::array<double, kBurnGrid> scatter{}, weight{};
  double best = -1e300;
  for (int g = 0; g < kBurnGrid; ++g) {
    const auto u = static_cast<std::size_t>(g);
    const double z = -3 + 6.0 * g / (kBurnGrid - 1);
    scatter[u] = std::exp(log_prior.log_scatter + z * log_prior.log_scatter_sd);
    modes[u] = mode_at(data, log_prior, scatter[u]);
    weight[u] = modes[u].log_evidence - 0.5 * z * z;
    best = std::max(best, weight[u]);
  }
  double sum = 0;
  for (auto& w : weight) sum += w = std::exp(w - best);
  BurnVector mean = BurnVector::Zero();
  double log_s = 0, log_s2 = 0, s2 = 0;
  for (std::size_t g = 0; g < kBurnGrid; ++g) {
    weight[g] /= sum;
    mean += weight[g] * modes[g].theta;
    log_s += weight[g] * std::log(scatter[g]);
    log_s2 += weight[g] * std::log(scatter[g]) * std::log(scatter[g]);
    s2 += weight[g] * scatter[g] * scatter[g];
  }
  BurnMatrix cov = BurnMatrix::Zero();
  for (std::size_t g = 0; g < kBurnGrid; ++g) {
    const BurnVector d = modes[g].theta - mean;
    cov += weight[g] * (modes[g].cov + d * d.transpose());
  }
  store_log(out, mean, cov);
  out.scatter = std::sqrt(s2);
  out.scatter_told = std::sqrt(std::max(log_s2 - log_s * log_s, 0.0)) / log_prior.log_scatter_sd;
  const auto basis = [&](double told) { return told <= kBurnTold && !data.empty() ? learned_from(out.intervals) : assumed(); };
  for (std::size_t j = 0; j < 3; ++j) {
    const double now = std::sqrt(out.log_cov[j][j]);
    out.told[j] = data.empty() ? 1.0 : now / sd[j];
    out.burn[j] = burn_estimate(out.log_mean[j], now, basis(out.told[j]));
  }
  const auto now = usual_log(out, out.usual_share), was = usual_log(before, out.usual_share);
  out.usual = burn_estimate(now[0], now[1], basis(now[1] / was[1]));
  return out;
}

std::array<double, kBurnPhases> draw_burn(const BurnPosterior& p, std::size_t i) {
  // Level first, so that the factor `burn` stands for what most of a flight burns.
  constexpr std::array<std::size_t, 3> order{2, 1, 0};
  BurnMatrix c;
  const auto full = matrix_of(p.log_cov);
  for (int a = 0; a < 3; ++a)
    for (int b = 0; b < 3; ++b)
      c(a, b) = full(static_cast<int>(order[static_cast<std::size_t>(a)]), static_cast<int>(order[static_cast<std::size_t>(b)]));
  const BurnMatrix l = c.llt().matrixL();
  const BurnVector z(normal_draw(Factor::burn, i), normal_draw(Factor::burn_climb, i), normal_draw(Factor::burn_ground, i));
  const BurnVector x = l * z;
  std::array<double, kBurnPhases> out{};
  for (int a = 0; a < 3; ++a) {
    const auto j = order[static_cast<std::size_t>(a)];
    out[j] = std::exp(p.log_mean[j] + x[a]);
  }
  return out;
}

double draw_flight_scatter(const BurnPosterior& p, std::size_t i) {
  return std::max(1 + p.scatter * normal_draw(Factor::flight_scatter, i), 0.0);
}

Estimate<Volume> predicted_burn(const BurnPosterior& p, const std::array<Estimate<Duration>, kBurnPhases>& times) {
  std::vector<double> v(kDraws);
  bool learned = p.usual.basis.kind == BasisKind::learned;
  for (std::size_t j = 0; j < 3; ++j)
    if (!times[j].known()) return unknown_estimate<Volume>("the planned time of a phase is unknown");
  const std::array<Amount, 3> t{amount(times[0]), amount(times[1]), amount(times[2])};
  for (std::size_t i = 0; i < kDraws; ++i) {
    const auto b = draw_burn(p, i);
    double sum = 0;
    for (std::size_t j = 0; j < 3; ++j) sum += b[j] * std::max(draw(t[j], Factor::planned, i), 0.0);
    v[i] = sum * draw_flight_scatter(p, i);
  }
  const auto a = from_draws(v, Dimension::volume, learned ? p.usual.basis : assumed());
  return {Volume::from_si(a.low), Volume::from_si(a.mid), Volume::from_si(a.high), a.basis, {}};
}

}  // namespace headroom
