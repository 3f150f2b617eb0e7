#include "core/track/standard.h"

#include <cmath>

namespace headroom {

double standard_speed(double speed_m_s, double sigma, double k) {
  return speed_m_s * std::sqrt(sigma * k);
}

double standard_climb(double climb_m_s, double speed_m_s, double glide, double sigma, double k) {
  const double thrust_over_weight = climb_m_s / speed_m_s + 1 / glide;
  return standard_speed(speed_m_s, sigma, k) * (thrust_over_weight / (sigma * k) - 1 / glide);
}

}  // namespace headroom
