#pragma once
// Whether ice may form in a carburettor, by temperature and dew point.
//
// The published charts are drawn for aircraft engines; how far they hold for a small diaphragm carburettor warmed by its engine
// is not known. Bands, the first that applies:
//   any_power      -2 to 21 C and relative humidity of 80 % or more: FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge,
//                  chapter 7: most likely below 70 F and above 80 %
//   part_throttle  -10 to 38 C and 50 % or more (the same chapter: as high as 100 F and as low as 50 %), or -10 to 25 C and 30 %
//                  or more (UK CAA Safety Sense Leaflet 14, Piston Engine Icing, and its chart; from memory)
//   unlikely       otherwise
// Ice comes soonest with the throttle part closed: idle, a long descent (both sources).
#include "core/result.h"
#include "core/units.h"

namespace headroom {

enum class CarburettorIcing : std::uint8_t { unlikely, part_throttle, any_power };
// Errors: out_of_range as humidity_from_dew_point.
[[nodiscard]] Result<CarburettorIcing> carburettor_icing(Temperature air, Temperature dew_point);

}  // namespace headroom
