#include "app/wind_of_flight.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/flight_again.h"

namespace headroom {

Result<DayWind> wind_of_flight(const State& state, Ports& ports, UtcTime start, std::optional<AltitudeMsl> height) {
  constexpr auto kHolds = std::chrono::hours(6);
  constexpr double kPerHour_m_s = 0.6, kLayer_m = 100;
  const auto none = [](const char* what) { return fail(ErrorKind::not_found, what, "--wind-aloft"); };
  const FlightState* flight = nullptr;
  for (const FlightState& f : state.flights)
    if (f.counts && f.recording != Hash{} && f.landing <= start && start - f.landing <= kHolds &&
        (flight == nullptr || f.landing > flight->landing))
      flight = &f;
  if (flight == nullptr) return none("no recorded flight of the last six hours is in the book");
  const auto again = flight_again(*flight, {}, ports);
  if (!again) {
    auto error = again.error();
    if (error.kind == ErrorKind::not_found) error.where = "--wind-aloft";
    return tl::unexpected<Error>(std::move(error));
  }
  const auto& detail = again->detail;
  if (detail.layers.empty())
    return fail(
        ErrorKind::refused,
        "the last flight does not tell its wind" + (detail.wind.unknown.empty() ? std::string() : ": " + detail.wind.unknown),
        "--wind-aloft");
  const WindLayer* layer = nullptr;
  const auto off = [&](const WindLayer& l) {
    const double h = height->si();
    return h < l.bottom_m ? l.bottom_m - h : h > l.top_m ? h - l.top_m : 0.0;
  };
  double lowest = 1e300;
  for (const WindLayer& l : detail.layers) lowest = std::min(lowest, l.bottom_m);
  for (const WindLayer& l : detail.layers) {
    if (height) {
      if (layer == nullptr || off(l) < off(*layer)) layer = &l;
    } else if (l.bottom_m >= lowest + kLayer_m && (layer == nullptr || l.seconds > layer->seconds)) {
      layer = &l;
    }
  }
  if (layer == nullptr) layer = &detail.layers.back();
  // A wind of the air's own motion: east and north are where it goes.
  const double mean = std::hypot(layer->east_m_s, layer->north_m_s);
  const double hours_since = in_hours(duration_between(flight->landing, start));
  const double half = kNormal95 * layer->spread_m_s + kPerHour_m_s * hours_since;
  DayWind wind;
  double from = std::atan2(-layer->east_m_s, -layer->north_m_s);
  if (from < 0) from += 2 * std::numbers::pi;
  wind.from = WindFrom(from);
  wind.mean = {
      metres_per_second(std::max(0.0, mean - half)), metres_per_second(mean), metres_per_second(mean + half), measured(), {}};
  wind.source = "your flight of " + rfc3339(flight->launch).substr(11, 5) + " UTC, " +
                std::to_string(std::lround(layer->bottom_m)) + " to " + std::to_string(std::lround(layer->top_m)) +
                " m above the sea";
  return wind;
}

}  // namespace headroom
