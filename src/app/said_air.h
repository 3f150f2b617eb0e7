#pragma once
// The air of one place as the owner says it, and what it does to a wing in words.
#include <string>
#include <utility>
#include <vector>

#include "core/air/report.h"
#include "core/unit_choice.h"
#include "formats/answer_json.h"

namespace headroom {

struct SaidAir {
  std::string height, qnh, pressure, pressure_altitude, temperature, dew_point, humidity;
};
// Errors name the option: "--dew-point".
[[nodiscard]] Result<AirInput> air_input(const SaidAir& said, const UnitChoice& units);

// An answer of arithmetic for reading: sentences first, then what is looked up, then what it rests on.
struct CalcWords {
  std::vector<std::string> sentences;
  std::vector<std::pair<std::string, std::string>> rows;  // label, value
  std::vector<std::string> assumed;
  std::string caution;
};
[[nodiscard]] AnswerJson calc_words_json(const CalcWords& words);

[[nodiscard]] CalcWords air_words(const AirInput& in, const AirReport& air, const UnitChoice& units);

}  // namespace headroom
