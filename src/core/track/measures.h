#pragma once
// What one flight showed of machine, wing, air and pilot: each figure with its spread, as flown and brought to standard
// conditions. Equations and sources: docs/analysis/measures.md.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/estimate.h"
#include "core/track/engine.h"
#include "core/track/phases.h"
#include "core/track/wind.h"

namespace headroom {

enum class MeasureKind : std::uint8_t {
  room_used,  // first step to lift-off
  run_time,
  run_headwind,
  lift_off_ground_speed,
  climb_rate,     // under power, wings near level
  level_speed,    // true airspeed under power, neither climbing nor sinking
  trim_airspeed,  // equivalent airspeed of the slow mean of the flight
  sink_rate,      // straight, engine off or idle
  glide,          // through the air, the same stretches; a ratio
  steepest_bank,  // held for 5 s
  fastest_turn,   // the same
  roughness,      // standard deviation of the climb rate at 5 to 20 s
  powered_time,
  running_time,
  wind_speed,           // mean over the flight
  lowest_above_ground,  // away from launch and landing; only with terrain
};
inline constexpr std::size_t kMeasureKinds = 16;
// Stable key, as in entries and answers: "room_used", ...
[[nodiscard]] std::string_view measure_key(MeasureKind kind);
[[nodiscard]] std::optional<MeasureKind> measure_of_key(std::string_view key);
// In words, as on a page: "room used", ...
[[nodiscard]] std::string_view measure_words(MeasureKind kind);
[[nodiscard]] Dimension measure_dimension(MeasureKind kind);

struct FlightMeasure {
  MeasureKind kind = MeasureKind::room_used;
  Amount as_flown;                 // unknown: its note is the reason
  std::optional<Amount> standard;  // at standard density and reference mass; none where that changes nothing or is not known
  bool learnable = false;          // good enough to learn from
  std::string remark;              // "idle or off", why it is not learned from; a sentence or empty
  // What the figure was met with, for whoever learns from it: density ratio (of a run at its launch, else the flight's mean) and,
  // for runs, headwind [m/s]. 0 when not known.
  double density_ratio = 0, headwind_m_s = 0;
};

struct MeasureOptions {
  std::optional<Mass> all_up;     // as flown; unknown otherwise
  std::optional<Mass> reference;  // that standard figures are for; none: density alone is corrected for, and said
};

// Why a flight may have been another aircraft's: a sentence, empty where nothing speaks for it. Paragliders, trimmers open, fly
// at most some 70 km/h through the air (common practice, no source).
[[nodiscard]] std::string aircraft_doubt(const std::vector<FlightMeasure>& measures);

// One of each kind that applies, in the order of MeasureKind; a kind that cannot be told is there with its reason.
[[nodiscard]] std::vector<FlightMeasure> measure_flight(const Track& track, const SmoothedTrack& smoothed,
                                                        const FoundFlight& flight, const WindSolution& wind,
                                                        const EngineSolution& engine, const FlightPhases& phases,
                                                        const MeasureOptions& options = {});

}  // namespace headroom
