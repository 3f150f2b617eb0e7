#pragma once
// Invented launches for judging lift-off, landing and the room used: what owners do before they fly, and several shapes of run.
#include <cstdint>
#include <string_view>

#include "core/simulate/flight.h"
#include "core/simulate/recorder.h"

namespace headroom::accuracy {

// A short local flight: standing, walking, kiting and false starts by chance; a run of the given shape; climb, two legs, glide,
// landing. A seed gives one flight.
[[nodiscard]] simulate::FlightScript launch_script(simulate::RunShape run, std::uint64_t seed);
[[nodiscard]] simulate::RecorderModel launch_recorder(int interval_s, bool pressure, std::uint64_t seed);
[[nodiscard]] std::string_view name_of(simulate::RunShape run);

}  // namespace headroom::accuracy
