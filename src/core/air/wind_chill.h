#pragma once
// How cold moving air feels on bare skin.
//   WCT = 13.12 + 0.6215 t - 11.37 v^0.16 + 0.3965 t v^0.16     t air [C], v wind at 10 m [km/h]
// Source: the joint index of the U.S. National Weather Service and the Meteorological Service of Canada, in use since 2001
// (R. Osczevski, M. Bluestein, Bull. Amer. Meteor. Soc. 86 (2005) 1453-1458). It takes the air at the face for two thirds of the
// wind at 10 m. Range: air -50 to 10 C, wind 4.8 to 177 km/h; below it the air itself is what one feels.
#include "core/result.h"
#include "core/units.h"

namespace headroom {

// `at_10_m`: as a report has it. Errors: out_of_range.
[[nodiscard]] Result<Temperature> wind_chill(Temperature air, Speed at_10_m);
// The same for air that meets the face itself at this speed, as in flight: 1.5 times it stands for the wind at 10 m.
[[nodiscard]] Result<Temperature> wind_chill_in_flight(Temperature air, Speed airspeed);

// From here on bare skin may freeze within 30 minutes (the index's own table of frostbite times; from memory: -28 C).
inline constexpr Temperature kFrostbiteChill = celsius(-28);

}  // namespace headroom
