#pragma once
// The whole book at hand for reading: each entry with what has become of it. For lists, for one entry in full, and for
// corrections; the planning answers use the folded state (load_state.h).
#include <memory>
#include <string>
#include <vector>

#include "app/ports.h"
#include "core/book/resolve.h"

namespace headroom {

// An amendment or void that names an entry.
struct Correcting {
  std::uint64_t number = 0;  // of the correcting entry
  EntryId by;
  UtcTime written{};
  bool voids = false;
  bool holds = false;  // in force
  std::string reason;
};

struct BookEntry {
  std::uint64_t number = 0;  // order of arrival in this copy of the book, from 1: how an owner names it
  const Entry* entry = nullptr;
  std::string unreadable;             // why it cannot be read; else empty
  UtcTime at{};                       // when it happened, as corrected
  const PlainFacts* facts = nullptr;  // as corrected; null for a correction, a voided entry and one that cannot be read
  std::vector<Correcting> corrected;  // in order of arrival
  [[nodiscard]] bool voided() const;
  [[nodiscard]] bool is_correction() const;
};

struct BookReading {
  std::vector<BookEntry> entries;  // in order of arrival
  std::vector<StateWarning> warnings;
  // What the entries point into.
  std::unique_ptr<std::vector<Entry>> stored;
  std::unique_ptr<Resolved> resolved;
  [[nodiscard]] const BookEntry* find(const EntryId& id) const;
};

[[nodiscard]] Result<BookReading> read_book(Store& store);

// The entry that `word` means: its number in this copy ("17"), or the beginning of its id or hash (at least 4 characters; one
// of digits only is a number up to 6 of them). not_found when none does, bad_input when several do.
[[nodiscard]] Result<const BookEntry*> find_entry(const BookReading& book, std::string_view word);

// What an amendment or void names; nothing for other entries.
[[nodiscard]] std::optional<EntryId> corrected_by_this(const Entry& entry);

}  // namespace headroom
