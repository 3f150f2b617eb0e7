#include "core/learn/normal_inverse_gamma.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace headroom {

namespace {

// Continued fraction of the incomplete beta function by Lentz's method: DLMF 8.17.22 (from memory).
double nig_beta_fraction(double a, double b, double x) {
  constexpr double tiny = 1e-300;
  double c = 1, d = 1 - (a + b) * x / (a + 1);
  d = 1 / (std::abs(d) < tiny ? tiny : d);
  double h = d;
  for (int m = 1; m <= 5000; ++m) {
    const auto step = [&](double term) {
      d = 1 + term * d;
      d = 1 / (std::abs(d) < tiny ? tiny : d);
      c = 1 + term / c;
      if (std::abs(c) < tiny) c = tiny;
      h *= c * d;
      return c * d;
    };
    step(m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)));
    if (std::abs(step(-(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))) - 1) < 1e-15) break;
  }
  return h;
}
// Regularised incomplete beta I_x(a, b); y = 1 - x is given apart, so that neither end loses digits.
double nig_beta(double a, double b, double x, double y) {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  const double front = std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) + a * std::log(x) + b * std::log(y));
  if (x < (a + 1) / (a + b + 2)) return front * nig_beta_fraction(a, b, x) / a;
  return 1 - front * nig_beta_fraction(b, a, y) / b;
}
// Chance of |t| above `t` >= 0.
double nig_two_tails(double freedom, double t) {
  const double t2 = t * t;
  return nig_beta(freedom / 2, 0.5, freedom / (freedom + t2), t2 / (freedom + t2));
}

}  // namespace

double StudentT::at_least_as_far(double x) const {
  return nig_two_tails(freedom, std::abs(x - location) / scale);
}
double StudentT::below(double x) const {
  const double tail = at_least_as_far(x) / 2;
  return x < location ? tail : 1 - tail;
}
double StudentT::quantile(double p) const {
  if (!(p > 0 && p < 1)) return std::numeric_limits<double>::quiet_NaN();
  const double tails = 2 * std::min(p, 1 - p);
  if (tails == 1) return location;
  double low = 0, high = 1;
  while (nig_two_tails(freedom, high) > tails && high < 1e150) {
    low = high;
    high *= 2;
  }
  for (int k = 0; k < 70 && high - low > 1e-14 * high; ++k) {
    const double t = (low + high) / 2;
    (nig_two_tails(freedom, t) > tails ? low : high) = t;
  }
  const double t = (low + high) / 2;
  return location + (p < 0.5 ? -t : t) * scale;
}

double NormalInverseGamma::scatter_variance() const {
  return a > 1 ? b / (a - 1) : std::numeric_limits<double>::infinity();
}
StudentT NormalInverseGamma::line_at(const Eigen::VectorXd& x) const {
  return {2 * a, x.dot(mean), std::sqrt(b / a * x.dot(precision.llt().solve(x)))};
}
StudentT NormalInverseGamma::next_at(const Eigen::VectorXd& x) const {
  return {2 * a, x.dot(mean), std::sqrt(b / a * (1 + x.dot(precision.llt().solve(x))))};
}

Result<NormalInverseGamma> make_normal_inverse_gamma(Eigen::VectorXd mean, Eigen::MatrixXd precision, double a, double b) {
  const auto n = mean.size();
  if (n < 1 || precision.rows() != n || precision.cols() != n || !mean.allFinite() || !precision.allFinite() ||
      !(std::isfinite(a) && a > 0 && std::isfinite(b) && b > 0) || !precision.isApprox(precision.transpose()) ||
      precision.llt().info() != Eigen::Success)
    return fail(ErrorKind::out_of_range,
                "a prior for a regression needs a finite mean, a positive definite precision, and a and b above 0");
  return NormalInverseGamma{std::move(mean), std::move(precision), a, b};
}

Result<NormalInverseGamma> updated(const NormalInverseGamma& before, const Eigen::VectorXd& x, double y, double weight) {
  if (x.size() != before.mean.size() || !x.allFinite() || !std::isfinite(y) || !(weight >= 0 && weight <= 1e6))
    return fail(ErrorKind::out_of_range,
                "an observation needs finite values, one x for each coefficient and a weight of 0 to 1e6");
  if (weight == 0) return before;
  NormalInverseGamma after = before;
  const Eigen::VectorXd gain = before.precision.llt().solve(x);
  const double miss = y - x.dot(before.mean), spread = 1 + weight * x.dot(gain);
  after.precision += weight * x * x.transpose();
  after.mean += gain * (weight * miss / spread);
  after.a += std::min(weight, 1.0) / 2;
  after.b += weight * miss * miss / spread / 2;
  return after;
}

}  // namespace headroom
