#include "app/said_sun.h"

#include <fmt/format.h>

#include <cmath>

#include "app/said_figure.h"
#include "app/said_time.h"
#include "formats/say.h"

namespace headroom {

namespace {

constexpr const char* kAccuracy =
    "By NOAA's equations for a level horizon: within a minute up to 60 degrees of latitude, three up to 72; refraction on the "
    "day "
    "can move them by as much again. Hills hide the sun earlier. Which of these times counts, local law decides.";

// Degrees, with the letter of the half or with a sign: "52.31", "52.31N", "0.42W".
Result<double> degrees_of(const char* option, const std::string& text, double most, char positive, char negative) {
  std::string number = text;
  double sign = 1;
  if (!number.empty() && (number.back() == positive || number.back() == negative)) {
    sign = number.back() == negative ? -1 : 1;
    number.pop_back();
    if (!number.empty() && (number.front() == '-' || number.front() == '+'))
      return fail(ErrorKind::bad_input, fmt::format("'{}' has a sign and a letter; one of them is enough", text), option);
  }
  const auto value = take_number(option, number, {}, "degrees with their decimals: 52.31");
  if (!value) return tl::unexpected<Error>(value.error());
  if (!*value) return fail(ErrorKind::bad_input, "degrees are missing: 52.31", option);
  if (!(std::abs(**value) <= most))
    return fail(ErrorKind::out_of_range, fmt::format("from {:.0f} to {:.0f} degrees", -most, most), option);
  return sign * **value;
}

}  // namespace

Result<SunAnswer> answer_sun(const SaidSun& a, Clock& clock, const std::string& zone) {
  const auto latitude = degrees_of("--latitude", a.latitude, 90, 'N', 'S');
  if (!latitude) return tl::unexpected<Error>(latitude.error());
  const auto longitude = degrees_of("--longitude", a.longitude, 180, 'E', 'W');
  if (!longitude) return tl::unexpected<Error>(longitude.error());
  if (a.date.size() > 10)
    return fail(ErrorKind::bad_input, "'" + a.date + "' is no day; write 2026-05-02, today or yesterday", "--date");
  const auto noon = parse_when(a.date.empty() ? "today" : a.date, clock, zone);
  if (!noon) return fail(noon.error().kind, "'" + a.date + "' is no day; write 2026-05-02, today or yesterday", "--date");
  // The day is the zone's, by its clock at noon.
  const auto offset = clock.offset_minutes(*noon, zone);
  if (!offset) return tl::unexpected<Error>(offset.error());
  const auto date = std::chrono::floor<std::chrono::days>(*noon + std::chrono::minutes(*offset)).time_since_epoch();
  const GeoPosition place{*latitude, *longitude};
  const auto day = sun_day(place, std::chrono::local_days(date), minutes(*offset));
  if (!day) return tl::unexpected<Error>(day.error());
  return SunAnswer{place, local_text(*noon, clock, zone, false), *offset, *day};
}

CalcWords sun_words(const SunAnswer& a, Clock& clock, const std::string& zone) {
  CalcWords out;
  out.sentences.push_back(fmt::format("{:.4f}, {:.4f} on {}, times {}{}.", a.place.latitude_deg, a.place.longitude_deg,
                                      a.date_text, zone.empty() ? "of this machine's clock" : "of " + zone,
                                      fmt::format(" (UTC{}{:02}:{:02})", a.offset_min < 0 ? '-' : '+',
                                                  std::abs(a.offset_min) / 60, std::abs(a.offset_min) % 60)));
  // To the minute the sun is known to; with the date where it is another one.
  const auto time = [&](const std::optional<UtcTime>& t) -> std::string {
    if (!t) return "not on this day";
    const auto text = local_text(*t + std::chrono::seconds(30), clock, zone);
    return text.substr(0, 10) == a.date_text ? text.substr(11) : text;
  };
  const auto add = [&](const char* begins, const char* ends, const SunPassage& p, const char* above, const char* below) {
    if (p.kind == SunPassage::Kind::passes) {
      out.rows.emplace_back(begins, time(p.up));
      out.rows.emplace_back(ends, time(p.down));
    } else {
      out.rows.emplace_back(begins, p.kind == SunPassage::Kind::stays_above ? above : below);
    }
  };
  add("Sunrise", "Sunset", a.day.sun, "none: the sun stays up", "none: the sun stays down");
  add("Civil twilight begins", "Civil twilight ends", a.day.civil, "none: it stays lighter", "none: it stays darker");
  out.rows.emplace_back("Sun highest", time(a.day.noon) + fmt::format(", {:.0f}° high", a.day.noon_elevation_deg));
  if (a.day.sun.up && a.day.sun.down)
    out.rows.emplace_back("From sunrise to sunset", say_duration(duration_between(*a.day.sun.up, *a.day.sun.down)));
  out.caution = kAccuracy;
  return out;
}

}  // namespace headroom
