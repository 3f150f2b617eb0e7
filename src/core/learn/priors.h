#pragma once
// Every figure that is assumed until the owner's own book says better: 5, 50 and 95 %, unit, and where it comes from.
// The owner overrides one by the setting "prior.<key>" with the text "low mid high" in the unit shown here; unless the three
// are finite and in order the setting is not used.
#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "core/estimate.h"

namespace headroom {

struct Prior {
  std::string_view key;
  double low = 0, mid = 0, high = 0;  // in `unit`
  double si_per_unit = 1;
  Dimension dimension = Dimension::none;
  std::string_view unit;
  std::string_view source;
};

namespace prior {

// Fuel burnt an hour of running. Source: common practice for 100-250 cc two-strokes of this class (2.5-6 L/h), no source.
inline constexpr Prior burn{"burn", 2.5, 4.0, 6.0, 1e-3 / 3600, Dimension::volume_flow, "L/h", "common practice"};
// Engine running hours an hour of air time: warm-up and taxi add, flight with the engine stopped takes away.
inline constexpr Prior running_per_air{"running_per_air", 0.85, 1.05, 1.25, 1, Dimension::none, "1", "common practice"};
// Fuel kept for the unforeseen, as flight time. Source: 14 CFR 91.151(a)(1) asks airplanes by day for 30 minutes at normal
// cruise after the planned flight; it does not bind ultralights and is taken over as a figure to start from.
inline constexpr Prior held_back{"held_back", 30, 30, 30, 60, Dimension::duration, "min", "14 CFR 91.151(a)(1), taken over"};
// How long mixed fuel is kept. Common practice, 2 to 7 weeks.
inline constexpr Prior mix_keeps{"mix_keeps", 14, 28, 49, 86400, Dimension::calendar, "days", "common practice"};
// Petrol to oil, fewest and most oil in use: 50:1 to 25:1. Common practice.
inline constexpr Prior mix_ratio{"mix_ratio", 25, 40, 50, 1, Dimension::ratio, "1", "common practice"};
// Days without a flight after which practice is thought to fade. Common practice, no source.
inline constexpr Prior idle_days{"idle_days", 30, 60, 120, 86400, Dimension::calendar, "days", "common practice"};
// Launches within 90 days. Source: 14 CFR 61.57(a)(1), three take-offs and landings in 90 days to carry passengers, taken over.
inline constexpr Prior launches_in_90_days{"launches_in_90_days",           3, 3, 3, 1, Dimension::count, "launches",
                                           "14 CFR 61.57(a)(1), taken over"};
// Time between reserve drills (reaching for the handle, hanging, on the ground). Common practice, no source.
inline constexpr Prior drill_every{"drill_every", 180, 270, 365, 86400, Dimension::calendar, "days", "common practice"};
// One standard deviation of an air time found from a recording, or typed. Our own estimate, no source.
inline constexpr Prior air_time_error{"air_time_error", 60, 60, 60, 1, Dimension::duration, "s", "own estimate"};
// Air time that may be missing at an end that was not recorded: the high side only. Our own estimate, no source.
inline constexpr Prior missing_end{"missing_end", 15, 15, 15, 60, Dimension::duration, "min", "own estimate"};
// One standard deviation of an hour-meter reading: meters of this class show tenths of an hour. Common practice.
inline constexpr Prior meter_error{"meter_error", 0.05, 0.05, 0.05, 3600, Dimension::duration, "h", "common practice"};
// Use of an owner whose book is still short. Common practice, no source.
inline constexpr Prior air_per_year{"air_per_year", 10, 40, 120, 3600, Dimension::duration, "h/year", "common practice"};
// Length of a flight, to turn hours to launches for such an owner. Common practice, no source.
inline constexpr Prior flight_length{"flight_length", 20, 45, 90, 60, Dimension::duration, "min", "common practice"};

inline constexpr std::array all{burn,        running_per_air,     held_back,    mix_keeps,      mix_ratio,
                                idle_days,   launches_in_90_days, drill_every,  air_time_error, missing_end,
                                meter_error, air_per_year,        flight_length};

}  // namespace prior

// Earlier values needed before one is called usual or unusual.
inline constexpr int kUsualNeeds = 5;
// Half-width of the usual band in robust standard deviations (1.4826 x median absolute deviation), and the least spread a
// head-temperature gauge is credited with. Our own choice, no source.
inline constexpr double kUsualWidth = 2.5;
inline constexpr double kUsualLeastSpreadKelvin = 3.0;

// The prior in SI, or what the setting text says instead.
[[nodiscard]] Amount prior_amount(const Prior& prior, std::string_view setting_text = {});

}  // namespace headroom
