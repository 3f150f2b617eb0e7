#pragma once
// Conjugate Bayesian regression with unknown scatter.
//
// Notation: y = x'w + e, e ~ N(0, s^2 / weight); w | s^2 ~ N(mean, s^2 precision^-1); s^2 ~ InverseGamma(a, b).
//   precision' = precision + k x x',  mean' = precision'^-1 (precision mean + k x y),  a' = a + 1/2,
//   b' = b + (k/2) (y - x'mean)^2 / (1 + k x' precision^-1 x)         with k the weight of the observation
//   predictive at x: Student-t, 2a degrees of freedom, location x'mean, scale^2 = (b/a) (1 + x' precision^-1 x)
// Units: those of y; x is free. Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), chapter 14; C. Bishop, Pattern
// Recognition and Machine Learning (2006), section 3.3 (citations from memory).
#include <Eigen/Dense>

#include "core/result.h"

namespace headroom {

// Location and scale in the unit of the variable; freedom above 0.
struct StudentT {
  double freedom = 1, location = 0, scale = 1;
  // Chance of a value below `x`; within 1e-10.
  [[nodiscard]] double below(double x) const;
  // Chance of something at least as far from the location as `x`, either side; relative accuracy 1e-9 also far out.
  [[nodiscard]] double at_least_as_far(double x) const;
  // 0 < p < 1, else not a number; relative accuracy of the distance from the location 1e-8 for freedom 0.5 to 1e6.
  [[nodiscard]] double quantile(double p) const;
};

struct NormalInverseGamma {
  Eigen::VectorXd mean;
  Eigen::MatrixXd precision;  // in units of 1/s^2: symmetric, positive definite
  double a = 1, b = 1;        // above 0

  // E[s^2]; infinite for a <= 1.
  [[nodiscard]] double scatter_variance() const;
  // Of the line at x, and of the next observation there of weight 1. `x` as long as the mean.
  [[nodiscard]] StudentT line_at(const Eigen::VectorXd& x) const;
  [[nodiscard]] StudentT next_at(const Eigen::VectorXd& x) const;
};

// Errors: out_of_range when sizes differ, something is not finite, a or b is not above 0, or precision not positive definite.
[[nodiscard]] Result<NormalInverseGamma> make_normal_inverse_gamma(Eigen::VectorXd mean, Eigen::MatrixXd precision, double a,
                                                                   double b);
// One more observation. weight 0 to 1e6 (0 tells nothing, not even of the scatter); weights below 1 also count for less in `a`,
// so that an observation weighed down does not pass for knowledge of the scatter.
// Errors: out_of_range for another length of x, or anything not finite.
[[nodiscard]] Result<NormalInverseGamma> updated(const NormalInverseGamma& before, const Eigen::VectorXd& x, double y,
                                                 double weight = 1);

}  // namespace headroom
