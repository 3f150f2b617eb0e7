#pragma once
// Entries for reading: a list in order of arrival, and one in full.
#include <functional>
#include <string>
#include <vector>

#include "app/ports.h"
#include "core/book/facts.h"

namespace headroom {

struct ListedEntry {
  std::uint64_t place = 0;  // order of arrival, from 1
  Entry entry;
};

// Calls `each` for every entry from the `skip`+1st on until it returns false. One that cannot be read is handed out with
// UnknownFacts and the reason, so that a list shows it in its place.
[[nodiscard]] Result<void> list_entries(Store& store, std::uint64_t skip,
                                        const std::function<bool(const ListedEntry&, const std::string& unreadable)>& each);

struct ShownEntry {
  std::uint64_t place = 0;
  EncodedEntry bytes;  // verbatim
  Entry entry;
  std::string fault;                  // why bytes and hash do not fit, or why it cannot be read; else empty
  std::vector<EntryId> corrected_by;  // `amended` and `voided` entries that name it, in order of arrival
};

// The entry whose id or hash begins with `word` (at least 4 characters). not_found when none does, bad_input when several do.
[[nodiscard]] Result<ShownEntry> show_entry(Store& store, std::string_view word);

}  // namespace headroom
