#pragma once
// Receivers count GPS weeks in ten bits: an old one shows a date 1024 weeks (about 19.6 years) off.
#include <cstdint>
#include <optional>

#include "formats/read_options.h"

namespace headroom {

// Days are counted from 1970-01-01 UTC.
inline constexpr std::int64_t kRolloverDays = 1024 * 7;

struct PlausibleDays {
  std::int64_t earliest;  // 1994-01-01 when the options name none: the first edition of the IGC standard
  std::int64_t latest;    // a day after the options' latest; far away when they name none

  explicit PlausibleDays(const ReadOptions& options);
  [[nodiscard]] bool holds(std::int64_t day) const { return day >= earliest && day <= latest; }
  // The day 1024 weeks away that is plausible where `day` is not; nothing otherwise.
  [[nodiscard]] std::optional<std::int64_t> instead_of(std::int64_t day) const;
};

}  // namespace headroom
