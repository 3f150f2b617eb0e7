#include "core/air/wind_chill.h"

#include <algorithm>
#include <cmath>

namespace headroom {

Result<Temperature> wind_chill(Temperature air, Speed at_10_m) {
  const double t = in_celsius(air), v = in_kilometres_per_hour(at_10_m);
  if (!(t >= -50 && t <= 10)) return fail(ErrorKind::out_of_range, "wind chill is told for air of -50 to 10 C");
  if (!(v >= 0 && v <= 177)) return fail(ErrorKind::out_of_range, "wind chill is told for winds of 0 to 177 km/h");
  if (v < 4.8) return air;
  const double p = std::pow(v, 0.16);
  return celsius(std::min(t, 13.12 + 0.6215 * t - 11.37 * p + 0.3965 * t * p));
}

Result<Temperature> wind_chill_in_flight(Temperature air, Speed airspeed) {
  return wind_chill(air, airspeed * 1.5);
}

}  // namespace headroom
