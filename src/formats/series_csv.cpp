#include "formats/series_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

#include "core/time.h"

namespace headroom {
namespace {

constexpr std::string_view kSeriesHeader =
    "time,latitude,longitude,height_m,ground_speed_m_s,track_deg,climb_m_s,airborne,engine_on,wind_from_deg,wind_m_s,"
    "wind_sd_m_s,airspeed_m_s,airspeed_sd_m_s\n";

using SeriesText = fmt::memory_buffer;

// One cell with the comma before it; what is not known (or not a number) leaves it empty. Never "-0.00".
void put_cell(SeriesText& out, bool known, double value, int decimals) {
  out.push_back(',');
  if (!known || !std::isfinite(value)) return;
  const auto begin = out.size();
  fmt::format_to(std::back_inserter(out), "{:.{}f}", value, decimals);
  const char* text = out.data() + begin;
  const char* end = out.data() + out.size();
  if (*text != '-' || std::any_of(text, end, [](char c) { return c >= '1' && c <= '9'; })) return;
  out.resize(begin);
  fmt::format_to(std::back_inserter(out), "{:.{}f}", 0.0, decimals);
}

// From north, clockwise, at least 0 and below 360 also after rounding to a tenth.
double bearing_deg(double east, double north) {
  const double tenths = std::round(std::atan2(east, north) * 1800 / std::numbers::pi);
  return (tenths < 0 ? tenths + 3600 : tenths >= 3600 ? 0 : tenths) / 10;
}

// The flight whose engine chain speaks for a fix: the one it is flown in, else the one whose ground it is, the later if both.
const FlightDetail* engine_at(std::size_t fix, const Analysis& analysis, std::span<const FlightDetail* const> details) {
  const FlightDetail* found = nullptr;
  for (std::size_t k = 0; k < details.size() && k < analysis.found.size(); ++k) {
    const auto& engine = details[k]->engine;
    if (!engine.known() || fix < engine.first || fix - engine.first >= engine.on.size()) continue;
    found = details[k];
    if (fix >= analysis.found[k].first && fix <= analysis.found[k].last) return found;
  }
  return found;
}

}  // namespace

std::string series_csv(const Analysis& analysis, std::span<const FlightDetail* const> details) {
  const auto& fixes = analysis.track.fixes;
  SeriesText out;
  out.append(kSeriesHeader);
  std::size_t flight = 0;
  for (std::size_t i = 0; i < fixes.size() && i < analysis.smoothed.fixes.size(); ++i) {
    const auto& f = analysis.smoothed.fixes[i];
    while (flight < analysis.found.size() && analysis.found[flight].last < i) ++flight;
    const bool airborne = flight < analysis.found.size() && analysis.found[flight].first <= i;

    out.append(rfc3339(fixes[i].time));
    put_cell(out, true, f.position.latitude_deg, 7);
    put_cell(out, true, f.position.longitude_deg, 7);
    // One kind of height in one file: a change of kind would look like a climb.
    const auto& height = analysis.track.has_gnss ? f.gnss : f.pressure;
    put_cell(out, height.known, height.height_m, 1);
    const double speed = std::hypot(f.east_m_s, f.north_m_s);
    put_cell(out, true, speed, 2);
    // Slower than its own spread, a motion has no direction.
    put_cell(out, speed > std::sqrt(2 * static_cast<double>(f.horizontal.velocity)), bearing_deg(f.east_m_s, f.north_m_s), 1);
    const auto& climb = analysis.track.has_pressure && f.pressure.known ? f.pressure : f.gnss;
    put_cell(out, climb.known, climb.rate_m_s, 2);
    out.push_back(',');
    out.push_back(airborne ? '1' : '0');
    const auto* engine = engine_at(i, analysis, details);
    put_cell(out, engine != nullptr, engine == nullptr ? 0 : static_cast<double>(engine->engine.on[i - engine->engine.first]), 3);
    if (!airborne || flight >= details.size() || !details[flight]->wind.known()) {
      out.append(std::string_view(",,,,,\n"));
      continue;
    }
    const auto wind = details[flight]->wind.at(std::chrono::duration<double>(fixes[i].time - fixes.front().time).count());
    const double east = static_cast<double>(wind.east_m_s), north = static_cast<double>(wind.north_m_s);
    put_cell(out, true, bearing_deg(-east, -north), 1);
    put_cell(out, true, std::hypot(east, north), 2);
    put_cell(out, true, wind.spread_m_s(), 2);
    put_cell(out, true, static_cast<double>(wind.airspeed_m_s), 2);
    put_cell(out, true, std::sqrt(static_cast<double>(wind.var_airspeed)), 2);
    out.push_back('\n');
  }
  return fmt::to_string(out);
}

}  // namespace headroom
