#pragma once
// The flying of the invented season: when, in what air, how flown, how recorded. What the owner writes about it is in season.cpp.
#include <span>

#include "core/simulate/ride.h"
#include "core/simulate/season.h"

namespace headroom::simulate {

enum class Strip : std::uint8_t { home, other };
struct StripPlace {
  double east_m = 0, north_m = 0;
};
[[nodiscard]] StripPlace place_of(Strip strip);
// Inland, near 52.3 N 0.4 E. Geoid height there by EGM96 46.07 m.
[[nodiscard]] Site invented_site();

enum class Style : std::uint8_t { circuits, evening, local, triangle, round, steps, engine_off, outward, homeward };
enum class Weather : std::uint8_t { calm, steady, gusty, sea_breeze, sheared, thermic };

// One flight.
struct SeasonDay {
  int days_before_end, hour, minute;
  Strip from;
  Style style;
  Weather weather;
  double wind_10m, from_deg, qnh_hpa, warmer_k;
  int turned_deg;  // the whole route about its strip, clockwise
  int interval_s;
  EngineColumn engine;
  bool kiting, false_start, reverse;
};
[[nodiscard]] std::span<const SeasonDay> season_days();  // kSeasonFlights of them, in order
inline constexpr int kRideBefore = 8, kRideAfter = 30;   // a drive to the strip before it, home after it, in a file of its own
inline constexpr int kWithRide = 14;                     // the recorder is left on during the drive home
inline constexpr int kLeftOn = 18;                       // left on until after the next flight
inline constexpr int kTwoRecorders = 22;
inline constexpr int kSwitchedOnInTheAir = 27;

inline constexpr int kPropellerDay = 120, kJetDay = 60;  // alterations, days before the end
inline constexpr int kLeakFrom = 37;                     // flight from which the mixture leans

// Flies it. `number` from 1; `begin` is when the owner comes to the strip. Errors as simulate_flight.
[[nodiscard]] Result<SimulatedFlight> fly_day(int number, std::uint64_t seed, UtcTime begin, Volume fuel);
// A drive between the strips' country and the owner's house, arriving at the home strip or leaving it.
[[nodiscard]] Result<SimulatedFlight> drive(bool to_strip, std::uint64_t seed, UtcTime begin, StripPlace from_or_to,
                                            const AirScript& air);
// What recorder `which` (0 or 1) wrote of it.
[[nodiscard]] Result<Recording> recorded(const SimulatedFlight& flight, int number, int which);

}  // namespace headroom::simulate
