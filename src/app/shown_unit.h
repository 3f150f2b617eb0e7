#pragma once
// Figures of any dimension as plain numbers in the owner's unit, for axes and rows.
#include <string>

#include "core/estimate.h"
#include "core/unit_choice.h"

namespace headroom {

// shown = (si - offset) / factor
struct ShownUnit {
  std::string name;  // "km/h", "°C", "L/h", "°"; empty for a plain number
  double factor = 1, offset = 0;
  int decimals = 1;  // that a reader can use

  [[nodiscard]] double shown(double si) const { return (si - offset) / factor; }
  // Rounded to `more` decimals beyond what a reader can use.
  [[nodiscard]] double rounded(double si, int more = 0) const;
};

// Of lengths that of heights or, from 1 km on, that of distances; of durations s, min or h by the size of `about` [SI].
[[nodiscard]] ShownUnit shown_unit(Dimension dimension, const UnitChoice& units, double about = 0);

}  // namespace headroom
