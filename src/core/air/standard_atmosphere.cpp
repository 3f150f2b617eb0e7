#include "core/air/standard_atmosphere.h"

#include <cmath>

namespace headroom {
namespace {

constexpr double kT0 = 288.15, kP0 = 101325, kLapse = 0.0065, kG0 = 9.80665, kR = 287.05287, kEarthRadius = 6356766;
constexpr double kGamma = 1.4;
constexpr double kPressureExponent = kG0 / (kLapse * kR);

double pressure_at_height(double h) {
  return kP0 * std::pow(1 - kLapse * h / kT0, kPressureExponent);
}
double height_at_pressure(double p) {
  return kT0 / kLapse * (1 - std::pow(p / kP0, 1 / kPressureExponent));
}
bool in_troposphere(double h) {
  return h >= kLowestStandardHeight_m && h <= kHighestStandardHeight_m;  // false for NaN
}
auto beyond_troposphere() {
  return fail(ErrorKind::out_of_range, "the standard atmosphere is computed from -1000 to 11000 m only");
}
bool is_setting(double qnh) {
  return qnh >= 85000 && qnh <= 110000;
}
bool is_field_elevation(double h) {
  return h >= -500 && h <= 6000;
}
auto not_a_setting() {
  return fail(ErrorKind::out_of_range, "an altimeter setting lies between 850 and 1100 hPa (25.10 and 32.48 inHg)");
}
auto not_an_elevation() {
  return fail(ErrorKind::out_of_range, "a field's elevation is taken from -500 to 6000 m");
}

}  // namespace

Result<StandardAir> standard_air(GeopotentialHeight height) {
  const double h = height.si();
  if (!in_troposphere(h)) return beyond_troposphere();
  const double t = kT0 - kLapse * h;
  const double p = pressure_at_height(h);
  return StandardAir{kelvins(t), pascals(p), Density::from_si(p / (kR * t)), Speed::from_si(std::sqrt(kGamma * kR * t))};
}

Result<GeopotentialHeight> geopotential_height(AltitudeMsl geometric) {
  const double h = kEarthRadius * geometric.si() / (kEarthRadius + geometric.si());
  if (!in_troposphere(h)) return beyond_troposphere();
  return GeopotentialHeight::from_si(h);
}

Result<AltitudeMsl> geometric_height(GeopotentialHeight height) {
  if (!in_troposphere(height.si())) return beyond_troposphere();
  return AltitudeMsl::from_si(kEarthRadius * height.si() / (kEarthRadius - height.si()));
}

Result<PressureAltitude> pressure_altitude(Pressure pressure) {
  if (!(pressure.si() > 0)) return beyond_troposphere();
  const double h = height_at_pressure(pressure.si());
  if (!in_troposphere(h)) return beyond_troposphere();
  return PressureAltitude::from_si(h);
}

Result<Pressure> standard_pressure(PressureAltitude altitude) {
  if (!in_troposphere(altitude.si())) return beyond_troposphere();
  return pascals(pressure_at_height(altitude.si()));
}

Result<Pressure> qfe_from_qnh(Pressure qnh, AltitudeMsl elevation) {
  if (!is_setting(qnh.si())) return not_a_setting();
  if (!is_field_elevation(elevation.si())) return not_an_elevation();
  return pascals(pressure_at_height(height_at_pressure(qnh.si()) + elevation.si()));
}

Result<Pressure> qnh_from_qfe(Pressure qfe, AltitudeMsl elevation) {
  if (!is_field_elevation(elevation.si())) return not_an_elevation();
  if (!(qfe.si() > 0)) return not_a_setting();
  const double qnh = pressure_at_height(height_at_pressure(qfe.si()) - elevation.si());
  if (!is_setting(qnh)) return not_a_setting();
  return pascals(qnh);
}

Result<Speed> speed_of_sound(Temperature temperature) {
  const double t = temperature.si();
  if (!(t >= 180 && t <= 330)) return fail(ErrorKind::out_of_range, "the speed of sound is computed from 180 to 330 K only");
  return Speed::from_si(std::sqrt(kGamma * kR * t));
}

Result<double> standard_airspeed_factor(PressureAltitude altitude) {
  return standard_air(GeopotentialHeight::from_si(altitude.si())).map([](const StandardAir& air) {
    return 1 / std::sqrt(density_ratio(air.density));
  });
}

}  // namespace headroom
