#include "core/learn/normal_inverse_gamma.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

namespace headroom {
namespace {

Eigen::VectorXd nig_x(double x) {
  Eigen::VectorXd v(2);
  v << 1, x;
  return v;
}

// A worked Bayesian line (x 1 to 5, V0 = 10 I, a 2, b 1), recomputed from the closed form of Gelman et al. outside this project,
// Bayesian Data Analysis, chapter 14.
TEST(NormalInverseGammaReference, WorkedLine) {
  auto line = *make_normal_inverse_gamma(Eigen::VectorXd::Zero(2), Eigen::MatrixXd::Identity(2, 2) / 10, 2, 1);
  const std::array y{2.1, 3.9, 6.2, 7.8, 10.1};
  for (int k = 0; k < 5; ++k) line = *updated(line, nig_x(k + 1), y[static_cast<std::size_t>(k)]);
  EXPECT_NEAR(line.mean(0), 0.09837529, 1e-8);
  EXPECT_NEAR(line.mean(1), 1.97321907, 1e-8);
  EXPECT_NEAR(line.a, 4.5, 1e-12);
  EXPECT_NEAR(line.b, 1.2500812355, 1e-10);
  EXPECT_NEAR(line.scatter_variance(), 0.35716607, 1e-8);
  const auto next = line.next_at(nig_x(6));
  EXPECT_NEAR(next.freedom, 9, 1e-12);
  EXPECT_NEAR(next.scale * next.scale, 0.56893340, 1e-8);
}

// With a scatter held at a known 0.25 (a and b very large) and prior N(0, 100 I) the same line has the published limits.
TEST(NormalInverseGammaReference, KnownScatterIsALimit) {
  const double a = 1e12;
  auto line = *make_normal_inverse_gamma(Eigen::VectorXd::Zero(2), Eigen::MatrixXd::Identity(2, 2) * 0.25 / 100, a, 0.25 * a);
  const std::array y{2.1, 3.9, 6.2, 7.8, 10.1};
  for (int k = 0; k < 5; ++k) line = *updated(line, nig_x(k + 1), y[static_cast<std::size_t>(k)]);
  EXPECT_NEAR(line.mean(0), 0.05135094, 1e-8);
  EXPECT_NEAR(line.mean(1), 1.98954113, 1e-8);
  const Eigen::MatrixXd cov = line.precision.inverse() * 0.25;
  EXPECT_NEAR(cov(0, 0), 0.2741898960, 1e-9);
  EXPECT_NEAR(cov(0, 1), -0.0747756637, 1e-9);
  EXPECT_NEAR(cov(1, 1), 0.0249376838, 1e-9);
  const auto next = line.next_at(nig_x(6));
  EXPECT_NEAR(next.location, 11.98859771, 1e-8);
  EXPECT_NEAR(next.scale * next.scale, 0.52463855, 1e-8);
}

// A prior that says next to nothing: ordinary least squares of the same points is (0.05, 1.99).
TEST(NormalInverseGammaReference, LeastSquaresIsALimit) {
  auto line = *make_normal_inverse_gamma(Eigen::VectorXd::Zero(2), Eigen::MatrixXd::Identity(2, 2) * 1e-9, 2, 1);
  const std::array y{2.1, 3.9, 6.2, 7.8, 10.1};
  for (int k = 0; k < 5; ++k) line = *updated(line, nig_x(k + 1), y[static_cast<std::size_t>(k)]);
  EXPECT_NEAR(line.mean(0), 0.05, 1e-7);
  EXPECT_NEAR(line.mean(1), 1.99, 1e-7);
}

// Critical values of Student's t: NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2 (printed digits from memory).
TEST(StudentTReference, NistTable) {
  struct Row {
    double freedom, p, t;
  };
  for (const auto& r :
       {Row{1, 0.95, 6.314}, Row{1, 0.975, 12.706}, Row{4, 0.95, 2.132}, Row{9, 0.90, 1.383}, Row{9, 0.95, 1.833},
        Row{9, 0.975, 2.262}, Row{9, 0.99, 2.821}, Row{9, 0.999, 4.297}, Row{30, 0.95, 1.697}, Row{100, 0.975, 1.984}}) {
    EXPECT_NEAR((StudentT{r.freedom, 0, 1}.quantile(r.p)), r.t, 6e-4) << r.freedom << " " << r.p;
    EXPECT_NEAR((StudentT{r.freedom, 2, 3}.quantile(1 - r.p)), 2 - 3 * r.t, 2e-3);
  }
}

// One degree of freedom is the Cauchy distribution, two have a closed form, very many are the normal distribution.
TEST(StudentTReference, ClosedForms) {
  const StudentT one{1, 0, 1}, two{2, 0, 1}, many{1e6, 0, 1};
  for (const double p : {1e-6, 0.01, 0.2, 0.45, 0.5, 0.7, 0.999}) {
    const double cauchy = std::tan(std::acos(-1.0) * (p - 0.5));
    EXPECT_NEAR(one.quantile(p), cauchy, 1e-8 * (1 + std::abs(cauchy))) << p;
    const double q2 = (2 * p - 1) * std::sqrt(2 / (4 * p * (1 - p)));
    EXPECT_NEAR(two.quantile(p), q2, 1e-8 * (1 + std::abs(q2))) << p;
    EXPECT_NEAR(two.below(q2), p, 1e-10);
  }
  EXPECT_NEAR(many.quantile(0.975), 1.959963985, 5e-6);
  EXPECT_TRUE(std::isnan(one.quantile(0)));
  EXPECT_TRUE(std::isnan(one.quantile(std::numeric_limits<double>::quiet_NaN())));
}

TEST(NormalInverseGamma, RefusesWhatIsNoPrior) {
  const Eigen::VectorXd m = Eigen::VectorXd::Zero(2);
  const Eigen::MatrixXd i = Eigen::MatrixXd::Identity(2, 2);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(make_normal_inverse_gamma(m, -i, 2, 1));
  EXPECT_FALSE(make_normal_inverse_gamma(m, i, 0, 1));
  EXPECT_FALSE(make_normal_inverse_gamma(m, i, 2, nan));
  EXPECT_FALSE(make_normal_inverse_gamma(Eigen::VectorXd::Zero(3), i, 2, 1));
  const auto good = *make_normal_inverse_gamma(m, i, 2, 1);
  EXPECT_FALSE(updated(good, nig_x(1), nan));
  EXPECT_FALSE(updated(good, nig_x(nan), 1));
  EXPECT_FALSE(updated(good, nig_x(1), 1, -1));
  EXPECT_FALSE(updated(good, Eigen::VectorXd::Ones(3), 1));
  EXPECT_EQ(updated(good, nig_x(1), 1, 0)->a, good.a);
}

}  // namespace
}  // namespace headroom
