#include "app/said_day.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>
#include <regex>

#include "app/field.h"
#include "app/said_time.h"
#include "app/weather_of_day.h"
#include "app/wind_of_flight.h"
#include "core/machine/figures.h"
#include "core/typed.h"
#include "formats/geojson.h"
#include "formats/gpx_route.h"
#include "formats/metar.h"
#include "formats/say.h"
#include "formats/taf.h"

namespace headroom {
namespace {

tl::unexpected<Error> wrong_option(const char* option, std::string what, ErrorKind kind = ErrorKind::bad_input) {
  return fail(kind, std::move(what), option);
}

// A windsock: FAA AC 150/5345-27 has it fully out at 15 kt; in between the angle below the level goes with the speed, read to 15
// degrees.
Result<DayWind> windsock_of(const std::string& text) {
  const auto slash = text.find('/');
  char* end = nullptr;
  const std::string below = slash == std::string::npos ? text : text.substr(slash + 1);
  const double angle = std::strtod(below.c_str(), &end);
  if (below.empty() || end != below.c_str() + below.size() || !(angle >= 0 && angle <= 90))
    return wrong_option(
        "--windsock",
        "a windsock hangs 0 (level) to 90 (down) degrees below the level: 45, or 240/45 with where the wind comes from",
        ErrorKind::out_of_range);
  DayWind wind;
  wind.source = "windsock";
  if (slash != std::string::npos) {
    const std::string from = text.substr(0, slash);
    const double degrees = std::strtod(from.c_str(), &end);
    if (from.empty() || end != from.c_str() + from.size() || !(degrees >= 0 && degrees <= 360))
      return wrong_option("--windsock", "the wind blows from 0 to 360 degrees: 240/45", ErrorKind::out_of_range);
    wind.from = wind_from_degrees(degrees);
  }
  const double full = 15 * 0.514444, share = 1 - angle / 90;
  const double mid = full * share;
  // A level sock says only that it blows 15 kt or more.
  const bool level = angle < 5;
  const double high = level ? 2 * full : full * std::min(1.3, share + 0.25);
  wind.mean = {metres_per_second(level ? full : full * std::max(0.0, share - 0.25)),
               metres_per_second(level ? 1.3 * full : mid),
               metres_per_second(std::max(high, mid)),
               measured(),
               {}};
  return wind;
}

Result<double> measure_in(const char* option, Measure measure, const std::string& text, const UnitChoice& units, double low,
                          double high, const char* range) {
  const auto v = parse_measure(measure, text, units);
  if (!v) return tl::unexpected<Error>(v.error());
  if (!(*v >= low && *v <= high)) return wrong_option(option, range, ErrorKind::out_of_range);
  return *v;
}

}  // namespace

// "240/12kt", "240/20 km/h gust 30 km/h", "var/3kt", "calm". The form is that of reports, which are in knots: a number without
// its unit would be read as knots by one and as the owner's unit by another, so none is taken.
namespace {

// "25012G18KT", the wind group of a report (WMO-No. 306, FM 15, 15.5), as "250/12G18kt"; any other text as it is.
std::string wind_of_group(const std::string& text) {
  static const std::regex kGroup("([0-9]{3}|VRB)([0-9]{2,3})(G[0-9]{2,3})?(KT|MPS|KMH)", std::regex::icase);
  std::smatch part;
  if (!std::regex_match(text, part, kGroup)) return text;
  if (part[1] == "000" && std::stoi(part[2]) == 0) return "calm";
  const char first = part[4].str().front();
  const char* unit = part[4].length() == 2 ? "kt" : first == 'M' || first == 'm' ? "m/s" : "km/h";
  const auto from = part[1].str();
  return (std::isdigit(static_cast<unsigned char>(from.front())) != 0 ? from : "VRB") + "/" + part[2].str() + part[3].str() +
         unit;
}

// Where "gust" or a G between two figures stands, and how long it is.
std::pair<std::size_t, std::size_t> gust_word(const std::string& speed) {
  if (const auto g = speed.find("gust"); g != std::string::npos) return {g, 4};
  for (std::size_t i = 1; i + 1 < speed.size(); ++i)
    if ((speed[i] == 'G' || speed[i] == 'g') && std::isdigit(static_cast<unsigned char>(speed[i + 1])) != 0) return {i, 1};
  return {std::string::npos, 0};
}

}  // namespace

Result<DayWind> parse_wind(const char* option, const std::string& as_typed, const UnitChoice& units) {
  const std::string text = wind_of_group(as_typed);
  DayWind wind;
  wind.source = "typed";
  if (text == "calm") {
    wind.mean = {metres_per_second(0), metres_per_second(0), metres_per_second(1), measured(), {}};
    return wind;
  }
  const auto slash = text.find('/');
  if (slash == std::string::npos)
    return wrong_option(
        option,
        "a wind is DIRECTION/SPEED with its unit: 240/12kt, \"240/20 km/h gust 30 km/h\", 24012G18KT, var/3kt, or "
        "calm; it blows from there, true degrees");
  const std::string from = text.substr(0, slash);
  if (from != "var" && from != "VRB") {
    char* end = nullptr;
    const double degrees = std::strtod(from.c_str(), &end);
    if (from.empty() || end != from.c_str() + from.size() || !(degrees >= 0 && degrees <= 360))
      return wrong_option(option, "a wind blows from 0 to 360 degrees, or var: 240/12kt", ErrorKind::out_of_range);
    wind.from = wind_from_degrees(degrees);
  }
  std::string speed = text.substr(slash + 1), gust;
  bool gusts = false;
  if (const auto [at, length] = gust_word(speed); at != std::string::npos) {
    gusts = true;
    gust = speed.substr(at + length);
    speed.resize(at);
  }
  const auto trim = [](std::string& s) {
    while (!s.empty() && s.front() == ' ') s.erase(0, 1);
    while (!s.empty() && s.back() == ' ') s.pop_back();
  };
  trim(speed);
  trim(gust);
  if (gusts && gust.empty()) return wrong_option(option, "a gust needs its speed: \"240/20 km/h gust 30 km/h\"");
  const auto unit_at = [](const std::string& s) { return s.find_first_not_of("0123456789., "); };
  // One unit stands for both.
  if (!gust.empty() && unit_at(speed) == std::string::npos && unit_at(gust) != std::string::npos)
    speed += gust.substr(unit_at(gust));
  if (!gust.empty() && unit_at(gust) == std::string::npos && unit_at(speed) != std::string::npos)
    gust += speed.substr(unit_at(speed));
  if (unit_at(speed) == std::string::npos)
    return wrong_option(option, "a wind needs its unit: 240/12kt, \"240/20 km/h\", 240/5m/s");
  const auto mean = parse_measure(Measure::speed, speed, units);
  if (!mean) return tl::unexpected<Error>(mean.error());
  if (!(*mean >= 0 && *mean <= 40)) return wrong_option(option, "a wind is 0 to 40 m/s (78 kt)", ErrorKind::out_of_range);
  // Told to the nearest unit, and for a moment: a tenth and half a metre a second either way.
  const double spread = 0.5 + 0.1 * *mean;
  wind.mean = {metres_per_second(std::max(0.0, *mean - spread)),
               metres_per_second(*mean),
               metres_per_second(*mean + spread),
               measured(),
               {}};
  if (!gust.empty()) {
    const auto g = parse_measure(Measure::speed, gust, units);
    if (!g) return tl::unexpected<Error>(g.error());
    if (!(*g >= *mean && *g <= 60))
      return wrong_option(option, "a gust is at least the mean wind and at most 60 m/s", ErrorKind::out_of_range);
    wind.gust =
        Estimate<Speed>{metres_per_second(*g - 0.5), metres_per_second(*g), metres_per_second(*g * 1.1 + 0.5), measured(), {}};
  }
  return wind;
}

Result<Duration> parse_planned(const std::string& text) {
  if (text.find_first_not_of("0123456789., ") == std::string::npos)
    return wrong_option("--planned", "say how long with its unit: 45 min, or 1h30");
  const auto planned = parse_duration(text);
  if (!planned) return wrong_option("--planned", planned.error().what, planned.error().kind);
  if (!(in_seconds(*planned) > 0 && in_hours(*planned) <= 24))
    return wrong_option("--planned", "a planned flight lasts more than nothing and at most 24 h", ErrorKind::out_of_range);
  return *planned;
}

Result<Surface> surface_today(const std::string& word) {
  if (word == "firm") return Surface::firm;
  if (word == "dry grass") return Surface::dry_grass;
  if (word == "wet grass") return Surface::wet_grass;
  if (word == "soft" || word == "snow" || word == "soft or snow") return Surface::soft_or_snow;
  return fail(ErrorKind::bad_input, "today's ground is one of: firm, dry grass, wet grass, soft, snow");
}

std::string_view ground_words(Surface surface) {
  switch (surface) {
    case Surface::firm:
      return "firm ground";
    case Surface::dry_grass:
      return "dry grass";
    case Surface::wet_grass:
      return "wet grass";
    case Surface::soft_or_snow:
      break;
  }
  return "soft ground or snow";
}

Result<Day> day_of(const SaidDay& o, const Session& session, Ports& ports, UtcTime start) {
  Day day;
  const auto& u = session.units;
  if (!o.field.empty()) {
    const auto field = find_field(session.state, o.field);
    if (!field) return tl::unexpected<Error>(field.error());
    day.field = **field;
    if (!o.strip.empty() || day.field->strips.size() == 1) {
      const auto strip = find_strip(**field, o.strip);
      if (!strip) return tl::unexpected<Error>(strip.error());
      day.strip = **strip;
    }
  } else if (!o.strip.empty()) {
    return wrong_option("--strip", std::string("a strip belongs to a field: say which field") + typed(" (--field)"));
  }
  if (!o.ground.empty()) {
    const auto ground = surface_today(o.ground);
    if (!ground) return wrong_option("--ground", ground.error().what);
    day.ground = *ground;
    day.ground_said = true;
  }
  if (!o.wind.empty() && !o.windsock.empty())
    return wrong_option("--windsock", std::string("say the wind once") + typed(": --wind or --windsock"));
  if (!o.wind.empty()) {
    auto wind = parse_wind("--wind", o.wind, u);
    if (!wind) return tl::unexpected<Error>(wind.error());
    day.wind = std::move(*wind);
  }
  if (!o.windsock.empty()) {
    auto wind = windsock_of(o.windsock);
    if (!wind) return tl::unexpected<Error>(wind.error());
    day.wind = std::move(*wind);
  }
  if (o.aloft == "flight") {
    std::optional<AltitudeMsl> height;
    if (!o.height.empty()) {
      const auto h =
          measure_in("--route-height", Measure::height, o.height, u, -400, 6000, "heights are -400 to 6000 m above the sea");
      if (!h) return tl::unexpected<Error>(h.error());
      height = AltitudeMsl::from_si(*h);
    }
    auto wind = wind_of_flight(session.state, ports, start, height);
    if (!wind) return tl::unexpected<Error>(wind.error());
    day.aloft = std::move(*wind);
  } else if (!o.aloft.empty()) {
    auto wind = parse_wind("--wind-aloft", o.aloft, u);
    if (!wind) return tl::unexpected<Error>(wind.error());
    day.aloft = std::move(*wind);
  }
  if (!o.temperature.empty()) {
    const auto t = measure_in("--temperature", Measure::temperature, o.temperature, u, 223.15, 333.15,
                              "air is -50 to 60 °C (-58 to 140 °F)");
    if (!t) return tl::unexpected<Error>(t.error());
    day.temperature = kelvins(*t);
  }
  if (!o.dew_point.empty()) {
    const auto t = measure_in("--dew-point", Measure::temperature, o.dew_point, u, 203.15, 313.15, "a dew point is -70 to 40 °C");
    if (!t) return tl::unexpected<Error>(t.error());
    day.dew_point = kelvins(*t);
    if (day.temperature && *day.dew_point > *day.temperature)
      return wrong_option("--dew-point", "a dew point is never above the temperature", ErrorKind::out_of_range);
  }
  if (!o.qnh.empty()) {
    const auto p =
        measure_in("--qnh", Measure::pressure, o.qnh, u, 87000, 108500, "a QNH is 870 to 1085 hPa (25.69 to 32.04 inHg)");
    if (!p) return tl::unexpected<Error>(p.error());
    day.qnh = pascals(*p);
  }
  if (!o.visibility.empty() || !o.cloud_base.empty() || !o.sky.empty()) {
    DaySky& sky = day.sky;
    if (!o.visibility.empty()) {
      const auto v = measure_in("--visibility", Measure::distance, o.visibility, u, 0, 200000, "one sees 0 to 200 km");
      if (!v) return tl::unexpected<Error>(v.error());
      sky.visibility = metres(*v);
      sky.visibility_source = "typed";
    }
    if (!o.cloud_base.empty()) {
      sky.cloud_known = true;
      sky.cloud_source = "typed";
      if (o.cloud_base != "none") {
        const auto h = measure_in("--cloud-base", Measure::height, o.cloud_base, u, 0, 15000,
                                  "a cloud base is 0 to 15,000 m above the field, or none");
        if (!h) return tl::unexpected<Error>(h.error());
        sky.cloud_base = metres(*h);
      }
    }
    if (!o.sky.empty()) {
      sky.thunder = sky.rain = sky.fog = false;
      sky.weather_source = "typed";
      for (const auto& word : o.sky) {
        if (word == "rain")
          sky.rain = true;
        else if (word == "fog")
          sky.fog = true;
        else if (word == "thunderstorm")
          sky.thunder = true;
        else if (word != "nothing")
          return wrong_option("--sky", "the sky shows one or more of: nothing, rain, fog, thunderstorm");
      }
    }
  }
  if (!o.station.empty()) {
    const auto d = measure_in("--station", Measure::distance, o.station, u, 0, 200000,
                              "a station within 200 km says something of the field");
    if (!d) return tl::unexpected<Error>(d.error());
    day.station_away = metres(*d);
  }
  if ((o.hills || !o.station.empty()) && o.metar.empty() && o.taf.empty())
    return wrong_option(o.hills ? "--hills" : "--station",
                        std::string("it says how far a report or forecast holds: say one too") + typed(" (--metar or --taf)"));
  if (!o.height.empty() && o.route.empty() && o.airspace.empty() && o.aloft != "flight")
    return wrong_option("--route-height",
                        std::string("it belongs to a route, a map, or the wind aloft as the last flight found it") +
                            typed(" (--wind-aloft flight)"));
  day.hills_between = o.hills;
  day.mown = o.mown;
  if (!o.metar.empty()) {
    const auto now = ports.clock.now();
    const auto metar = read_metar(o.metar, now);
    if (!metar) return tl::unexpected<Error>(metar.error());
    if (auto taken = take_report(day, *metar, now, start); !taken) return tl::unexpected<Error>(taken.error());
  }
  if (!o.tank.empty()) {
    const auto v = measure_in("--tank", Measure::volume, o.tank, u, 0, 0.1, "a tank holds 0 to 100 L");
    if (!v) return tl::unexpected<Error>(v.error());
    if (const auto holds = figure_of(session.state, figure::tank_holds); holds && *v > *holds * 1.02)
      return wrong_option("--tank",
                          "that is more than your tank holds by the book (" + say_volume(Volume::from_si(*holds), u) + ")",
                          ErrorKind::out_of_range);
    // Read by eye against a mark.
    day.in_tank =
        Estimate<Volume>{litres(std::max(0.0, *v * 1e3 - 0.3)), Volume::from_si(*v), litres(*v * 1e3 + 0.3), measured(), {}};
  }
  if (!o.all_up.empty()) {
    const auto m = measure_in("--all-up", Measure::mass, o.all_up, u, 40, 450, "an all-up mass is 40 to 450 kg");
    if (!m) return tl::unexpected<Error>(m.error());
    day.all_up = kilograms(*m);
  }
  if (!o.pilot_mass.empty()) {
    const auto m = measure_in("--pilot-mass", Measure::mass, o.pilot_mass, u, 25, 250, "a pilot's mass is 25 to 250 kg");
    if (!m) return tl::unexpected<Error>(m.error());
    if (!o.borrower)
      return wrong_option("--pilot-mass",
                          std::string("the owner's mass stands in the book; this is for somebody who borrows the machine") +
                              typed(" (--borrower)"));
    day.borrower_mass = kilograms(*m);
  }
  if (!o.passenger.empty()) {
    const auto m = measure_in("--passenger", Measure::mass, o.passenger, u, 10, 250, "a passenger's mass is 10 to 250 kg");
    if (!m) return tl::unexpected<Error>(m.error());
    day.passenger = kilograms(*m);
  }
  day.borrower = o.borrower;
  day.wheels = o.wheels;
  day.over_water = o.over_water;
  const std::string& light = o.light;
  if (light == "beacon")
    day.light_rule = LightRule::lit_beacon;
  else if (light == "twilight")
    day.light_rule = LightRule::civil_twilight;
  else if (!light.empty() && light != "sunset" && light != "own")
    return wrong_option("--light",
                        "light counts until: sunset, beacon (30 minutes after sunset with a lit beacon), twilight (end of civil "
                        "twilight), own (your own minutes)");
  // Own minutes that were entered are the rule until another is said.
  const auto before = figure_of(session.state, figure::light_before_sunrise),
             after = figure_of(session.state, figure::light_after_sunset);
  if (light == "own" && !before && !after)
    return wrong_option("--light", std::string("your own minutes are not entered yet") +
                                       typed(": headroom enter figure light_after_sunset \"-15 min\""));
  if ((light.empty() || light == "own") && !o.borrower && (before || after)) {
    day.light_rule = LightRule::own;
    day.own_light = {seconds(before.value_or(0)), seconds(after.value_or(0))};
  }
  if (!o.overdue.empty()) {
    const auto when = parse_when_to_come(o.overdue, ports.clock, session.zone);
    if (!when) return wrong_option("--overdue", when.error().what);
    // A time alone is the first after the launch.
    const bool of_the_clock = o.overdue.size() <= 5 && o.overdue.find(':') != std::string::npos;
    auto overdue = *when;
    while (of_the_clock && overdue <= start) overdue += std::chrono::days(1);
    if (overdue <= start)
      return wrong_option("--overdue", "overdue comes after the launch; with a day: 2026-06-20 21:00", ErrorKind::out_of_range);
    day.overdue = overdue;
  }
  if (!o.who.empty()) day.who_knows = o.who;
  if (!o.route.empty()) {
    auto route = read_route(o.route);
    if (!route) return tl::unexpected<Error>(route.error());
    day.route = std::move(*route);
  }
  if (!o.height.empty()) {
    const auto h =
        measure_in("--route-height", Measure::height, o.height, u, -400, 9000, "a height is -400 to 9000 m above sea level");
    if (!h) return tl::unexpected<Error>(h.error());
    day.route_height = AltitudeMsl::from_si(*h);
  }
  if (!o.airspace.empty()) {
    auto areas = read_geojson_areas(o.airspace);
    if (!areas) return tl::unexpected<Error>(areas.error());
    day.airspace = std::move(areas->areas);
    day.airspace_warnings = std::move(areas->warnings);
  }
  return day;
}

Result<void> add_forecast(BriefRequest& request, const SaidDay& o, const Session& session) {
  if (o.taf.empty()) return {};
  const auto forecast = read_taf(o.taf, request.now);
  if (!forecast) return tl::unexpected<Error>(forecast.error());
  const UtcTime start = std::max(request.planned_start.value_or(request.now), request.now);
  // A route may take longer with the wind that the forecast brings: until when it is asked is worked out with that.
  BriefRequest with_wind = request;
  if (auto taken = take_forecast(with_wind.day, *forecast, request.now, start, planned_landing(session.state, request)); !taken)
    return taken;
  return take_forecast(request.day, *forecast, request.now, start, planned_landing(session.state, with_wind));
}

}  // namespace headroom
