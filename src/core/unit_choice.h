#pragma once
// The owner's units, chosen once and overridable per call. Storage stays SI; these say how a value is shown and how a bare
// number that the owner types is read. A number typed with its unit always means that unit.
#include <cstdint>
#include <string>
#include <string_view>

#include "core/estimate.h"
#include "core/result.h"
#include "core/units.h"

namespace headroom {

// What is measured, as far as people use different units for it: a height in feet beside a distance in kilometres is usual.
enum class Measure : std::uint8_t { height, distance, speed, climb, temperature, volume, mass, pressure };
inline constexpr int kMeasures = 8;

// A unit by its written form. `to_si` = value * factor + offset.
struct Unit {
  Measure measure;
  std::string_view name;   // as shown: "km/h"
  std::string_view typed;  // further spellings accepted, separated by spaces: "kmh kph"
  double factor;
  double offset;
  std::uint8_t decimals;  // digits after the point that a reader can use
};

class UnitChoice {
 public:
  UnitChoice();  // m, km, km/h, m/s, C, L, kg, hPa
  [[nodiscard]] const Unit& of(Measure measure) const;
  // "temperature", "F" -> chosen. bad_input names the units that the measure knows.
  [[nodiscard]] Result<void> choose(std::string_view measure, std::string_view unit);
  // "speed=mph,temperature=F" or "metric" (km/h, C) or "us" (ft, mi, mph, ft/min, F, US gal, lb, inHg) or "uk".
  [[nodiscard]] Result<void> choose_list(std::string_view list);

 private:
  const Unit* chosen_[kMeasures];
};

[[nodiscard]] std::string_view measure_name(Measure measure);
// All units of a measure, for help texts: "km/h, mph, kt, m/s".
[[nodiscard]] std::string units_of(Measure measure);

// Reads a number with or without its unit ("12.4", "12,4 L", "3 US gal", "390F"); without one it is in the owner's unit.
// bad_input when it is no finite number or the unit is not one of this measure. The result is SI of the measure
// (m, m/s, K, m3, kg, Pa). Ranges are the caller's business.
[[nodiscard]] Result<double> parse_measure(Measure measure, std::string_view text, const UnitChoice& units);
// Hours and minutes: "41.2", "41.2 h", "41:12", "1h20", "1h 20m", "75 min", "75m", "90 s". A bare number is hours.
// bad_input when negative or unreadable.
[[nodiscard]] Result<Duration> parse_duration(std::string_view text);

}  // namespace headroom
