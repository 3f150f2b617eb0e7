#pragma once
// Thrust of a propeller by the momentum theory of an ideal disc.
//
// Notation: T thrust [N], P power given to the air [W], V speed along the axis [m/s], v speed the disc adds [m/s],
// rho density [kg/m3], D diameter [m], A = pi D^2/4.
//   T = 2 rho A (V + v) v      P = T (V + v)
// Source: Rankine and Froude; in any text of propeller theory, e.g. H. Glauert, "Airplane propellers", in W. F. Durand (ed.),
// Aerodynamic Theory IV (1935) (citation from memory). An ideal disc is an upper bound: a real propeller gives less thrust
// for the same power, and what a static test of it gave stands for its losses here.
// Range: V 0 to 40 m/s, rho 0.5 to 1.6 kg/m3, D 0.3 to 3 m, P 100 W to 100 kW, T 5 to 5000 N; beyond it, out_of_range.
#include "core/result.h"
#include "core/units.h"

namespace headroom {

using AirPower = Quantity<2, 1, -3, 0>;  // given to the air by the propeller
constexpr AirPower watts(double value) {
  return AirPower::from_si(value);
}

[[nodiscard]] Result<Force> ideal_thrust(AirPower power, Speed along_axis, Density density, Length diameter);
[[nodiscard]] Result<AirPower> ideal_power(Force thrust, Speed along_axis, Density density, Length diameter);
// v, of a given thrust: v = -V/2 + sqrt(V^2/4 + T/(2 rho A)).
[[nodiscard]] Result<Speed> induced_speed(Force thrust, Speed along_axis, Density density, Length diameter);

// Power of a piston engine without supercharger against that at 1.225 kg/m3, s = rho/1.225: s - (1 - s)/7.55.
// Source: R. F. Gagg, E. V. Farrar, "Altitude performance of aircraft engines equipped with gear-driven superchargers", SAE
// Trans. 29 (1934) 217 (citation and constant from memory). Found on four-stroke aircraft engines at a right mixture; a
// two-stroke at a fixed jet may lose more. Range: 0.5 to 1.6 kg/m3.
[[nodiscard]] Result<double> power_ratio(Density density);

namespace propeller_detail {
// The same without checks, plain SI, for inner loops. A power of zero or less gives no thrust.
[[nodiscard]] double ideal_thrust_N(double power_W, double v_m_s, double rho, double disc_m2);
[[nodiscard]] inline double power_ratio(double rho) {
  const double s = rho / 1.225;
  return s - (1 - s) / 7.55;
}
}  // namespace propeller_detail

}  // namespace headroom
