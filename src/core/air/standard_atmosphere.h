#pragma once
// The standard atmosphere below 11 km, and what an altimeter makes of it.
//
// Notation: H geopotential height [m], Z geometric height [m], T temperature [K], p pressure [Pa], rho density [kg/m3],
// a speed of sound [m/s]; T0 = 288.15 K, p0 = 101325 Pa, L = -0.0065 K/m, g0 = 9.80665 m/s2, R = 287.05287 J/(kg K),
// r0 = 6356766 m, gamma = 1.4.
//   T = T0 + L H      p = p0 (T/T0)^(-g0/(L R))      rho = p/(R T)      a = sqrt(gamma R T)
// Source: ISO 2533:1975, Standard Atmosphere, section 2; the same to the digits printed as U.S. Standard Atmosphere 1976
// (NASA TM-X-74335), eq. 18, 23, 33a, 42, 50 (its R is 2e-7 larger: 0.03 Pa at 5 km).
// Range: -1000 to 11000 m of geopotential height; beyond it, out_of_range. NaN is beyond it.
#include "core/result.h"
#include "core/units.h"

namespace headroom {

using GeopotentialHeight = Point<struct GeopotentialHeightTag, Length>;  // above mean sea level [m']

struct StandardAir {
  Temperature temperature;
  Pressure pressure;
  Density density;
  Speed speed_of_sound;
};

inline constexpr double kLowestStandardHeight_m = -1000, kHighestStandardHeight_m = 11000;

[[nodiscard]] Result<StandardAir> standard_air(GeopotentialHeight height);

// H = r0 Z / (r0 + Z) and back. Source: ISO 2533:1975, eq. 8. Within 0.16 m up to 1000 m, 19 m at 11 km.
[[nodiscard]] Result<GeopotentialHeight> geopotential_height(AltitudeMsl geometric);
[[nodiscard]] Result<AltitudeMsl> geometric_height(GeopotentialHeight height);

// The height at which the standard atmosphere has this pressure, and back; exact inverses of one another.
//   PA = (T0/-L) (1 - (p/p0)^(-L R/g0))
// Range: 22632 Pa (11000 m) to 113929 Pa (-1000 m).
[[nodiscard]] Result<PressureAltitude> pressure_altitude(Pressure pressure);
[[nodiscard]] Result<Pressure> standard_pressure(PressureAltitude altitude);

// Pressure at a field from the altimeter setting, and back: an altimeter set to QNH shows the field's elevation on it.
//   QFE = p0 ((QNH/p0)^n + L h/T0)^(1/n), n = -L R/g0
// Source: ICAO Doc 7488/3 definition of the setting. Range: QNH 850 to 1100 hPa (a wrong unit is then noticed), elevation
// -500 to 6000 m.
[[nodiscard]] Result<Pressure> qfe_from_qnh(Pressure qnh, AltitudeMsl elevation);
[[nodiscard]] Result<Pressure> qnh_from_qfe(Pressure qfe, AltitudeMsl elevation);

// Speed of sound in dry air, a = sqrt(gamma R T). Source: ISO 2533:1975, eq. 15. Range: 180 to 330 K.
[[nodiscard]] Result<Speed> speed_of_sound(Temperature temperature);

// Density over that of the standard at sea level, 1.225 kg/m3; true airspeed is equivalent airspeed / sqrt of it.
inline constexpr Density kStandardSeaLevelDensity = Density::from_si(1.225);
constexpr double density_ratio(Density density) {
  return density.si() / kStandardSeaLevelDensity.si();
}

// True over equivalent airspeed in the standard atmosphere, 1/sqrt(density ratio).
[[nodiscard]] Result<double> standard_airspeed_factor(PressureAltitude altitude);

}  // namespace headroom
