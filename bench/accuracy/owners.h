#pragma once
// Invented owners with hidden true figures, flown step by step in time. Nothing here is shared with core/planning or core/learn;
// it holds what their models leave out: wind that grows on the way up, sink behind trees, soft patches, lulls, legs that tire,
// a late commitment, a first try broken off, burn that scatters from flight to flight, litres that are read wrongly.
// Used by the accuracy report and by tests. All SI unless a name says otherwise.
#include <array>
#include <cstdint>

#include "core/simulate/random.h"

namespace headroom::owners {

using simulate::Pcg32;

// --- Take-off

struct Craft {
  double mass, area, cl_lift_off, cl_trim, glide, resistance;
  double thrust;              // standing still, in the air of the day [N]
  double lost_per_m_s;        // share of it that airspeed takes
  double longer;              // pilot and surface: the force is divided by it
  double fastest, inflation;  // legs [m/s], ground covered while the wing comes up [m]
  bool wheels;
};
struct Ground {
  double slope, strip;
  double trees_at, trees_high;  // height 0: none
};
// What no estimator is told.
struct Chance {
  double wind_10m;                    // along the strip, headwind positive
  double lull;                        // share of the wind that is left during the run
  double soft_from, soft_long, soft;  // a stretch of more resistance
  double sink;                        // on the last 60 m before the trees
  double hesitates;                   // seconds at a walk with the wing overhead before the throttle is opened
  double again_from;                  // a first try is broken off here and begun anew on the spot; 0: none
};
[[nodiscard]] Chance chance_of(double wind_10m, Pcg32& random);

struct TakeOffFlown {
  bool lifts = false;   // within the strip and before the trees
  bool clears = false;  // and above the trees
  double room = 0;  // from the first step of the last try to lift-off; only if it lifts off within 2 km, however long the strip
  double ground_speed = 0;  // at lift-off
};
[[nodiscard]] TakeOffFlown fly_take_off(const Craft& craft, const Ground& ground, double density, const Chance& chance);

// Thrust standing still falls with density by this: power as density^1.05 (own figure), thrust as (density power^2)^(1/3).
[[nodiscard]] double thrust_in(double density, double at_standard);

// --- Fuel

struct Burn {
  std::array<double, 3> litres_per_hour;  // ground, climb, level
};
[[nodiscard]] Burn hidden_burn(Pcg32& random);
struct FlownFuel {
  std::array<double, 3> hours;  // ground, climb, level
  double like_it;               // this flight's burn over that of another like it
  double litres;
};
inline constexpr double kBurnScatter = 0.06, kRefuelError_L = 0.3;
[[nodiscard]] FlownFuel fly_fuel(const Burn& burn, Pcg32& random);
// Hours from the start until the engine stops, when ground and climb are those of `flight` and the rest is flown level.
[[nodiscard]] double hours_until_dry(const Burn& burn, const FlownFuel& flight, double litres);

// --- The whole owner

struct Owner {
  bool wheels;
  // true figures
  double pilot_kg, machine_kg, wing_kg, area, cl_lift_off, cl_trim, glide, resistance, thrust_standard, lost_per_m_s;
  double technique, technique_scatter;  // the pilot's own lengthening of a run, and what one run adds (a share)
  double fastest, inflation, unusable_L, tank_L;
  double home_slope, home_height;
  Burn burn;
  // as entered in the book
  double pilot_said, machine_said, wing_said, thrust_said, unusable_said;
  double recorder_error;  // of the room by the recorder, one standard deviation of its logarithm
};
[[nodiscard]] Owner hidden_owner(std::uint64_t seed);

struct Day {
  double height, temperature_c, pressure_hpa, density;  // density true, of dry air
  double wind_10m, wind_said;                           // along the strip
  bool wet;
};
[[nodiscard]] Day some_day(const Owner& owner, bool at_home, Pcg32& random);
// The craft of that day with this fuel, by chance of the day.
[[nodiscard]] Craft craft_of(const Owner& owner, const Day& day, double litres, Pcg32& random);

}  // namespace headroom::owners
