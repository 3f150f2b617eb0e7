#pragma once
// Places to launch from, out of the flights in the book.
#include <string>
#include <vector>

#include "app/access.h"
#include "app/field.h"
#include "core/planning/launch_places.h"

namespace headroom {

struct PastLaunches {
  std::vector<LaunchSeen> seen;
  std::vector<LaunchPlace> places;  // of `seen`, the most used first
  // Flights that count and are in no place, by what is missing.
  std::size_t by_hand = 0;         // entered without a recording
  std::size_t began_in_air = 0;    // the recorder was switched on after the launch
  std::size_t without_place = 0;   // the private part was left out of this copy
  std::size_t with_direction = 0;  // of those seen
};

// A flight counts when the folded state counts it: a double is left out. The book keeps no direction of the run; it is told by
// the thinned path: from the lift-off to the first point at least 30 m away, at most 30 s later.
[[nodiscard]] Result<PastLaunches> past_launches(Ports& ports);

// A field at the `number`th place, counted from 1; 0: the only one. A position and height known already stay. bad_input when
// there are several and none is said, or no such number.
[[nodiscard]] Result<FieldChange> change_of_launches(const PastLaunches& past, std::size_t number, const std::string& field,
                                                     const State& state);

}  // namespace headroom
