#include "core/simulate/air.h"

#include <algorithm>
#include <cmath>

namespace headroom::simulate {
namespace {

// ISO 2533:1975, troposphere.
constexpr double kLapse = 0.0065;           // K/m
constexpr double kSeaLevelKelvin = 288.15;  // K
constexpr double kSeaLevelPascal = 101325;  // Pa
constexpr double kGasConstant = 287.05287;  // J/(kg K)
constexpr double kGravity = 9.80665;        // m/s2
constexpr double kExponent = kGravity / (kGasConstant * kLapse);

double pressure_pascal(const AirScript& script, double height_m) {
  const double sea_level_kelvin = kSeaLevelKelvin + script.warmer.si();
  return in_pascals(script.qnh) * std::pow(1.0 - kLapse * height_m / sea_level_kelvin, kExponent);
}

}  // namespace

Density density_at(const AirScript& script, AltitudeMsl height) {
  const double kelvin = kSeaLevelKelvin + script.warmer.si() - kLapse * height.si();
  return Density::from_si(pressure_pascal(script, height.si()) / (kGasConstant * kelvin));
}

PressureAltitude pressure_altitude_at(const AirScript& script, AltitudeMsl height) {
  const double ratio = pressure_pascal(script, height.si()) / kSeaLevelPascal;
  return PressureAltitude::from_si(kSeaLevelKelvin / kLapse * (1.0 - std::pow(ratio, 1.0 / kExponent)));
}

AirMotion mean_wind(const AirScript& script, double height_above_ground_m) {
  const double height = std::clamp(height_above_ground_m, 1.0, 600.0);
  const double speed = in_metres_per_second(script.wind_10m) * std::pow(height / 10.0, script.shear_exponent);
  const double from = script.from.radians() + script.veer_deg_per_100m * (height - 10.0) / 100.0 * std::numbers::pi / 180.0;
  const AirMotion surface{-speed * std::sin(from), -speed * std::cos(from), 0};
  if (!script.upper) return surface;
  const UpperWind& upper = *script.upper;
  const double share = std::clamp((height_above_ground_m - in_metres(upper.base)) / in_metres(upper.mix), 0.0, 1.0);
  const double above = in_metres_per_second(upper.speed), above_from = upper.from.radians();
  return {(1.0 - share) * surface.east_m_s - share * above * std::sin(above_from),
          (1.0 - share) * surface.north_m_s - share * above * std::cos(above_from), 0};
}

double Air::SecondOrder::step(double dt_s, double time_s, Pcg32& chance) {
  // y = sqrt(T) (sqrt(3) / (1 + T s) + (1 - sqrt(3)) / (1 + T s)^2) n has unit variance for white n of unit intensity; each
  // stage is stepped exactly for an input held over the step. `first` is scaled to variance 1/2.
  const double keep = std::exp(-dt_s / time_s);
  const double root3 = std::numbers::sqrt3;
  const double before = first;
  first = keep * first + std::sqrt(0.5 * (1.0 - keep * keep)) * chance.gaussian();
  second = keep * second + (1.0 - keep) * 0.5 * (before + first);
  return root3 * first + (1.0 - root3) * second;
}

Air::Air(const AirScript& script, std::uint64_t seed) : script_(script), chance_(seed, 101) {
  along_.start(chance_);
  drift_east_.start(chance_);
  drift_north_.start(chance_);
  vertical_.start(chance_);
}

AirMotion Air::step(double dt_s, double time_s, double east_m, double north_m, double height_above_ground_m,
                    double airspeed_m_s) {
  AirMotion air = mean_wind(script_, height_above_ground_m);
  const double mean = std::hypot(air.east_m_s, air.north_m_s);
  const AirMotion at_20_feet = mean_wind(script_, 6.096);

  const double feet_up = std::clamp(height_above_ground_m / 0.3048, 10.0, 1000.0);
  const double shape = 0.177 + 0.000823 * feet_up;
  const double sigma_up = 0.1 * script_.gustiness * std::hypot(at_20_feet.east_m_s, at_20_feet.north_m_s);
  const double sigma_level = sigma_up / std::pow(shape, 0.4);
  const double length_up = feet_up * 0.3048;
  const double length_level = length_up / std::pow(shape, 1.2);
  const double through = std::max(airspeed_m_s, 2.0);  // on foot the gusts blow past with the wind
  const double along = along_.step(dt_s, length_level / through, sigma_level, chance_);
  const double across = sigma_level * across_.step(dt_s, length_level / through, chance_);
  const double up = sigma_up * up_.step(dt_s, length_up / through, chance_);

  const double drift_sd = in_metres_per_second(script_.drift);
  const double drift_time = in_seconds(script_.drift_time);
  const double drift_east = drift_east_.step(dt_s, drift_time, drift_sd, chance_);
  const double drift_north = drift_north_.step(dt_s, drift_time, drift_sd, chance_);
  // Air cannot move up or down through the ground: large-scale motion fades over the lowest 100 m.
  const double fade = std::clamp(height_above_ground_m / 100.0, 0.0, 1.0);
  const double large = vertical_.step(dt_s, in_seconds(script_.vertical_time), in_metres_per_second(script_.vertical), chance_);

  double lift = large;
  for (const Thermal& thermal : script_.thermals) {
    const double de = east_m - thermal.east_m - air.east_m_s * time_s;
    const double dn = north_m - thermal.north_m - air.north_m_s * time_s;
    const double r = in_metres(thermal.radius);
    lift += in_metres_per_second(thermal.strength) * std::exp(-(de * de + dn * dn) / (r * r));
  }
  const double unit_east = mean > 0 ? air.east_m_s / mean : 0;
  const double unit_north = mean > 0 ? air.north_m_s / mean : 1;
  air.east_m_s += drift_east + unit_east * along + unit_north * across;
  air.north_m_s += drift_north + unit_north * along - unit_east * across;
  air.up_m_s = up + fade * lift;
  return air;
}

}  // namespace headroom::simulate
