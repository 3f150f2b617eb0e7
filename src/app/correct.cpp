#include "app/correct.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/book_reading.h"
#include "app/record.h"
#include "core/book/fold.h"
#include "core/book/plausible.h"
#include "core/typed.h"
#include "formats/entry_json.h"

namespace headroom {

namespace {

bool says_what_book_it_is(const BookEntry& e) {
  const auto* plain = std::get_if<PlainFacts>(&e.entry->facts);
  const auto* setting = plain == nullptr ? nullptr : std::get_if<Setting>(plain);
  return setting != nullptr && setting->name == kBookIs;
}

// The entry that a correction is about in the end; the entry itself when it is none. A circle of corrections ends somewhere.
const BookEntry* root_of(const BookReading& book, const BookEntry* e) {
  for (std::size_t steps = 0; e != nullptr && e->is_correction() && steps <= book.entries.size(); ++steps)
    e = book.find(*corrected_by_this(*e->entry));
  return e;
}

const Correcting* void_in_force(const BookEntry& e) {
  for (const auto& c : e.corrected)
    if (c.voids && c.holds) return &c;
  return nullptr;
}

bool is_harm(const StateWarning& w) {
  return w.kind == StateWarning::Kind::missing_subject || w.kind == StateWarning::Kind::bad_correction;
}

// The entries that a correction would leave without what they speak of.
std::vector<EntryId> newly_harmed(const State& before, const State& after) {
  std::vector<EntryId> out;
  for (const auto& w : after.warnings) {
    if (!is_harm(w) || std::find(out.begin(), out.end(), w.entry) != out.end()) continue;
    const bool known = std::any_of(before.warnings.begin(), before.warnings.end(),
                                   [&](const StateWarning& b) { return b.kind == w.kind && b.entry == w.entry; });
    if (!known) out.push_back(w.entry);
  }
  return out;
}

// Tries the correction on a copy of the book, then writes it.
Result<CorrectionAnswer> write_correction(Draft draft, const BookReading& book, const BookEntry& of, CorrectionAnswer answer,
                                          Ports& ports) {
  const auto now = ports.clock.now();
  draft.id = fresh_id(now, ports.random);
  draft.at = now;
  auto entries = *book.stored;
  const auto state_before = fold(entries);
  entries.push_back(preview(draft, now));
  const auto state_after = fold(entries);
  const auto harmed = newly_harmed(state_before, state_after);
  if (!harmed.empty()) {
    const auto* first = book.find(harmed.front());
    return fail(ErrorKind::refused,
                fmt::format("{}{} speaks of entry {} and would be left without it; nothing was written",
                            first == nullptr ? std::string("an entry") : fmt::format("entry {}", first->number),
                            harmed.size() > 1 ? " (and others)" : "", of.number));
  }
  const auto resolved = resolve(entries);
  const bool holds = std::any_of(resolved.corrections.begin(), resolved.corrections.end(),
                                 [&](const Correction& c) { return c.by == *draft.id && c.holds; });
  if (!holds)
    return fail(ErrorKind::refused,
                fmt::format("a correction of entry {} carries a later time than this computer's clock, and the "
                            "later one holds; set the clock right. Nothing was written",
                            of.number));
  const BookEntry* root = root_of(book, &of);
  if (root != nullptr) {
    if (root->facts != nullptr) answer.before = *root->facts;
    answer.at_before = root->at;
    answer.at_after = root->entry->header.at;
    for (const auto& s : resolved.standing)
      if (s.header->id == root->entry->header.id) {
        answer.after = *s.facts;
        answer.at_after = s.at;
      }
  }
  const Draft drafts[] = {draft};
  const auto ids = record(drafts, {}, ports);
  if (!ids) return tl::unexpected<Error>(ids.error());
  answer.id = ids->front();
  answer.of = of.entry->header.id;
  answer.of_number = of.number;
  answer.number = book.entries.size() + 1;
  return answer;
}

Result<BookReading> reading(Ports& ports) {
  auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  return read_book(**store);
}

}  // namespace

Result<CorrectionAnswer> amend(const AmendRequest& request, Ports& ports) {
  if (!request.facts && !request.at)
    return fail(ErrorKind::bad_input, "say what the entry should have said, or " + typed("--at with ") + "when it happened");
  const auto book = reading(ports);
  if (!book) return tl::unexpected<Error>(book.error());
  const auto named = find_entry(*book, request.entry);
  if (!named) return tl::unexpected<Error>(named.error());
  // Whoever names an amendment means the entry that it amends.
  const BookEntry* of = std::holds_alternative<Amended>((*named)->entry->facts) ? root_of(*book, *named) : *named;
  if (of == nullptr) return fail(ErrorKind::not_found, "what it amends is not in this copy of the book");
  if (!of->unreadable.empty())
    return fail(ErrorKind::damaged, fmt::format("entry {} cannot be read: {}", of->number, of->unreadable));
  if (of->is_correction())
    return fail(ErrorKind::refused, fmt::format("entry {0} voids another; a void of entry {0} takes that back", of->number) +
                                        typed(fmt::format(" (headroom enter void {})", of->number)));
  if (says_what_book_it_is(*of)) return fail(ErrorKind::refused, "a book is real or simulated from its first entry and stays so");
  if (const auto* gone = void_in_force(*of))
    return fail(ErrorKind::refused, fmt::format("entry {0} is voided by entry {1}; a void of entry {1} brings it back first",
                                                of->number, gone->number) +
                                        typed(fmt::format(" (headroom enter void {})", gone->number)));
  if (of->facts == nullptr || std::holds_alternative<UnknownFacts>(*of->facts))
    return fail(ErrorKind::refused, fmt::format("entry {} is of a kind not known here", of->number));
  if (request.at && *request.at > ports.clock.now() + std::chrono::hours(24))
    return fail(ErrorKind::out_of_range, "that is more than a day ahead; an entry says what happened", "--at");

  Amended amended;
  amended.entry = of->entry->header.id;
  amended.private_reason = request.reason;
  amended.at = request.at;
  PlainFacts facts;
  if (request.facts) {
    const auto state = fold(*book->stored);
    auto made = request.facts(Subjects(state), *of->facts);
    if (!made) return tl::unexpected<Error>(made.error());
    if (made->index() != of->facts->index())
      return fail(ErrorKind::bad_input, fmt::format("entry {} is of another kind, and an amendment keeps the kind", of->number) +
                                            typed(fmt::format("; headroom book show {} says what it is", of->number)) +
                                            ". Void it and enter the other");
    facts = std::move(*made);
  } else if (std::holds_alternative<FlightEntry>(*of->facts)) {
    facts = *of->facts;  // a flight carries its launch: both move together
  }
  if (auto* flight = std::get_if<FlightEntry>(&facts); flight != nullptr && request.at) {
    const auto moved = *request.at - flight->launch;
    flight->launch += moved;
    flight->landing += moved;
  }
  if (!std::holds_alternative<UnknownFacts>(facts)) {
    if (auto plausible = check_plausible(facts); !plausible) return tl::unexpected<Error>(plausible.error());
    amended.kind = kind_of(Facts(facts));
    amended.facts = std::move(facts);
  }
  Draft draft;
  draft.offset_min = request.offset_min;
  draft.facts = std::move(amended);
  return write_correction(std::move(draft), *book, *of, {}, ports);
}

Result<CorrectionAnswer> void_entry(const VoidRequest& request, Ports& ports) {
  if (request.reason.find_first_not_of(" \t") == std::string::npos)
    return fail(ErrorKind::bad_input, "a void wants its reason: nothing leaves the book without one", "--reason");
  const auto book = reading(ports);
  if (!book) return tl::unexpected<Error>(book.error());
  const auto named = find_entry(*book, request.entry);
  if (!named) return tl::unexpected<Error>(named.error());
  const BookEntry& of = **named;
  if (says_what_book_it_is(of)) return fail(ErrorKind::refused, "a book is real or simulated from its first entry and stays so");
  if (const auto* gone = void_in_force(of))
    return fail(ErrorKind::refused, fmt::format("entry {} is voided already, by entry {}", of.number, gone->number));
  CorrectionAnswer answer;
  answer.took_back = of.is_correction();
  Draft draft;
  draft.offset_min = request.offset_min;
  draft.facts = PlainFacts(Voided{of.entry->header.id, request.reason});
  return write_correction(std::move(draft), *book, of, answer, ports);
}

}  // namespace headroom
