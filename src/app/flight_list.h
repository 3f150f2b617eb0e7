#pragma once
// The flights of the book as a list, newest first, from the folded state alone: no recording is opened.
#include "app/ports.h"
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

struct FlightListRequest {
  std::size_t skip = 0, most = 200;
  bool all = false;  // flights recorded twice too, each time
};

// {"total", "flights": [{"id", "launch", "landing", "offset_min", "text", "pilot", "unusual", "by_hand", "counts"}]}. `pilot` is
// null where only one pilot flies in the book. `unusual` is that of the head maximum (head_history.h): the other measures
// would have to be learned anew for each flight.
[[nodiscard]] AnswerJson flight_list_json(const FlightListRequest& request, const Session& session, Clock& clock);

// "24 min, 12.1 km, 340 m at the highest"; what is not known of a flight is left out.
[[nodiscard]] std::string flight_text(const FlightState& flight, const UnitChoice& units);

}  // namespace headroom
