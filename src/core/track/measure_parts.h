#pragma once
// What the measures of a flight are made from: its fixes one by one, and means over blocks of them. Equations and constants:
// docs/analysis/measures.md.
#include <cmath>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "core/track/engine.h"
#include "core/track/phases.h"

namespace headroom {

// Per fix of a flight, from `first`. Heights of the better kind, not a number where a fix has none.
struct FlightSeries {
  std::size_t first = 0;
  bool heights = false, by_pressure = false, wind = false;  // heights: some fix has one
  double height_variance_m2 = 0;                            // of one height as written, rounding included
  std::vector<double> time_s;                               // since the track's first fix
  std::vector<double> height_m, raw_m;                      // smoothed, as written
  std::vector<double> airspeed_m_s, airspeed_var;           // along the ground; only with `wind`
  std::vector<double> heading_rad;  // of the motion through the air, or over the ground without `wind`; unwound
  [[nodiscard]] std::size_t size() const { return time_s.size(); }
  [[nodiscard]] bool has_height(std::size_t i) const { return std::isfinite(height_m[i]) && std::isfinite(raw_m[i]); }
};
[[nodiscard]] FlightSeries flight_series(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                         const WindSolution& wind);

// Turn rate over the `span_s` seconds around each fix [rad/s], to the right positive; 0 where too little is there.
[[nodiscard]] std::vector<double> turn_rates(const FlightSeries& s, double span_s);

// The mean of climb rate and airspeed over some seconds in one piece.
struct ClimbBlock {
  double seconds = 0, begin_s = 0;
  double climb_m_s = 0;
  double airspeed_m_s = 0, airspeed_var = 0;
};
// Pieces of the chosen fixes that have heights, cut into blocks of about `length_s`; shorter rests than 0.6 of it are left out.
[[nodiscard]] std::vector<ClimbBlock> climb_blocks(const FlightSeries& s, const std::vector<char>& chosen, double length_s);

// Mean climb rate of the blocks and its standard deviation: the air moves up and down alike over neighbouring blocks.
struct BlockMean {
  double seconds = 0, mean = 0, sd = 0;
};
// `air_m_s` is the deviation of one block's mean that the air of this flight makes.
[[nodiscard]] BlockMean mean_of_blocks(std::span<const ClimbBlock> blocks, bool by_pressure, double air_m_s);
// That deviation, from the differences of blocks that follow one another.
[[nodiscard]] double vertical_air(std::span<const ClimbBlock> blocks);

// Standard deviation of the climb rate at periods of 5 to 20 s, noise of the heights taken off, and its own deviation.
struct Roughness {
  double seconds = 0, sd_m_s = 0, error_m_s = 0;
};
// Of the chosen fixes; those without a height, and what would be taken across them, are left out.
[[nodiscard]] Roughness roughness_of(const FlightSeries& s, const std::vector<char>& chosen);

}  // namespace headroom
