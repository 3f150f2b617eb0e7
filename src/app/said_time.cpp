#include "app/said_time.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

namespace headroom {

namespace {

// The instant at which a clock in the zone shows `local` (given as if it were UTC). At a change of the clocks the earlier
// of two readings holds, and a reading that is skipped means the time an hour on.
Result<UtcTime> from_local(UtcTime local, Clock& clock, std::string_view zone) {
  UtcTime t = local;
  for (int i = 0; i < 2; ++i) {
    const auto offset = clock.offset_minutes(t, zone);
    if (!offset) return tl::unexpected<Error>(offset.error());
    t = local - std::chrono::minutes(*offset);
  }
  return t;
}

Result<UtcTime> to_local(UtcTime t, Clock& clock, std::string_view zone) {
  const auto offset = clock.offset_minutes(t, zone);
  if (!offset) return tl::unexpected<Error>(offset.error());
  return t + std::chrono::minutes(*offset);
}

enum class Tense : std::uint8_t { past, to_come };

Result<UtcTime> parse_time(std::string_view text, Clock& clock, std::string_view zone, Tense tense) {
  const auto now = clock.now();
  if (text.empty() || text == "now") return now;
  if (text.size() > 10) {
    if (const auto instant = parse_rfc3339(text)) return *instant;
  }
  const auto local_now = to_local(now, clock, zone);
  if (!local_now) return local_now;
  const std::string today = rfc3339(*local_now).substr(0, 10);
  std::string written(text);
  bool of_the_clock = false;  // no day was said
  if (text.starts_with("yesterday")) {
    written = rfc3339(*local_now - std::chrono::days(1)).substr(0, 10) + std::string(text.substr(9));
  } else if (tense == Tense::to_come && text.starts_with("tomorrow")) {
    written = rfc3339(*local_now + std::chrono::days(1)).substr(0, 10) + std::string(text.substr(8));
  } else if (text.starts_with("today")) {
    written = today + std::string(text.substr(5));
  } else if (text.size() <= 5 && text.find(':') != std::string_view::npos) {
    written = today + " " + (text.size() == 4 ? "0" : "") + std::string(text);
    of_the_clock = true;
  }
  if (written.size() == 10) written += " 12:00";  // a day alone: its middle, so that no zone moves the date
  if (written.size() == 16) written += ":00";
  const auto local = parse_rfc3339(written + "Z");
  if (!local || written.size() != 19)
    return fail(ErrorKind::bad_input,
                fmt::format("'{}' is no time; write 18:30, {} 18:30, 2026-05-02, 2026-05-02 18:30 or 2026-05-02T18:30:00Z", text,
                            tense == Tense::past ? "yesterday" : "tomorrow"));
  auto t = from_local(*local, clock, zone);
  if (t && of_the_clock) {
    if (tense == Tense::past && *t > now + std::chrono::minutes(5)) t = *t - std::chrono::days(1);
    if (tense == Tense::to_come && *t < now - std::chrono::minutes(5)) t = *t + std::chrono::days(1);
  }
  return t;
}

}  // namespace

Result<UtcTime> parse_when(std::string_view text, Clock& clock, std::string_view zone) {
  return parse_time(text, clock, zone, Tense::past);
}

Result<UtcTime> parse_when_to_come(std::string_view text, Clock& clock, std::string_view zone) {
  auto t = parse_time(text, clock, zone, Tense::to_come);
  if (!t) return t;
  const auto now = clock.now();
  if (*t < now - std::chrono::minutes(5))
    return fail(ErrorKind::out_of_range, fmt::format("'{}' is past; what is planned is to come", text));
  return std::max(*t, now);
}

std::string local_text(UtcTime t, Clock& clock, std::string_view zone, bool with_time) {
  const auto local = to_local(t, clock, zone);
  if (!local) return rfc3339(t);
  auto text = rfc3339(*local).substr(0, with_time ? 16 : 10);
  if (with_time) text[10] = ' ';
  return text;
}

}  // namespace headroom
