#include "app/enter.h"

#include <fmt/format.h>

#include "app/book_list.h"
#include "app/first_entries.h"
#include "app/load_state.h"
#include "app/record.h"
#include "core/book/fold.h"
#include "core/book/plausible.h"
#include "core/upkeep/service_list.h"

namespace headroom {

namespace {

bool begins_with(const EntryId& id, std::string_view word) {
  return word.size() >= 6 && id.text().starts_with(word);
}

// One of several things that a word may mean; what each is called stands in the refusal.
template <class List, class Fits, class NameOf>
Result<EntryId> only_one(const List& list, std::string_view what, std::string_view word, Fits fits, NameOf name) {
  std::vector<const typename List::value_type*> found;
  std::string names;
  for (const auto& item : list) {
    // An id helps only where names do not tell things apart.
    const auto with_id = name(item);
    const auto id = with_id.rfind(" (");
    names += (names.empty() ? "" : ", ") + (id == std::string::npos ? with_id : with_id.substr(0, id));
    if (fits(item)) found.push_back(&item);
  }
  if (found.size() == 1) return found.front()->id;
  if (found.empty())
    return fail(ErrorKind::not_found, names.empty() ? fmt::format("there is no {} in the book yet", what)
                                                    : fmt::format("'{}' is no {} here; there are: {}", word, what, names));
  names.clear();
  for (const auto* item : found) names += (names.empty() ? "" : ", ") + name(*item);
  return fail(ErrorKind::bad_input, fmt::format("'{}' fits several: {}; say which by the beginning of its id", word, names));
}

std::string called(const EntryId& id, const std::string& name) {
  return (name.empty() ? "" : name + " ") + "(" + id.text() + ")";
}

}  // namespace

Result<EntryId> Subjects::machine(std::string_view word) const {
  if (word.empty()) {
    if (state_.machine) return *state_.machine;
    return fail(ErrorKind::not_found, "there is no machine in the book yet; headroom enter machine NAME");
  }
  return only_one(
      state_.machines, "machine", word, [&](const MachineState& m) { return m.name == word || begins_with(m.id, word); },
      [](const MachineState& m) { return called(m.id, m.name); });
}

Result<EntryId> Subjects::pilot(std::string_view word) const {
  if (word.empty()) {
    if (state_.pilot) return *state_.pilot;
    return fail(ErrorKind::not_found, "there is no pilot in the book yet; headroom enter pilot NAME");
  }
  return only_one(
      state_.pilots, "pilot", word, [&](const PilotState& p) { return p.name == word || begins_with(p.id, word); },
      [](const PilotState& p) { return called(p.id, p.name); });
}

Result<EntryId> Subjects::part(std::string_view word) const {
  const auto name = [](const PartState& p) { return p.role + " " + called(p.id, p.name.empty() ? "" : "\"" + p.name + "\""); };
  // A role means the part fitted now: an old one in the shed is asked for by name.
  std::vector<const PartState*> fitted;
  for (const auto& p : state_.parts)
    if (p.role == word && p.is_fitted()) fitted.push_back(&p);
  if (fitted.size() == 1) return fitted.front()->id;
  return only_one(
      state_.parts, "part", word, [&](const PartState& p) { return p.name == word || p.role == word || begins_with(p.id, word); },
      name);
}

Result<EntryId> Subjects::open_finding(std::string_view word) const {
  std::vector<FindingState> open;
  for (const auto& f : state_.findings)
    if (!f.closed) open.push_back(f);
  return only_one(
      open, "open finding", word,
      [&](const FindingState& f) { return begins_with(f.id, word) || (!word.empty() && f.text.find(word) != std::string::npos); },
      [](const FindingState& f) { return called(f.id, f.text); });
}

Result<std::string> Subjects::service_line(std::string_view word) const {
  std::string names;
  for (const auto& line : service_list(state_)) {
    if (line.line == word) return line.line;
    names += (names.empty() ? "" : ", ") + line.line;
  }
  return fail(ErrorKind::not_found, fmt::format("'{}' is no line of the service list; there are: {}", word, names));
}

namespace {

// What the owner registers replaces what a fresh book assumed: the registration is amended, so that the hours counted on
// the assumed one stay with it.
std::optional<EntryId> assumed_before(const PlainFacts& facts, const State& state) {
  if (std::holds_alternative<MachineRegistered>(facts)) {
    for (const auto& m : state.machines)
      if (m.assumed) return m.id;
  } else if (std::holds_alternative<PilotRegistered>(facts)) {
    for (const auto& p : state.pilots)
      if (p.assumed) return p.id;
  } else if (const auto* part = std::get_if<PartRegistered>(&facts)) {
    for (const auto& p : state.parts)
      if (p.assumed && p.is_fitted() && p.role == part->role) return p.id;
  }
  return std::nullopt;
}

}  // namespace

Result<EnterAnswer> enter(const EnterRequest& request, Ports& ports) {
  auto loaded = load_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  const auto now = ports.clock.now();
  if (request.at > now + std::chrono::hours(24))
    return fail(ErrorKind::out_of_range, "that is more than a day ahead; an entry says what happened", "--at");
  auto first = first_entries(loaded->state, false, request.registers, now, request.offset_min, ports.random);

  // Subjects are looked up in the state as it will be with the first entries.
  State state;
  if (first.drafts.empty()) {
    state = std::move(loaded->state);
  } else {
    Folder folder;
    for (const auto& draft : first.drafts) folder.add(preview(draft, now));
    state = loaded->state.entries == 0 ? folder.finish() : std::move(loaded->state);
  }
  auto facts = request.facts(Subjects(state));
  if (!facts) return tl::unexpected<Error>(facts.error());
  if (auto plausible = check_plausible(*facts); !plausible) return tl::unexpected<Error>(plausible.error());

  EnterAnswer answer;
  answer.facts = *facts;
  answer.assumed = first.assumed;
  Draft draft;
  draft.at = request.at;
  draft.offset_min = request.offset_min;
  if (const auto assumed = assumed_before(*facts, state)) {
    draft.facts = Amended{*assumed, "the owner's own in place of the assumed", std::nullopt, std::nullopt, *facts};
    draft.at = now;
  } else {
    draft.facts = *facts;
  }
  auto drafts = std::move(first.drafts);
  const auto asked = drafts.size();
  drafts.push_back(draft);
  const auto* part = std::get_if<PartRegistered>(&*facts);
  if (part != nullptr && std::holds_alternative<PlainFacts>(drafts[asked].facts) && state.machine) {
    // A part that is bought is bought to be flown; one for the shed is taken off again with `enter removed`.
    const auto id = fresh_id(now, ports.random);
    drafts[asked].id = id;
    Draft fitted = draft;
    fitted.facts = PlainFacts(PartFitted{id, *state.machine});
    drafts.push_back(fitted);
  }
  auto ids = record(drafts, {}, ports);
  if (!ids) return tl::unexpected<Error>(ids.error());
  answer.id = (*ids)[asked];
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  const auto count = (*store)->entry_count();
  if (!count) return tl::unexpected<Error>(count.error());
  // It is the last but what went with it, unless another process wrote meanwhile: then it is looked for from the start.
  for (const auto skip : {*count > ids->size() ? *count - ids->size() : 0, std::uint64_t{0}}) {
    const auto found = list_entries(**store, skip, [&](const ListedEntry& listed, const std::string&) {
      if (listed.entry.header.id == answer.id) answer.number = listed.place;
      return answer.number == 0;
    });
    if (!found) return tl::unexpected<Error>(found.error());
    if (answer.number > 0) break;
  }
  return answer;
}

}  // namespace headroom
