#pragma once
// Reader of TAF, the forecast of an aerodrome.
// Source: WMO-No. 306, Manual on Codes, FM 51; for the forms of the United States, FAA Aeronautical Information Manual 7-1.
// INTER, which Australia writes for spells shorter still than those of TEMPO, is read as TEMPO. Icing, turbulence and pressure
// groups of military forecasts are named, not evaluated.
#include <string_view>

#include "core/result.h"
#include "core/time.h"
#include "core/weather/forecast.h"

namespace headroom {

// Longer text is refused.
inline constexpr std::size_t kLongestTaf = 4096;

// One forecast. `reference` is about when it was issued (to half a month): the day of the month becomes the nearest such day, the
// days of its periods those nearest to that.
// A group that cannot be read is `not_read` in `groups`; the piece that it may be (wind, visibility, weather, sky) is unknown for
// the part it stands in. Where a change cannot be placed (its kind, its time, its end before its begin, outside of the forecast)
// nothing after it could be trusted, so the whole is refused.
// Errors, bad_input: no TAF, no station, no times that exist, cancelled (CNL), not issued (NIL), nothing that can be used, too
// long, more than one.
[[nodiscard]] Result<Forecast> read_taf(std::string_view text, UtcTime reference);

}  // namespace headroom
