#pragma once
// What hangs on wing, reserve, harness and carabiners, from figures as the owner says them.
#include <optional>
#include <string>
#include <vector>

#include "app/said_air.h"
#include "core/margin.h"
#include "core/planning/load.h"

namespace headroom {

struct SaidLoad {
  SaidAir air;
  std::string mass, wing_mass, wing_area, wing_least, wing_most, reserve, harness, carabiners, before;
};
struct LoadAnswer {
  Mass mass;
  Density density;
  std::vector<Margin> margins;  // of the limits that were given, and no other
  std::optional<double> area_m2;
  std::optional<Pressure> loading;
  std::optional<Speed> reserve_speed;
  std::optional<Mass> before;
  std::optional<LoadEffect> effect;
  std::vector<Sentence> assumed;
  [[nodiscard]] bool is_short() const;
};
// Without air it is the standard's at sea level. Errors name the option.
[[nodiscard]] Result<LoadAnswer> answer_load(const SaidLoad& said, const UnitChoice& units);
[[nodiscard]] CalcWords load_words(const LoadAnswer& answer, const UnitChoice& units);

}  // namespace headroom
