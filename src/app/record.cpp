#include "app/record.h"

#include <algorithm>
#include <string>

#include "core/typed.h"
#include "formats/entry_json.h"

namespace headroom {

namespace {

constexpr int kTries = 5;

}  // namespace

EntryId fresh_id(UtcTime now, Random& random) {
  std::array<std::uint8_t, 10> bytes{};
  random.fill(bytes);
  auto id = EntryId::make(now, bytes);
  // Ids made within one millisecond sort in the order they were made (RFC 9562, section 6.2, method 2), so that what was
  // written together is read in the order it was meant.
  static thread_local EntryId last{};
  if (id <= last && std::equal(id.bytes.begin(), id.bytes.begin() + 6, last.bytes.begin())) {
    id = last;
    for (std::size_t i = id.bytes.size(); i-- > 9;)
      if (++id.bytes[i] != 0) break;
  }
  last = id;
  return id;
}

Entry preview(const Draft& draft, UtcTime now) {
  Entry entry;
  entry.header.id = draft.id.value_or(EntryId{});
  entry.header.at = draft.at;
  entry.header.offset_min = draft.offset_min;
  entry.header.written = now;
  entry.header.kind = kind_of(draft.facts);
  entry.header.kind_text = kind_name(entry.header.kind);
  entry.header.kind_version = kKindVersion;
  entry.facts = draft.facts;
  return entry;
}

Result<std::vector<EntryId>> record(std::span<const Draft> drafts, std::span<const NamedBlob> blobs, Store& store,
                                    const WriterId& writer, Clock& clock, Random& random) {
  const auto now = clock.now();
  std::vector<EntryId> ids;
  for (const auto& draft : drafts) ids.push_back(draft.id ? *draft.id : fresh_id(now, random));

  for (int tries = 1;; ++tries) {
    const auto heads = store.heads();
    if (!heads) return tl::unexpected(heads.error());
    EntryHeader header;
    header.writer = writer;
    header.written = now;
    const auto mine = std::find_if(heads->begin(), heads->end(), [&](const Head& h) { return h.writer == writer; });
    if (mine != heads->end()) {
      header.number = mine->number;
      header.before = mine->hash;
    }
    std::vector<EncodedEntry> entries;
    for (std::size_t i = 0; i < drafts.size(); ++i) {
      header.id = ids[i];
      header.number += 1;
      header.at = drafts[i].at;
      header.offset_min = drafts[i].offset_min;
      Salts salts;
      random.fill(salts.facts);
      random.fill(salts.private_part);
      auto entry = encode(header, drafts[i].facts, salts);
      if (!entry) return tl::unexpected(entry.error());
      header.before = entry->hash;
      entries.push_back(std::move(*entry));
    }
    const auto done = store.append(entries, blobs, *heads);
    if (done) return ids;
    if (done.error().kind != ErrorKind::conflict || tries == kTries) return tl::unexpected(done.error());
  }
}

Result<std::vector<EntryId>> record(std::span<const Draft> drafts, std::span<const NamedBlob> blobs, Ports& ports) {
  const auto store = ports.book.to_write();
  if (!store) return tl::unexpected(store.error());
  const auto writer = ports.book.writer();
  if (!writer) return tl::unexpected(writer.error());
  return record(drafts, blobs, **store, *writer, ports.clock, ports.random);
}

const char* book_is_text(BookIs is) {
  return is == BookIs::real ? "real" : "simulated";
}

Result<std::optional<BookIs>> book_is(Store& store) {
  std::optional<BookIs> is;
  // The first entry says it; the scan goes on only over a book that lost it.
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    const auto header = decode_header(bytes.header);
    if (!header || header->kind != EntryKind::setting) return true;
    const auto entry = decode(bytes);
    if (!entry) return true;
    const auto* plain = std::get_if<PlainFacts>(&entry->facts);
    const auto* setting = plain == nullptr ? nullptr : std::get_if<Setting>(plain);
    if (setting == nullptr || setting->name != kBookIs) return true;
    if (setting->value == book_is_text(BookIs::real)) is = BookIs::real;
    if (setting->value == book_is_text(BookIs::simulated)) is = BookIs::simulated;
    return !is;
  });
  if (!read) return tl::unexpected(read.error());
  return is;
}

Result<void> refuse_mixing(std::optional<BookIs> book, BookIs incoming, std::string_view what) {
  if (!book || *book == incoming) return {};
  return fail(ErrorKind::refused, "the book is " + std::string(book_is_text(*book)) + " and " + std::string(what) + " is " +
                                      book_is_text(incoming) + ": the two are never mixed. Nothing was written; use another " +
                                      typed("--") + "book");
}

}  // namespace headroom
