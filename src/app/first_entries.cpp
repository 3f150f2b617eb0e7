#include "app/first_entries.h"

#include "core/machine/default_machine.h"

namespace headroom {

FirstEntries first_entries(const State& state, bool simulated, bool with_subjects, UtcTime now, int offset_min, Random& random) {
  FirstEntries first;
  if (state.entries == 0) {
    Draft kind;
    kind.id = fresh_id(now, random);
    kind.at = now;
    kind.offset_min = offset_min;
    kind.facts = PlainFacts(Setting{kBookIs, book_is_text(simulated ? BookIs::simulated : BookIs::real)});
    first.drafts.push_back(std::move(kind));
  }
  if (!with_subjects) return first;
  if (state.machine && state.pilot) {
    first.machine = *state.machine;
    first.pilot = *state.pilot;
    return first;
  }
  std::vector<EntryId> ids(kDefaultIdCount);
  for (auto& id : ids) {
    id = fresh_id(now, random);
  }
  for (auto& fact : default_machine(ids)) {
    Draft draft;
    draft.id = fact.id != EntryId{} ? fact.id : fresh_id(now, random);
    draft.at = now;
    draft.offset_min = offset_min;
    draft.facts = std::move(fact.facts);
    first.drafts.push_back(std::move(draft));
  }
  first.machine = ids[0];
  first.pilot = ids[1];
  first.assumed.emplace_back(kDefaultMachineSentence);
  return first;
}

}  // namespace headroom
