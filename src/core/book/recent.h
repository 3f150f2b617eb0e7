#pragma once
// The part of the state that says what is due and what a brief needs, so that both start quickly on a long book.
#include "core/book/state.h"

namespace headroom {

// Flights of the last kRecentDays before the latest entry, and each pilot's last; no list of recordings,
// no measures. Everything else is whole. due() gives the same answer from it as from the whole state, and so does make_brief() as
// long as nothing is said of the day, for a `now` that is not more than a month before the book's latest entry.
inline constexpr int kRecentDays = 400;  // a year of use (use_rate) and a month
[[nodiscard]] State recent_of(const State& state);

}  // namespace headroom
