#pragma once
// The book as the command line shows it: state, the owner's units and zone, and the texts several commands share.
#include "app/entry_words.h"
#include "app/session.h"
#include "cli/command.h"
#include "core/planning/brief.h"

namespace headroom {

inline constexpr const char* kSimulatedBook = "Simulated book: everything in it is invented.";

// Opens the book for reading, folds it, and applies the settings and this call's --units and --zone.
// Only the recent part of the state is there unless `whole` is asked for (core/book/recent.h).
[[nodiscard]] Result<Session> open_session(World& world, bool whole = false);

// One margin as rows: title and state, the interval against the limit, what is left, and why.
[[nodiscard]] std::string margin_text(const Margin& margin, const Session& session, const World& world);
// The same on one line: title and what is left, or the key to enter it by.
[[nodiscard]] std::string quiet_row(const Margin& margin, const Session& session, const World& world);
// What an entry says, in one line: "Plug: tan, dry".
[[nodiscard]] std::string facts_sentence(const PlainFacts& facts, const Session& session);
[[nodiscard]] std::string entered_sentence(const PlainFacts& facts, const Session& session, UtcTime at, std::uint64_t number,
                                           World& world);

}  // namespace headroom
