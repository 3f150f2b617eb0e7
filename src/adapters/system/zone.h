#pragma once
// A time zone by its IANA name, from the system's own files (TZif, RFC 8536). Read only when a zone other than the system's
// is asked for; why not by a library stands in docs/decisions/0009-zones.md.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace headroom {

class Zone {
 public:
  // Seconds east of UTC at a time in Unix seconds.
  [[nodiscard]] std::int64_t offset_seconds(std::int64_t unix_seconds) const;
  // From the bytes of a TZif file of version 2 or later; bad_input if they are none.
  [[nodiscard]] static Result<Zone> parse(std::string_view bytes);
  // From the zone folder of the system (TZDIR if set, else /usr/share/zoneinfo); not_found for a name that is not there.
  [[nodiscard]] static Result<Zone> load(const std::string& name);

 private:
  // A day of the year at which the offset changes, as a POSIX TZ string has it (RFC 8536, section 3.3.1).
  struct Rule {
    char form = 'M';  // 'M' month.week.day, 'J' day 1-365 without 29 February, 'D' day 0-365
    int month = 0, week = 0, day = 0;
    std::int64_t time = 7200;  // seconds after local midnight
  };
  struct Tail {
    std::int64_t standard = 0, summer = 0;
    bool has_summer = false;
    Rule begins, ends;
  };
  [[nodiscard]] static std::optional<Tail> parse_tail(std::string_view text);
  [[nodiscard]] static std::int64_t rule_seconds(const Rule& rule, int year);  // local, as if at offset 0
  [[nodiscard]] static std::int64_t tail_offset(const Tail& tail, std::int64_t unix_seconds);

  std::vector<std::int64_t> times_;    // ascending
  std::vector<std::int64_t> offsets_;  // one more: before the first time, then after each
  std::optional<Tail> tail_;           // after the last time
};

}  // namespace headroom
