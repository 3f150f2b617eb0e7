#include "app/book_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>

#include "app/book_list.h"
#include "core/typed.h"

namespace headroom {

bool BookEntry::voided() const {
  return unreadable.empty() && !is_correction() && facts == nullptr;
}

bool BookEntry::is_correction() const {
  return unreadable.empty() && corrected_by_this(*entry).has_value();
}

std::optional<EntryId> corrected_by_this(const Entry& entry) {
  if (const auto* amended = std::get_if<Amended>(&entry.facts)) return amended->entry;
  if (const auto* voided = std::get_if<Voided>(&std::get<PlainFacts>(entry.facts))) return voided->entry;
  return std::nullopt;
}

const BookEntry* BookReading::find(const EntryId& id) const {
  const auto it = std::find_if(entries.begin(), entries.end(), [&](const BookEntry& e) { return e.entry->header.id == id; });
  return it == entries.end() ? nullptr : &*it;
}

Result<BookReading> read_book(Store& store) {
  BookReading book;
  book.stored = std::make_unique<std::vector<Entry>>();
  std::vector<std::string> unreadable;
  const auto read = list_entries(store, 0, [&](const ListedEntry& listed, const std::string& why) {
    book.stored->push_back(listed.entry);
    unreadable.push_back(why);
    return true;
  });
  if (!read) return tl::unexpected<Error>(read.error());
  book.resolved = std::make_unique<Resolved>(resolve(*book.stored));
  book.warnings = book.resolved->warnings;

  std::map<EntryId, const Standing*> standing;
  for (const auto& s : book.resolved->standing) standing.emplace(s.header->id, &s);
  std::map<EntryId, std::size_t> place;
  for (std::size_t i = 0; i < book.stored->size(); ++i) {
    const auto& entry = (*book.stored)[i];
    BookEntry one;
    one.number = i + 1;
    one.entry = &entry;
    one.unreadable = unreadable[i];
    one.at = entry.header.at;
    const auto it = standing.find(entry.header.id);
    if (one.unreadable.empty() && it != standing.end()) {
      one.at = it->second->at;
      one.facts = it->second->facts;
    }
    // Of two entries under one id the first read stands; there is a warning of it.
    place.emplace(entry.header.id, i);
    book.entries.push_back(std::move(one));
  }
  for (const auto& c : book.resolved->corrections) {
    const auto of = place.find(c.of), by = place.find(c.by);
    if (of == place.end() || by == place.end()) continue;
    book.entries[of->second].corrected.push_back({by->second + 1, c.by, c.written, c.voids, c.holds, c.reason});
  }
  for (auto& e : book.entries)
    std::sort(e.corrected.begin(), e.corrected.end(),
              [](const Correcting& a, const Correcting& b) { return a.number < b.number; });
  return book;
}

Result<const BookEntry*> find_entry(const BookReading& book, std::string_view word) {
  constexpr std::size_t kLongestNumber = 6, kShortestBeginning = 4;
  if (word.starts_with('#')) word.remove_prefix(1);
  if (!word.empty() && word.size() <= kLongestNumber && word[0] != '0' &&
      word.find_first_not_of("0123456789") == std::string_view::npos) {
    std::uint64_t number = 0;
    std::from_chars(word.data(), word.data() + word.size(), number);
    if (number >= 1 && number <= book.entries.size()) return &book.entries[number - 1];
    return fail(ErrorKind::not_found, fmt::format("there is no entry {}; the book holds {}", number, book.entries.size()) +
                                          typed(". headroom book list shows them"));
  }
  if (word.size() < kShortestBeginning)
    return fail(ErrorKind::bad_input,
                fmt::format("'{}' names no entry; give its number", word) + typed(" in headroom book list"));
  const BookEntry* found = nullptr;
  std::size_t fitting = 0;
  for (const auto& e : book.entries)
    if (e.entry->header.id.text().starts_with(word) || e.entry->hash.text().starts_with(word)) {
      found = &e;
      ++fitting;
    }
  if (fitting == 0)
    return fail(ErrorKind::not_found, fmt::format("'{}' names no entry; give its number", word) +
                                          typed(" in headroom book list") + ", or the beginning of its id");
  if (fitting > 1)
    return fail(ErrorKind::bad_input,
                fmt::format("{} entries begin with '{}'; give the number of the one you mean", fitting, word));
  return found;
}

}  // namespace headroom
