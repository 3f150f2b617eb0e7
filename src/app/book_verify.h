#pragma once
// Does every byte of the book still stand as it was written? The chain, the parts, the recordings and photos, the file.
#include "app/ports.h"
#include "formats/chain.h"

namespace headroom {

struct VerifyAnswer {
  ChainReport chain;                        // its faults include those of blobs and of the file
  std::uint64_t blobs = 0, blob_bytes = 0;  // recordings and photos that are there
  std::vector<LeftOut> blobs_left_out;      // attached by an entry whose private part was left out as well
  std::uint64_t unattached = 0;             // blobs that no readable entry names
  [[nodiscard]] bool sound() const { return chain.sound(); }
};

// An answer with faults is a success of this call; an error is a book that could not be opened, or a stop asked for.
[[nodiscard]] Result<VerifyAnswer> verify_book(Store& store, Progress& progress);

}  // namespace headroom
