#pragma once
// The form of an entry: what is signed into the chain and what it says. The bytes are docs/formats/book.md; here are the
// values. Core holds them only; formats/entry_json turns them to bytes and back, hashing lives in formats.
#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/result.h"
#include "core/time.h"

namespace headroom {

// 16 bytes, UUID version 7 (RFC 9562, section 5.7): sorts by the time it was made.
struct EntryId {
  std::array<std::uint8_t, 16> bytes{};
  auto operator<=>(const EntryId&) const = default;
  [[nodiscard]] std::string text() const;  // 8-4-4-4-12 lower-case hex
  [[nodiscard]] static std::optional<EntryId> parse(std::string_view text);
  // From Unix milliseconds and 10 random bytes; version and variant bits are set here.
  [[nodiscard]] static EntryId make(UtcTime now, const std::array<std::uint8_t, 10>& random);
};
using WriterId = EntryId;  // an installation, made the same way

// SHA-256.
struct Hash {
  std::array<std::uint8_t, 32> bytes{};
  auto operator<=>(const Hash&) const = default;
  [[nodiscard]] std::string text() const;  // 64 lower-case hex digits
  [[nodiscard]] static std::optional<Hash> parse(std::string_view text);
};

enum class EntryKind : std::uint8_t {
  machine_registered,
  part_registered,
  pilot_registered,
  part_fitted,
  part_removed,
  service_line_set,
  service_done,
  counter_read,
  reading,
  plug_read,
  recording_attached,
  flight,
  remeasured,
  engine_run,
  ground_handling,
  fuel_mixed,
  fuel_filled,
  fuel_left,
  finding,
  finding_closed,
  alteration,
  money_spent,
  drill_practised,
  run_measured,
  field_described,
  check_done,
  setting,
  note,
  photo_attached,
  amended,
  voided,
  unknown,  // written by a newer program: kept, chained, not folded
};
[[nodiscard]] std::string_view kind_name(EntryKind kind);       // "part_fitted"
[[nodiscard]] EntryKind kind_from_name(std::string_view name);  // unknown if not ours

struct EntryHeader {
  EntryId id;
  WriterId writer;
  std::uint64_t number = 0;  // 1, 2, 3, ... in the writer's chain
  UtcTime at{};              // when it happened
  int offset_min = 0;        // local offset from UTC then, minutes east
  UtcTime written{};         // when it was written down
  EntryKind kind = EntryKind::unknown;
  std::string kind_text;  // as written; equals kind_name(kind) unless unknown
  int kind_version = 1;
  Hash before;                    // hash of the writer's entry number-1; all zero for number 1
  Hash facts_hash, private_hash;  // SHA-256 of each part's bytes
};

// The bytes of one entry, verbatim. A part that was left out (shared without it) is an empty optional: its hash in the
// header proves that it existed. hash = SHA-256(header bytes) covers both part hashes.
struct EncodedEntry {
  std::string header;
  std::optional<std::string> facts;
  std::optional<std::string> private_part;
  Hash hash;
};

}  // namespace headroom
