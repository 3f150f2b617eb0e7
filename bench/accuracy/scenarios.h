#pragma once
// Invented flights for judging estimators: how an owner flies, in what air, seen by which recorder. Each kind draws from its own
// ranges; a seed gives one flight.
#include <cstdint>
#include <string_view>

#include "core/simulate/flight.h"
#include "core/simulate/recorder.h"

namespace headroom::accuracy {

enum class Habit : std::uint8_t {
  local,          // short legs in all directions, circles both ways, trimmers left alone
  local_trimmed,  // the same, trimmers moved from leg to leg
  long_legs,      // a few long legs, trimmers moved on the way, a circle now and then
  straight,       // out and away in one line: nothing tells the wind across
};
[[nodiscard]] std::string_view name_of(Habit habit);

[[nodiscard]] simulate::FlightScript script_of(Habit habit, std::uint64_t seed);
[[nodiscard]] simulate::RecorderModel recorder_of(int interval_s, std::uint64_t seed);

// The seeds that tuning may look at, and those that only the report uses.
inline constexpr std::uint64_t kTuningSeeds = 1000, kReportSeeds = 8'420'000;

}  // namespace headroom::accuracy
