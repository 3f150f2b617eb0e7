#pragma once
// A small state of one machine and pilot for tests of learning. Flights are numbered 1000, 1001, ... on following days.
#include <utility>
#include <vector>

#include "core/book/state.h"

namespace headroom::testing {

inline EntryId learned_id(int k) {
  EntryId id;
  id.bytes[14] = static_cast<std::uint8_t>(k / 256);
  id.bytes[15] = static_cast<std::uint8_t>(k % 256);
  return id;
}
inline UtcTime learned_day(int k) {
  return UtcTime(std::chrono::hours(24 * (18000 + k)));
}
inline const EntryId kMachine = learned_id(1), kPilot = learned_id(2), kOtherMachine = learned_id(3), kOtherPilot = learned_id(4);

struct LearnBook {
  State state;
  int days = 0;

  // `error`: one standard deviation of the measurement. Returns the sample, to change it.
  MeasureSample& fly(MeasureKind kind, double mid, double error = 0.05, EntryId machine = kMachine, EntryId pilot = kPilot) {
    FlightState f;
    f.id = learned_id(1000 + days);
    f.machine = machine;
    f.pilot = pilot;
    f.launch = learned_day(days++);
    f.landing = f.launch + std::chrono::minutes(30);
    MeasureSample s;
    s.flight = static_cast<std::uint32_t>(state.flights.size());
    s.kind = kind;
    s.learnable = true;
    s.low = static_cast<float>(mid - 1.645 * error);
    s.mid = static_cast<float>(mid);
    s.high = static_cast<float>(mid + 1.645 * error);
    state.flights.push_back(f);
    state.measures.push_back(s);
    return state.measures.back();
  }
  // Fitted over stretches of days; -1: still.
  void part(int id, const char* role, const std::vector<std::pair<int, int>>& stretches) {
    PartState p;
    p.id = learned_id(id);
    p.role = role;
    for (const auto& [from, to] : stretches) {
      Fitted f{kMachine, learned_day(from) - std::chrono::hours(1), false, {}};
      if (to >= 0) f.to = learned_day(to) - std::chrono::hours(1);
      p.fitted.push_back(f);
    }
    state.parts.push_back(p);
  }
  void alter(int day, const char* area) {
    state.alterations.push_back({learned_id(500 + day), learned_day(day) - std::chrono::hours(1), area, {}, {}});
  }
};

}  // namespace headroom::testing
