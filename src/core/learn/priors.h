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

// --- Take-off
// Measured run over the run by force balance, of a pilot whose own runs are not in the book. Own estimate, no source; wide
// and leaning to longer runs.
inline constexpr Prior run_factor{"run_factor", 0.80, 1.10, 1.70, 1, Dimension::none, "1", "own estimate"};
// Highest ground speed at which a pilot still runs with the unit on. From memory, no source: 4 to 8 m/s, most nearer 5.
inline constexpr Prior fastest_run{"fastest_run", 4.0, 5.2, 8.0, 1, Dimension::speed, "m/s", "common practice, from memory"};
// Ground covered while the wing comes up. Common practice, no source.
inline constexpr Prior inflation{"inflation", 3, 6, 12, 1, Dimension::length, "m", "common practice"};
// Resistance to running or rolling as a share of the weight still on feet or wheels, firm ground. Own estimate, no source;
// what a surface adds to it comes from the published factors.
inline constexpr Prior resistance{"resistance", 0.02, 0.06, 0.12, 1, Dimension::none, "1", "own estimate"};
// Lift coefficient of the flat wing area at lift-off, with the brakes about half way, and at trim. Own estimates about the 0.6
// that is usual for a ram-air wing at trim (from memory); a wing stalls above them.
inline constexpr Prior lift_off_cl{"lift_off_cl", 0.75, 0.92, 1.10, 1, Dimension::none, "1", "own estimate, from memory"};
inline constexpr Prior trim_cl{"trim_cl", 0.48, 0.56, 0.64, 1, Dimension::none, "1", "own estimate, from memory"};
// Glide with pilot, frame and cage hanging below. Common practice, no source.
inline constexpr Prior glide{"glide", 4.0, 5.5, 7.0, 1, Dimension::none, "1", "common practice"};

// --- Burn by phase of a 100-250 cc two-stroke of this class. Own estimates about the 2.5-6 L/h of common practice: idle and
// warm-up below it, full throttle above.
inline constexpr Prior burn_ground{"burn_ground", 0.8, 1.8, 4.0, 1e-3 / 3600, Dimension::volume_flow, "L/h", "own estimate"};
inline constexpr Prior burn_climb{"burn_climb", 3.5, 5.6, 9.0, 1e-3 / 3600, Dimension::volume_flow, "L/h", "own estimate"};
inline constexpr Prior burn_level{"burn_level", 2.2, 3.6, 5.6, 1e-3 / 3600, Dimension::volume_flow, "L/h", "own estimate"};
// One standard deviation of what one flight burns more or less than another like it, as a share. Own estimate, no source.
inline constexpr Prior burn_scatter{"burn_scatter", 0.03, 0.06, 0.12, 1, Dimension::none, "1", "own estimate"};
// One standard deviation of the litres between two fills of one level in the tank. Own estimate, no source.
inline constexpr Prior refuel_error{"refuel_error", 0.3, 0.3, 0.3, 1e-3, Dimension::volume, "L", "own estimate"};
// Petrol at 15 C. Source: EN 228, 720 to 775 kg/m3; the middle from memory.
inline constexpr Prior petrol_density{"petrol_density", 720, 745, 775, 1, Dimension::none, "kg/m3", "EN 228"};

// --- What flights show (core/learn/learned.h), at standard conditions. The first is of this machine or pilot as a mean; the
// scatter is one standard deviation of one flight about that mean. Ranges: common practice for one-seat foot-launched machines of
// this class (trim 36-42 km/h, to 60 fast; sink 1.3-2.3 m/s; climb 1-3 m/s); all scatters are own estimates, no source.
inline constexpr Prior trim_airspeed{"trim_airspeed", 36, 39, 42, 1 / 3.6, Dimension::speed, "km/h", "common practice"};
inline constexpr Prior trim_scatter{"trim_scatter", 1, 1.5, 3, 1 / 3.6, Dimension::speed, "km/h", "own estimate"};
inline constexpr Prior level_speed{"level_speed", 35, 40, 50, 1 / 3.6, Dimension::speed, "km/h", "common practice"};
inline constexpr Prior level_scatter{"level_scatter", 1, 2, 4, 1 / 3.6, Dimension::speed, "km/h", "own estimate"};
inline constexpr Prior sink_rate{"sink_rate", 1.3, 1.8, 2.3, 1, Dimension::climb, "m/s", "common practice"};
inline constexpr Prior sink_scatter{"sink_scatter", 0.1, 0.2, 0.4, 1, Dimension::climb, "m/s", "own estimate"};
inline constexpr Prior climb_rate{"climb_rate", 1.0, 2.0, 3.0, 1, Dimension::climb, "m/s", "common practice"};
inline constexpr Prior climb_scatter{"climb_scatter", 0.15, 0.3, 0.5, 1, Dimension::climb, "m/s", "own estimate"};
// Measured room over the plain rule of learned.h. The rule is calm air's 36 m, common practice is 10 to 60 m by wind.
inline constexpr Prior plain_run_factor{"plain_run_factor", 0.5, 1.0, 2.0, 1, Dimension::none, "1", "own estimate"};
inline constexpr Prior plain_run_scatter{"plain_run_scatter", 0.15, 0.25, 0.4, 1, Dimension::none, "1", "own estimate"};
// Standard deviation of the climb rate at 5 to 20 s in the air a pilot chooses. Scatter as a share.
inline constexpr Prior roughness{"roughness", 0.2, 0.5, 1.25, 1, Dimension::climb, "m/s", "own estimate"};
inline constexpr Prior roughness_scatter{"roughness_scatter", 0.25, 0.4, 0.6, 1, Dimension::none, "1", "own estimate"};

// --- Limits of a pilot who entered none. Common practice, no source: many stop at 10 to 12 mph of mean wind and at gusts 5 to 7
// mph above it; FAA-H-8083-29 calls winds under 10 mph ideal.
inline constexpr Prior limit_wind{"limit_wind", 10, 11, 12, 0.44704, Dimension::speed, "mph", "common practice; FAA-H-8083-29"};
inline constexpr Prior limit_gust_spread{"limit_gust_spread", 5, 6, 7, 0.44704, Dimension::speed, "mph", "common practice"};
inline constexpr Prior limit_crosswind{"limit_crosswind", 3, 5, 7, 0.44704, Dimension::speed, "mph", "own estimate"};

inline constexpr std::array all{burn,
                                running_per_air,
                                held_back,
                                mix_keeps,
                                mix_ratio,
                                idle_days,
                                launches_in_90_days,
                                drill_every,
                                air_time_error,
                                missing_end,
                                meter_error,
                                air_per_year,
                                flight_length,
                                run_factor,
                                fastest_run,
                                inflation,
                                resistance,
                                lift_off_cl,
                                trim_cl,
                                glide,
                                burn_ground,
                                burn_climb,
                                burn_level,
                                burn_scatter,
                                refuel_error,
                                petrol_density,
                                trim_airspeed,
                                trim_scatter,
                                level_speed,
                                level_scatter,
                                sink_rate,
                                sink_scatter,
                                climb_rate,
                                climb_scatter,
                                plain_run_factor,
                                plain_run_scatter,
                                roughness,
                                roughness_scatter,
                                limit_wind,
                                limit_gust_spread,
                                limit_crosswind};

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
