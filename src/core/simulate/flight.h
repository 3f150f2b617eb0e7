#pragma once
// A point-mass powered paraglider flown through a script, with everything known: the truth that estimators are judged by.
// It shares no code with core/track and holds effects that nothing there models: gusts, a slow swing in pitch, a pilot whose
// heading and throttle wander, thrust that falls with speed and density, mass that falls with fuel, a run of several shapes.
//
// Equations (airborne), vectors in a frame fixed to the ground, u the velocity through the air:
//   m dv/dt = T + L + D + m g,  |L| = rho |u|^2 S C_L / 2 across u and banked,  |D| = rho |u|^2 S C_D / 2 against u,  T along u
//   C_D = C_D0 + k C_L^2
// Steady flight then obeys: L cos(bank) = m g cos(gamma), sin(gamma) = T/(m g) - cos(gamma)/(L/D) with wings level.
// Source: the textbook equations of motion of a point mass. No published data of this class of aircraft stand behind the
// default figures: they are common practice, no source.
#include <cstdint>
#include <vector>

#include "core/result.h"
#include "core/simulate/air.h"
#include "core/time.h"
#include "core/track/recording.h"

namespace headroom::simulate {

// A place: positions in a script are metres east and north of `origin`.
struct Site {
  GeoPosition origin;
  AltitudeMsl elevation;
  Length geoid_height;  // of the geoid above the WGS 84 ellipsoid
  Length swell;         // the ground rises and falls by this much over some 1.5 km
};
[[nodiscard]] double ground_height_m(const Site& site, double east_m, double north_m);
// Position on the WGS 84 ellipsoid; metres counted along parallel and meridian. Within 30 km of the origin.
[[nodiscard]] GeoPosition position_at(const Site& site, double east_m, double north_m);

struct Craft {
  Mass without_fuel = kilograms(118);  // pilot, machine, wing, kit
  Volume fuel = litres(8);
  Area wing_area = square_metres(26);
  double lift_coefficient = 0.60;  // hands up, trimmers neutral
  double drag_at_zero_lift = 0.075;
  double drag_by_lift = 0.07;  // k
  Force static_thrust = newtons(560);
  Speed thrust_zero_speed = metres_per_second(38);  // T = T0 rho/rho0 throttle (1 - V / this)
  double idle_throttle = 0.06;
  VolumeFlow idle_burn = litres_per_hour(0.5);
  VolumeFlow full_burn = litres_per_hour(7.0);  // burn = idle + (full - idle) throttle^1.15
  double run_lift_coefficient = 1.15;           // braked, at lift-off
  Speed leg_speed = metres_per_second(6);       // legs push less and less up to it
  Force leg_force = newtons(260);
  double torque_bank_deg = 1.5;  // turn to the left that full throttle pulls
};

enum class LegKind : std::uint8_t {
  stand,        // for `duration`
  walk_to,      // east, north
  kite,         // wing overhead, feet on the ground, for `duration`
  false_start,  // a run given up after `distance`, then the walk back to where it began
  take_off,     // along `heading_deg`, until lift-off
  climb_to,     // full or part throttle to `height`, heading as it goes to (east, north)
  fly_to,       // (east, north) at `height`
  circle,       // `turns` at `bank_deg` (right positive) at `height`
  glide_to,     // down to `height`, on the way to (east, north)
  land,         // straight in along `heading_deg`
};
enum class EngineUse : std::uint8_t { off, idle, as_needed, full };
// How a take-off run or a false start goes.
enum class RunShape : std::uint8_t {
  pushed,   // legs and thrust from the first step; a step missed now and then
  walk_up,  // a walk of some seconds under the rising wing, then a sprint
  stumble,  // half the speed is lost somewhere on the way
  wheels,   // on a cart: no legs, throttle held so that it speeds up evenly
  curved,   // turns by 20 to 60 degrees on the way
};

struct Leg {
  LegKind kind = LegKind::stand;
  Duration duration{};
  double east_m = 0, north_m = 0;
  Length height{};  // above the site's elevation
  double heading_deg = 0;
  double bank_deg = 0;
  double turns = 0;
  Length distance{};
  EngineUse engine = EngineUse::off;
  double trim = 1.0;     // times the lift coefficient: under 1 is faster
  bool reverse = false;  // take_off: the wing is overhead before the first step
  RunShape run = RunShape::pushed;
};

struct FlightScript {
  std::uint64_t seed = 1;
  UtcTime begin{};  // of the first leg; a whole second
  Site site;
  AirScript air;
  Craft craft;
  double start_east_m = 0, start_north_m = 0;
  std::vector<Leg> legs;
};

enum class Stage : std::uint8_t {
  standing,
  walking,
  kiting,
  false_start,
  run,
  climb,
  level,
  turn,
  glide,
  final_approach,
  roll_out,
  riding  // in a car
};

// The state at one instant, SI, east-north-up. Wind is the motion of the air at that point.
struct TruthStep {
  double time_s = 0;  // since FlightScript::begin
  double east_m = 0, north_m = 0, height_msl_m = 0, height_above_ground_m = 0;
  double velocity_east_m_s = 0, velocity_north_m_s = 0, velocity_up_m_s = 0;
  double wind_east_m_s = 0, wind_north_m_s = 0, wind_up_m_s = 0;
  double airspeed_m_s = 0, throttle = 0, thrust_n = 0, bank_deg = 0, mass_kg = 0, density_kg_m3 = 0;
  Stage stage = Stage::standing;
  bool engine_running = false, airborne = false;
};

struct TimeInterval {
  UtcTime begin{}, end{};
};

struct Truth {
  UtcTime launch{}, landing{};  // last touch of the run; first touch after it
  Duration air_time;
  std::vector<TimeInterval> engine_running;  // idle and ground included
  std::vector<TimeInterval> powered;         // airborne with thrust above idle
  Duration running_time, powered_time;
  Length run_length;  // over the ground along its way, first step to lift-off
  Duration run_time;
  Speed run_headwind;  // mean over the run, at 2 m
  Speed lift_off_ground_speed;
  Volume fuel_burned;
  std::vector<TruthStep> steps;  // every kTruthInterval
};
inline constexpr double kTruthInterval = 0.2;  // s

struct SimulatedFlight {
  FlightScript script;
  Truth truth;
};

// Flies the script at 20 Hz. The same script gives the same bits. Errors: out_of_range when a leg cannot be flown (never
// lifts off, does not arrive, out of fuel), bad_input when legs stand in an impossible order. Bounded: 6 h of flying.
[[nodiscard]] Result<SimulatedFlight> simulate_flight(const FlightScript& script);

// What a recorder left on would meet: `first`, then standing where it ended until `second` begins, then `second`. The steps
// are on the clock of `first`; everything else of the truth stays that of `first`. Errors: bad_input when `second` begins
// before `first` has ended, or without steps.
[[nodiscard]] Result<SimulatedFlight> followed_by(SimulatedFlight first, const SimulatedFlight& second);

}  // namespace headroom::simulate
