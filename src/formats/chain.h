#pragma once
// What the hashes prove. docs/formats/book.md says how anyone can check the same.
#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/book/entry.h"
#include "core/result.h"

namespace headroom {

// The header of an entry whose hash fits its header and whose parts fit the hashes in it; ErrorKind::damaged with the
// reason otherwise.
[[nodiscard]] Result<EntryHeader> check_bytes(const EncodedEntry& entry);

// Mixes an entry into the fingerprint of a set (Store::contents): exclusive or, so order does not matter, and doing it
// twice takes the entry out again.
void mix_into(Hash& contents, const Hash& entry, bool has_facts, bool has_private);

}  // namespace headroom
