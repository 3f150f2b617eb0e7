#pragma once
// Is a second recording the same flight? Derived here, never stored.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/book/state.h"

namespace headroom {

// What is looked at of one flight, beside its FlightState. `path` is FlightEntry::private_path, empty when it was left out.
struct FlightSeen {
  const FlightState* flight = nullptr;
  std::string_view path;
};

enum class SameFlightBasis : std::uint8_t { none, recording, path, times };

// Is `later`, the one written later, the flight that `first` already counts?
//   recording: the same bytes, and the air times overlap;
//   path: at least half of the later one's air time is shared, at a median separation under 50 m;
//   times: the paths cannot be compared (one is missing, or they share no instant), machine and pilot are the same, and the
//     overlap is 90 % or more of both.
// Half of the later one, not of the shorter: a full recording debriefed after one that broke off early must not be lost behind
// it. Otherwise they are two, even when they overlap: counting hours twice costs a service too early, missing them one too
// late.
[[nodiscard]] SameFlightBasis same_flight(const FlightSeen& first, const FlightSeen& later);

struct FlightPair {
  std::uint32_t first = 0, second = 0;  // indices into the flights given
  SameFlightBasis basis = SameFlightBasis::none;
};
struct SameFlights {
  std::vector<FlightPair> duplicates;   // second is the same flight as first, which counts
  std::vector<FlightPair> overlapping;  // same machine, overlapping, yet not shown to be the same: both count
};
// Flights by launch; only overlapping ones are compared. In order of (written, id), a flight counts unless it is the same as
// one that already counts.
[[nodiscard]] SameFlights find_same_flights(const std::vector<FlightSeen>& by_launch);

}  // namespace headroom
