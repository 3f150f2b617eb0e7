#pragma once
// What no recorder sees, written by hand: one entry, checked for slips before it becomes history.
#include <functional>
#include <optional>
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
  bool registers = true;  // a fresh book first registers an assumed machine and pilot
};

struct EnterAnswer {
  EntryId id;                        // of the entry asked for
  std::uint64_t number = 0;          // its place in this copy of the book (book_reading.h)
  PlainFacts facts;                  // as written
  std::vector<std::string> assumed;  // what a fresh book had to assume, as sentences
};

[[nodiscard]] Result<EnterAnswer> enter(const EnterRequest& request, Ports& ports);

}  // namespace headroom
