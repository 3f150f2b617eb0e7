#pragma once
// The day before a flight in words: what was said of it, the checks with what became of them, and a card for whoever has to look
// for the pilot.
#include <optional>
#include <string>
#include <vector>

#include "app/session.h"
#include "core/planning/brief.h"
#include "core/planning/day.h"

namespace headroom {

// "Sallow Piece, strip 24; wind from 240°, 22 km/h; 18 °C; wet grass; 9.0 L in the tank; Ada flies, 84 kg." What was not said of
// wind and fuel is named as not said.
[[nodiscard]] std::string day_sentence(const Day& day, const Session& session);

enum class CheckTime : std::uint8_t { arriving, before_start, before_launch };
struct DayCheck {
  CheckTime when = CheckTime::arriving;
  std::string key, words;
  std::string state;                 // "done", "not_done", "not_applicable"; empty: not said for this flight (check_for)
  std::optional<UtcTime> at;         // when it was said
  std::optional<UtcTime> from = {};  // of "who_knows": overdue from then on
};
// Arriving, before the engine is started, last before launch, in this order.
[[nodiscard]] std::vector<DayCheck> day_checks(const State& state, const Brief& brief);

// Lines for a card to leave with somebody: who, with what, where, from when on overdue. `clock` and the session's zone for times.
[[nodiscard]] std::vector<std::string> emergency_card(const Session& session, const BriefRequest& request, const Brief& brief,
                                                      Clock& clock);

}  // namespace headroom
