#pragma once
// What the owner says of the day, as typed: field, wind, air, sky, tank, who flies.
#include <string>
#include <string_view>
#include <vector>

#include "app/session.h"
#include "core/planning/brief.h"
#include "core/planning/day.h"

namespace headroom {

// Texts as typed, each with its unit or in the owner's; empty: not said. `metar`, `taf`, `route` (GPX) and `airspace` (GeoJSON)
// are what stands in the report or file, not its name.
struct SaidDay {
  std::string field, strip, ground, wind, windsock, aloft, temperature, dew_point, qnh, visibility, cloud_base, tank, all_up,
      pilot_mass, passenger, light, who, overdue, route, airspace, height, station;
  std::vector<std::string> sky;
  std::string metar, taf;
  bool wheels = false, borrower = false, over_water = false, hills = false, mown = false;
};

// "240/12kt", "240/20 km/h gust 30 km/h", "var/3kt", "calm": true degrees it blows from. Typed for a moment: half a metre a
// second and a tenth either way. bad_input and out_of_range name the option.
[[nodiscard]] Result<DayWind> parse_wind(const char* option, const std::string& text, const UnitChoice& units);
// "firm", "dry grass", "wet grass", "soft", "snow".
[[nodiscard]] Result<Surface> surface_today(const std::string& word);
[[nodiscard]] std::string_view ground_words(Surface surface);  // "firm ground", "wet grass", "soft ground or snow"

// How long the flight is to last: "45 min", "1h30". A bare number is refused: who means minutes must not be given hours.
// out_of_range for nothing and for more than 24 h.
[[nodiscard]] Result<Duration> parse_planned(const std::string& text);

// bad_input and out_of_range name the option ("--wind").
[[nodiscard]] Result<Day> day_of(const SaidDay& said, const Session& session, Ports& ports, UtcTime start);
// The forecast, once the rest of the day stands in the request: how long the flight takes may hang on it. Errors as above.
[[nodiscard]] Result<void> add_forecast(BriefRequest& request, const SaidDay& said, const Session& session);

}  // namespace headroom
