#pragma once
// Sunrise, sunset and twilight of a place and a day as the owner says them.
#include <string>

#include "app/ports.h"
#include "app/said_air.h"
#include "core/earth/sun.h"

namespace headroom {

struct SaidSun {
  std::string latitude, longitude, date;  // "52.31", "33.9S"; date empty: today
};
struct SunAnswer {
  GeoPosition place;
  std::string date_text;
  int offset_min = 0;  // of the zone on that day
  SunDay day;
};
// Errors name the option.
[[nodiscard]] Result<SunAnswer> answer_sun(const SaidSun& said, Clock& clock, const std::string& zone);
[[nodiscard]] CalcWords sun_words(const SunAnswer& answer, Clock& clock, const std::string& zone);

}  // namespace headroom
