#pragma once
// Shared draws. What have and need of a margin depend on is a named factor; each factor is one dimension of the same seeded
// Sobol sequence, so that what two sides share stays shared and the same input gives the same answer.
//   An amount is spread as two half normals joined at its median: with z the standard normal quantile and z95 = z(0.95),
//   x(u) = mid + (high - mid) z(u) / z95 for u >= 1/2, mid + (mid - low) z(u) / z95 below. It meets 5, 50 and 95 % exactly.
// Source of the sequence: direction numbers of S. Joe and F. Y. Kuo, SIAM J. Sci. Comput. 30 (2008) 2635, first 24 dimensions
// (file new-joe-kuo-6.21201); of the quantile: M. J. Wichura, Algorithm AS 241 (PPND7), Appl. Statist. 37 (1988) 477, relative
// accuracy 1e-7.
#include <cstdint>
#include <vector>

#include "core/estimate.h"

namespace headroom {

enum class Factor : std::uint8_t {
  hours_counted,
  running_share,
  use_rate,
  burn,
  fuel_known,
  mix,
  practice,
  planned,
  mass,
  air_density,
  thrust,
  drag,
  lift_off,
  resistance,
  slope,
  wind,
  inflation,
  run_factor,
  run_speed,
  survey,  // distances and heights of a field, as somebody measured or judged them
  rating,  // what a wing, a reserve or an attachment is rated for
  burn_climb,
  burn_ground,
  flight_scatter,  // what one flight burns more or less than another like it
};
inline constexpr std::size_t kFactors = 24;
inline constexpr std::size_t kDraws = 1024;

[[nodiscard]] double normal_quantile(double u);                  // 0 < u < 1
[[nodiscard]] double normal_draw(Factor factor, std::size_t i);  // i < kDraws
// The i-th draw of an amount: monotone in low, mid and high.
[[nodiscard]] double draw(const Amount& amount, Factor factor, std::size_t i);
// 5, 50 and 95 % of drawn values, which are reordered.
[[nodiscard]] Amount from_draws(std::vector<double>& values, Dimension dimension, Basis basis);
// Share of draws below zero.
[[nodiscard]] double share_below_zero(const std::vector<double>& values);

}  // namespace headroom
