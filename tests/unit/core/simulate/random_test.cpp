#include "core/simulate/random.h"

#include <gtest/gtest.h>

#include <array>

namespace headroom::simulate {
namespace {

// The published demonstration output of the PCG reference code: pcg32 with seed 42 and stream 54, round 1 (from memory).
TEST(Pcg32, GivesThePublishedFirstNumbers) {
  Pcg32 chance(42, 54);
  const std::array<std::uint32_t, 6> published{0xa15c02b7, 0x7b47f409, 0xba1d3330, 0x83d2f293, 0xbfa4784b, 0xcbed606e};
  for (const std::uint32_t expected : published) EXPECT_EQ(chance.next(), expected);
}

// A standard normal has 68.27 % within one and 95.45 % within two standard deviations (any table of the normal distribution).
TEST(Pcg32, GaussianFollowsTheNormalTable) {
  Pcg32 chance(5, 1);
  const int n = 200000;
  int one = 0, two = 0;
  double sum = 0, square = 0;
  for (int i = 0; i < n; ++i) {
    const double x = chance.gaussian();
    sum += x, square += x * x;
    one += std::abs(x) < 1, two += std::abs(x) < 2;
  }
  EXPECT_NEAR(sum / n, 0, 0.01);
  EXPECT_NEAR(square / n, 1, 0.015);
  EXPECT_NEAR(one / double(n), 0.6827, 0.005);
  EXPECT_NEAR(two / double(n), 0.9545, 0.003);
}

TEST(GaussMarkov, HasTheVarianceAndCorrelationAskedFor) {
  Pcg32 chance(8, 1);
  GaussMarkov process;
  process.start(chance);
  const int n = 400000, lag = 20;  // 20 steps of 0.5 s are one correlation time of 10 s
  std::vector<double> x;
  for (int i = 0; i < n; ++i) x.push_back(process.step(0.5, 10, 3, chance));
  double square = 0, product = 0;
  for (int i = 0; i + lag < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    square += x[k] * x[k], product += x[k] * x[k + lag];
  }
  EXPECT_NEAR(square / (n - lag), 9, 0.5);
  EXPECT_NEAR(product / square, std::exp(-1.0), 0.03);
}

}  // namespace
}  // namespace headroom::simulate
