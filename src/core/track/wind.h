#pragma once
// Wind and airspeed at every moment of a flight, with their spread, from ground velocity alone; recorded airspeed or heading
// are used where a recording has them. Notation, equations, what is assumed and how well it does: docs/analysis/wind.md.
// Sources: Bar-Shalom, Li, Kirubarajan, Estimation with Applications to Tracking and Navigation (2001), ch. 8 (fixed-interval
// smoothing), ch. 10 (extended filter, iterated), 11.6 (mixtures); Alspach, Sorenson, IEEE Trans. Autom. Control 17 (1972)
// 439-448 (Gaussian sums); Bierman, Int. J. Control 18 (1973) 65-75 (the backward pass without inverses).
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/time.h"
#include "core/track/recording.h"
#include "core/track/smooth.h"
#include "core/units.h"

namespace headroom {

// Ground velocity at one instant or averaged over the seconds around it, east and north [m/s], and what else was known then.
struct GroundVelocity {
  double time_s = 0;  // increasing; any zero; the middle of what it is averaged over
  double over_s = 0;  // averaged over this long
  double east_m_s = 0, north_m_s = 0;
  double variance_m2_s2 = 0;  // of each component
  double height_m = 0;        // of any one kind; meaningless unless has_height
  bool has_height = false;
  std::optional<double> airspeed_m_s;  // true airspeed as recorded
  std::optional<double> heading_rad;   // true heading as recorded, clockwise from north
};

// What is known of the equivalent airspeed hands up, trimmers neutral, before the flight: from wing loading or from flights
// before. It may be wrong by more than it says: twice its spread is taken, and a wide alternative is kept beside it.
struct AirspeedPrior {
  Speed mean, sd;
};

struct WindOptions {
  std::optional<AirspeedPrior> airspeed;
  bool use_recorded = true;  // airspeed and heading columns; false: as if they were hidden
};

// The wind as motion of the air (towards), its covariance, and the true airspeed along the ground. SI.
struct WindState {
  float east_m_s = 0, north_m_s = 0;
  float var_east = 0, cov_east_north = 0, var_north = 0;  // [m2/s2]
  float airspeed_m_s = 0, var_airspeed = 0;

  [[nodiscard]] double spread_m_s() const;  // square root of the summed variance of both components
  [[nodiscard]] double speed_m_s() const;
  [[nodiscard]] WindFrom from() const;
};

struct WindLayer {
  double bottom_m = 0, top_m = 0;
  double seconds = 0;                  // flown in it
  double east_m_s = 0, north_m_s = 0;  // median over that time
  double spread_m_s = 0;               // of the mean wind there: median spread at the fixes
};

// The answer at instants some seconds apart; at() gives it at any fix. When nothing can be said, `unknown` is a sentence and
// there are no states.
struct WindSolution {
  std::string unknown;
  std::vector<double> times_s;
  std::vector<WindState> states;
  WindState mean;                                          // of the states, their covariances averaged too
  double trim_airspeed_m_s = 0, trim_airspeed_sd_m_s = 0;  // equivalent, the slow mean of the flight
  std::optional<double> airspeed_column_bias_m_s;          // recorded minus found
  std::optional<double> heading_column_bias_rad;           // the same
  std::vector<std::string> notes;                          // sentences

  [[nodiscard]] bool known() const { return unknown.empty(); }
  // Between instants the state is interpolated; outside, the nearest is taken. Only when known().
  [[nodiscard]] WindState at(double time_s) const;
};

// Instants taken from the track are at least this far apart: closer ones add cost and no knowledge.
inline constexpr double kWindStep_s = 4;
// No velocity is taken across a longer step.
inline constexpr double kWindLongestStep_s = 25;
// Sampling slower than this hides turns: unknown.
inline constexpr double kWindSlowest_s = 20;
// Shorter flights than this: unknown.
inline constexpr double kWindShortest_s = 60;

// Mean velocities between the fixes [first, last] of a track, kWindStep_s or more apart; `smoothed` gives their noise and the
// heights. Times count from the track's first fix; heights are
// pressure heights where known, else GNSS heights (differences and density only).
[[nodiscard]] std::vector<GroundVelocity> ground_velocities(const Track& track, const SmoothedTrack& smoothed, std::size_t first,
                                                            std::size_t last);
// Adds what the recording's own columns say: TAS or IAS, and HDT. Files differ in the unit: it is found by comparing with
// ground speed. Returns sentences: what was used, in which unit, or why not.
std::vector<std::string> add_recorded_air(const Recording& recording, const Track& track, std::span<GroundVelocity> into);

// Time and memory go with the number of instants; memory beyond the answer is bounded.
[[nodiscard]] WindSolution estimate_wind(std::span<const GroundVelocity> velocities, const WindOptions& options = {});

// By height, layers of `thickness` from a multiple of it; only layers with 20 s or more. Heights are those of `velocities`.
[[nodiscard]] std::vector<WindLayer> wind_by_height(std::span<const GroundVelocity> velocities, const WindSolution& solution,
                                                    Length thickness = metres(100));

}  // namespace headroom
