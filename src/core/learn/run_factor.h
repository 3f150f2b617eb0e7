#pragma once
// What a pilot's own runs say of the next one: how long against the force balance, and how fast on foot.
//
// Notation: f_k measured run over the run by force balance of that day (run factor 1, surface factor in), e_k standard deviation
// of ln f_k from how it was measured, s scatter of one run about another like it (a share), n runs.
//   ln f_k ~ N(ln f, s^2 + e_k^2),   ln f ~ N through the prior's 5 and 95 %,   ln s ~ N through 6 and 32 % (own estimate)
// What all runs share and nobody wrote down (`common_sd`, of ln f: slope and cover of the strip, the mass) does not average out:
// it comes on top of the posterior, by the share of the answer that the runs gave and not the prior. Method: for each s of a grid
// the posterior of ln f in closed form; the grid is summed up with each s's evidence. Source: A. Gelman et al., Bayesian Data
// Analysis, 3rd ed. (2013), sections 2.5, 5.4 (citation from memory).
#include <vector>

#include "core/estimate.h"
#include "core/result.h"
#include "core/units.h"

namespace headroom {

struct OwnRun {
  Length by_force_balance;    // 1 to 2000 m
  Estimate<Length> measured;  // walked, or from a recording with its wide spread; above 0.5 m throughout, to 2000 m
};

struct RunFactor {
  Amount own;          // the pilot's factor
  Amount next;         // of the next run: the factor and the scatter of one run; what take_off_margin takes
  double scatter = 0;  // root mean square of s
  double told = 1;     // posterior over prior standard deviation of ln f
  int runs = 0;
};
// A run far outside what is thought likely first counts as scatter, and only with others like it as the pilot's own.
// Learned when the spread of the factor is half the prior's or less, and there are three runs or more; else assumed. `prior` in
// Dimension::none, 0 < low < high. Errors: out_of_range, naming the run.
// `common_sd` 0 to 1.
[[nodiscard]] Result<RunFactor> learn_run_factor(const std::vector<OwnRun>& runs, const Amount& prior, double common_sd = 0);

// The highest ground speed at which this pilot still runs: the prior until five own runs; then from the own highest lift-off
// ground speed. Low: the highest of their low ends; high: the highest middle; mid between. The highest of several noisy figures
// is too high, so nothing above the highest middle is credited, and a pilot may run faster than they have had to.
inline constexpr int kRunsToKnowLegs = 5;
[[nodiscard]] Estimate<Speed> fastest_run(const std::vector<Estimate<Speed>>& lift_off_ground_speeds, const Amount& prior);

}  // namespace headroom
