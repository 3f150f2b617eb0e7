#include "core/earth/sun.h"

#include <cmath>
#include <numbers>

namespace headroom {
namespace {

constexpr double kRad = std::numbers::pi / 180;

struct SunCoordinates {
  double declination = 0;       // radians
  double equation_of_time = 0;  // radians of hour angle
};

double centuries_since_2000(UtcTime t) {
  return (static_cast<double>(t.time_since_epoch().count()) / 86400e3 - 10957.5) / 36525;  // 2000-01-01T12:00 is day 10957.5
}

SunCoordinates sun_coordinates(UtcTime time) {
  const double t = centuries_since_2000(time);
  const double l0 = (280.46646 + t * (36000.76983 + t * 0.0003032)) * kRad;
  const double m = (357.52911 + t * (35999.05029 - t * 0.0001537)) * kRad;
  const double e = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
  const double c = ((1.914602 - t * (0.004817 + t * 0.000014)) * std::sin(m) + (0.019993 - t * 0.000101) * std::sin(2 * m) +
                    0.000289 * std::sin(3 * m)) *
                   kRad;
  const double node = (125.04 - 1934.136 * t) * kRad;
  const double lambda = l0 + c - (0.00569 + 0.00478 * std::sin(node)) * kRad;
  const double mean_obliquity = 23 + (26 + (21.448 - t * (46.8150 + t * (0.00059 - t * 0.001813))) / 60) / 60;
  const double eps = (mean_obliquity + 0.00256 * std::cos(node)) * kRad;
  const double y = std::tan(eps / 2) * std::tan(eps / 2);
  return {std::asin(std::sin(eps) * std::sin(lambda)), y * std::sin(2 * l0) - 2 * e * std::sin(m) +
                                                           4 * e * y * std::sin(m) * std::cos(2 * l0) -
                                                           0.5 * y * y * std::sin(4 * l0) - 1.25 * e * e * std::sin(2 * m)};
}

// Hour angle of the true sun, -pi..pi, zero at noon.
double sun_hour_angle(GeoPosition p, UtcTime time, const SunCoordinates& sun) {
  const double day = static_cast<double>(time.time_since_epoch().count()) / 86400e3;
  const double turn = (day - std::floor(day)) * 2 * std::numbers::pi + p.longitude_deg * kRad + sun.equation_of_time;
  return std::remainder(turn - std::numbers::pi, 2 * std::numbers::pi);
}

double sun_elevation(GeoPosition p, UtcTime time) {
  const SunCoordinates sun = sun_coordinates(time);
  const double phi = p.latitude_deg * kRad;
  const double s = std::sin(phi) * std::sin(sun.declination) +
                   std::cos(phi) * std::cos(sun.declination) * std::cos(sun_hour_angle(p, time, sun));
  return std::asin(s < -1 ? -1 : s > 1 ? 1 : s) / kRad;
}

// NOAA's form of the refraction of a standard atmosphere, degrees, for a geometric elevation in degrees.
double sun_refraction(double elevation) {
  const double tangent = std::tan(elevation * kRad);
  if (elevation > 85) return 0;
  if (elevation > 5) return (58.1 / tangent - 0.07 / std::pow(tangent, 3) + 0.000086 / std::pow(tangent, 5)) / 3600;
  if (elevation > -0.575)
    return (1735 + elevation * (-518.2 + elevation * (103.4 + elevation * (-12.79 + elevation * 0.711)))) / 3600;
  return -20.774 / tangent / 3600;
}

bool sun_in_range(GeoPosition p, UtcTime t) {
  return std::abs(p.latitude_deg) <= 90 && std::abs(p.longitude_deg) <= 180 && t >= utc(1900, 1, 1) && t < utc(2101, 1, 1);
}
tl::unexpected<Error> sun_out_of_range() {
  return fail(ErrorKind::out_of_range,
              "the sun is worked out for the years 1900 to 2100, latitude -90 to 90, longitude -180 to 180");
}

// The time between `below` and `above` at which the elevation is passed; to a tenth of a second by halving.
UtcTime time_of_passage(GeoPosition p, UtcTime below, UtcTime above, double elevation) {
  while (std::chrono::abs(above - below) > std::chrono::milliseconds(100)) {
    const UtcTime middle = below + (above - below) / 2;
    (sun_elevation(p, middle) < elevation ? below : above) = middle;
  }
  return below + (above - below) / 2;
}

// Between the midnights and noon the sun climbs and sinks without turning, to the drift of its declination.
SunPassage sun_passage(GeoPosition p, UtcTime before, UtcTime noon, UtcTime after, double elevation) {
  SunPassage passage;
  if (sun_elevation(p, noon) < elevation) {
    passage.kind = SunPassage::Kind::stays_below;
    return passage;
  }
  if (sun_elevation(p, before) < elevation) passage.up = time_of_passage(p, before, noon, elevation);
  if (sun_elevation(p, after) < elevation) passage.down = time_of_passage(p, after, noon, elevation);
  if (!passage.up && !passage.down) passage.kind = SunPassage::Kind::stays_above;
  return passage;
}

// Upper transit nearest to a guess, by the equation of time at the transit itself.
UtcTime sun_transit(GeoPosition p, UtcTime guess) {
  for (int i = 0; i < 3; ++i)
    guess = shifted(guess, seconds(-sun_hour_angle(p, guess, sun_coordinates(guess)) / (2 * std::numbers::pi) * 86400));
  return guess;
}

}  // namespace

Result<SunDirection> sun_direction(GeoPosition position, UtcTime time) {
  if (!sun_in_range(position, time)) return sun_out_of_range();
  const SunCoordinates sun = sun_coordinates(time);
  const double hour_angle = sun_hour_angle(position, time, sun), phi = position.latitude_deg * kRad;
  SunDirection d;
  d.elevation_deg = sun_elevation(position, time);
  d.refracted_elevation_deg = d.elevation_deg + sun_refraction(d.elevation_deg);
  const double from_south =
      std::atan2(std::sin(hour_angle), std::cos(hour_angle) * std::sin(phi) - std::tan(sun.declination) * std::cos(phi));
  d.azimuth_deg = std::fmod(from_south / kRad + 180 + 360, 360);
  d.declination_deg = sun.declination / kRad;
  d.equation_of_time = seconds(sun.equation_of_time / (2 * std::numbers::pi) * 86400);
  return d;
}

Result<SunDay> sun_day(GeoPosition position, std::chrono::local_days date, std::optional<Duration> utc_offset) {
  const Duration offset = utc_offset.value_or(hours(position.longitude_deg / 15));
  if (!(std::abs(in_hours(offset)) <= 15)) return fail(ErrorKind::out_of_range, "a clock is at most 15 h from UTC");
  const UtcTime midday = shifted(UtcTime(date.time_since_epoch()) + std::chrono::hours(12), -offset);
  if (!sun_in_range(position, midday)) return sun_out_of_range();
  SunDay day;
  day.noon = sun_transit(position, midday);
  const UtcTime before = sun_transit(position, day.noon - std::chrono::hours(24)),
                next = sun_transit(position, day.noon + std::chrono::hours(24));
  const UtcTime first = before + (day.noon - before) / 2, last = day.noon + (next - day.noon) / 2;
  day.noon_elevation_deg = sun_elevation(position, day.noon);
  day.sun = sun_passage(position, first, day.noon, last, kSunriseElevationDeg);
  day.civil = sun_passage(position, first, day.noon, last, kCivilTwilightElevationDeg);
  day.nautical = sun_passage(position, first, day.noon, last, kNauticalTwilightElevationDeg);
  return day;
}

}  // namespace headroom
