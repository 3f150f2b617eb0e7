#pragma once
// The book as its owner looks at it: the folded state, the owner's units and zone.
#include <string>

#include "app/access.h"
#include "core/book/state.h"
#include "core/unit_choice.h"

namespace headroom {

struct Session {
  State state;
  UnitChoice units;
  std::string zone;  // IANA name; empty: the system's
};

// What holds for one call, over the settings of the book; empty: nothing.
struct SessionChoice {
  std::string zone, units;  // an IANA name; a list as UnitChoice::choose_list takes it
};

// Opens the book for reading, folds it, and applies the settings and the choice.
// Only the recent part of the state is there unless `whole` is asked for (core/book/recent.h).
// Errors: those of the book; bad_input for a zone or unit that is not known.
[[nodiscard]] Result<Session> open_session(Ports& ports, const SessionChoice& choice, bool whole);

}  // namespace headroom
