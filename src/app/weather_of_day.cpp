#include "app/weather_of_day.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom {
namespace {

// How long the sky of a report is thought to hold: as long as the trend forecast that may stand at its end (WMO-No. 306, FM 15).
constexpr auto kReportHolds = std::chrono::hours(2);
// And its wind, with its growing spread: half a day's turn of it. Own estimate, no source.
constexpr auto kWindHolds = std::chrono::hours(6);

// Within about 8 km of its station a report tells what is there; from 8 to 16 km it names some of it as in the vicinity (ICAO
// Annex 3, Appendix 3, section 4.4.2). Farther away "none" says nothing of a field.
constexpr Length kReportReaches = metres(8000);

// What another place adds to a spread, at 5 and 95 %: neighbouring stations differ more the farther they are apart, twice as much
// across hills or a coast. Own estimates, no source; where nobody said how far, 20 km.
double root_km_away(const Day& day) {
  const double km = day.station_away ? in_metres(*day.station_away) / 1000 : 20;
  return std::sqrt(km) * (day.hills_between ? 2 : 1);
}
constexpr double kWindPerRootKm_m_s = 0.25, kSkyPerRootKm = 0.04;
std::string away_words(const Day& day) {
  return day.station_away ? "" : ", taken to be 20 km away";
}

Estimate<Speed> spread_about(Speed mid, Speed half, Speed least) {
  return {std::max(least, mid - half), mid, mid + half, assumed(), {}};
}

template <class T>
ForecastGroup group_of(const Forecast& forecast, const Foretold<T>& told) {
  const ForecastPart& part = forecast.parts[told.part];
  return {part.text, part.kind, part.percent, chance_met(part, duration_between(told.from, told.to)), told.from, told.to};
}

ForecastWind wind_told(const ForecastPart& part, ForecastGroup group, double away) {
  ForecastWind out;
  out.group = std::move(group);
  const ReportedWind& w = *part.conditions.wind;
  if (!w.variable) out.from = w.from;
  const Speed half = metres_per_second(std::hypot(in_metres_per_second(forecast_wind_spread(w.mean)), kWindPerRootKm_m_s * away));
  out.mean = spread_about(w.mean, half, Speed{});
  if (w.gust) out.gust = spread_about(*w.gust, half, w.mean);
  return out;
}

std::vector<std::string> texts_of(const Forecast& forecast, const std::vector<std::size_t>& parts) {
  std::vector<std::string> out;
  for (const std::size_t i : parts) out.push_back(forecast.parts[i].text);
  return out;
}

// All that prevails, then all that may come on top.
template <class T, class Take>
void each_told(const PieceOutlook<T>& piece, Take take) {
  for (const auto& told : piece.prevailing) take(told);
  for (const auto& told : piece.passing) take(told);
}

}  // namespace

Speed forecast_wind_spread(Speed mean) {
  return metres_per_second(std::hypot(3.3, 1.0 + in_metres_per_second(mean) / 7));
}

Result<void> take_forecast(Day& day, const Forecast& forecast, UtcTime now, UtcTime start, UtcTime end) {
  const auto no = [](std::string what) { return fail(ErrorKind::out_of_range, std::move(what), "--taf"); };
  if (forecast.issued - now > std::chrono::hours(1))
    return no("the forecast is of " + rfc3339(forecast.issued) + ", which is to come");
  const ForecastOutlook told = conditions_over(forecast, start, end);
  if (told.from > told.to || told.from >= forecast.to)
    return no("the forecast is for " + rfc3339(forecast.from) + " to " + rfc3339(forecast.to) + ": of a flight from " +
              rfc3339(start) + " to " + rfc3339(end) + " it says nothing");
  DayForecast out;
  out.source = forecast.station + " forecast of " + rfc3339(forecast.issued).substr(11, 5) + " UTC";
  out.from = told.from;
  out.to = told.to;
  std::vector<std::size_t> winds;
  const auto take_wind = [&](const auto& w) {
    if (std::find(winds.begin(), winds.end(), w.part) != winds.end()) return;
    winds.push_back(w.part);
    out.wind.push_back(wind_told(forecast.parts[w.part], group_of(forecast, w), root_km_away(day)));
  };
  // A group counts for its mean or for its gusts.
  each_told(told.wind, take_wind);
  each_told(told.gust, take_wind);
  each_told(told.visibility, [&](const auto& v) {
    out.visibility.push_back(
        {group_of(forecast, v), v.value.least.value_or(v.value.distance), v.value.bound == ReportedVisibility::Bound::less_than});
  });
  each_told(told.cloud, [&](const auto& c) {
    ForecastCloud cloud;
    cloud.group = group_of(forecast, c);
    if (c.value.lowest) cloud.base = *c.value.lowest - HeightAboveGround{};
    out.cloud.push_back(std::move(cloud));
  });
  each_told(told.weather, [&](const auto& w) {
    out.weather.push_back({group_of(forecast, w), w.value.thunder, w.value.rain, w.value.fog});
  });
  for (const std::size_t i : told.shear) {
    out.shear_possible = out.shear_possible || forecast.parts[i].shear_possible;
    if (forecast.parts[i].shear) out.shear.push_back(*forecast.parts[i].shear);
  }
  out.unknown = {texts_of(forecast, told.wind.unknown), texts_of(forecast, told.visibility.unknown),
                 texts_of(forecast, told.cloud.unknown), texts_of(forecast, told.weather.unknown)};
  const auto launch = conditions_over(forecast, start, start).wind;
  if (!day.wind && launch.known()) {
    const auto& strongest = launch.prevailing.front();
    const ForecastWind wind = wind_told(forecast.parts[strongest.part], group_of(forecast, strongest), root_km_away(day));
    day.wind = DayWind{wind.from, wind.mean, wind.gust, out.source, true};
  }
  day.forecast = std::move(out);
  return {};
}

Result<void> take_report(Day& day, const WeatherReport& report, UtcTime now, UtcTime start) {
  if (!report.issued) return fail(ErrorKind::bad_input, "the report does not say when it was made", "--metar");
  if (now - *report.issued > std::chrono::hours(3) || *report.issued - now > std::chrono::hours(1))
    return fail(ErrorKind::out_of_range,
                "the report is of " + rfc3339(*report.issued) + ": one of the last three hours is needed", "--metar");
  const std::string source = report.station + " " + rfc3339(*report.issued).substr(11, 5) + " UTC" + away_words(day);
  for (const ReadGroup& g : report.groups)
    if (g.fate == ReadGroup::Fate::not_read) day.unread.push_back(report.station + " report, \"" + g.text + "\" " + g.read_as);
  const auto ahead = start - *report.issued;
  const double age_h = std::max(0.0, in_hours(duration_between(*report.issued, std::max(start, *report.issued))));
  const Conditions& c = report.conditions;
  const double mean = c.wind ? in_metres_per_second(c.wind->mean) : 0,
               spread = std::hypot(1.0 + mean / 7 + 0.6 * std::min(age_h, 12.0), kWindPerRootKm_m_s * root_km_away(day));
  std::optional<Estimate<Speed>> gust;
  const bool wind_holds = c.wind && !c.unreadable.wind && ahead <= kWindHolds;
  if (wind_holds && c.wind->gust) {
    const double g = in_metres_per_second(*c.wind->gust);
    gust = Estimate<Speed>{
        metres_per_second(std::max(mean, g - spread)), metres_per_second(g), metres_per_second(g + spread), measured(), {}};
  }
  if (!day.wind && wind_holds) {
    DayWind wind;
    wind.source = source;
    wind.of_report = true;
    if (!c.wind->variable) wind.from = c.wind->from;
    if (c.wind->between_from && c.wind->between_to) {
      wind.between = {*c.wind->between_from, *c.wind->between_to};
      // Over more than half the circle it comes from all sides.
      const double over =
          std::fmod(wind.between->second.radians() - wind.between->first.radians() + 4 * std::numbers::pi, 2 * std::numbers::pi);
      if (over > std::numbers::pi) wind.from.reset();
    }
    wind.mean = {metres_per_second(std::max(0.0, mean - spread)),
                 metres_per_second(mean),
                 metres_per_second(mean + spread),
                 measured(),
                 {}};
    day.wind = std::move(wind);
  }
  // Gusts beside a wind that was typed without them.
  if (day.wind && !day.wind->gust && gust && gust->mid >= day.wind->mean.mid) day.wind->gust = gust;
  // Pressure changes by some hPa in a few hours and by one in 50 km; temperature by the height of the station, which is not
  // known. Own estimates, no source.
  constexpr double kPascalPerHour = 100, kPascalPerRootKm = 30, kKelvinPerHour = 0.7, kKelvinPerRootKm = 0.4;
  if (!day.qnh && report.qnh && !c.unreadable.pressure && ahead <= kWindHolds) {
    day.qnh = report.qnh;
    day.qnh_off = pascals(std::hypot(day.qnh_off.si(), kPascalPerHour * age_h, kPascalPerRootKm * root_km_away(day)));
  }
  if (ahead <= kReportHolds) {
    for (const std::string& g : report.trend) day.trend += (day.trend.empty() ? "" : " ") + g;
    for (const WeatherCode& w : report.recent) {
      day.recent += (day.recent.empty() ? "" : " ") + w.descriptor;
      for (const std::string& kind : w.kinds) day.recent += kind;
    }
    day.shear_reported = report.wind_shear;
  }
  // A report says how it was: of the sky and the air of a launch hours later it says nothing.
  if (ahead > kReportHolds) return {};
  if (!day.temperature && report.temperature && !c.unreadable.temperature) {
    day.temperature = report.temperature;
    day.temperature_off = TemperatureDifference::from_si(
        std::hypot(day.temperature_off.si(), kKelvinPerHour * age_h, kKelvinPerRootKm * root_km_away(day)));
    if (!day.dew_point) day.dew_point = report.dew_point;
  }
  DaySky& sky = day.sky;
  if (!sky.visibility && c.visibility && !c.unreadable.visibility) {
    sky.visibility = c.visibility->least.value_or(c.visibility->distance);
    sky.visibility_less = c.visibility->bound == ReportedVisibility::Bound::less_than;
    sky.visibility_source = source;
    sky.visibility_off = std::min(0.9, std::hypot(sky.visibility_off, kSkyPerRootKm * root_km_away(day)));
  }
  if (!sky.cloud_known && c.sky && !c.unreadable.sky) {
    // The rule near the ground is clear of any cloud: the lowest layer counts, however little of the sky it covers.
    bool whole = true;
    std::optional<Length> lowest;
    for (const CloudLayer& layer : c.sky->layers) {
      if (!layer.base) {
        whole = false;
        continue;
      }
      const Length base = *layer.base - HeightAboveGround{};
      lowest = lowest ? std::min(*lowest, base) : base;
    }
    sky.cloud_known = whole;
    sky.cloud_partly = !whole;
    sky.cloud_base = lowest;
    sky.cloud_source = source;
    sky.cloud_off = std::min(0.9, std::hypot(sky.cloud_off, kSkyPerRootKm * root_km_away(day)));
  }
  // What is seen there is added to what was typed; that nothing is seen there takes nothing away.
  const bool near = day.station_away && *day.station_away <= kReportReaches;
  const auto worse = [&](std::optional<bool>& known, bool seen) {
    if (known && (*known || !seen)) return;
    if (!seen && !near) {
      sky.none_elsewhere = source;
      return;
    }
    known = seen;
    sky.weather_source = source;
  };
  // A storm shows in the remarks and in the sky too, where present weather was not observed.
  const bool storm = report.thunder_remarked || (c.sky && has_cumulonimbus(*c.sky));
  if (storm) worse(sky.thunder, true);
  if (c.weather && !c.unreadable.weather) {
    const auto any = [&](auto is) { return std::any_of(c.weather->begin(), c.weather->end(), is); };
    if (any(is_thunderstorm) || !report.thunder_not_watched) worse(sky.thunder, any(is_thunderstorm) || storm);
    if (any(is_precipitation) || !report.precipitation_not_watched) worse(sky.rain, any(is_precipitation));
    worse(sky.fog, any(is_fog));
  }
  return {};
}

}  // namespace headroom
