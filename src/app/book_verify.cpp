#include "app/book_verify.h"

#include <map>

#include "app/attached.h"
#include "formats/hash.h"

namespace headroom {

namespace {

constexpr std::uint64_t kStepEntries = 1000;

}  // namespace

Result<VerifyAnswer> verify_book(Store& store, Progress& progress) {
  VerifyAnswer answer;
  const auto count = store.entry_count();
  if (!count) return tl::unexpected(count.error());
  ChainCheck check;
  struct Use {
    std::uint64_t place;
    EntryHeader header;
    bool private_missing;
  };
  std::map<Hash, Use> uses;
  std::uint64_t place = 0;
  bool stopped = false;
  Entry entry;
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    ++place;
    if (place % kStepEntries == 0) {
      progress.step("checking entries", place, *count);
      if ((stopped = progress.stop_requested())) return false;
    }
    if (check.add(bytes, &entry))
      if (const auto blob = attached_blob(entry)) uses.try_emplace(blob->hash, Use{place, entry.header, entry.private_missing});
    return true;
  });
  // What the damage left readable has been checked; the rest is said.
  if (!read) check.add_fault(0, "the file", read.error().what);

  const auto blobs = store.blob_hashes();
  if (!blobs) {
    check.add_fault(0, "the file", blobs.error().what);
  } else {
    for (const auto& hash : *blobs) {
      if (stopped || (stopped = progress.stop_requested())) break;
      progress.step("checking recordings", answer.blobs, blobs->size());
      const auto use = uses.find(hash);
      const std::string name = use == uses.end() ? "recording " + hash.text()
                                                 : "the recording " + hash.text() + " of entry " + use->second.header.id.text();
      const std::uint64_t at = use == uses.end() ? 0 : use->second.place;
      const auto bytes = store.blob(hash);
      if (!bytes)
        check.add_fault(at, name, bytes.error().what);
      else if (!*bytes || sha256(**bytes) != hash)
        check.add_fault(at, name, "its bytes were changed: they do not fit their hash");
      else
        answer.blob_bytes += (*bytes)->size();
      ++answer.blobs;
      if (use == uses.end())
        ++answer.unattached;
      else
        uses.erase(use);
    }
    for (const auto& [hash, use] : uses) {
      if (stopped) break;
      const std::string name = "entry " + use.header.id.text() + " (number " + std::to_string(use.header.number) + " of writer " +
                               use.header.writer.text() + ")";
      if (use.private_missing)
        answer.blobs_left_out.push_back({use.place, name, "recording " + hash.text()});
      else
        check.add_fault(use.place, name, "the recording that it attaches is not in the book: " + hash.text());
    }
  }
  if (stopped) return fail(ErrorKind::refused, "stopped before the whole book was checked");

  const auto own = store.self_check();
  if (!own)
    check.add_fault(0, "the file", own.error().what);
  else
    for (const auto& sentence : *own) check.add_fault(0, "the file", sentence);
  answer.chain = check.finish();
  return answer;
}

}  // namespace headroom
