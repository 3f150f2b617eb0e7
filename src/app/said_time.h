#pragma once
// Times as the owner says them, and times said to the owner: in the owner's zone.
#include <string>
#include <string_view>

#include "app/ports.h"

namespace headroom {

// A time as the owner writes it, in the owner's zone: "now", "18:30" (today, or yesterday if that is still to come),
// "yesterday 18:30", "2026-05-02", "2026-05-02 18:30", or RFC 3339 with its own offset. bad_input with the forms named.
[[nodiscard]] Result<UtcTime> parse_when(std::string_view text, Clock& clock, std::string_view zone);
// The same of what is planned: "18:30" is the next time a clock shows it, and "tomorrow 10:00" is one more form. Up to five
// minutes ago is now; out_of_range for what is longer past.
[[nodiscard]] Result<UtcTime> parse_when_to_come(std::string_view text, Clock& clock, std::string_view zone);
// "2026-05-02 18:30" in the owner's zone; only the date when `with_time` is false.
[[nodiscard]] std::string local_text(UtcTime t, Clock& clock, std::string_view zone, bool with_time = true);

}  // namespace headroom
