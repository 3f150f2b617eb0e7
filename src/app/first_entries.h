#pragma once
// What a fresh book writes before its first real entry: what kind of book it is, and an assumed machine and pilot.
#include <vector>

#include "app/access.h"
#include "app/record.h"
#include "core/book/state.h"

namespace headroom {

struct FirstEntries {
  std::vector<Draft> drafts;         // empty when the book has them already
  std::vector<std::string> assumed;  // sentences for the owner
  EntryId machine, pilot;            // in use now or by these drafts
};

// `with_subjects` off: only what kind of book it is.
[[nodiscard]] FirstEntries first_entries(const State& state, bool simulated, bool with_subjects, UtcTime now, int offset_min,
                                         Random& random);

}  // namespace headroom
