#pragma once
// One take-off from single figures as the owner says them.
#include <string>
#include <vector>

#include "app/said_air.h"
#include "core/planning/take_off.h"

namespace headroom {

struct SaidTakeOff {
  SaidAir air;
  std::string mass, wing_area, thrust, diameter, headwind, tailwind, slope, surface, strip, fastest_run, inflation, run_factor;
  std::vector<std::string> obstacles;
  bool wheels = false, without_published = false;
};

struct RunAsked {
  TakeOffInputs in;
  std::vector<Sentence> assumed;
};

// Without air it is the standard's at sea level. Errors name the option.
[[nodiscard]] Result<RunAsked> run_asked(const SaidTakeOff& said, const UnitChoice& units);
// `told` is take_off() of `asked`.
[[nodiscard]] CalcWords run_words(const RunAsked& asked, const TakeOffResult& told, const UnitChoice& units);

}  // namespace headroom
