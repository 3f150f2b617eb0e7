// Stated chance of not clearing against take-offs flown step by step in time by the accuracy report's simulator, with what the
// model leaves out (bench/accuracy/owners.h).
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "accuracy/owners.h"
#include "core/learn/priors.h"
#include "core/planning/take_off.h"

namespace headroom {
namespace {

TEST(TakeOffMargin, StatedChanceIsNoLowerThanWhatHappens) {
  owners::Pcg32 random(2, 6000);
  const auto u = [&](double low, double high) { return random.uniform(low, high); };
  // A value of an amount as it spreads: two half normals.
  const auto of = [&](const Amount& a) {
    const double z = random.gaussian() / 1.645;
    return a.mid + (z > 0 ? a.high - a.mid : a.mid - a.low) * z;
  };
  const auto about = [](double mid, double half) { return Amount{Dimension::none, mid - half, mid, mid + half, measured(), {}}; };
  for (const int own_runs : {0, 20}) {
    std::array<int, 4> cases{}, failed{};
    std::array<double, 4> stated{};
    for (int k = 0; k < 400; ++k) {
      TakeOffEstimates e;
      e.walked = true;
      e.own_runs = own_runs;
      auto& f = e.fixed;
      f.wheels = k % 2 == 0;
      const double mass = 100 + 40 * u(0, 1), rho = 1.02 + 0.22 * u(0, 1), wind = 6 * u(0, 1) - 1, thrust = 430 + 250 * u(0, 1);
      f.wing_area = square_metres(24 + 6 * u(0, 1));
      f.strip = metres(60 + 200 * u(0, 1));
      f.obstacles = {{"trees", metres(f.strip.si() + 10 + 100 * u(0, 1)), metres(20 * u(0, 1))}};
      f.surface = u(0, 1) < 0.5 ? Surface::firm : Surface::dry_grass;
      f.thrust = {newtons(thrust), Density::from_si(1.225), metres(1.25), 0};
      e.mass = *make_estimate(kilograms(mass - 3), kilograms(mass), kilograms(mass + 3), measured());
      e.density = about(rho, 0.02);
      e.headwind =
          *make_estimate(metres_per_second(wind - 1.5), metres_per_second(wind), metres_per_second(wind + 1.5), measured());
      e.thrust = about(thrust, 0.1 * thrust);
      e.slope = about(0.02 * random.gaussian(), 0.005);
      e.lift_off_cl = prior_amount(prior::lift_off_cl);
      e.trim_cl = prior_amount(prior::trim_cl);
      e.glide = prior_amount(prior::glide);
      e.resistance = prior_amount(prior::resistance);
      // After own runs the factor and the legs are narrow; the hidden ones are drawn from what is known then.
      e.run_factor =
          own_runs == 0 ? prior_amount(prior::run_factor) : Amount{Dimension::none, 0.9, 1.1, 1.35, learned_from(20), {}};
      const Amount legs = own_runs == 0 ? prior_amount(prior::fastest_run) : about(7, 0.7);
      e.fastest_run =
          *make_estimate(metres_per_second(legs.low), metres_per_second(legs.mid), metres_per_second(legs.high), legs.basis);
      const Amount inflation = prior_amount(prior::inflation);
      e.inflation = *make_estimate(metres(inflation.low), metres(inflation.mid), metres(inflation.high), assumed());
      const auto m = take_off_margin(e);
      ASSERT_TRUE(m) << m.error().what;

      owners::Craft d{};
      d.mass = of(amount(e.mass));
      const double density = of(e.density);
      d.area = f.wing_area.si();
      const double z = random.gaussian() / 1.645;  // one wing: both coefficients go together
      d.cl_lift_off = 0.92 + (z > 0 ? 0.18 : 0.17) * z;
      d.cl_trim = 0.56 + 0.08 * z;
      d.glide = of(e.glide);
      d.resistance = std::max(of(e.resistance), 0.0);
      d.lost_per_m_s = 0.022;
      d.thrust = owners::thrust_in(density, of(e.thrust));
      d.fastest = of(legs);
      d.inflation = std::max(of(inflation), 0.0);
      d.longer = of(e.run_factor) * (f.surface == Surface::firm ? 1.0 : 1.15);
      d.wheels = f.wheels;
      owners::Ground ground{of(e.slope), f.strip.si(), 0, 0};
      ground.trees_at = f.obstacles[0].distance.si() * (1 + 0.05 * random.gaussian());
      ground.trees_high = f.obstacles[0].height.si() * (1 + 0.05 * random.gaussian());
      const auto flown = owners::fly_take_off(d, ground, density, owners::chance_of(of(amount(e.headwind)), random));
      const double chance = *m->margin.chance_short;
      const std::size_t bin = chance <= 0.05 ? 0 : chance <= 0.20 ? 1 : chance <= 0.5 ? 2 : 3;
      ++cases[bin];
      stated[bin] += chance;
      failed[bin] += flown.clears ? 0 : 1;
    }
    for (std::size_t b = 0; b < 4; ++b) {
      if (cases[b] < 10) continue;
      const double n = cases[b], seen = failed[b] / n, mean = stated[b] / n;
      // Lower 90 % bound of the frequency, one-sided Wilson score (z = 1.2816).
      const double z2 = 1.2816 * 1.2816;
      const double lower = (seen + z2 / (2 * n) - 1.2816 * std::sqrt(seen * (1 - seen) / n + z2 / (4 * n * n))) / (1 + z2 / n);
      std::printf("%d own runs, stated %.3f on average: %d of %d did not clear (lower bound %.3f)\n", own_runs, mean, failed[b],
                  cases[b], lower);
      EXPECT_LE(lower, mean) << own_runs << " own runs, bin " << b;
    }
  }
}

}  // namespace
}  // namespace headroom
