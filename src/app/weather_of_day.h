#pragma once
// What a weather report says of the day, into what a brief looks at.
#include "core/planning/day.h"
#include "core/result.h"
#include "core/weather/forecast.h"
#include "core/weather/report.h"

namespace headroom {

// Fills what is not said yet of wind, air and sky; a piece that the report does not state, or that could not be read, stays as it
// is. The wind is that of another place and another hour: its spread grows by 0.6 m/s for each hour of age and starts at 1 m/s
// and a seventh, and with the distance of the station
// (day.station_away, day.hills_between) by 0.25 m/s a root of a kilometre, twice across hills, added in quadrature; visibility
// and cloud base are off by 4 % a root of a kilometre more (own estimates, no source). The wind is taken for a
// launch within six hours of it; sky, temperature and dew point within two; QNH as the wind. Groups that could not be read are
// named in day.unread. Errors: out_of_range for a report more than three hours older than `now` or more than an hour ahead of it.
[[nodiscard]] Result<void> take_report(Day& day, const WeatherReport& report, UtcTime now, UtcTime start);

// The 90 % half width of a forecast mean wind at the field, m/s: hypot(3.3, 1 + mean/7).
//   3.3 m/s: ICAO Annex 3, attachment B (operationally desirable accuracy of forecasts; from memory) asks of a TAF that four of
//   five mean winds are right to 2.5 m/s (5 kt), which is a normal spread of 1.95 m/s, 90 % within 3.2 m/s; rounded up. 1 +
//   mean/7: between the station and the field, as for a report (own estimate).
[[nodiscard]] Speed forecast_wind_spread(Speed mean);

// Sets `day.forecast` for the flight from `start` to `end`, and the wind of the launch where neither typed nor reported: the
// strongest that prevails then. Errors: out_of_range for a forecast that was issued after `now` by more than an hour or that says
// nothing of any part of the flight.
[[nodiscard]] Result<void> take_forecast(Day& day, const Forecast& forecast, UtcTime now, UtcTime start, UtcTime end);

}  // namespace headroom
