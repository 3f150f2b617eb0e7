#pragma once
// The book as a pure function of the set of its entries: the same set gives the same State whatever the order of arrival.
//   1. An entry twice (same id and hash) is one entry.
//   2. Amendments and voids are resolved: of several that name one entry, the latest by (written, id) holds, part by part
//      (time, facts); a void that is latest voids, an amendment later than a void brings the entry back. A correction that
//      is itself voided does nothing; one that is amended says what its amendment says, at its own place in the order.
//      Two by different writers, or on two branches of a fork, are listed as contested.
//   3. What is left is ordered by the amended (at, id) and read once; counters, flights and the tank are summed up.
// Rules for hours and for telling the same flight again: docs/analysis/counters.md.
#include <vector>

#include "core/book/state.h"

namespace headroom {

class Folder {
 public:
  void reserve(std::size_t entries) { entries_.reserve(entries); }
  void add(Entry entry) { entries_.push_back(std::move(entry)); }
  [[nodiscard]] State finish();  // empties the folder

 private:
  std::vector<Entry> entries_;
};

[[nodiscard]] State fold(std::vector<Entry> entries);

}  // namespace headroom
