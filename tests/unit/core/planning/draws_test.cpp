#include "core/planning/draws.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace headroom {
namespace {

double normal_share_below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

// Quantiles of the standard normal: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 (1.645, 1.960, 2.326 as
// tabulated); the inverse against std::erfc of the C++ library over the whole range.
TEST(NormalQuantile, MatchesTheTableAndUndoesErfc) {
  EXPECT_NEAR(normal_quantile(0.95), 1.645, 5e-4);
  EXPECT_NEAR(normal_quantile(0.975), 1.960, 5e-4);
  EXPECT_NEAR(normal_quantile(0.99), 2.326, 5e-4);
  for (double u = 1e-6; u < 1; u += 0.00037) EXPECT_NEAR(normal_share_below(normal_quantile(u)), u, 2e-7 + 1e-6 * u) << u;
}

// A Sobol sequence in one dimension is stratified: of 2^10 points each of 2^10 equal strata holds one; and in the first two
// dimensions so does each elementary box of 2^5 by 2^5 (a (0,2)-sequence in base 2; Sobol 1967, Joe and Kuo 2008).
TEST(Draws, FillEveryStratumOnceInEachDimension) {
  for (std::size_t f = 0; f < kFactors; ++f) {
    std::set<int> strata;
    for (std::size_t i = 0; i < kDraws; ++i)
      strata.insert(static_cast<int>(normal_share_below(normal_draw(static_cast<Factor>(f), i)) * static_cast<double>(kDraws)));
    EXPECT_GE(strata.size(), kDraws - 2) << f;  // the quantile's 1e-7 may move a point over a border
  }
}

TEST(Draws, FillEveryElementaryBoxOfTheFirstTwoDimensionsOnce) {
  for (int split = 0; split <= 10; ++split) {
    std::set<std::pair<int, int>> boxes;
    for (std::size_t i = 0; i < kDraws; ++i)
      boxes.insert({static_cast<int>(normal_share_below(normal_draw(Factor{0}, i)) * (1 << split)),
                    static_cast<int>(normal_share_below(normal_draw(Factor{1}, i)) * (1 << (10 - split)))});
    EXPECT_GE(boxes.size(), kDraws - 4) << split;
  }
}

TEST(Draws, AnAmountMeetsItsOwnQuantiles) {
  const Amount a{Dimension::volume, 2, 5, 6, assumed(), {}};
  std::vector<double> values(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) values[i] = draw(a, Factor::burn, i);
  const auto back = from_draws(values, Dimension::volume, assumed());
  EXPECT_NEAR(back.low, 2, 0.02);
  EXPECT_NEAR(back.mid, 5, 0.02);
  EXPECT_NEAR(back.high, 6, 0.02);
}

}  // namespace
}  // namespace headroom
