#pragma once
// The past put right without rewriting it: an amendment says what an entry should have said, a void that it should not be
// there. Both are entries themselves, name the one they correct, and can be voided in turn.
#include <functional>
#include <optional>
#include <string>

#include "app/enter.h"

namespace headroom {

struct AmendRequest {
  std::string entry;  // as find_entry (book_reading.h) takes it
  // What it should say, made from what it says now; empty when only the time was wrong. Of another kind: refused.
  std::function<Result<PlainFacts>(const Subjects&, const PlainFacts& now)> facts;
  std::optional<UtcTime> at;
  std::string reason;
  int offset_min = 0;
};

struct VoidRequest {
  std::string entry;
  std::string reason;  // may not be empty
  int offset_min = 0;
};

struct CorrectionAnswer {
  EntryId id;  // of the correcting entry
  EntryId of;
  std::uint64_t number = 0, of_number = 0;
  // What holds for the corrected entry before and after; absent: it is voided. Of a void of an amendment or of a void they
  // speak of the entry at the root of it.
  std::optional<PlainFacts> before, after;
  UtcTime at_before{}, at_after{};
  bool took_back = false;  // a correction was voided: the entry stands as it did before that one
};

// Errors: not_found; refused when the correction would leave something in the book without its subject (the sentence says
// what), would change the kind, or would not hold; out_of_range for a time in the future; nothing is written then.
[[nodiscard]] Result<CorrectionAnswer> amend(const AmendRequest& request, Ports& ports);
[[nodiscard]] Result<CorrectionAnswer> void_entry(const VoidRequest& request, Ports& ports);

}  // namespace headroom
