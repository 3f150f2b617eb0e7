#pragma once
// The book as a folder that needs no program of ours to be read: docs/formats/book.md, "The export".
#include "app/ports.h"

namespace headroom {

struct ExportRequest {
  std::string folder;
  // Off: private parts are left out (their hashes stay in the headers, so the gap is proven), and so are recordings and
  // photos, which hold positions and places too.
  bool private_parts = true;
};
struct ExportAnswer {
  std::string entries_file;
  std::uint64_t entries = 0, recordings = 0;
  std::uint64_t recordings_there_already = 0;  // left from an earlier export into the same folder
};

// Writes recordings first and the entries last, so that a folder with entries.jsonl is a whole export. An entry whose bytes
// do not fit its hash is ErrorKind::damaged and no entries.jsonl is written.
[[nodiscard]] Result<ExportAnswer> export_book(const ExportRequest& request, Store& store, Files& files, Progress& progress);

}  // namespace headroom
