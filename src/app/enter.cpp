#include "app/enter.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "app/book_list.h"
#include "app/first_entries.h"
#include "app/load_state.h"
#include "app/record.h"
#include "core/book/fold.h"
#include "core/book/plausible.h"
#include "core/typed.h"
#include "core/upkeep/service_list.h"
#include "formats/entry_json.h"
#include "formats/hash.h"

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
    return fail(ErrorKind::not_found, "there is no machine in the book yet" + typed("; headroom enter machine NAME"));
  }
  return only_one(
      state_.machines, "machine", word, [&](const MachineState& m) { return m.name == word || begins_with(m.id, word); },
      [](const MachineState& m) { return called(m.id, m.name); });
}

Result<EntryId> Subjects::pilot(std::string_view word) const {
  if (word.empty()) {
    if (state_.pilot) return *state_.pilot;
    return fail(ErrorKind::not_found, "there is no pilot in the book yet" + typed("; headroom enter pilot NAME"));
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

// The words of an entry without who wrote it and when: equal for equal facts.
Result<std::string> words_of(const Facts& facts) {
  const auto bytes = encode(EntryHeader{}, facts, Salts{});
  if (!bytes) return tl::unexpected<Error>(bytes.error());
  return bytes->facts.value_or("") + bytes->private_part.value_or("");
}

struct AlreadyThere {
  std::uint64_t number = 0;
  PlainFacts facts;
};
std::string said_key(const EntryId& id) {
  return "entered:" + id.text();
}
// Those of the requests that are in the book already, by id.
Result<std::map<EntryId, AlreadyThere>> already_there(std::span<const EnterRequest> requests, Store& store) {
  std::map<EntryId, AlreadyThere> out;
  if (std::none_of(requests.begin(), requests.end(), [](const EnterRequest& r) { return r.id.has_value(); })) return out;
  const auto read = list_entries(store, 0, [&](const ListedEntry& listed, const std::string&) {
    for (const auto& r : requests)
      if (r.id && *r.id == listed.entry.header.id) {
        const auto* plain = std::get_if<PlainFacts>(&listed.entry.facts);
        // What registered the owner's own in place of the assumed stands as an amendment.
        out[*r.id] = {listed.place, plain != nullptr ? *plain : std::get<Amended>(listed.entry.facts).facts};
      }
    return true;
  });
  if (!read) return tl::unexpected<Error>(read.error());
  return out;
}

// The places of entries in this copy of the book. They are among the last, unless another process wrote meanwhile: then they are
// looked for from the start.
Result<void> number_answers(std::vector<EnterAnswer>& answers, std::size_t written, Store& store) {
  const auto count = store.entry_count();
  if (!count) return tl::unexpected<Error>(count.error());
  for (const auto skip : {*count > written ? *count - written : 0, std::uint64_t{0}}) {
    std::size_t missing = 0;
    const auto found = list_entries(store, skip, [&](const ListedEntry& listed, const std::string&) {
      for (auto& a : answers)
        if (a.id == listed.entry.header.id) a.number = listed.place;
      return true;
    });
    if (!found) return tl::unexpected<Error>(found.error());
    for (const auto& a : answers) missing += a.number == 0 ? 1 : 0;
    if (missing == 0) break;
  }
  return {};
}

tl::unexpected<Error> of_entry(std::size_t i, Error error) {
  error.where = fmt::format("entries.{}{}{}", i, error.where.empty() ? "" : ".", error.where);
  return tl::unexpected<Error>(std::move(error));
}

}  // namespace

Result<EnterAnswer> enter(const EnterRequest& request, Ports& ports) {
  auto answers = enter_all(std::span(&request, 1), ports);
  if (!answers) {
    auto error = answers.error();
    constexpr std::string_view kOnly = "entries.0";
    if (error.where.starts_with(kOnly)) error.where.erase(0, kOnly.size() + (error.where.size() > kOnly.size() ? 1 : 0));
    return tl::unexpected<Error>(std::move(error));
  }
  return std::move(answers->front());
}

Result<std::vector<EnterAnswer>> enter_all(std::span<const EnterRequest> requests, Ports& ports) {
  auto loaded = load_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  const auto now = ports.clock.now();
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  const auto there = already_there(requests, **store);
  if (!there) return tl::unexpected<Error>(there.error());
  const bool registers = std::any_of(requests.begin(), requests.end(), [](const EnterRequest& r) { return r.registers; });
  const bool all_there = there->size() == requests.size();
  auto first = all_there || requests.empty()
                   ? FirstEntries{}
                   : first_entries(loaded->state, false, registers, now, requests.front().offset_min, ports.random);

  // Subjects are looked up in the state as it will be with the first entries.
  State state;
  if (first.drafts.empty()) {
    state = std::move(loaded->state);
  } else {
    Folder folder;
    for (const auto& draft : first.drafts) folder.add(preview(draft, now));
    state = loaded->state.entries == 0 ? folder.finish() : std::move(loaded->state);
  }

  std::vector<EnterAnswer> answers;
  auto drafts = std::move(first.drafts);
  std::vector<NamedBlob> blobs;
  std::vector<std::size_t> place(requests.size());  // in drafts, of those that are written
  std::set<EntryId> ids_seen, assumed_taken;
  for (std::size_t i = 0; i < requests.size(); ++i) {
    const auto& request = requests[i];
    if (request.at > now + std::chrono::hours(24))
      return of_entry(i, {ErrorKind::out_of_range, "that is more than a day ahead; an entry says what happened", "--at"});
    if (request.id && !ids_seen.insert(*request.id).second)
      return of_entry(i, {ErrorKind::bad_input, "two entries of one id", "id"});
    auto facts = request.facts(Subjects(state));
    EnterAnswer answer;
    if (facts) answer.facts = *facts;
    if (const auto found = request.id ? there->find(*request.id) : there->end(); found != there->end()) {
      bool same = true;
      if (const auto said = request.as_said.empty() ? std::nullopt : ports.cache.get(said_key(*request.id)); said) {
        same = *said == sha256(request.as_said).text();
      } else if (facts) {
        // What cannot be made any more, the closing of a finding that it closed, cannot be compared either.
        const auto words = words_of(*facts), stand = words_of(found->second.facts);
        if (!words) return of_entry(i, words.error());
        same = stand && *words == *stand;
      }
      if (!same)
        return of_entry(i, {ErrorKind::conflict, "this entry is in the book already, with other words: amend it there", ""});
      answer.id = *request.id;
      answer.number = found->second.number;
      answer.facts = found->second.facts;
      answer.was_there = true;
      answers.push_back(std::move(answer));
      continue;
    }
    if (!facts) return of_entry(i, facts.error());
    if (auto plausible = check_plausible(*facts); !plausible) return of_entry(i, plausible.error());
    Draft draft;
    draft.id = request.id;
    draft.at = request.at;
    draft.offset_min = request.offset_min;
    const auto assumed = assumed_before(*facts, state);
    if (assumed && assumed_taken.insert(*assumed).second) {
      draft.facts = Amended{*assumed, "the owner's own in place of the assumed", std::nullopt, std::nullopt, *facts};
      draft.at = now;
    } else {
      draft.facts = *facts;
    }
    place[i] = drafts.size();
    drafts.push_back(draft);
    const auto* part = std::get_if<PartRegistered>(&*facts);
    if (part != nullptr && std::holds_alternative<PlainFacts>(drafts.back().facts) && state.machine) {
      // A part that is bought is bought to be flown; one for the shed is taken off again with `enter removed`.
      const auto id = request.id ? *request.id : fresh_id(now, ports.random);
      drafts.back().id = id;
      Draft fitted = draft;
      fitted.id.reset();
      fitted.facts = PlainFacts(PartFitted{id, *state.machine});
      drafts.push_back(fitted);
    }
    blobs.insert(blobs.end(), request.blobs.begin(), request.blobs.end());
    answers.push_back(std::move(answer));
  }
  if (!answers.empty()) answers.front().assumed = first.assumed;
  if (all_there) return answers;
  auto ids = record(drafts, blobs, ports);
  if (!ids) return tl::unexpected<Error>(ids.error());
  for (std::size_t i = 0; i < answers.size(); ++i) {
    if (answers[i].was_there) continue;
    answers[i].id = (*ids)[place[i]];
    if (requests[i].id && !requests[i].as_said.empty())
      ports.cache.put(said_key(answers[i].id), sha256(requests[i].as_said).text());
  }
  const auto written = ports.book.to_read();
  if (!written) return tl::unexpected<Error>(written.error());
  if (auto numbered = number_answers(answers, ids->size(), **written); !numbered) return tl::unexpected<Error>(numbered.error());
  return answers;
}

}  // namespace headroom
