#pragma once
// A debrief as an answer for programs and for the page: docs/schemas/debrief.json.
#include "app/debrief.h"
#include "formats/answer_json.h"

namespace headroom {

[[nodiscard]] AnswerJson debrief_json(const DebriefAnswer& answer, const UnitChoice& units);
// One flight of it, without `entry`.
[[nodiscard]] AnswerJson debriefed_flight_json(const DebriefedFlight& flight, const UnitChoice& units);

}  // namespace headroom
