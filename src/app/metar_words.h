#pragma once
// What a METAR says, group by group, in words.
#include "app/said_air.h"
#include "core/weather/report.h"

namespace headroom {

// A row a group: as it was reported, and what it was read as. Sentences: what could not be read, when something was not.
[[nodiscard]] CalcWords metar_words(const WeatherReport& report);

}  // namespace headroom
