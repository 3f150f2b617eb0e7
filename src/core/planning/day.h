#pragma once
// What is known of the day before a flight: the field, the wind, the air, the sky, the light rule, the route. Everything is
// optional; what is missing makes its margin unknown and says what to measure.
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/book/state.h"
#include "core/estimate.h"
#include "core/planning/airspace.h"
#include "core/planning/light.h"
#include "core/planning/navigation.h"
#include "core/planning/take_off.h"
#include "core/weather/forecast.h"

namespace headroom {

struct DayWind {
  std::optional<WindFrom> from;  // none: from all sides, or not said
  Estimate<Speed> mean;          // at 10 m, or where it was told
  std::optional<Estimate<Speed>> gust;
  std::string source;                                         // "typed", "XXXX 14:20 UTC"
  bool of_report = false;                                     // of a METAR or TAF, which leave out small gusts
  std::optional<std::pair<WindFrom, WindFrom>> between = {};  // reported as veering from one to the other, clockwise
};

// A member without a value was not said or could not be read. Each comes from its own source: "typed", "EGXX 11:50 UTC".
struct DaySky {
  std::optional<Length> visibility;
  bool visibility_less = false;      // it is less than that
  std::optional<Length> cloud_base;  // above the field; only with cloud_known or cloud_partly
  bool cloud_known = false;
  bool cloud_partly = false;  // layers are reported of which one has no base: `cloud_base` is the lowest of the others
  std::optional<bool> thunder, rain, fog;
  std::string visibility_source, cloud_source, weather_source;
  std::string none_elsewhere;  // the report of a station too far away that saw none of them; empty: there is none
  // How far each may be off as a part of itself, at its 5 and 95 %: wider for a report of another place.
  double visibility_off = 0.2, cloud_off = 0.25;
};

// Where a forecast figure stands and how firm it is.
struct ForecastGroup {
  std::string text;  // as written: "TEMPO 2014/2016 24018G30KT"
  ChangeKind kind = ChangeKind::base;
  int percent = 0;       // of the probable ones
  double chance = 1;     // of being met within the flight: what prevails 1 (chance_met)
  UtcTime from{}, to{};  // within the flight
  [[nodiscard]] bool prevails() const {
    return kind == ChangeKind::base || kind == ChangeKind::from || kind == ChangeKind::becoming;
  }
};
struct ForecastWind {
  ForecastGroup group;
  std::optional<WindFrom> from;
  Estimate<Speed> mean;
  std::optional<Estimate<Speed>> gust;  // only where the group has one
};
struct ForecastVisibility {
  ForecastGroup group;
  Length distance;
  bool less = false;  // it is less than that
};
struct ForecastCloud {
  ForecastGroup group;
  std::optional<Length> base;  // of the lowest layer; none: no cloud that counts
};
struct ForecastWeather {
  ForecastGroup group;
  bool thunder = false, rain = false, fog = false;
};
// Groups that may be about a piece and could not be read, or do not name it where they should: the piece is then not known.
struct ForecastUnknown {
  std::vector<std::string> wind, visibility, cloud, weather;
};

// What a forecast says of the time in the air: everything that prevails at some time of it, and what may come on top.
struct DayForecast {
  std::string source;    // "EGXX forecast of 11:00 UTC": its station is named, it need not be near
  UtcTime from{}, to{};  // the flight as far as it goes
  std::vector<ForecastWind> wind;
  std::vector<ForecastVisibility> visibility;
  std::vector<ForecastCloud> cloud;
  std::vector<ForecastWeather> weather;
  std::vector<ForecastShear> shear;
  bool shear_possible = false;  // named without figures
  ForecastUnknown unknown;
};

struct Day {
  std::optional<FieldState> field;
  std::optional<FieldStrip> strip;
  Surface ground = Surface::dry_grass;
  bool ground_said = false;
  bool mown = false;  // long grass on the strip is short today
  std::optional<DayWind> wind, aloft;
  std::optional<Temperature> temperature, dew_point;
  std::optional<Pressure> qnh;
  // How far temperature and pressure may be off at the field, at 5 and 95 %: wider for a report of another place and hour.
  TemperatureDifference temperature_off = TemperatureDifference::from_si(1.2);
  Pressure qnh_off = pascals(300);
  std::optional<Length> station_away;  // how far the station of a report or forecast is; nothing: taken for 20 km
  // What a report says beside the weather now: changes foretold within two hours and weather since the last report, as written.
  // They are not counted, and leave nothing of wind and sky better than thin.
  std::string trend, recent;
  bool shear_reported = false;
  std::vector<std::string> unread;  // groups of a report that could not be read, and what is unknown for it
  bool hills_between = false;       // hills, a coast or a large water between it and the field
  DaySky sky;
  std::optional<DayForecast> forecast;
  std::optional<Estimate<Volume>> in_tank;
  std::optional<Mass> all_up;  // typed for this flight, in place of the kit list
  bool wheels = false;
  bool borrower = false;  // somebody else flies: assumed figures
  std::optional<Mass> borrower_mass;
  std::optional<Mass> passenger;  // carried as well
  LightRule light_rule = LightRule::sunset;
  OwnLight own_light;
  std::optional<std::string> who_knows;
  std::optional<UtcTime> overdue;  // from when on they look for you; nothing: some time after the landing
  bool over_water = false;
  std::vector<RoutePoint> route;
  std::optional<AltitudeMsl> route_height;
  std::vector<AirspaceArea> airspace;
  std::vector<std::string> airspace_warnings;  // of the file, sentences
};

}  // namespace headroom
