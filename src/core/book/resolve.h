#pragma once
// The first two steps of the fold: one entry an id, amendments and voids applied, the rest in order of (at, id).
#include <vector>

#include "core/book/state.h"

namespace headroom {

// An entry as it stands after all corrections. Points into the entries it was made from, which must outlive it.
struct Standing {
  UtcTime at{};
  const EntryHeader* header = nullptr;
  const PlainFacts* facts = nullptr;
  const PlainFacts* as_written = nullptr;  // before any amendment
  bool private_missing = false;
  std::uint32_t corrected_by = 0;  // how many corrections hold for it
};
struct Resolved {
  std::vector<Standing> standing;  // by (at, id); without corrections, voided entries and what cannot be read
  std::vector<Correction> corrections;
  std::vector<StateWarning> warnings;
  std::uint64_t entries = 0;  // distinct ones
};

// Linear in the entries, apart from sorting; no recursion, so a long or circular chain of corrections is harmless.
[[nodiscard]] Resolved resolve(const std::vector<Entry>& entries);

}  // namespace headroom
