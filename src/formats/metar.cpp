#include "formats/metar.h"

#include <array>
#include <utility>

#include "formats/digits.h"
#include "formats/weather_groups.h"

namespace headroom {
namespace {

using weather_groups::day_time_near;
using weather_groups::decimal_text;
using weather_groups::GroupReader;
using weather_groups::is_like;
using weather_groups::is_station;
using weather_groups::split_groups;
using weather_groups::take_start;
using weather_groups::weather_of;
using weather_groups::whole_number;

class MetarBody {
 public:
  explicit MetarBody(WeatherReport& report) : r_(report), in_(report.conditions, report.groups) {}

  void group(std::string_view g, std::string_view next, bool& took_next);
  void remark(std::string_view g);
  void finish();

  void note(std::string_view g, std::string said, ReadGroup::Fate fate = ReadGroup::Fate::read) {
    in_.note(g, std::move(said), fate);
  }

 private:
  bool temperature(std::string_view g);
  bool pressure(std::string_view g);
  void lose(std::string_view g, bool& piece, const char* name) { in_.lose(g, piece, name); }

  WeatherReport& r_;
  GroupReader in_;
};

bool MetarBody::temperature(std::string_view g) {
  const auto slash = g.find('/');
  if (slash == std::string_view::npos || g.starts_with("R") || g.starts_with("W")) return false;
  auto& lost = r_.conditions.unreadable.temperature;
  std::array<std::string_view, 2> part = {g.substr(0, slash), g.substr(slash + 1)};
  std::array<std::optional<int>, 2> value;
  for (std::size_t i = 0; i < 2; ++i) {
    if (part[i].empty() || part[i] == "//" || part[i] == "XX") continue;
    std::string_view p = part[i];
    const bool minus = take_start(p, "M");
    const int n = p.size() == 2 ? whole_number(p) : -1;
    if (n < 0) return lose(g, lost, "temperature"), true;
    value[i] = minus ? -n : n;
  }
  if (r_.temperature || (value[0] && (*value[0] > 60 || *value[0] < -90)) || (value[0] && value[1] && *value[1] > *value[0]))
    return lose(g, lost, "temperature"), true;
  if (value[0]) r_.temperature = celsius(*value[0]);
  if (value[1]) r_.dew_point = celsius(*value[1]);
  note(g, (value[0] ? "temperature " + std::to_string(*value[0]) + " C" : std::string("temperature not measured")) +
              (value[1] ? ", dew point " + std::to_string(*value[1]) + " C" : std::string(", dew point not measured")));
  return true;
}

bool MetarBody::pressure(std::string_view g) {
  const bool hecto = is_like(g, "Qdddd"), inches = is_like(g, "Adddd");
  if (g == "Q////" || g == "A////") return note(g, "pressure was not measured"), true;
  if (!hecto && !inches) return false;
  const int n = whole_number(g.substr(1));
  const Pressure p = hecto ? hectopascals(n) : inches_of_mercury(n / 100.0);
  const bool contradicts = r_.qnh && in_hectopascals(*r_.qnh > p ? *r_.qnh - p : p - *r_.qnh) > 1.5;
  if (p < hectopascals(850) || p > hectopascals(1090) || contradicts)
    return lose(g, r_.conditions.unreadable.pressure, "pressure"), true;
  if (!r_.qnh || inches) r_.qnh = p;  // the hundredth of an inch is the finer
  note(g, hecto ? "QNH " + std::to_string(n) + " hPa" : "altimeter setting " + decimal_text(n / 100.0, 2) + " inHg");
  return true;
}

void MetarBody::group(std::string_view g, std::string_view next, bool& took_next) {
  auto& c = r_.conditions;
  if (g == "AUTO") return r_.automatic = true, note(g, "automatic, no observer");
  if (g == "COR") return r_.corrected = true, note(g, "corrected");
  if (in_.cavok(g)) return;
  if (g == "WS") {
    r_.wind_shear = true;
    return note(g, "wind shear reported");
  }
  if (r_.wind_shear && (g == "ALL" || g == "RWY" || g.starts_with("RWY") ||
                        (g.size() <= 4 && g.starts_with("R") && g.size() > 2 && digits::is_digit(g[1]))))
    return note(g, "where the wind shear was reported");
  if (g.size() > 4 && g[0] == 'R' && digits::is_digit(g[1]) && digits::is_digit(g[2]) && g.find('/') != std::string_view::npos)
    return note(g, "runway visual range or state, not used");
  if (g.size() > 3 && g[0] == 'W' && (digits::is_digit(g[1]) || g[1] == 'M') && g.find('/') != std::string_view::npos)
    return note(g, "sea temperature and state, not used");
  if (g == "/////") return note(g, "temperature and dew point were not measured");
  if (g == "//") return c.unreadable.weather = true, note(g, "present weather was not observed");
  if (std::string_view rest = g; take_start(rest, "RE"))
    if (auto code = weather_of(rest)) return r_.recent.push_back(*std::move(code)), note(g, "weather since the last report");
  if (in_.weather(g) || in_.wind(g) || in_.visibility(g, next, took_next) || in_.sky(g) || pressure(g) || temperature(g)) return;
  // By its look, the piece that it may have been meant for; of two, both.
  const bool like_wind = in_.suspect(g);
  if (g.size() > 1 && (g[0] == 'Q' || g[0] == 'A') && digits::is_digit(g[1])) return lose(g, c.unreadable.pressure, "pressure");
  in_.lose_suspect(g, like_wind);
}

void MetarBody::remark(std::string_view g) {
  if (is_like(g, "Tdddddddd") || is_like(g, "Tdddd")) {
    const auto tenths = [](std::string_view t) { return celsius((t[0] == '1' ? -1 : 1) * whole_number(t.substr(1)) / 10.0); };
    const Temperature t = tenths(g.substr(1, 4));
    const bool agrees = r_.temperature && in_celsius(t) - in_celsius(*r_.temperature) < 1.01 &&
                        in_celsius(*r_.temperature) - in_celsius(t) < 1.01;
    if (!agrees || g[1] > '1' || (g.size() > 5 && g[5] > '1'))
      return note(g, "not read: it does not fit the temperature of the body", ReadGroup::Fate::not_read);
    r_.temperature = t;
    if (g.size() > 5 && r_.dew_point) r_.dew_point = tenths(g.substr(5, 4));
    r_.temperature_in_tenths = true;
    return note(g, "temperature " + decimal_text(in_celsius(t), 1) + " C in tenths");
  }
  if (is_like(g, "SLPddd")) {
    const int n = whole_number(g.substr(3));
    r_.sea_level_pressure = hectopascals((n >= 500 ? 900 : 1000) + n / 10.0);
    return note(g, "sea-level pressure " + decimal_text(in_hectopascals(*r_.sea_level_pressure), 1) + " hPa");
  }
  if (g == "PWINO" || g == "AO1")
    return r_.precipitation_not_watched = true, note(g, g == "AO1" ? "a station without a sensor for the kind of precipitation"
                                                                   : "its sensor of present weather does not work");
  if (g == "TSNO") return r_.thunder_not_watched = true, note(g, "thunder is not watched for here");
  if (g == "TS" || g.starts_with("TSB") || g.starts_with("TSE") || g.starts_with("LTG") || g == "CB" || g == "CBMAM" ||
      g.starts_with("TORNADO") || g.starts_with("FUNNEL") || g.starts_with("WATERSPOUT"))
    return r_.thunder_remarked = true, note(g, "a remark of thunder, lightning, cumulonimbus or a funnel cloud");
  note(g, "remark, not used", ReadGroup::Fate::left_out);
}

void MetarBody::finish() {
  in_.finish(true);
  const auto& lost = r_.conditions.unreadable;
  if (lost.temperature) r_.temperature.reset(), r_.dew_point.reset(), r_.temperature_in_tenths = false;
  if (lost.pressure) r_.qnh.reset();
}

}  // namespace

Result<WeatherReport> read_metar(std::string_view text, UtcTime reference) {
  const auto no = [](std::string what) { return fail(ErrorKind::bad_input, std::move(what), "METAR"); };
  if (text.size() > kLongestMetar) return no("longer than any report: give one report at a time");
  const auto split = split_groups(text, "METAR");
  if (!split) return tl::unexpected<Error>(split.error());
  const auto& groups = *split;
  WeatherReport r;
  MetarBody body(r);
  std::size_t at = 0;
  const auto group = [&](std::size_t i) { return i < groups.size() ? groups[i] : std::string_view{}; };
  if (group(at) == "TAF") return no("a forecast (TAF), not a report");
  if (group(at) == "METAR" || group(at) == "SPECI") {
    r.special = group(at) == "SPECI";
    body.note(group(at), r.special ? "special report" : "routine report");
    ++at;
  }
  if (group(at) == "COR") r.corrected = true, body.note(group(at), "corrected"), ++at;
  const std::string_view station = group(at);
  if (!is_station(station)) return no("no METAR: a station of four letters must stand first");
  r.station = station;
  body.note(station, "station");
  ++at;
  if (!is_like(group(at), "ddddddZ")) return no("no METAR: after the station must stand day and time, as 031520Z");
  r.issued = day_time_near(group(at), reference);
  if (!r.issued) return no("day and time " + std::string(group(at)) + " do not exist");
  body.note(group(at), "issued " + rfc3339(*r.issued));
  ++at;
  enum class Part { observed, trend, remarks } part = Part::observed;
  for (; at < groups.size(); ++at) {
    const std::string_view g = groups[at];
    if (part == Part::observed && g == "NIL") return no("NIL: the station sent no report");
    if (g == "METAR" || g == "SPECI") return no("more than one report: give one at a time");
    if (g == "RMK") {
      part = Part::remarks;
      body.note(g, "remarks follow");
    } else if (part == Part::remarks) {
      body.remark(g);
    } else if (g == "NOSIG") {
      r.no_change = true;
      body.note(g, "no significant change within two hours");
    } else if (part == Part::trend || g == "TEMPO" || g == "BECMG" || g == "INTER") {
      part = Part::trend;
      r.trend.emplace_back(g);
      body.note(g, "trend forecast, not used", ReadGroup::Fate::left_out);
    } else {
      bool took_next = false;
      body.group(g, group(at + 1), took_next);
      if (took_next) ++at;
    }
  }
  body.finish();
  const Conditions& c = r.conditions;
  if (c.unreadable.any() && !c.wind && !c.visibility && !c.weather && !c.sky && !r.temperature && !r.qnh)
    return no("no METAR: not one group after the time can be used");
  return r;
}

}  // namespace headroom
