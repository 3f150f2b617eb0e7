#pragma once
// Everything about the air at one place that a pilot asks for at once, from what is known of it.
#include <optional>
#include <vector>

#include "core/air/humid_air.h"
#include "core/air/standard_atmosphere.h"
#include "core/result.h"
#include "core/sentence.h"
#include "core/units.h"

namespace headroom {

// What is known. Pressure by exactly one of: station pressure; QNH with elevation; pressure altitude. With an elevation alone
// the QNH is assumed to be the standard's. Humidity by at most one of: relative humidity, dew point; neither means dry air is
// assumed. The report says what was assumed.
struct AirInput {
  std::optional<Pressure> station_pressure, qnh;
  std::optional<AltitudeMsl> elevation;
  std::optional<PressureAltitude> pressure_altitude;
  std::optional<Temperature> temperature;  // none: the standard's at that pressure altitude, and the report says so
  std::optional<RelativeHumidity> humidity;
  std::optional<Temperature> dew_point;
};

struct AirReport {
  Pressure pressure;  // at the place (QFE)
  Temperature temperature;
  RelativeHumidity humidity;
  std::optional<Temperature> dew_point;  // none in dry air
  std::optional<Pressure> qnh;           // given, assumed, or from station pressure and elevation
  PressureAltitude pressure_altitude;
  Temperature standard_temperature;            // at that pressure altitude
  TemperatureDifference warmer_than_standard;  // negative: colder
  Density density;                             // CIPM-2007
  Density virtual_temperature_density;         // the practical form, beside it
  Temperature virtual_temperature;
  DensityAltitude density_altitude;                     // exact, from `density`
  std::optional<DensityAltitude> nws_density_altitude;  // the rounded published form; needs a dew point
  double density_ratio = 1;                             // to 1.225 kg/m3
  double airspeed_factor = 1;                           // true over equivalent airspeed, 1/sqrt(density_ratio)
  Speed speed_of_sound;                                 // dry air
  std::vector<Sentence> assumed;
};

// Errors: bad_input when pressure is given in no way or in two, or humidity in two; out_of_range from the formulas.
[[nodiscard]] Result<AirReport> air_report(const AirInput& input);

}  // namespace headroom
