#pragma once
// Invented flights for judging the engine estimator: what the throttle does, in what vertical air.
#include <cstdint>
#include <string_view>

#include "core/simulate/flight.h"

namespace headroom::accuracy {

enum class Programme : std::uint8_t {
  local,     // climb, level legs, now and then the throttle closed for a glide and opened again
  cuts,      // many short cuts and restarts, some with the engine stopped
  long_off,  // climb high, stop the engine, glide long, start again
  steps,     // down in steps under part power, up again in part-power climbs
  straight,  // one climb, level far, home: hardly any glide but the last
};
inline constexpr Programme kProgrammes[] = {Programme::local, Programme::cuts, Programme::long_off, Programme::steps,
                                            Programme::straight};
[[nodiscard]] std::string_view name_of(Programme programme);

// `vertical_sd_m_s`: of air moving up and down over hundreds of metres.
[[nodiscard]] simulate::FlightScript script_of(Programme programme, double vertical_sd_m_s, std::uint64_t seed);

}  // namespace headroom::accuracy
