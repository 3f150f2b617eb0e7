#include "core/planning/propeller.h"

#include <cmath>
#include <numbers>

namespace headroom {

namespace {

double disc_area(Length d) {
  return std::numbers::pi / 4 * d.si() * d.si();
}
bool propeller_in_range(Speed v, Density rho, Length d) {
  return v.si() >= 0 && v.si() <= 40 && rho.si() >= 0.5 && rho.si() <= 1.6 && d.si() >= 0.3 && d.si() <= 3;
}
constexpr const char* kPropellerRange =
    "the propeller formulas hold for 0 to 40 m/s, 0.5 to 1.6 kg/m3, 0.3 to 3 m across, 0.1 to 100 kW, 5 to 5000 N";

}  // namespace

double propeller_detail::ideal_thrust_N(double power, double V, double rho, double disc) {
  if (!(power > 0)) return 0;
  // (V + v)^2 v = P / (2 rho A), growing in v: Newton from above converges without overshoot.
  const double c = power / (2 * rho * disc);
  double v = std::cbrt(c);
  for (int i = 0; i < 20; ++i) {
    const double f = (V + v) * (V + v) * v - c;
    const double step = f / ((V + v) * (V + 3 * v));
    v -= step;
    if (std::abs(step) < 1e-9 * v) break;
  }
  return 2 * rho * disc * (V + v) * v;
}

Result<Force> ideal_thrust(AirPower power, Speed V, Density rho, Length d) {
  if (!propeller_in_range(V, rho, d) || !(power.si() >= 100 && power.si() <= 1e5))
    return fail(ErrorKind::out_of_range, kPropellerRange);
  return newtons(propeller_detail::ideal_thrust_N(power.si(), V.si(), rho.si(), disc_area(d)));
}

Result<Speed> induced_speed(Force thrust, Speed V, Density rho, Length d) {
  if (!propeller_in_range(V, rho, d) || !(thrust.si() >= 5 && thrust.si() <= 5000))
    return fail(ErrorKind::out_of_range, kPropellerRange);
  const double half = V.si() / 2;
  return metres_per_second(-half + std::sqrt(half * half + thrust.si() / (2 * rho.si() * disc_area(d))));
}

Result<AirPower> ideal_power(Force thrust, Speed V, Density rho, Length d) {
  const auto v = induced_speed(thrust, V, rho, d);
  if (!v) return tl::unexpected(v.error());
  return watts(thrust.si() * (V.si() + v->si()));
}

Result<double> power_ratio(Density rho) {
  if (!(rho.si() >= 0.5 && rho.si() <= 1.6)) return fail(ErrorKind::out_of_range, kPropellerRange);
  return propeller_detail::power_ratio(rho.si());
}

}  // namespace headroom
