#pragma once
// One flight as a page read downward: what its recording tells, beside what the rest of the book says.
#include <string>
#include <string_view>

#include "app/access.h"
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

// The flight whose id is `word` or begins with it (at least 4 characters). not_found when none does, bad_input when several do.
[[nodiscard]] Result<std::size_t> find_flight(const State& state, std::string_view word);

// {"id", "title", "when_text", "tale", "flight", "measures", "wind", "doubts", "entries", "photos", "recording", "older",
// "newer", "has_track", "by_hand", "counts", "why_no_track"}; `flight` and `wind` are null without a track. `flight`: its place
// in State::flights. A recording that is gone or cannot be read any more is no error: what the book says is told.
[[nodiscard]] Result<AnswerJson> flight_page_json(std::size_t flight, const Session& session, Ports& ports);

// One measure beside its usual, in the owner's unit.
struct MeasureRow {
  std::string key, words;
  Amount today;
  std::optional<Amount> usual;
  std::string say;
  bool unusual = false;
};
// The head maximum first, then those of the recording. Of a flight by hand at most the head maximum.
[[nodiscard]] std::vector<MeasureRow> measure_rows(const State& state, std::size_t flight, const UnitChoice& units);

}  // namespace headroom
