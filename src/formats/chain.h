#pragma once
// What the hashes prove. docs/formats/book.md says how anyone can check the same.
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "core/book/entry.h"
#include "core/book/facts.h"
#include "core/result.h"

namespace headroom {

// The header of an entry whose hash fits its header and whose parts fit the hashes in it; ErrorKind::damaged with the
// reason otherwise.
[[nodiscard]] Result<EntryHeader> check_bytes(const EncodedEntry& entry);

// One thing that the check of a book found wrong. `place` counts entries in the order they were given, from 1; 0 is not one
// entry. Id, writer and number stand as the header has them, and are absent if it cannot be read.
struct ChainFault {
  std::uint64_t place = 0;
  std::string entry;  // "entry 3 of writer 0190...-...", or as much of it as can be said
  std::string what;
};
struct LeftOut {
  std::uint64_t place = 0;
  std::string entry;
  std::string part;  // "facts", "private"
};
struct Fork {
  WriterId writer;
  std::uint64_t number = 0;
  std::vector<EntryId> entries;  // two or more
};
struct WriterChain {
  WriterId writer;
  std::uint64_t entries = 0, highest = 0;
};

struct ChainReport {
  std::uint64_t entries = 0;
  std::vector<WriterChain> writers;
  std::vector<ChainFault> faults;
  std::vector<LeftOut> left_out;  // the gap is proven: the header carries the hash of what is not there
  std::vector<Fork> forks;        // both sides are kept; not a fault of the bytes
  [[nodiscard]] bool sound() const { return faults.empty(); }
};

// Checks a whole book, entry by entry in any order: every hash, every link to the entry before, that each writer's numbers
// run from 1 without a gap, and that what the kind needs can be read. Keeps about 150 bytes an entry.
class ChainCheck {
 public:
  ChainCheck();
  ChainCheck(const ChainCheck&) = delete;
  ChainCheck& operator=(const ChainCheck&) = delete;
  ~ChainCheck();
  // False if this entry has a fault of its own (it stands in the report too). `read`, if given, becomes the decoded entry
  // when the answer is true.
  bool add(const EncodedEntry& entry, Entry* read = nullptr);
  void add_fault(std::uint64_t place, std::string entry, std::string what);
  [[nodiscard]] ChainReport finish();

 private:
  struct Inner;
  std::unique_ptr<Inner> inner_;
};

// Mixes an entry into the fingerprint of a set (Store::contents): exclusive or, so order does not matter, and doing it
// twice takes the entry out again.
void mix_into(Hash& contents, const Hash& entry, bool has_facts, bool has_private);

}  // namespace headroom
