#pragma once
// What the recording of a flight tells, in the owner's words and units, kept in the cache: analysing three hours anew takes most
// of a second. What depends on the rest of the book is added by flight_page.h.
#include <string>

#include "app/access.h"
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

// {"flight", "tale", "notes", "wind", "doubts", "launch_position"}: members of docs/openapi.yaml's flight. Errors: those of
// flight_again.
[[nodiscard]] Result<AnswerJson> flight_told(const FlightState& flight, const Session& session, Ports& ports);
// The strip chart and the path of the map, as the text of an answer for the page: at most kChartPoints and kMapPoints points.
[[nodiscard]] Result<std::string> flight_series(const FlightState& flight, const Session& session, Ports& ports);

inline constexpr std::size_t kChartPoints = 1800, kMapPoints = 3000;

}  // namespace headroom
