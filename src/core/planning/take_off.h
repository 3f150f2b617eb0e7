#pragma once
// Take-off room: inflation, ground run, climb over obstacles, the point to stop at. Notation and equations stand in
// docs/analysis/take-off.md.
//
// Notation: V airspeed, W headwind counted [m/s], m all-up mass, rho density, S flat wing area, C_L, C_D coefficients,
// T thrust, mu resistance coefficient, i slope (height gained a metre of run), s distance over the ground.
//   m dV/dt = T(V, rho) - C_D rho V|V| S/2 - mu (m g cos i - L(V)) - m g sin i,   L = C_L rho V^2 S/2, no more than m g cos i
//   s = integral from W to V_lo of (V - W) m / F(V) dV,   V_lo = sqrt(2 m g / (rho S C_L,lo))
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/estimate.h"
#include "core/margin.h"
#include "core/result.h"
#include "core/surface.h"
#include "core/units.h"

namespace headroom {

// A run with any force along it: s = integral from `headwind` to `lift_off` of (V - W) m / F(V) dV, from standing still on the
// ground. The force [N] is asked for at airspeeds [m/s]. A tail wind is a negative headwind. Nothing where the force does not
// stay above m x 0.05 m/s2: lift-off is not reached. Zero when the headwind alone lifts. Relative accuracy 1e-6 where the force
// falls by no more than nine tenths on the way.
[[nodiscard]] std::optional<Length> ground_run(Mass mass, Speed lift_off, Speed headwind,
                                               const std::function<double(double)>& force_N);

// V = sqrt(2 m g / (rho S C_L)). Range: mass 40 to 450 kg, area 8 to 60 m2, density 0.6 to 1.5 kg/m3, C_L 0.1 to 2.5.
[[nodiscard]] Result<Speed> speed_at_lift(Mass mass, Density density, Area area, double lift_coefficient);

// Wind at another height over open ground, neutral air: u(z) = u(10 m) ln(z/z0) / ln(10 m/z0), z0 the roughness length.
// Source: logarithmic law; z0 0.03 m for short grass: WMO-No. 8, Guide to Instruments and Methods of Observation, part I,
// chapter 5, annex (Davenport's classes; from memory). Range: z0 0.0002 to 1 m, z from 2 z0 to 100 m.
[[nodiscard]] Result<double> wind_height_factor(Length height, Length roughness);

// What of a wind along the strip counts: 50 % of a headwind, 150 % of a tail wind (negative).
// Source: UK CAA, Safety Sense Leaflet 09 (2024).
[[nodiscard]] constexpr Speed counted_headwind(Speed headwind) {
  return headwind.si() > 0 ? headwind * 0.5 : headwind * 1.5;
}

// Factors on the distance from the table of UK CAA Safety Sense 09 (2024), an aeroplane table: a foot-launch or small-cart run
// has none of its own. Soft ground and snow: "or more".
[[nodiscard]] double surface_factor(Surface surface);  // 1, 1.20, 1.30, 1.25

// The product the leaflet asks for: surface, 1.10 for each 2 % uphill, 1.20 for each tail wind of 10 % of the lift-off speed, and
// the general factor 1.33 when `general`. Downhill and headwind earn nothing.
// Range: slope -0.3 to 0.3, tail wind as a share of the lift-off speed 0 to 1.
[[nodiscard]] Result<double> published_factor(Surface surface, double slope, double tailwind_share, bool general);

// Thrust as a static test gave it, and how it falls. With the diameter, by momentum theory at the power that the test showed;
// without, by a straight line of the given share lost for each m/s.
struct Thrust {
  Force stationary;                      // measured standing still, 50 to 2500 N
  Density at = Density::from_si(1.225);  // the air it was measured in
  std::optional<Length> diameter;        // 0.5 to 2.5 m
  double lost_per_m_s = 0.022;           // 0 to 0.08; 22 % at 10 m/s is what momentum theory gives at 10 kW, 1.25 m
};
// Thrust at an airspeed and density; density moves the power by `power_ratio` (propeller.h).
[[nodiscard]] double thrust_N(const Thrust& thrust, double airspeed_m_s, double density);

struct Obstacle {
  std::string name;
  Length distance;  // from the start of the strip, 5 m to 20 km
  Length height;    // above the start of the strip, 0 to 500 m
};

// Everything one take-off depends on, as single figures.
struct TakeOffInputs {
  Mass mass;        // all-up, 40 to 450 kg
  Density density;  // 0.6 to 1.5 kg/m3
  Area wing_area;   // flat, 8 to 60 m2
  Thrust thrust;
  double lift_off_cl = 0.92, trim_cl = 0.56;  // 0.1 to 2.5
  double glide = 5.5;                         // 2 to 15, power off
  double resistance = 0.06;                   // mu, 0 to 0.5, firm ground
  Surface surface = Surface::firm;
  double slope = 0;  // -0.3 to 0.3, uphill positive
  Speed headwind;    // along the strip at 10 m, tail wind negative; -20 to 20 m/s
  Length roughness = metres(0.03);
  Length wing_height = metres(6);  // where the wing meets the wind during the run, 1 to 10 m
  bool wheels = false;
  Speed fastest_run;      // on foot: highest ground speed at which this pilot still runs, 1 to 12 m/s
  Length inflation;       // 0 to 60 m
  double run_factor = 1;  // 0.2 to 5
  bool published = true;  // hold the need to the published factors: until ten own runs
  Length strip;           // 10 to 10000 m
  std::vector<Obstacle> obstacles;
  Length over = metres(3);                            // height to pass above each obstacle, 0 to 100 m
  Duration reaction = seconds(1.0);                   // before stopping begins, 0 to 10 s
  Acceleration braking = Acceleration::from_si(1.5);  // 0.2 to 8 m/s2
};

enum class NoTakeOff : std::uint8_t {
  none,
  legs,    // the ground speed at lift-off is beyond what this pilot runs
  thrust,  // the force along the run does not reach lift-off
  climb,   // it lifts off, and does not climb over the ground
};

// The need for one thing ahead: the strip's end (lift-off before it) or an obstacle (height and `over` reached before it).
struct Clearance {
  std::string name;         // empty: the end of the strip
  Length have, need, left;  // need and left only when `clears_ever`
  bool clears_ever = true;
  Length height_left;  // over the obstacle's top when passing it, by the distance the need counts with; the end: 0
  [[nodiscard]] bool clears() const { return clears_ever && left.si() >= 0; }
};

struct TakeOffResult {
  NoTakeOff impossible = NoTakeOff::none;
  Speed lift_off, counted_headwind, ground_speed_at_lift_off;  // headwind counted at the wing
  Speed missing;                                               // ground speed beyond the pilot's own, zero on wheels
  Length run;                // from the wing overhead to lift-off, with surface and run factor; as the force balance has it
  Length to_lift_off;        // inflation and run, as counted: no less than the published factors give, if `published`
  double factor = 1;         // the published product that the floor was worked out with
  bool floor_holds = false;  // the published factors gave the longer distance
  Speed climb;               // climb rate
  double gradient = 0;       // height gained a metre over the ground
  std::vector<Clearance> clearances;  // the strip's end first, then the obstacles in their order
  // The last point, from the start, at which one who is not lifting must have begun to stop: from there the run still stops
  // before the strip's end and before the first obstacle within it, and lift-off there would still clear. Nothing when there
  // is none.
  std::optional<Length> abort_point;
  Length stopping;  // needed from the ground speed of lift-off
  [[nodiscard]] bool clears() const;
};

// Errors: out_of_range with the range, for anything beyond the ranges above.
[[nodiscard]] Result<TakeOffResult> take_off(const TakeOffInputs& inputs);

// The same with spreads. Each estimate is drawn on the shared draws by its own factor; the headwind, the density and the mass
// are each one draw for the run, the climb and the floor.
struct TakeOffEstimates {
  TakeOffInputs fixed;  // what has no spread: surface, wheels, obstacles, thrust's diameter and test density, ...
  Estimate<Mass> mass;
  Amount density;  // kg/m3
  Estimate<Speed> headwind;
  Amount thrust;  // static [N], at fixed.thrust.at
  Amount lift_off_cl, trim_cl, glide, resistance, slope, run_factor;
  // The factor was learned from own runs set against the middles of lift-off and trim coefficient, glide, resistance and
  // thrust, so it holds whatever those truly are: the run is worked out with their middles, and they are drawn for the climb and
  // the speed on foot only. The inflation's middle too, when all of them are recorded: those rooms have the inflation in them.
  bool factor_holds_figures = false, factor_holds_inflation = false;
  Estimate<Speed> fastest_run;
  Estimate<Length> inflation;
  double survey_spread = 0.05;  // one standard deviation of a distance or height of the field, as a share; 0 to 0.5
  bool walked = false;          // somebody has walked and entered the obstacles; otherwise the room is unknown
  int own_runs = 0;             // at ten, the published factors are left
  int own_runs_by_hand = 0;     // of them, measured by the owner and entered
  int own_runs_left_out = 0;    // entered, but what it was met with is not known
};
inline constexpr int kRunsToLeavePublishedFactors = 10;

struct TakeOffMargin {
  Margin
      margin;  // kind take_off_room, id "take_off_room"; have, need and left in metres to the thing that is nearest to be short
  TakeOffResult middle;  // everything at its median
  Amount abort_point;    // over the draws, metres from the start; 0 in a draw that has none. Its low end is what to step off
  double chance_no_lift_off = 0;        // share of draws in which legs, thrust or climb do not do it, however long the strip
  std::vector<double> chance_short_of;  // of the end and of each obstacle, in the order of `middle.clearances`
};
// A missing (unknown) estimate, or a field not walked, gives a margin in state unknown that says what to measure. In a draw, a
// figure that cannot be negative counts as zero below it; one of mass, density, wing or thrust at or below zero is no lift-off.
[[nodiscard]] Result<TakeOffMargin> take_off_margin(const TakeOffEstimates& estimates);

// What the chance of being short would be with 5 kg less, 5 kt more or less wind along the strip, and air colder by 10 C: the
// largest change first, for better or worse. One whole evaluation each. Empty where the margin is unknown; a change that leaves
// the model's range is left out.
[[nodiscard]] std::vector<Change> take_off_changes(const TakeOffEstimates& estimates);

}  // namespace headroom
