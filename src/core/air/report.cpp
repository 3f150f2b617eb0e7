#include "core/air/report.h"

#include <cmath>

namespace headroom {
namespace {

constexpr Pressure kStandardQnh = Pressure::from_si(101325);

Result<Pressure> station_pressure_of(const AirInput& in) {
  const int ways = (in.station_pressure ? 1 : 0) + (in.qnh ? 1 : 0) + (in.pressure_altitude ? 1 : 0);
  if (ways == 0 && in.elevation) return qfe_from_qnh(kStandardQnh, *in.elevation);
  if (ways != 1)
    return fail(ErrorKind::bad_input,
                "give the pressure in one way: at the place, as QNH with elevation, or as pressure altitude");
  if (in.station_pressure) return *in.station_pressure;
  if (in.pressure_altitude) return standard_pressure(*in.pressure_altitude);
  if (!in.elevation) return fail(ErrorKind::bad_input, "a QNH needs the elevation of the place beside it");
  return qfe_from_qnh(*in.qnh, *in.elevation);
}

Result<RelativeHumidity> humidity_of(const AirInput& in, Temperature temperature) {
  if (in.humidity && in.dew_point) return fail(ErrorKind::bad_input, "give relative humidity or dew point, not both");
  if (in.dew_point) return humidity_from_dew_point(temperature, *in.dew_point);
  return in.humidity.value_or(RelativeHumidity{});
}

}  // namespace

Result<AirReport> air_report(const AirInput& in) {
  AirReport out;
  const auto pressure = station_pressure_of(in);
  if (!pressure) return tl::unexpected(pressure.error());
  out.pressure = *pressure;
  const auto altitude = pressure_altitude(out.pressure);
  if (!altitude) return tl::unexpected(altitude.error());
  out.pressure_altitude = *altitude;
  const auto standard = standard_air(GeopotentialHeight::from_si(altitude->si()));
  if (!standard) return tl::unexpected(standard.error());
  out.standard_temperature = standard->temperature;

  if (in.temperature) {
    out.temperature = *in.temperature;
  } else {
    out.temperature = out.standard_temperature;
    out.assumed.emplace_back("The temperature is assumed to be the standard one for this pressure.");
  }
  out.warmer_than_standard = out.temperature - out.standard_temperature;

  const auto humidity = humidity_of(in, out.temperature);
  if (!humidity) return tl::unexpected(humidity.error());
  out.humidity = *humidity;
  if (!in.humidity && !in.dew_point)
    out.assumed.push_back({"Dry air is assumed: damp air is thinner, by up to about {0} of density altitude on a hot day.",
                           {exact_amount(Dimension::length, 200)}});
  if (in.dew_point) {
    out.dew_point = in.dew_point;
  } else if (const auto point = dew_point(out.temperature, out.humidity)) {
    out.dew_point = *point;
  }

  if (in.qnh) {
    out.qnh = in.qnh;
  } else if (in.elevation && !in.station_pressure && !in.pressure_altitude) {
    out.qnh = kStandardQnh;
    out.assumed.push_back({"The QNH is assumed to be the standard's: on most days the pressure altitude is within {0} of this.",
                           {exact_amount(Dimension::length, 300)}});
  } else if (in.elevation) {
    const auto qnh = qnh_from_qfe(out.pressure, *in.elevation);
    if (!qnh) return tl::unexpected(qnh.error());
    out.qnh = *qnh;
  }

  const auto density = in.dew_point ? moist_air_density_from_dew_point(out.pressure, out.temperature, *in.dew_point)
                                    : moist_air_density(out.pressure, out.temperature, out.humidity);
  if (!density) return tl::unexpected(density.error());
  out.density = *density;
  const auto t_v = virtual_temperature(out.pressure, out.temperature, out.humidity);
  const auto practical = virtual_temperature_density(out.pressure, out.temperature, out.humidity);
  const auto exact = density_altitude(out.density);
  const auto sound = speed_of_sound(out.temperature);
  if (!t_v) return tl::unexpected(t_v.error());
  if (!practical) return tl::unexpected(practical.error());
  if (!exact) return tl::unexpected(exact.error());
  if (!sound) return tl::unexpected(sound.error());
  out.virtual_temperature = *t_v;
  out.virtual_temperature_density = *practical;
  out.density_altitude = *exact;
  out.speed_of_sound = *sound;
  if (out.dew_point) {
    if (const auto nws = nws_density_altitude(out.pressure, out.temperature, *out.dew_point)) out.nws_density_altitude = *nws;
  }
  out.density_ratio = density_ratio(out.density);
  out.airspeed_factor = 1 / std::sqrt(out.density_ratio);
  return out;
}

}  // namespace headroom
