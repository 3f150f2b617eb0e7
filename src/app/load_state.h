#pragma once
// The folded state of a book, from the snapshot when it is that of the book's heads, else from every entry.
#include "app/access.h"
#include "core/book/state.h"

namespace headroom {

struct LoadedState {
  State state;
  Heads heads;
  bool from_snapshot = false;
};

// A book that is not there folds to the empty state. A part or entry that cannot be decoded is an error (damaged): the
// state must not be computed from less than the book without saying so.
[[nodiscard]] Result<LoadedState> load_state(Ports& ports);
// Only what due() and make_brief() need (core/book/recent.h): a command that asks for no more starts in a millisecond.
[[nodiscard]] Result<LoadedState> load_recent_state(Ports& ports);

}  // namespace headroom
