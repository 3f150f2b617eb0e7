#pragma once
// What a reader may be told about the world. Readers never ask what time it is.
#include <optional>

#include "core/time.h"

namespace headroom {

struct ReadOptions {
  // A recording cannot be dated after this (usually: now). More than a day later, the date is taken for a rolled-over GPS
  // week count if 1024 weeks less is plausible. Dates more than 1024 weeks before it are kept with a note.
  std::optional<UtcTime> latest_plausible;
  // A recording cannot be dated before this. Absent: 1994, the year of the first edition of the IGC standard. An earlier
  // date moves 1024 weeks forward if that is plausible, with a warning.
  std::optional<UtcTime> earliest_plausible;
};

}  // namespace headroom
