#pragma once
// Seeded chance for the simulator: the same seed gives the same numbers with every compiler. The distributions of <random>
// are left alone, because their results differ from library to library.
#include <cmath>
#include <cstdint>
#include <numbers>

namespace headroom::simulate {

// PCG-XSH-RR 64/32. Source: M. E. O'Neill, "PCG: A Family of Simple Fast Space-Efficient Statistically Good Algorithms for
// Random Number Generation", Harvey Mudd College HMC-CS-2014-0905, section 6.3.
class Pcg32 {
 public:
  // Different streams of one seed are independent sequences, so that one part drawing more leaves the others as they were.
  explicit constexpr Pcg32(std::uint64_t seed, std::uint64_t stream) : increment_((stream << 1U) | 1U) {
    (void)next();
    state_ += seed;
    (void)next();
  }
  constexpr std::uint32_t next() {
    const std::uint64_t old = state_;
    state_ = old * 6364136223846793005ULL + increment_;
    const auto shifted = static_cast<std::uint32_t>(((old >> 18U) ^ old) >> 27U);
    const auto turn = static_cast<std::uint32_t>(old >> 59U);
    return (shifted >> turn) | (shifted << ((32U - turn) & 31U));
  }
  // Uniform in the open interval 0 to 1, 32 bits of it.
  constexpr double uniform() { return (static_cast<double>(next()) + 0.5) * 0x1p-32; }
  constexpr double uniform(double low, double high) { return low + (high - low) * uniform(); }
  // Standard normal. Box and Muller (1958), Ann. Math. Statist. 29(2) 610; both of the pair are used.
  double gaussian() {
    if (has_spare_) {
      has_spare_ = false;
      return spare_;
    }
    const double radius = std::sqrt(-2.0 * std::log(uniform()));
    const double angle = 2.0 * std::numbers::pi * uniform();
    spare_ = radius * std::sin(angle);
    has_spare_ = true;
    return radius * std::cos(angle);
  }

 private:
  std::uint64_t state_ = 0;
  std::uint64_t increment_;
  double spare_ = 0;
  bool has_spare_ = false;
};

// A first-order Gauss-Markov process of zero mean: standard deviation `sd`, correlation exp(-t / time).
class GaussMarkov {
 public:
  double step(double dt_s, double time_s, double sd, Pcg32& chance) {
    const double keep = std::exp(-dt_s / time_s);
    // The unit process is kept, so that sd may change from step to step.
    unit_ = keep * unit_ + std::sqrt(1.0 - keep * keep) * chance.gaussian();
    return sd * unit_;
  }
  void start(Pcg32& chance) { unit_ = chance.gaussian(); }

 private:
  double unit_ = 0;
};

}  // namespace headroom::simulate
