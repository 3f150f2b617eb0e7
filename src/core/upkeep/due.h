#pragma once
// What is due, by when, and how likely. A line is due at the earliest of its limits. A line whose last service is not
// known is unknown and says what to enter; it is never ample.
#include <optional>
#include <vector>

#include "core/book/state.h"
#include "core/margin.h"
#include "core/upkeep/service_list.h"

namespace headroom {

// How much the machine is used, per day of the calendar.
struct UseRate {
  Estimate<Duration> running_per_day, air_per_day, ground_handling_per_day;
  Estimate<Count> launches_per_day;
  int flights = 0;  // how many it rests on; 0: assumed
};
// From the flights of the last 365 days; assumed (core/learn/priors.h) with fewer than 5 flights or less than 30 days.
[[nodiscard]] UseRate use_rate(const State& state, UtcTime now);

// What a planned flight adds to the counters.
struct PlannedUse {
  Estimate<Duration> running;
  Duration air, calendar;  // calendar: from now to its landing
  int launches = 1;
};

// One limit of a line.
struct DueCounter {
  enum class Counts : std::uint8_t { running, air, launches, calendar };
  Counts counts = Counts::running;
  Amount have;  // the limit
  Amount need;  // used since the last service
  Amount left;
  Amount date;  // Dimension::instant, when it is reached at the use rate
};

struct DueLine {
  ServiceLine line;
  EntryId part;  // all zero: no such part is fitted
  std::string part_name;
  std::optional<UtcTime> last_done;  // or the part's making, for a line counted from there
  std::vector<DueCounter> counters;  // the one that is reached first comes first
  Amount date;                       // earliest of them; unknown when the last service is not known
  MarginState state = MarginState::unknown;
  std::optional<double> chance_now;    // that it is due already
  std::optional<double> chance_by;     // that it falls due by `by`
  std::optional<double> chance_after;  // that it is due before the planned flight ends
  Amount left_after;                   // of the counter reached first, when a flight is planned
  UtcTime by{};
  bool assumed = false;
  std::vector<Sentence> why, measure;
};

// Every line of the service list for the machine flown last: short first, then unknown, then by date. `by` is the date for
// `chance_by` (30 days ahead if not given); with `planned` the state is that at the end of the planned flight.
[[nodiscard]] std::vector<DueLine> due(const State& state, UtcTime now, const UseRate& rate, std::optional<UtcTime> by = {},
                                       const PlannedUse* planned = nullptr);

}  // namespace headroom
