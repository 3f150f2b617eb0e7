#include "cli/command.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cli/text.h"

namespace headroom {

int exit_code(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
    case ErrorKind::out_of_range:
    case ErrorKind::not_found:
    case ErrorKind::refused:
      return kWrongCall;
    case ErrorKind::conflict:
    case ErrorKind::locked:
    case ErrorKind::damaged:
    case ErrorKind::newer_version:
    case ErrorKind::io:
      return kFailed;
  }
  return kFailed;
}

namespace {

std::string_view error_kind_name(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
      return "bad_input";
    case ErrorKind::out_of_range:
      return "out_of_range";
    case ErrorKind::not_found:
      return "not_found";
    case ErrorKind::refused:
      return "refused";
    case ErrorKind::conflict:
      return "conflict";
    case ErrorKind::locked:
      return "locked";
    case ErrorKind::damaged:
      return "damaged";
    case ErrorKind::newer_version:
      return "newer_version";
    case ErrorKind::io:
      return "io";
  }
  return "failed";
}

bool marks_shown = false;
std::function<void()> wipe_progress = [] {};

}  // namespace

void set_wipe_progress(std::function<void()> wipe) {
  wipe_progress = std::move(wipe);
}

int report(const World& world, const Error& error) {
  wipe_progress();
  const auto text = error.where.empty() ? error.what : error.where + ": " + error.what;
  std::fputs(wrapped(with_marks(harmless("headroom: " + text), false), world.shared.width, 2, 0).c_str(), stderr);
  if (world.shared.json) {
    const nlohmann::ordered_json answer = {
        {"error", {{"kind", error_kind_name(error.kind)}, {"what", error.what}, {"where", error.where}}}};
    print(answer.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  }
  return exit_code(error.kind);
}

void set_marks_shown(bool shown) {
  marks_shown = shown;
}

void print(std::string_view text) {
  wipe_progress();
  const auto clean = with_marks(harmless(text), marks_shown);
  std::fwrite(clean.data(), 1, clean.size(), stdout);
}

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

}  // namespace

Result<UtcTime> parse_when(std::string_view text, Clock& clock, std::string_view zone) {
  const auto now = clock.now();
  if (text.empty() || text == "now") return now;
  if (text.size() > 10) {
    if (const auto instant = parse_rfc3339(text)) return *instant;
  }
  const auto local_now = to_local(now, clock, zone);
  if (!local_now) return local_now;
  const std::string today = rfc3339(*local_now).substr(0, 10);
  std::string written(text);
  bool may_be_yesterday = false;
  if (text.starts_with("yesterday")) {
    written = rfc3339(*local_now - std::chrono::days(1)).substr(0, 10) + std::string(text.substr(9));
  } else if (text.starts_with("today")) {
    written = today + std::string(text.substr(5));
  } else if (text.size() <= 5 && text.find(':') != std::string_view::npos) {
    written = today + " " + (text.size() == 4 ? "0" : "") + std::string(text);
    may_be_yesterday = true;
  }
  if (written.size() == 10) written += " 12:00";  // a day alone: its middle, so that no zone moves the date
  if (written.size() == 16) written += ":00";
  const auto local = parse_rfc3339(written + "Z");
  if (!local || written.size() != 19)
    return fail(
        ErrorKind::bad_input,
        fmt::format("'{}' is no time; write 18:30, yesterday 18:30, 2026-05-02, 2026-05-02 18:30 or 2026-05-02T18:30:00Z", text));
  auto t = from_local(*local, clock, zone);
  if (t && may_be_yesterday && *t > now + std::chrono::minutes(5)) t = *t - std::chrono::days(1);
  return t;
}

std::string local_text(UtcTime t, Clock& clock, std::string_view zone, bool with_time) {
  const auto local = to_local(t, clock, zone);
  if (!local) return rfc3339(t);
  auto text = rfc3339(*local).substr(0, with_time ? 16 : 10);
  if (with_time) text[10] = ' ';
  return text;
}

}  // namespace headroom
