#pragma once
// Time as a value. UtcTime is an instant in UTC to the millisecond (leap seconds are not counted, as in POSIX time);
// local time is the different type std::chrono::local_time and is made only at the edge, from a zone or an offset.
// Core never asks what time it is.
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "core/units.h"

namespace headroom {

using UtcTime = std::chrono::sys_time<std::chrono::milliseconds>;

constexpr Duration duration_between(UtcTime from, UtcTime to) {
  return seconds(static_cast<double>((to - from).count()) * 1e-3);
}
// t moved by d, rounded to the nearest millisecond. |d| must be under 292 million years.
constexpr UtcTime shifted(UtcTime t, Duration d) {
  const double ms = in_seconds(d) * 1000.0;
  return t + std::chrono::milliseconds(static_cast<long long>(ms < 0 ? ms - 0.5 : ms + 0.5));
}
constexpr UtcTime utc(int year, unsigned month, unsigned day, int hour = 0, int minute = 0, int second = 0, int ms = 0) {
  using namespace std::chrono;
  return UtcTime(sys_days(year_month_day(std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)))) +
         std::chrono::hours(hour) + std::chrono::minutes(minute) + std::chrono::seconds(second) + milliseconds(ms);
}

// RFC 3339 text in UTC, e.g. "2026-05-02T07:10:00Z"; milliseconds are written only when they are not zero.
[[nodiscard]] std::string rfc3339(UtcTime t);
// Reads RFC 3339 (any offset, fractional seconds cut to milliseconds); also "2026-05-02" as midnight UTC.
// Nothing when the text is not a date of the Gregorian calendar from year 0 to 9999.
[[nodiscard]] std::optional<UtcTime> parse_rfc3339(std::string_view text);

}  // namespace headroom
