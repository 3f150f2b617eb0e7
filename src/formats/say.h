#pragma once
// Values as people read them, in the owner's units. One place turns a number into text.
#include <string>

#include "core/estimate.h"
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

}  // namespace headroom
