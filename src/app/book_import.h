#pragma once
// A folder written by an export, back into a book: the union by hash of what is there and what comes.
#include "app/ports.h"

namespace headroom {

struct ImportRequest {
  std::string folder;  // every *.jsonl in it, and recordings/<sha256>.<any> beside
};
struct ImportAnswer {
  std::uint64_t files = 0;
  std::uint64_t entries = 0;      // in the folder, each counted once
  std::uint64_t entries_new = 0;  // not in the book before
  std::uint64_t recordings = 0;   // in the folder and attached by an entry of it
  std::uint64_t recordings_new = 0;
  std::uint64_t recordings_missing = 0;  // attached by an entry, neither in the folder nor in the book
  std::uint64_t parts_left_out = 0;
};

// All or nothing: every line, hash, link and recording is checked before the first is written. Errors: bad_input with the
// file and line when the folder is no export or was damaged; refused when it is of the other sort (real, simulated);
// conflict when the book was written meanwhile.
[[nodiscard]] Result<ImportAnswer> import_book(const ImportRequest& request, Store& store, Files& files, Progress& progress);

}  // namespace headroom
