#pragma once
// A field or one strip of it, as walked with a recorder: round its edge, or along one line.
// Nothing here looks for obstacles: a straight that fits inside the edge says nothing of what stands at its end.
// Spread: a receiver's error wanders slower than a walker, so that its fixes agree with one another better than with the ground.
// kReceiverSpread_m is therefore the least spread of any walked place; scatter about the smoothed path can only widen it.
#include <optional>
#include <string>
#include <vector>

#include "core/earth/geodesy.h"
#include "core/earth/geoid.h"
#include "core/result.h"
#include "core/sentence.h"
#include "core/track/clean.h"
#include "core/units.h"

namespace headroom {

// One standard deviation along any one direction, and of a height. From 8 m and 13 m, which 95 of 100 errors of GPS stay within
// by its Standard Positioning Service Performance Standard, 5th ed. (2020), table 3.8-3 (from memory; signal in space alone),
// as 8 m / 2.45 and 13 m / 1.96, rounded. A barometer's differences over a walk: 1 m, the step of an IGC height (assumed).
inline constexpr double kReceiverSpread_m = 3, kReceiverHeightSpread_m = 6.5, kBarometerSpread_m = 1;
// Taken off at either end of a straight, in standard deviations: 1 in 20 on that side of a normal distribution.
inline constexpr double kEndSpreads = 1.645;
// Faster than this is not on foot.
inline constexpr double kFootSpeedMax_m_s = 3;

struct Straight {
  EastNorth from, to;
  Length length;
};
// The longest straight inside a polygon without holes; the last corner is joined to the first. Such a straight ends on or passes
// through two corners: where it touches fewer, it can be moved or turned until it is longer. So every line through two corners
// is tried, n^3 steps for n corners. Along an edge counts as inside. What a line that crosses itself goes round once or more is
// inside; such a polygon's answer may be too short, never too long. Nothing for fewer than 3 corners or an area of zero.
// Accuracy: 1e-6 m for coordinates within 10 km of the origin.
[[nodiscard]] std::optional<Straight> longest_straight(const std::vector<EastNorth>& polygon);

enum class WalkKind : std::uint8_t { edge, line };

struct WalkedStrip {
  double towards_deg = 0;         // true, 0 to 360
  double towards_spread_deg = 0;  // one standard deviation, from the spread of its two ends
  Length length;                  // the low end: the straight less kEndSpreads spreads at either end
  Length straight;                // as walked, before that
  GeoPosition begin;              // of the straight
  std::optional<double> slope;    // rise over run, up positive; none: the heights do not tell
  double slope_spread = 0;        // half of the 90 % interval; only with a slope
};

struct Walk {
  WalkKind kind = WalkKind::edge;
  GeoPosition centre;                               // of the area; of a line its middle
  std::optional<AltitudeMsl> height;                // median of the GNSS heights, over the sea
  std::optional<PressureAltitude> pressure_height;  // median; over 1013.25 hPa, which is no height over the sea
  std::string height_remark;                        // what kind of height it is, or why there is none; a sentence
  Area area;                                        // edge only
  Area area_spread;                                 // one standard deviation
  Length gap;                                       // edge only: between the two ends of the walk, joined by a straight
  Length spread;                                    // of a walked place, one standard deviation along any direction
  std::vector<WalkedStrip> strips;       // edge: the longest straight, both ways; line: the way out; none shorter than 5 m
  std::string slope_remark;              // what the slope is from, or why it is left unsaid; a sentence
  std::size_t fixes = 0, set_aside = 0;  // used; out of a walker's reach
  std::vector<Sentence> remarks;         // what of the walk narrows or doubts the answer
};

// What a walk says of the field. Spikes of the receiver are left out (a walker does not reach them), standing still and ways to
// the edge and back are cut off, the rest is smoothed over 7 s. A straight that ends in a corner has little room beside it
// there: the width is not looked at.
// Without a geoid, heights over the ellipsoid give no height over the sea.
// Errors, bad_input: fewer than 20 fixes; less than 15 m walked; faster than on foot for more than a tenth of the time; a way
// that neither closes to within a quarter of its length nor keeps to a line.
[[nodiscard]] Result<Walk> read_walk(const Track& track, const Geoid* geoid);

}  // namespace headroom
