#pragma once
// The instant at which an aircraft left or met the ground, as a distribution over the seconds around a first guess: from the
// bend in its height and from its speed. Equations, and what is assumed: docs/analysis/measures.md, "Lift-off and landing".
#include <cstddef>
#include <vector>

#include "core/track/clean.h"
#include "core/track/smooth.h"

namespace headroom {

// Weights at instants first_s, first_s + step_s, ... (seconds since the track's first fix); they sum to 1.
// Empty where nothing can be told: no heights, fixes too far apart.
struct ContactTimes {
  double first_s = 0, step_s = 0;
  std::vector<double> weight;
  [[nodiscard]] bool known() const { return !weight.empty(); }
  // The instant that this share of the weight lies before; only when known.
  [[nodiscard]] double quantile_s(double share) const;
};

enum class ContactKind : unsigned char { lift_off, touch_down };

// Fixes further apart than this tell no contact.
inline constexpr double kContactSlowest_s = 12;

// `guess` is a fix within some seconds of the contact. Looks `reach_s` to either side. Time goes with the fixes within about 20
// s.
[[nodiscard]] ContactTimes find_contact(const Track& track, const SmoothedTrack& smoothed, std::size_t guess, ContactKind kind,
                                        double reach_s);

}  // namespace headroom
