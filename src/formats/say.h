#pragma once
// Values as people read them, in the owner's units. One place turns a number into text.
#include <string>

#include "core/estimate.h"
#include "core/margin.h"
#include "core/sentence.h"
#include "core/time.h"
#include "core/unit_choice.h"

namespace headroom {

[[nodiscard]] std::string say_height(Length height, const UnitChoice& units);       // "126 m"
[[nodiscard]] std::string say_distance(Length distance, const UnitChoice& units);   // "4.1 km", under 1 km in the unit of heights
[[nodiscard]] std::string say_speed(Speed speed, const UnitChoice& units);          // "38 km/h"
[[nodiscard]] std::string say_climb(Speed climb, const UnitChoice& units);          // "2.1 m/s"
[[nodiscard]] std::string say_temperature(Temperature t, const UnitChoice& units);  // "198 °C"
[[nodiscard]] std::string say_volume(Volume volume, const UnitChoice& units);       // "6.0 L"
[[nodiscard]] std::string say_mass(Mass mass, const UnitChoice& units);             // "121 kg"
// Any measure by its SI value, with `more_decimals` beyond what is usual for its unit: "820.7 hPa". An hPa is 8 m of height.
[[nodiscard]] std::string say_measure(Measure measure, double si, const UnitChoice& units, int more_decimals = 0);
// A difference of temperatures: "17.4 °C".
[[nodiscard]] std::string say_temperature_difference(TemperatureDifference d, const UnitChoice& units, int more_decimals = 0);
// "12000 m²", or "129000 ft²" for owners who measure heights in feet; three figures.
[[nodiscard]] std::string say_area(Area area, const UnitChoice& units);
// "0.9716 kg/m³", or "0.06065 lb/ft³" for owners who measure in pounds and feet.
[[nodiscard]] std::string say_density(Density density, const UnitChoice& units);
// Elapsed time, by its size: "42 s", "4 min 21 s", "1 h 20 min", "41.2 h" from ten hours on.
[[nodiscard]] std::string say_duration(Duration d);
// A time between dates: "today", "12 days", "5 months", "2.5 years"; negative values read the same without a sign.
[[nodiscard]] std::string say_days(Duration d);
// A chance, shown no finer than 1 in 20: "1 in 20 or less", "1 in 9", "more likely than not", "19 in 20 or more".
[[nodiscard]] std::string say_chance(double chance);

// The middle of an amount in the owner's unit; with spread: "31 m (22 to 40)". An unknown says "not known".
[[nodiscard]] std::string say_amount(const Amount& amount, const UnitChoice& units, bool with_spread);

// A sentence of core with its figures in the owner's units, middle values only.
[[nodiscard]] std::string say_sentence(const Sentence& sentence, const UnitChoice& units);

// What is left of a margin: "31 m left: 120 m there, 89 m (66 m to 127 m) needed." Empty when it is not known.
[[nodiscard]] std::string say_left(const Margin& margin, const UnitChoice& units);

}  // namespace headroom
