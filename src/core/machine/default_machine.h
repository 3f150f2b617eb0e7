#pragma once
// The assumed machine and pilot of a fresh book: enough to count hours and to list services at once, marked assumed
// everywhere until the owner registers their own.
#include <vector>

#include "core/book/facts.h"

namespace headroom {

// Facts in the order in which they must be written. A subject's id is the id of the entry that registers it, so ids are
// drawn first: `machine`, `pilot`, and one in `parts` for each role of kDefaultRoles.
inline constexpr std::string_view kDefaultRoles[] = {"engine", "drive", "propeller", "frame", "harness", "wing", "reserve"};
inline constexpr std::size_t kDefaultPartCount = std::size(kDefaultRoles);

// A fact and, where it registers a subject, the id its entry must take (all zero: any).
struct DraftFact {
  EntryId id;
  PlainFacts facts;
};
// Machine, pilot, then each part registered and fitted: 2 + 2 x 7 facts. `ids` are 9 fresh entry ids, in the order
// machine, pilot, parts. Parts so registered are taken as fitted since before the book began, their life before it unknown.
[[nodiscard]] std::vector<DraftFact> default_machine(const std::vector<EntryId>& ids);
inline constexpr std::size_t kDefaultIdCount = 2 + kDefaultPartCount;
inline constexpr std::string_view kDefaultMachineSentence =
    "A machine and a pilot were assumed (engine, drive, propeller, frame, harness, wing, reserve); enter your own to replace "
    "them.";

}  // namespace headroom
