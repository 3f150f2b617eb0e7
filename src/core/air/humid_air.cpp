#include "core/air/humid_air.h"

#include <cmath>

namespace headroom {
namespace {

constexpr double kGasConstantDry = 287.05287;          // J/(kg K)
constexpr double kWaterToAir = 0.62198;                // ratio of molar masses
constexpr double kMagnusA = 17.62, kMagnusB = 243.12;  // over water; C

Result<void> humid_air_in_range(Pressure pressure, Temperature temperature, RelativeHumidity humidity) {
  if (!(pressure.si() >= 30000 && pressure.si() <= 110000))
    return fail(ErrorKind::out_of_range, "air density is computed from 300 to 1100 hPa only");
  if (!(in_celsius(temperature) >= -40 && in_celsius(temperature) <= 50))
    return fail(ErrorKind::out_of_range, "air density is computed from -40 to 50 C only");
  if (!(humidity.fraction() >= 0 && humidity.fraction() <= 1))
    return fail(ErrorKind::out_of_range, "relative humidity lies between 0 and 100 %");
  return {};
}

// f p_sv / p of the CIPM-2007 appendix, at a temperature or at a dew point.
double saturated_mole_fraction(Pressure pressure, Temperature at) {
  const double p = pressure.si(), t_k = at.si(), t = in_celsius(at);
  const double saturation = std::exp(1.2378847e-5 * t_k * t_k - 1.9121316e-2 * t_k + 33.93711047 - 6.3431645e3 / t_k);
  return (1.00062 + 3.14e-8 * p + 5.6e-7 * t * t) * saturation / p;
}

Density cipm_density(Pressure pressure, Temperature temperature, double x) {
  const double p = pressure.si(), t_k = temperature.si(), t = in_celsius(temperature);
  const double by_t = p / t_k;
  const double z = 1 -
                   by_t * (1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t + (5.707e-6 - 2.051e-8 * t) * x +
                           (1.9898e-4 - 2.376e-6 * t) * x * x) +
                   by_t * by_t * (1.83e-11 - 0.765e-8 * x * x);
  return Density::from_si(3.483740e-3 * p / (z * t_k) * (1 - 0.3780 * x));
}

bool in_magnus_range(Temperature t) {
  return in_celsius(t) >= -45 && in_celsius(t) <= 60;
}
double magnus_exponent(double celsius) {
  return kMagnusA * celsius / (kMagnusB + celsius);
}

}  // namespace

Result<Density> moist_air_density(Pressure pressure, Temperature temperature, RelativeHumidity humidity) {
  if (auto ok = humid_air_in_range(pressure, temperature, humidity); !ok) return tl::unexpected(ok.error());
  return cipm_density(pressure, temperature, humidity.fraction() * saturated_mole_fraction(pressure, temperature));
}

Result<Density> moist_air_density_from_dew_point(Pressure pressure, Temperature temperature, Temperature dew_point) {
  if (auto ok = humid_air_in_range(pressure, temperature, {}); !ok) return tl::unexpected(ok.error());
  if (auto ok = humidity_from_dew_point(temperature, dew_point); !ok) return tl::unexpected(ok.error());
  return cipm_density(pressure, temperature, saturated_mole_fraction(pressure, dew_point));
}

Result<Temperature> virtual_temperature(Pressure pressure, Temperature temperature, RelativeHumidity humidity) {
  if (auto ok = humid_air_in_range(pressure, temperature, humidity); !ok) return tl::unexpected(ok.error());
  const double e = humidity.fraction() * 611.2 * std::exp(magnus_exponent(in_celsius(temperature)));
  return kelvins(temperature.si() / (1 - e / pressure.si() * (1 - kWaterToAir)));
}

Result<Density> virtual_temperature_density(Pressure pressure, Temperature temperature, RelativeHumidity humidity) {
  return virtual_temperature(pressure, temperature, humidity).map([&](Temperature t_v) {
    return Density::from_si(pressure.si() / (kGasConstantDry * t_v.si()));
  });
}

Result<Pressure> saturation_vapour_pressure(Temperature temperature) {
  if (!in_magnus_range(temperature))
    return fail(ErrorKind::out_of_range, "saturation vapour pressure is computed from -45 to 60 C only");
  return pascals(611.2 * std::exp(magnus_exponent(in_celsius(temperature))));
}

Result<RelativeHumidity> humidity_from_dew_point(Temperature temperature, Temperature dew_point) {
  if (!in_magnus_range(temperature) || !in_magnus_range(dew_point))
    return fail(ErrorKind::out_of_range, "humidity is computed from -45 to 60 C only");
  if (dew_point > temperature) return fail(ErrorKind::bad_input, "a dew point cannot lie above the temperature");
  return RelativeHumidity::from_fraction(
      std::exp(magnus_exponent(in_celsius(dew_point)) - magnus_exponent(in_celsius(temperature))));
}

Result<Temperature> dew_point(Temperature temperature, RelativeHumidity humidity) {
  if (!in_magnus_range(temperature)) return fail(ErrorKind::out_of_range, "humidity is computed from -45 to 60 C only");
  if (!(humidity.fraction() > 0 && humidity.fraction() <= 1))
    return fail(ErrorKind::out_of_range, "a dew point needs a relative humidity above 0 and up to 100 %");
  const double g = std::log(humidity.fraction()) + magnus_exponent(in_celsius(temperature));
  const Temperature point = celsius(kMagnusB * g / (kMagnusA - g));
  if (!in_magnus_range(point)) return fail(ErrorKind::out_of_range, "the dew point lies below -45 C");
  return point;
}

Result<DensityAltitude> density_altitude(Density density) {
  constexpr double exponent = 1 / (9.80665 / (0.0065 * kGasConstantDry) - 1);
  if (!(density.si() > 0)) return fail(ErrorKind::out_of_range, "a density is above zero");
  const double h = 288.15 / 0.0065 * (1 - std::pow(density.si() / 1.225, exponent));
  if (!(h >= -3000 && h <= 11000))
    return fail(ErrorKind::out_of_range, "density altitude is computed from -3000 to 11000 m only");
  return DensityAltitude::from_si(h);
}

Result<DensityAltitude> nws_density_altitude(Pressure station_pressure, Temperature temperature, Temperature dew_point) {
  const auto humidity = humidity_from_dew_point(temperature, dew_point);
  // The sheet is also used with dew points far below the range of the Magnus formula, where there is next to no vapour.
  if (!humidity && (dew_point > temperature || !(in_celsius(dew_point) >= -80))) return tl::unexpected(humidity.error());
  if (auto ok = humid_air_in_range(station_pressure, temperature, {}); !ok) return tl::unexpected(ok.error());
  const double td = in_celsius(dew_point), p_hpa = in_hectopascals(station_pressure);
  const double e_hpa = 6.11 * std::pow(10.0, 7.5 * td / (237.7 + td));
  const double t_v = temperature.si() / (1 - e_hpa / p_hpa * (1 - 0.622));
  const double rankine = 9.0 / 5.0 * (t_v - 273.15) + 32 + 459.69;
  const double ratio = 17.326 * in_inches_of_mercury(station_pressure) / rankine;
  return DensityAltitude::from_si(in_metres(feet(145366 * (1 - std::pow(ratio, 0.235)))));
}

}  // namespace headroom
