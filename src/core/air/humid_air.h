#pragma once
// Density of humid air, dew point and relative humidity, density altitude.
//
// Notation: p pressure [Pa], T temperature [K], t the same [C], h relative humidity over water [0..1], x_v mole fraction of
// water vapour, Z compressibility factor, e vapour pressure [Pa], rho density [kg/m3].
// Range of everything here: 300 to 1100 hPa, -40 to 50 C, humidity 0 to 1; beyond it, out_of_range.
#include "core/result.h"
#include "core/units.h"

namespace headroom {

// A fraction: 0 is dry, 1 saturated over water.
class RelativeHumidity {
 public:
  constexpr RelativeHumidity() = default;
  [[nodiscard]] static constexpr RelativeHumidity from_fraction(double f) { return RelativeHumidity(f); }
  [[nodiscard]] static constexpr RelativeHumidity from_percent(double p) { return RelativeHumidity(p / 100); }
  [[nodiscard]] constexpr double fraction() const { return fraction_; }
  [[nodiscard]] constexpr double percent() const { return fraction_ * 100; }
  constexpr auto operator<=>(const RelativeHumidity&) const = default;

 private:
  explicit constexpr RelativeHumidity(double f) : fraction_(f) {}
  double fraction_ = 0;
};

// CIPM-2007 at the standard carbon dioxide content of 400 umol/mol:
//   rho = 3.483740e-3 p/(Z T) (1 - 0.3780 x_v),   x_v = h f(p,t) p_sv(T)/p
// Source: A. Picard, R. S. Davis, M. Glaeser, K. Fujii, Revised formula for the density of moist air (CIPM-2007), Metrologia
// 45 (2008) 149-155, eq. 1 to 4 and appendix A. Accuracy there 22 parts in a million, for 600 to 1100 hPa and 15 to 27 C;
// outside, it stays within 6e-4 of the virtual-temperature form.
[[nodiscard]] Result<Density> moist_air_density(Pressure pressure, Temperature temperature, RelativeHumidity humidity);
// The same with x_v = f(p,t_d) p_sv(t_d)/p, which needs no formula for humidity between. The dew point -45 C to the temperature.
[[nodiscard]] Result<Density> moist_air_density_from_dew_point(Pressure pressure, Temperature temperature, Temperature dew_point);

// The practical form: an ideal gas at the virtual temperature T_v = T / (1 - (e/p)(1 - 0.62198)), rho = p/(R T_v).
// Always 0.02 to 0.06 % below CIPM-2007, for it lacks Z. Source: WMO-No. 8, Guide to Instruments and Methods of
// Observation, annex 4.B (vapour pressure); hydrostatics textbooks for T_v.
[[nodiscard]] Result<Temperature> virtual_temperature(Pressure pressure, Temperature temperature, RelativeHumidity humidity);
[[nodiscard]] Result<Density> virtual_temperature_density(Pressure pressure, Temperature temperature, RelativeHumidity humidity);

// Saturation vapour pressure over water, e_s = 611.2 exp(17.62 t / (243.12 + t)) Pa. Source: WMO-No. 8, annex 4.B, -45 to
// 60 C, within 0.6 %.
[[nodiscard]] Result<Pressure> saturation_vapour_pressure(Temperature temperature);
// From the same formula, exact inverses of one another. Errors: a dew point above the temperature; zero humidity has none.
[[nodiscard]] Result<RelativeHumidity> humidity_from_dew_point(Temperature temperature, Temperature dew_point);
[[nodiscard]] Result<Temperature> dew_point(Temperature temperature, RelativeHumidity humidity);

// The height at which the standard atmosphere has this density (geopotential, above the standard's sea level).
//   DA = (T0/-L) (1 - (rho/1.225)^(1/(g0/(-L R) - 1)))
// Source: inverted from ISO 2533:1975. Range -3000 to 11000 m: cold air at sea level lies far below zero.
using DensityAltitude = Point<struct DensityAltitudeTag, Length>;
[[nodiscard]] Result<DensityAltitude> density_altitude(Density density);

// The rounded form of the U.S. National Weather Service's "Density Altitude" formula sheet, for comparison with printed
// values: 14 to 18 ft above the exact one. Same range.
[[nodiscard]] Result<DensityAltitude> nws_density_altitude(Pressure station_pressure, Temperature temperature,
                                                           Temperature dew_point);

}  // namespace headroom
