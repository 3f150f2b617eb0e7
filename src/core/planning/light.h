#pragma once
// From when to when there is light to fly by, under the rule its owner chose.
#include <optional>
#include <vector>

#include "core/earth/sun.h"
#include "core/sentence.h"

namespace headroom {

enum class LightRule : std::uint8_t {
  sunset,          // sunrise to sunset: 14 CFR 103.11(a), and many countries
  lit_beacon,      // 30 minutes more at both ends, with an anti-collision light seen 3 statute miles and outside controlled
                   // airspace: 14 CFR 103.11(b); in Alaska that rule means civil twilight
  civil_twilight,  // centre of the sun 6 degrees below the horizon at both ends
  own,             // the owner's own minutes around sunrise and sunset
};
// Only read for LightRule::own: how long before sunrise and after sunset; negative keeps away from them. Within +-3 h.
struct OwnLight {
  Duration before_sunrise, after_sunset;
};

struct Light {
  enum class Kind { some, all_day, none } kind = Kind::some;
  // The limits of that solar day; one alone is missing when the light does not end, or did not begin, on that day.
  std::optional<UtcTime> first, last;
  std::vector<Sentence> cautions;  // never empty: local law decides
};

// Errors: out_of_range for own minutes beyond 3 h.
[[nodiscard]] Result<Light> light_of_day(const SunDay& day, LightRule rule, OwnLight own = {});

}  // namespace headroom
