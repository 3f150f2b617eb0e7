#pragma once
// What the engine burns in each phase of a flight, learned from refuels. Equations: docs/analysis/fuel.md.
//
// Notation: y_k litres burnt between two fills k, h_kj time in phase j between them, b_j burn of phase j (> 0), theta_j = ln b_j,
// s scatter of one flight about another like it (a share), n_k flights between the fills, e_k error of the litres.
//   y_k ~ N( sum_j b_j h_kj ,  e_k^2 + s^2 (sum_j b_j h_kj)^2 / n_k + sum_j b_j^2 sd(h_kj)^2 )
//   theta ~ N(theta_0, C_0): each b_j lognormal through the prior's 5 and 95 %, about their geometric middle; correlation 1/2
//   between phases, because a large engine burns more in all of them (own assumption). ln s ~ N, through the prior's.
// Method: for each s of a grid, the posterior of theta by Gauss-Newton with the variances of the last step (Laplace); the grid is
// summed up with each s's evidence. Source of the method: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sections 4.1
// and 14.7 (citation from memory).
#include <array>
#include <vector>

#include "core/estimate.h"
#include "core/result.h"
#include "core/units.h"

namespace headroom {

enum class BurnPhase : std::uint8_t { ground, climb, level };
inline constexpr std::size_t kBurnPhases = 3;

// One refuel to the next. Times 0 to 100 h a phase and some in one; litres 0.05 to 300; n 1 to 100.
struct RefuelInterval {
  std::array<Duration, kBurnPhases> time{}, time_sd{};
  Volume burnt;
  Volume error_sd = litres(0.3);
  int flights = 1;
};

// Prior in SI amounts (m3/s), by default those of priors.h. Each 0 < low < high.
struct BurnPrior {
  std::array<Amount, kBurnPhases> burn;
  Amount scatter;
};
[[nodiscard]] BurnPrior usual_burn_prior();

struct BurnPosterior {
  std::array<double, kBurnPhases> log_mean{};                          // of b in m3/s
  std::array<std::array<double, kBurnPhases>, kBurnPhases> log_cov{};  // their covariance
  std::array<double, kBurnPhases> told{};  // posterior over prior standard deviation of ln b: 1 nothing learned
  double scatter = 0;                      // root mean square of s
  double scatter_told = 1;
  int intervals = 0;
  // A phase is learned when its standard deviation is half the prior's or less; until then its burn stays assumed.
  std::array<Estimate<VolumeFlow>, kBurnPhases> burn;
  // The mean burn of the flights between the fills, all phases as they were flown (without data: by the phases given to
  // learn_burn, here 1/10 ground, 1/10 climb, the rest level). Learned when half the prior's spread is left or less.
  Estimate<VolumeFlow> usual;
  std::array<double, kBurnPhases> usual_share{};  // of the running time
};
inline constexpr double kBurnTold = 0.5;

// Errors: out_of_range for an interval beyond the ranges above, naming it; a prior out of order.
[[nodiscard]] Result<BurnPosterior> learn_burn(const std::vector<RefuelInterval>& intervals,
                                               const BurnPrior& prior = usual_burn_prior());

// The i-th draw of the three burns [m3/s] on the shared draws (factors burn, burn_climb, burn_ground), and of the factor by which
// one flight burns more or less than another like it (flight_scatter; not below zero).
[[nodiscard]] std::array<double, kBurnPhases> draw_burn(const BurnPosterior& posterior, std::size_t i);
[[nodiscard]] double draw_flight_scatter(const BurnPosterior& posterior, std::size_t i);

// What one flight of these times will burn: 5, 50 and 95 %.
[[nodiscard]] Estimate<Volume> predicted_burn(const BurnPosterior& posterior,
                                              const std::array<Estimate<Duration>, kBurnPhases>& times);

}  // namespace headroom
