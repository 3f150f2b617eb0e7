#pragma once
// Where the sun stands, and when it rises and sets.
//
// Notation: T Julian centuries since J2000.0, L0 mean longitude, M mean anomaly, e eccentricity, C equation of centre,
// lambda apparent longitude, eps obliquity, delta declination, E equation of time, phi latitude, H hour angle, h elevation.
//   sin delta = sin eps sin lambda,   sin h = sin phi sin delta + cos phi cos delta cos H
//   E = y sin 2L0 - 2e sin M + 4 e y sin M cos 2L0 - y^2/2 sin 4L0 - 5/4 e^2 sin 2M,   y = tan^2(eps/2)
// Source: J. Meeus, Astronomical Algorithms, 2nd ed., chapters 25 (low accuracy) and 28 (Smart's form of E), as the
// equations of NOAA's solar calculator arrange them. UT is taken for dynamical time (70 s, under 0.001 degrees).
// Range: years 1900 to 2100. Accuracy: direction 0.01 degrees; rise and set within 10 s of an ephemeris up to 60 degrees of
// latitude and 30 s up to 72 for the same horizon. The air is not: refraction at the horizon varies by some 0.1 to 0.3
// degrees with the weather, which is one minute in middle latitudes and several beyond 60.
#include <chrono>
#include <optional>

#include "core/earth/position.h"
#include "core/result.h"
#include "core/time.h"

namespace headroom {

// Centre of the disc, degrees. Azimuth is true, clockwise from north.
struct SunDirection {
  double elevation_deg = 0;            // geometric, without refraction
  double refracted_elevation_deg = 0;  // as seen at 1010 hPa and 10 C
  double azimuth_deg = 0;
  double declination_deg = 0;
  Duration equation_of_time;  // apparent minus mean solar time
};
// Errors: out_of_range beyond the years above or when the position is no position.
[[nodiscard]] Result<SunDirection> sun_direction(GeoPosition position, UtcTime time);

// Elevations of the centre of the disc that count, degrees (USNO definitions): 34' of refraction and 16' of half a disc at
// sunrise and sunset, for an observer at the height of the horizon; 6 and 12 degrees below at the twilights' ends.
inline constexpr double kSunriseElevationDeg = -50.0 / 60;
inline constexpr double kCivilTwilightElevationDeg = -6;
inline constexpr double kNauticalTwilightElevationDeg = -12;

// The times at which the sun passes one elevation on a solar day: from the midnight before to the midnight after its noon.
// One of them alone is missing on the last and first days of polar night and polar day.
struct SunPassage {
  enum class Kind { passes, stays_above, stays_below } kind = Kind::passes;
  std::optional<UtcTime> up, down;
};

struct SunDay {
  UtcTime noon;                   // highest, upper transit
  double noon_elevation_deg = 0;  // geometric
  SunPassage sun;                 // sunrise and sunset; stays_above is polar day, stays_below polar night
  SunPassage civil, nautical;     // twilight: first light `up`, last light `down`
};

// The solar day whose noon falls on `date` by a clock that is `utc_offset` ahead of UTC (the zone's at that noon); without
// it, by the place's own mean solar time. Each time is found at the sun's declination at that very time.
// Errors: as sun_direction; out_of_range for an offset beyond +-15 h.
[[nodiscard]] Result<SunDay> sun_day(GeoPosition position, std::chrono::local_days date,
                                     std::optional<Duration> utc_offset = std::nullopt);

}  // namespace headroom
