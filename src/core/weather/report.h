#pragma once
// What a weather report says, as values. Nothing here is guessed: a piece that was not reported or could not be
// read is missing, and `Unreadable` tells the two apart.
//
// Wind is true, not magnetic. Cloud bases are above the aerodrome. Times are UTC.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/time.h"
#include "core/units.h"

namespace headroom {

// The mean of ten minutes (two in the United States) at 10 m above open ground.
struct ReportedWind {
  std::optional<WindFrom> from;  // missing when calm, variable, or not measured
  bool variable = false;         // from no one direction (VRB)
  Speed mean;                    // zero is calm
  bool mean_at_least = false;    // P99: above the scale
  std::optional<Speed> gust;
  bool gust_at_least = false;
  std::optional<WindFrom> between_from, between_to;  // veers clockwise from one to the other
};

// At the ground; the prevailing one, and the lowest in any direction when given.
struct ReportedVisibility {
  enum class Bound : std::uint8_t { exactly, less_than, at_least } bound = Bound::exactly;
  Length distance;
  std::optional<Length> least;  // in some direction
};

// One group of present weather, e.g. +TSRA.
struct WeatherCode {
  enum class Strength : std::uint8_t { light, moderate, heavy } strength = Strength::moderate;
  bool vicinity = false;           // not at the aerodrome but within 8 to 16 km
  std::string descriptor;          // two letters or none: MI PR BC DR BL SH TS FZ
  std::vector<std::string> kinds;  // two letters each, as coded: RA, SN, FG, ...
  [[nodiscard]] bool has(std::string_view kind) const {
    for (const std::string& k : kinds)
      if (k == kind) return true;
    return false;
  }
};
// Thunder, a squall or a funnel cloud, here or in the vicinity.
[[nodiscard]] bool is_thunderstorm(const WeatherCode& code);
// Anything that falls and wets a wing: drizzle, rain, snow, hail, ice pellets, or showers nearby.
[[nodiscard]] bool is_precipitation(const WeatherCode& code);
[[nodiscard]] bool is_fog(const WeatherCode& code);  // FG in any form; mist is not fog
[[nodiscard]] bool is_freezing(const WeatherCode& code);

struct CloudLayer {
  enum class Amount : std::uint8_t { few, scattered, broken, overcast, hidden, not_measured } amount = Amount::not_measured;
  std::optional<HeightAboveGround> base;  // of `hidden`: the vertical visibility
  enum class Convective : std::uint8_t { none, towering_cumulus, cumulonimbus, not_measured } convective = Convective::none;
};
struct ReportedSky {
  enum class Statement : std::uint8_t {
    layers,            // as listed
    none,              // SKC: no cloud at all
    none_below_12000,  // CLR: an automatic station saw none below 12,000 ft
    none_detected,     // NCD: an automatic station saw none
    none_significant,  // NSC: none below 5,000 ft, no cumulonimbus
    cavok,             // the same, with visibility of 10 km or more and no weather
  } statement = Statement::layers;
  std::vector<CloudLayer> layers;
};
// The lowest layer that covers more than half of the sky, or the vertical visibility. Missing when there is none, or when a
// layer that may be one has no base: `is_ceiling_known` tells.
[[nodiscard]] std::optional<HeightAboveGround> ceiling_of(const ReportedSky& sky);
[[nodiscard]] bool is_ceiling_known(const ReportedSky& sky);
[[nodiscard]] bool has_cumulonimbus(const ReportedSky& sky);

// Pieces that stand in the text but could not be read: they are unknown, not absent.
struct Unreadable {
  bool wind = false, visibility = false, weather = false, sky = false, temperature = false, pressure = false;
  [[nodiscard]] bool any() const { return wind || visibility || weather || sky || temperature || pressure; }
};

// What the body of a report states.
struct Conditions {
  std::optional<ReportedWind> wind;
  std::optional<ReportedVisibility> visibility;
  std::optional<std::vector<WeatherCode>> weather;  // an empty list: CAVOK, or a whole report without any
  std::optional<ReportedSky> sky;
  Unreadable unreadable;
};

// One group as written and what it was read as.
struct ReadGroup {
  enum class Fate : std::uint8_t {
    read,
    not_read,  // in no form known here
    left_out,  // readable or not, it is not part of this report
  } fate = Fate::read;
  std::string text;
  std::string read_as;  // a sentence, in the report's own units; of the unread the consequence
};

struct WeatherReport {
  std::string station;
  std::optional<UtcTime> issued;
  bool special = false, automatic = false, corrected = false;
  Conditions conditions;
  std::optional<Temperature> temperature, dew_point;
  bool temperature_in_tenths = false;  // from a T group; otherwise whole degrees
  std::optional<Pressure> qnh, sea_level_pressure;
  std::vector<WeatherCode> recent;         // since the last report
  bool thunder_remarked = false;           // thunder, lightning, cumulonimbus or a funnel cloud in the remarks
  bool thunder_not_watched = false;        // TSNO: nothing is said of thunder, either way
  bool precipitation_not_watched = false;  // PWINO, AO1: of no rain nothing is said
  bool wind_shear = false;                 // reported on a runway
  bool no_change = false;                  // NOSIG: no significant change within two hours
  std::vector<std::string> trend;          // its groups as written; they change nothing above
  std::vector<ReadGroup> groups;
};

}  // namespace headroom
