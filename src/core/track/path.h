#pragma once
// A thinned path of a flight, kept in the book so that the same flight can be told again from another recording.
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/earth/position.h"
#include "core/time.h"

namespace headroom {

struct PathPoint {
  UtcTime time{};
  GeoPosition position;
  bool operator==(const PathPoint&) const = default;
};

// Points at whole multiples of this many seconds of UTC, so that two recorders of one flight are compared at the same
// instants, whatever the pilot circled between them. 20 is a multiple of 10: a long and a short record share instants.
inline constexpr int kPathStepShort_s = 10;  // flights under an hour
inline constexpr int kPathStepLong_s = 20;   // longer ones
// No point is made up across a stretch without fixes longer than this.
inline constexpr int kPathGap_s = 60;
inline constexpr std::size_t kPathPointsMax = 100'000;

// Text form, printable ASCII (RFC 4648 base64url digits), about 5 characters a point:
//   "1", then for each point: time step, latitude step, longitude step, each a variable-length number of 5 bits a digit,
//   low bits first, the digit's 6th bit set when more follow. The first time step is in milliseconds from launch, later
//   ones in seconds from the point before; latitudes and longitudes are in 1e-5 degrees, zigzag coded steps.
// `fixes` must be in time order; those before launch or after landing are left out. Positions are interpolated linearly.
[[nodiscard]] std::string encode_path(std::span<const PathPoint> fixes, UtcTime launch, UtcTime landing);

// Any text is accepted as input: nothing comes back when it is not a whole path of at most kPathPointsMax points with
// latitudes within 90 and longitudes within 180 degrees.
[[nodiscard]] std::optional<std::vector<PathPoint>> decode_path(std::string_view text, UtcTime launch);

// How far two flights are one. Positions are compared at the instants of either path at which both are known (interpolated
// between points at most kPathGap_s apart).
struct PathOverlap {
  Duration shared;           // time during which both are known
  Duration shorter;          // from first to last point of the shorter path
  Length median_separation;  // over that time; meaningless when shared is zero
  // design.md, Flight identity: half the air time of the shorter at a median separation under 50 m.
  [[nodiscard]] bool same_flight() const {
    return shared.si() > 0 && shared.si() >= 0.5 * shorter.si() && median_separation.si() < 50;
  }
};
[[nodiscard]] PathOverlap compare_paths(std::string_view a, UtcTime a_launch, std::string_view b, UtcTime b_launch);

}  // namespace headroom
