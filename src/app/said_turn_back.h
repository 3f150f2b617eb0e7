#pragma once
// Where to turn for home, by wind, airspeed and endurance as the owner says them.
#include <optional>
#include <string>

#include "app/said_air.h"
#include "core/planning/day.h"
#include "core/planning/navigation.h"
#include "core/unit_choice.h"

namespace headroom {

struct SaidTurnBack {
  std::string track, airspeed, wind, endurance, distance;  // "200", "40km/h", "230/12kt", "1h45"; of the goal, may be empty
};
struct TurnBackAnswer {
  OutAndHome told;
  Duration endurance;
  std::optional<Length> distance, equal_time;  // of the goal; from where on and back take the same time
  bool gusty = false;                          // the wind was said with gusts
};
// Errors name the option.
[[nodiscard]] Result<TurnBackAnswer> answer_turn_back(const SaidTurnBack& said, const UnitChoice& units);
[[nodiscard]] CalcWords turn_back_words(const TurnBackAnswer& answer, const UnitChoice& units);

}  // namespace headroom
