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
#include "core/track/contact.h"
#include "core/track/smooth.h"
#include "core/units.h"

namespace headroom {

enum class Motion : std::uint8_t { still, ground, airborne };

// What the motion in one stretch looked like; the figures on which flight is told from everything else.
struct StretchEvidence {
  double duration_s = 0;
  double speed_median_m_s = 0;
  double speed_spread = 0;         // standard deviation over mean of the speed
  double steep_height_m = 0;       // height changed while moving on a steeper line than roads take
  double climb_roughness_m_s = 0;  // how much the climb rate changes over a few seconds, beyond what speed explains
  double circles = 0;              // full circles in runs of at least two in one direction
  double height_range_m = 0;
  double straightness = 0;  // distance between the ends over the way between them
  double one_way = 0;       // share of the height changed that went the same way: 1 only up or only down
  bool heights = false;
  double score = 0;     // log-odds for a flight; over 0 it is one
  std::string against;  // the strongest reason against, a sentence
};

struct FoundFlight {
  std::size_t first = 0, last = 0;  // fixes at or just inside launch and landing
  UtcTime launch{}, landing{};
  bool begins_in_air = false, ends_in_air = false;
  Duration launch_uncertainty, landing_uncertainty;
  ContactTimes lift_off;  // what `launch` is the middle of; unknown where the ground was not seen beside it
  std::vector<std::string> doubts;
  StretchEvidence evidence;
};

// A stretch that moved like an aircraft by speed but was told to be something else.
struct RefusedStretch {
  std::size_t first = 0, last = 0;
  StretchEvidence evidence;
};

struct FlightSearch {
  std::vector<Motion> motion;  // one a fix
  std::vector<FoundFlight> flights;
  std::vector<RefusedStretch> refused;
  // Buffers used again from call to call.
  std::vector<std::uint8_t> back;
  std::vector<float> speed, climb;
};

// What the recording itself says was carried: a wing or plane, or something that stays on the ground.
enum class Declared : std::uint8_t { nothing, ground_vehicle };
// From the header fields of a recording: the IGC glider type (HFGTY and its H-record kin), the GPX track type. Ground words
// are plain ones ("car", "bicycle", "boat", "hiking", ...), matched as whole words.
[[nodiscard]] Declared declared_carrier(const Recording& recording);

// `smoothed` belongs to `track`. The result is in `search`; its buffers are reused.
void find_flights(const Track& track, const SmoothedTrack& smoothed, Declared declared, FlightSearch& search);

}  // namespace headroom
