#pragma once
// Entries of one writer, chained by hand: what tests of the store need and app/record does for the program.
#include <vector>

#include "fake_random.h"
#include "formats/entry_json.h"

namespace headroom {

class ChainBuilder {
 public:
  explicit ChainBuilder(std::uint64_t seed = 1) : random_(seed) { writer_ = id(utc(2026, 1, 1)); }
  EncodedEntry add(const Facts& facts, UtcTime at = utc(2026, 5, 2, 7, 10)) {
    EntryHeader header;
    header.id = id(at);
    header.writer = writer_;
    header.number = ++number_;
    header.at = at;
    header.offset_min = 120;
    header.written = at;
    header.before = before_;
    Salts salts;
    random_.fill(salts.facts);
    random_.fill(salts.private_part);
    EncodedEntry entry = encode(header, facts, salts).value();
    before_ = entry.hash;
    return entry;
  }
  EncodedEntry note(const std::string& text) { return add(PlainFacts(Note{text})); }
  // Forgets the last `n` entries, so that the next one forks.
  void go_back_to(std::uint64_t number, const Hash& before) {
    number_ = number;
    before_ = before;
  }
  [[nodiscard]] WriterId writer() const { return writer_; }
  [[nodiscard]] std::uint64_t number() const { return number_; }
  [[nodiscard]] Head head() const { return {writer_, number_, before_}; }

 private:
  EntryId id(UtcTime at) {
    std::array<std::uint8_t, 10> bytes{};
    random_.fill(bytes);
    return EntryId::make(at, bytes);
  }
  FakeRandom random_;
  WriterId writer_;
  std::uint64_t number_ = 0;
  Hash before_;
};

}  // namespace headroom
