#pragma once
// What a flight was beyond launch and landing, as members of an answer: wind, engine, take-off run, phases, story.
#include "core/track/detail.h"
#include "formats/answer_json.h"

namespace headroom {

// Stable names: "on_foot", "initial_climb", ...; "under_power", "idle_or_off", ...
[[nodiscard]] std::string_view phase_name(Phase phase);
[[nodiscard]] std::string_view power_name(Power power);

// Adds "wind", "engine", "take_off", "phases" and "story" to `into`.
void put_detail(AnswerJson& into, const FlightDetail& detail, const UnitChoice& units);
// {"<key>_<unit>": amount, "standard": amount, "learnable", "remark"}
[[nodiscard]] AnswerJson measure_json(const FlightMeasure& measure);

}  // namespace headroom
