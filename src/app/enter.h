#pragma once
// What no recorder sees, written by hand: one entry, checked for slips before it becomes history.
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/access.h"
#include "core/book/facts.h"
#include "core/book/state.h"

namespace headroom {

// Finds what the owner means by a word: the beginning of an id, a name, or a role ("reserve") when one part of it is
// fitted. not_found names what there is; bad_input when the word fits several.
class Subjects {
 public:
  explicit Subjects(const State& state) : state_(state) {}
  [[nodiscard]] Result<EntryId> machine(std::string_view word) const;  // empty word: the machine in use
  [[nodiscard]] Result<EntryId> pilot(std::string_view word) const;    // empty word: the pilot who flew last
  [[nodiscard]] Result<EntryId> part(std::string_view word) const;
  [[nodiscard]] Result<EntryId> open_finding(std::string_view word) const;  // also a word of its text, if only one has it
  [[nodiscard]] Result<std::string> service_line(std::string_view word) const;
  [[nodiscard]] const State& state() const { return state_; }

 private:
  const State& state_;
};

struct EnterRequest {
  // Makes the facts once the book has been read and a machine and a pilot are there.
  std::function<Result<PlainFacts>(const Subjects&)> facts;
  UtcTime at{};
  int offset_min = 0;
  std::vector<NamedBlob> blobs;  // that the facts speak of, written with them; their bytes must outlive the call
  bool registers = true;         // a fresh book first registers an assumed machine and pilot
  // Made by who asks, so that asking again after a lost answer writes nothing twice; absent: made here.
  std::optional<EntryId> id = {};
  // What was asked, as it came, so that the same is told from something else under the same id: what it makes of a changed book
  // may differ. Its hash is kept in the cache; where that is lost the facts are compared.
  std::string as_said = {};
};

struct EnterAnswer {
  EntryId id;                        // of the entry asked for
  std::uint64_t number = 0;          // its place in this copy of the book (book_reading.h)
  PlainFacts facts;                  // as written; of one that was there, as it stands in the book
  std::vector<std::string> assumed;  // what a fresh book had to assume, as sentences
  bool was_there = false;            // an entry of this id and these words is in the book already: nothing was written for it
};

[[nodiscard]] Result<EnterAnswer> enter(const EnterRequest& request, Ports& ports);
// Several at once, all or none; one may speak of what another before it registers only where a fresh book assumes it anyway. The
// answers are in the order of the requests; `assumed` stands in the first. An error's `where` begins with "entries.N", N from 0.
// Errors beside those of enter(): conflict when an entry of that id is in the book with other words; bad_input for the same id
// twice.
[[nodiscard]] Result<std::vector<EnterAnswer>> enter_all(std::span<const EnterRequest> requests, Ports& ports);

}  // namespace headroom
