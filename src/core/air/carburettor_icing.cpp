#include "core/air/carburettor_icing.h"

#include "core/air/humid_air.h"

namespace headroom {

Result<CarburettorIcing> carburettor_icing(Temperature air, Temperature dew_point) {
  const auto humidity = humidity_from_dew_point(air, dew_point);
  if (!humidity) return tl::unexpected<Error>(humidity.error());
  const double t = in_celsius(air), percent = humidity->percent();
  if (t >= -2 && t <= 21.2 && percent >= 80) return CarburettorIcing::any_power;
  if (t >= -10 && ((t <= 38 && percent >= 50) || (t <= 25 && percent >= 30))) return CarburettorIcing::part_throttle;
  return CarburettorIcing::unlikely;
}

}  // namespace headroom
