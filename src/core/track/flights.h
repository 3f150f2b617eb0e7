#pragma once
// Launches and landings: which parts of a track were flown. A hidden Markov model over still, ground and airborne gives the
// stretches; each stretch in the air then has to show that it was a flight and not a ride, a walk, a boat or a lift, and its
// two ends are set to the instants at which it left and met the ground. Equations: docs/analysis/track.md.
// Sources: Viterbi, IEEE Trans. Inf. Theory 13 (1967) 260-269; Rabiner, Proc. IEEE 77 (1989) 257-286.
#include <cstdint>
#include <string>
#include <vector>

#include "core/time.h"
#include "core/track/clean.h"
#include "core/track/smooth.h"
#include "core/units.h"

namespace headroom {

enum class Motion : std::uint8_t { still, ground, airborne };

// What the motion in one stretch looked like; the figures on which flight is told from everything else.
struct StretchEvidence {
  double duration_s = 0;
  double speed_median_m_s = 0;
  double steep_height_m = 0;       // height changed while going steeper than roads do
  double climb_roughness_m_s = 0;  // how much the climb rate changes over a few seconds, beyond what the grade explains
  double circles = 0;              // full circles flown one after another in one direction
  double bend_slowing = 0;         // how much slower bends are taken than straights: 0 none, 1 to a stop
  double height_range_m = 0;
  double straightness = 0;  // distance between the ends over the way between them
  double score = 0;         // log-odds for a flight; over 0 it is one
};

struct FoundFlight {
  std::size_t first = 0, last = 0;  // fixes at or just inside launch and landing
  UtcTime launch{}, landing{};
  bool begins_in_air = false, ends_in_air = false;
  Duration launch_uncertainty, landing_uncertainty;
  std::vector<std::string> doubts;
  StretchEvidence evidence;
};

// A stretch that moved like an aircraft by speed but was told to be something else.
struct RefusedStretch {
  std::size_t first = 0, last = 0;
  StretchEvidence evidence;
  std::string why;
};

struct FlightSearch {
  std::vector<Motion> motion;  // one a fix
  std::vector<FoundFlight> flights;
  std::vector<RefusedStretch> refused;
  // Buffers used again from call to call.
  std::vector<std::uint8_t> back;
  std::vector<float> speed, climb;
};

// `smoothed` belongs to `track`. The result is in `search`; its buffers are reused.
void find_flights(const Track& track, const SmoothedTrack& smoothed, FlightSearch& search);

}  // namespace headroom
