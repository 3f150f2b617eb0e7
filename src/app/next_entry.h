#pragma once
// The one thing whose entering would tell the owner most, by what the brief cannot tell without it.
#include <optional>
#include <string>

#include "core/book/state.h"
#include "core/planning/brief.h"

namespace headroom {

struct NextEntry {
  enum class What {
    first_recording,  // the book is empty
    close_finding,    // the machine is grounded
    hours,
    fuel_left,
    fuel_mixed,
    part_made,  // of the reserve: its life counts from there
    service,    // when it was last done
    use_since,  // what the counter showed then: it was done before this book counts
    drill,
    flights,  // none in the book
    machine,  // still the assumed one
    pilot,
    nothing,  // all that the brief asks for is there
  };
  What what = What::nothing;
  std::string word = {};           // of the finding; the service line's key
  std::string title = {};          // of the service line
  std::optional<UtcTime> at = {};  // of the service, for use_since
  bool of_wing = false;            // what it had flown, not what the engine ran
};

// In this order: nothing at all, what grounds, what can hurt, what most of the rest is counted from, the reserve, then the
// brief's own order.
[[nodiscard]] NextEntry next_entry(const State& state, const Brief& brief);

}  // namespace headroom
