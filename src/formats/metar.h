#pragma once
// Reader of METAR and SPECI, the hourly and special reports of an aerodrome.
// Source: WMO-No. 306, Manual on Codes, FM 15; for the forms of the United States, Federal Meteorological Handbook No. 1 and
// FAA Aeronautical Information Manual 7-1. Trend forecasts and runway visual ranges are named, not evaluated; of the remarks
// the T group, the sea-level pressure and any word of thunder are read.
#include <string_view>

#include "core/result.h"
#include "core/time.h"
#include "core/weather/report.h"

namespace headroom {

// Longer text is refused.
inline constexpr std::size_t kLongestMetar = 4096;

// One report. `reference` is about when it was issued (to half a month): the day of the month becomes the nearest such day.
// A group that cannot be read is `not_read` in `groups`; the piece that it may be (wind, visibility, weather, sky, temperature
// or pressure) is then unknown, even when another group states it. Absurd values count as unreadable: wind above 250 kt or its
// direction not in tens of degrees,
// temperature outside -90 to 60 C, dew point above it, pressure outside 850 to 1090 hPa.
// Errors, bad_input: no METAR, no station, no day and time that exist, NIL, nothing after them that can be used, too long.
[[nodiscard]] Result<WeatherReport> read_metar(std::string_view text, UtcTime reference);

}  // namespace headroom
