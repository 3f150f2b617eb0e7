#pragma once
// The one way to write: facts become chained entries, in one transaction with the blobs they speak of.
#include <optional>
#include <span>
#include <vector>

#include "app/access.h"
#include "core/book/facts.h"

namespace headroom {

struct Draft {
  std::optional<EntryId> id;  // made when absent; given when other drafts name it
  Facts facts;
  UtcTime at{};        // when it happened
  int offset_min = 0;  // local offset from UTC then, minutes east
};

// A new id, sorting by `now`.
[[nodiscard]] EntryId fresh_id(UtcTime now, Random& random);

// What the draft will say once written, for folding before it is: number, hashes and writer are not known yet.
[[nodiscard]] Entry preview(const Draft& draft, UtcTime now);

// Appends the drafts to the writer's own chain, all or nothing, and gives their ids in order. When the book has moved on
// meanwhile the chain is computed again, five times at most; then ErrorKind::conflict.
[[nodiscard]] Result<std::vector<EntryId>> record(std::span<const Draft> drafts, std::span<const NamedBlob> blobs, Store& store,
                                                  const WriterId& writer, Clock& clock, Random& random);
// The same into the book at hand, which is made if it is not there.
[[nodiscard]] Result<std::vector<EntryId>> record(std::span<const Draft> drafts, std::span<const NamedBlob> blobs, Ports& ports);

// A book is real or invented from its first entry, a setting of this name, and stays so.
inline constexpr const char* kBookIs = "book_is";
enum class BookIs { real, simulated };
[[nodiscard]] const char* book_is_text(BookIs is);
// What the book says it is; nothing if it is empty or does not say.
[[nodiscard]] Result<std::optional<BookIs>> book_is(Store& store);
// ErrorKind::refused, with a sentence, when something of the one sort would go into a book of the other.
[[nodiscard]] Result<void> refuse_mixing(std::optional<BookIs> book, BookIs incoming, std::string_view what);

}  // namespace headroom
