#include "formats/week_rollover.h"

namespace headroom {

namespace {
std::int64_t day_number(UtcTime t) {
  return std::chrono::floor<std::chrono::days>(t).time_since_epoch().count();
}
}  // namespace

PlausibleDays::PlausibleDays(const ReadOptions& options)
    : earliest(day_number(options.earliest_plausible.value_or(utc(1994, 1, 1)))),
      latest(options.latest_plausible ? day_number(*options.latest_plausible) + 1 : day_number(utc(9999, 12, 31))) {}

std::optional<std::int64_t> PlausibleDays::instead_of(std::int64_t day) const {
  if (holds(day)) return std::nullopt;
  const std::int64_t other = day < earliest ? day + kRolloverDays : day - kRolloverDays;
  return holds(other) ? std::optional(other) : std::nullopt;
}

}  // namespace headroom
