#pragma once
// How much fuel a planned flight asks for, what the tank gives, and what to take. Equations: docs/analysis/fuel.md.
//   need = (sum_j b_j t_j) x + b_level t_held + V_held + V_unusable,   x one flight about another like it
//   endurance = t_ground + t_climb + (V_tank - V_unusable - V_held - ((b_ground t_ground + b_climb t_climb) x)) / (b_level x)
#include <array>
#include <optional>

#include "core/estimate.h"
#include "core/learn/burn.h"
#include "core/margin.h"
#include "core/result.h"

namespace headroom {

struct FuelQuestion {
  BurnPosterior burn;
  std::array<Estimate<Duration>, kBurnPhases> planned;  // 0 to 24 h a phase, some in one
  Duration held_back_time;                              // at level burn, 0 to 12 h
  Volume held_back_volume;                              // 0 to 100 L
  Estimate<Volume>
      unusable;  // measured once, 0 to 20 L; unknown: nothing is subtracted, the margin counts as assumed and says so
  std::optional<Estimate<Volume>> in_tank;  // 0 to 200 L
  std::optional<Volume> tank_holds;         // 1 to 200 L
  Amount petrol_density;                    // kg/m3, 600 to 900
};

struct FuelPlan {
  Margin margin;                     // kind fuel, id "fuel": litres
  Estimate<Volume> burnt_in_flight;  // by the planned flight alone
  std::array<Estimate<Volume>, kBurnPhases> by_phase;
  Estimate<Volume> held_back;
  Estimate<Duration> endurance;  // running time from the tank as it is, held-back fuel kept, to the end of the level part;
                                 // unknown without a tank level
  // To have in the tank: 1 in 100 short while anything is assumed, else 1 in 20, rounded up to a tenth of a litre; and its mass.
  Volume take;
  Mass take_mass;
  double take_chance_short = 0.05;
  bool more_than_tank = false;  // what to take is more than the tank holds
};
// Errors: out_of_range, with the range.
[[nodiscard]] Result<FuelPlan> fuel_plan(const FuelQuestion& question);

}  // namespace headroom
