#pragma once
// Everything the book says of one part.
#include "app/book_reading.h"
#include "core/book/state.h"

namespace headroom {

// Does the entry speak of the part: by its id, or, where none is named, by what such an entry is about (running hours and the
// plug: the engine; a service: the role of its line; an alteration: its area)? What is not named counts only while the part
// is fitted.
[[nodiscard]] bool speaks_of_part(const BookEntry& entry, const PartState& part, const State& state);

struct PartFlights {
  int flights = 0;
  Duration air_time;
  std::optional<UtcTime> first, last;
};
// The flights that count, of the machine that carried the part, while it was fitted.
[[nodiscard]] PartFlights flights_with(const PartState& part, const State& state);

}  // namespace headroom
