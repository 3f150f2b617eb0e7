#include "core/book/recent.h"

#include <algorithm>

namespace headroom {

State recent_of(const State& state) {
  State recent = state;
  recent.recordings.clear();
  recent.measures.clear();  // due learns nothing from them, and places in `flights` would no longer hold
  const auto from = state.last_at.value_or(UtcTime{}) - std::chrono::days(kRecentDays);
  std::map<EntryId, EntryId> last_of_pilot;  // flights stand by launch: the last one seen is the latest
  for (const auto& f : state.flights)
    if (f.counts) last_of_pilot[f.pilot] = f.id;
  std::erase_if(recent.flights, [&](const FlightState& f) {
    if (f.launch >= from) return false;
    const auto last = last_of_pilot.find(f.pilot);
    return last == last_of_pilot.end() || last->second != f.id;
  });
  return recent;
}

}  // namespace headroom
