#include "core/book/state.h"

#include <algorithm>

namespace headroom {

namespace {

template <class Subject>
const Subject* with_id(const std::vector<Subject>& all, const EntryId& id) {
  const auto it = std::find_if(all.begin(), all.end(), [&](const Subject& s) { return s.id == id; });
  return it == all.end() ? nullptr : &*it;
}

}  // namespace

const PartState* State::part(const EntryId& id) const {
  return with_id(parts, id);
}
const MachineState* State::find_machine(const EntryId& id) const {
  return with_id(machines, id);
}
const PilotState* State::find_pilot(const EntryId& id) const {
  return with_id(pilots, id);
}
std::vector<const PartState*> State::fitted_parts(const EntryId& of) const {
  std::vector<const PartState*> out;
  for (const auto& p : parts)
    if (p.is_fitted() && p.fitted.back().machine == of) out.push_back(&p);
  return out;
}
bool State::knows_recording(const Hash& hash) const {
  return std::any_of(recordings.begin(), recordings.end(), [&](const RecordingState& r) { return r.hash == hash; });
}
std::string State::setting(std::string_view name, std::string_view otherwise) const {
  const auto it = settings.find(std::string(name));
  return it == settings.end() ? std::string(otherwise) : it->second.value;
}

}  // namespace headroom
