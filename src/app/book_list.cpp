#include "app/book_list.h"

#include <algorithm>

#include "core/typed.h"
#include "formats/chain.h"
#include "formats/entry_json.h"

namespace headroom {

namespace {

// The entry, or one that says nothing and why.
std::string decode_or_say(const EncodedEntry& bytes, Entry& entry) {
  if (auto decoded = decode(bytes)) {
    entry = std::move(*decoded);
    return {};
  } else {
    entry = {};
    entry.hash = bytes.hash;
    if (auto header = decode_header(bytes.header)) entry.header = std::move(*header);
    return decoded.error().what;
  }
}

std::optional<EntryId> corrects(const Entry& entry) {
  if (const auto* amended = std::get_if<Amended>(&entry.facts)) return amended->entry;
  if (const auto* voided = std::get_if<Voided>(&std::get<PlainFacts>(entry.facts))) return voided->entry;
  return std::nullopt;
}

}  // namespace

Result<void> list_entries(Store& store, std::uint64_t skip,
                          const std::function<bool(const ListedEntry&, const std::string& unreadable)>& each) {
  ListedEntry listed;
  listed.place = skip;
  return store.read(skip, [&](const EncodedEntry& bytes) {
    ++listed.place;
    const auto unreadable = decode_or_say(bytes, listed.entry);
    return each(listed, unreadable);
  });
}

Result<ShownEntry> show_entry(Store& store, std::string_view word) {
  if (word.size() < 4)
    return fail(ErrorKind::bad_input, "give at least the first 4 characters of an entry's id", std::string(word));
  ShownEntry shown;
  int found = 0;
  std::uint64_t place = 0;
  std::vector<std::pair<EntryId, EntryId>> corrections;  // corrected, by
  Entry entry;
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    ++place;
    auto header = decode_header(bytes.header);
    const bool is_correction = header && (header->kind == EntryKind::amended || header->kind == EntryKind::voided);
    const bool fits = (header && header->id.text().starts_with(word)) || bytes.hash.text().starts_with(word);
    if (!fits && !is_correction) return true;
    const auto unreadable = decode_or_say(bytes, entry);
    if (const auto of = unreadable.empty() ? corrects(entry) : std::nullopt) corrections.emplace_back(*of, entry.header.id);
    if (!fits) return true;
    if (++found > 1) return true;
    shown.place = place;
    shown.bytes = bytes;
    const auto checked = check_bytes(bytes);
    shown.fault = !checked ? checked.error().what : unreadable;
    shown.entry = std::move(entry);
    entry = {};
    return true;
  });
  if (!read) return tl::unexpected(read.error());
  if (found == 0)
    return fail(ErrorKind::not_found, "no entry's id or hash begins so" + typed("; `book list` shows them"), std::string(word));
  if (found > 1)
    return fail(ErrorKind::bad_input, std::to_string(found) + " entries begin so; give more of the id", std::string(word));
  for (const auto& [of, by] : corrections)
    if (of == shown.entry.header.id) shown.corrected_by.push_back(by);
  return shown;
}

}  // namespace headroom
