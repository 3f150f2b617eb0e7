#pragma once
// What a flight was made of, in the order it happened: from handling the wing on the ground to standing again.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/estimate.h"
#include "core/time.h"
#include "core/track/clean.h"
#include "core/track/engine.h"
#include "core/track/flights.h"
#include "core/track/smooth.h"
#include "core/track/wind.h"

namespace headroom {

enum class Phase : std::uint8_t {
  on_foot,        // standing, walking, handling the wing
  run,            // first step of the take-off run to lift-off
  initial_climb,  // lift-off until kInitialClimb_m above it, or until it stops climbing
  climb,
  level,
  descent,   // under power or not: `power` says
  airborne,  // in the air, heights not known
  landing,   // the last seconds before the ground and the roll or run after it
};
inline constexpr double kInitialClimb_m = 30;

struct PhaseStretch {
  Phase phase = Phase::on_foot;
  Power power = Power::ground;      // as the engine answer calls most of it
  std::size_t first = 0, last = 0;  // fixes of the track
  UtcTime begin{}, end{};
  std::optional<Length> height_change;   // end less begin; none where either height is not known
  std::optional<Estimate<Speed>> climb;  // mean over the stretch
};

// The take-off run as seen by the recorder. Room used is over the ground, from the first step after which the pilot did not stop
// again, to lift-off.
struct TakeOffRun {
  bool seen = false;
  std::string why_not;  // a sentence when not seen
  std::size_t first = 0, lift_off = 0;
  UtcTime begin{}, end{};
  Estimate<Length> room;
  Estimate<Duration> time;
  Estimate<Speed> lift_off_ground_speed;
  Estimate<Speed> headwind;  // mean over the run; at the height flown just after, brought down to 2 m by the usual gradient
  double towards_deg = 0;    // direction of the run, true
  // 1 s recorder with pressure height, a run long enough, its headwind known: see docs/analysis/measures.md
  bool learnable = false;
  std::string not_learned;  // why not
};

struct FlightPhases {
  TakeOffRun take_off;
  std::vector<PhaseStretch> stretches;  // in order of time, from the ground before launch to the ground after landing
};

[[nodiscard]] FlightPhases find_phases(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                       const EngineSolution& engine, std::span<const GroundVelocity> velocities,
                                       const WindSolution& wind);

}  // namespace headroom
