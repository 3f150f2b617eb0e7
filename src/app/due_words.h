#pragma once
// A line of the service list in words.
#include <string>

#include "app/ports.h"
#include "core/unit_choice.h"
#include "core/upkeep/due.h"

namespace headroom {

// "12.5 h running left of 25.0 h; 4 months left of 12 months." Empty when nothing is known of it.
[[nodiscard]] std::string due_left_text(const DueLine& line, const UnitChoice& units);
// "Chance of falling due by 2026-07-01: 1 in 9." Empty where the chance says nothing: past its limit, or not known.
[[nodiscard]] std::string due_chance_text(const DueLine& line, Clock& clock, const std::string& zone);
// "about 2026-07-01, from 2026-06-10 to 2026-08-15", in the owner's zone. Empty when the date is not known.
[[nodiscard]] std::string due_date_text(const DueLine& line, Clock& clock, const std::string& zone);

}  // namespace headroom
