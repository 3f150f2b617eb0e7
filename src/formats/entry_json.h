#pragma once
// Entries as bytes and back. The form, every kind's members and an example of each: docs/formats/book.md.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/book/entry.h"
#include "core/book/facts.h"
#include "core/result.h"

namespace headroom {

// 16 random bytes at the head of each part, so that a part that was left out cannot be guessed from its hash.
using Salt = std::array<std::uint8_t, 16>;
struct Salts {
  Salt facts{}, private_part{};
};

// The kind an entry with these facts has; `unknown` for UnknownFacts.
[[nodiscard]] EntryKind kind_of(const PlainFacts& facts);
[[nodiscard]] EntryKind kind_of(const Facts& facts);
// The version of a kind's members that this program writes; a higher one is kept, not folded.
inline constexpr int kKindVersion = 1;

// The bytes of an entry. From `draft` id, writer, number, at, offset_min, written and before are taken; kind, version and
// the hashes are set here. Text that is not UTF-8 is written with U+FFFD in place of the bad bytes. Errors: out_of_range
// for a number that is not finite or a time outside years 0 to 9999; bad_input for UnknownFacts.
[[nodiscard]] Result<EncodedEntry> encode(const EntryHeader& draft, const Facts& facts, const Salts& salts);

// The meaning of the bytes; hashes are not checked here (formats/chain.h does). Members of no known name and kinds of no
// known name or a newer version are accepted: the latter give UnknownFacts with header.kind as it stands. A member of a
// known name and the wrong type, or a needed one that is missing, is ErrorKind::damaged. A part that was left out sets its
// flag; without facts the result is UnknownFacts. Never throws on any bytes.
[[nodiscard]] Result<Entry> decode(const EncodedEntry& bytes);
[[nodiscard]] Result<EntryHeader> decode_header(std::string_view header);
// The same into an entry whose memory is reused.
[[nodiscard]] Result<void> decode_header(std::string_view header, EntryHeader& into);

}  // namespace headroom
