#pragma once
// Engine on, idle or off, at every fix of a flight: from a recorded engine column where there is one, else from the energy the
// flight gained. Notation, equations, what is assumed and how well it does: docs/analysis/engine.md.
// Sources: Hamilton, Econometrica 57 (1989) 357-384 (switching autoregression); Rabiner, Proc. IEEE 77 (1989) 257-286 (hidden
// Markov models); Otsu, IEEE Trans. Syst. Man Cybern. 9 (1979) 62-66 (threshold); FAA-H-8083-13 ch. 3 (glide, sink, energy).
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "core/estimate.h"
#include "core/time.h"
#include "core/track/clean.h"
#include "core/track/flights.h"
#include "core/track/recording.h"
#include "core/track/smooth.h"
#include "core/track/wind.h"

namespace headroom {

// What is known of the aircraft before its recording is looked at. Of an unknown one a gain of energy in the air is never
// claimed to be the engine's.
enum class AircraftKnown : std::uint8_t { unknown, powered_paraglider };

// What a stretch of a recording was, as far as the engine goes. Idle cannot be told from off in positions.
enum class Power : std::uint8_t {
  ground,          // on the ground, engine unknown
  ground_running,  // on the ground, running by the column
  under_power,     // airborne, thrust above idle
  idle_or_off,     // airborne, no thrust to be seen
  off,             // airborne, confirmed by a column or an entry
  engine_or_lift,  // energy gained in the air by an unknown aircraft
  winch,           // launched by a winch
  tow,             // launched behind a tug
  powered_or_tow,  // one of them; not to be told apart
};

struct PowerStretch {
  Power power = Power::idle_or_off;
  std::size_t first = 0, last = 0;  // fixes of the track; neighbours share no fix
  UtcTime begin{}, end{};
  double certainty = 0;  // mean probability of what it is called, 0 to 1
};

enum class EngineSource : std::uint8_t { none, column, motion };

struct EngineSolution {
  std::string unknown;  // a sentence when nothing can be said; then the rest is empty
  EngineSource source = EngineSource::none;
  std::string column;  // code of the column used, as in the file
  std::size_t first = 0;
  std::vector<float> on;                // one a fix from `first`: probability of thrust above idle
  std::vector<PowerStretch> stretches;  // in order of time, without gaps, over [first, first + on.size() - 1]
  Estimate<Duration> powered_time;      // airborne with thrust above idle
  Estimate<Duration> running_time;      // idle and ground included; wide without a column
  std::vector<std::string> notes;       // sentences: which column and why, traps met, what could not be told
  [[nodiscard]] bool known() const { return unknown.empty(); }
};

struct EngineOptions {
  AircraftKnown aircraft = AircraftKnown::unknown;
  bool use_columns = true;  // false: as if ENL, MOP and RPM were hidden
};

// Over the flight and the ground around it (as far as the recording or the neighbouring flight). `wind` is of this flight
// (estimate_wind); an unknown one is allowed and widens the answer.
[[nodiscard]] EngineSolution find_engine(const Recording& recording, const Track& track, const SmoothedTrack& smoothed,
                                         const FoundFlight& flight, const WindSolution& wind, const EngineOptions& options = {});

}  // namespace headroom
