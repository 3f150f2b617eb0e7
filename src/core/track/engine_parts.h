#pragma once
// Inside of find_engine: energy along the flight, what motion tells of the power, what a column tells. Not for other code.
// Notation: docs/analysis/engine.md.
#include <cstddef>
#include <string>
#include <vector>

#include "core/track/engine.h"

namespace headroom::engine_parts {

inline constexpr double kGravity_m_s2 = 9.80665;
inline constexpr double kFastAircraft_m_s = 16;   // median airspeed from which it rolls or is carried by wheels: no foot launch
inline constexpr double kSlowestSampling_s = 15;  // beyond this a throttle cut falls between two fixes
inline constexpr double kShortestFlight_s = 40;   // under this there is no glide to compare with
inline constexpr double kGroundReach_s = 3600;    // ground looked at before launch and after landing
inline constexpr double kShortestStretch_s = 8;   // shorter ones go to their neighbours
inline constexpr double kShortestHeard_s = 3;     // the same by a column, which tells edges to a second or two

// One interval of some seconds between two fixes of the flight.
struct EnergyStep {
  std::size_t from = 0, to = 0;  // fixes
  float begin_s = 0, dt_s = 0;   // since the first fix of the flight
  float rate_m_s = 0;            // d/dt (h + V^2 / 2g)
  float polar = 1;               // sink of the wing there over its sink at the median airspeed, wings level
  float airspeed_m_s = 0;
  float turn_rad_s = 0;  // of the motion through the air, right positive
  bool known = false;    // heights at both ends, no gap between
};

struct EnergySeries {
  std::string unknown;
  std::vector<EnergyStep> steps;  // in order, each begins where the one before ends
  double airspeed_m_s = 0;        // median through the air
  double known_s = 0;
};
[[nodiscard]] EnergySeries energy_of(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                     const WindSolution& wind);

// Glide sink beforehand [m/s]: common practice, no source (paragliders 1.2 to 2.3 with an engine carried; sailplanes 0.6 to 1.2).
struct SinkPrior {
  double mean, sd;
};
[[nodiscard]] SinkPrior sink_prior(const EnergySeries& energy, AircraftKnown aircraft);

// What the motion tells, one probability of energy put in by something a step.
struct GainSolution {
  std::vector<float> gain;
  double seconds_mean = 0, seconds_sd = 0;  // time of gain and its posterior spread
  double roughness_m_s = 0;                 // standard deviation of what neither level explains
};
[[nodiscard]] GainSolution find_gain(const EnergySeries& energy, SinkPrior prior, bool launched, bool powered);

// A launch pulled or pushed: steps [0, end). end 0: none to be seen.
struct Pull {
  std::size_t end = 0;
  double seconds = 0, rate_m_s = 0;
  bool winch = false;
};
[[nodiscard]] Pull find_pull(const EnergySeries& energy, const FoundFlight& flight);

// What a column tells at every fix from `first` on; `powered`: the sink of a powered paraglider, else null.
enum class Heard : unsigned char { silent, quiet, middling, loud };  // silent: no value, nor one shortly before
struct ColumnSolution {
  std::string code;                 // empty: no usable column
  bool revolutions = false;         // RPM: engine and nothing else
  std::vector<Heard> heard;         // one a fix
  double quiet = 0, threshold = 0;  // level when quiet; from where on it is loud
  bool has_loud = false;
  bool quiet_throughout = false;              // nothing in it that an engine could be: it need not be one that it hears
  double just_above_s = 0, just_below_s = 0;  // in the air, near the threshold
  std::vector<std::string> notes;
};
// RPM, MOP, ENL in turn: the first of use, else the first that is quiet throughout; notes say why others were left.
[[nodiscard]] ColumnSolution read_column(const Recording& recording, const Track& track, std::size_t first, std::size_t last,
                                         const FoundFlight& flight, const EnergySeries& energy, const SinkPrior* powered);

// Mean rate of energy and mean polar factor between two fixes; seconds 0 when nothing is known there.
struct MeanEnergy {
  double seconds = 0, rate_m_s = 0, polar = 0;
};
[[nodiscard]] MeanEnergy mean_energy(const EnergySeries& energy, std::size_t from_fix, std::size_t to_fix);

}  // namespace headroom::engine_parts
