// The sun against published tables and an ephemeris with the U.S. Naval Observatory's definitions of rise and set.
#include "core/earth/sun.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <string>

#include "core/planning/light.h"
#include "support/sun_tables.h"

namespace headroom {
namespace {

UtcTime sun_time(const char* text) {
  return *parse_rfc3339(text);
}
std::chrono::local_days sun_date(int y, unsigned m, unsigned d) {
  return std::chrono::local_days(std::chrono::year_month_day(std::chrono::year(y), std::chrono::month(m), std::chrono::day(d)));
}
double apart_s(UtcTime a, UtcTime b) {
  return std::abs(in_seconds(duration_between(a, b)));
}

// Meeus, Astronomical Algorithms, example 25.a: 1992-10-13, 0h TD, declination -7.78507 degrees (from memory, recomputed with the
// low-precision series).
TEST(SunDirection, MatchesTheWorkedExampleOfMeeus) {
  const auto d = sun_direction({0, 0}, utc(1992, 10, 13));
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->declination_deg, -7.78507, 0.01);
}

// I. Reda, A. Andreas, NREL/TP-560-34302, table A5.1 (second-hand): zenith angle 50.11162, azimuth 194.34024 degrees, at
// 820 hPa and 11 C; and without refraction 50.1277 (an astronomical library). 0.01 degrees is the low-precision series' own.
TEST(SunDirection, MatchesThePublishedSolarPositionSample) {
  const auto d = sun_direction({39.742476, -105.1786}, utc(2003, 10, 17, 19, 30, 30));
  ASSERT_TRUE(d);
  EXPECT_NEAR(90 - d->elevation_deg, 50.1277, 0.01);
  EXPECT_NEAR(90 - d->refracted_elevation_deg, 50.11162, 0.01);
  EXPECT_NEAR(d->azimuth_deg, 194.34024, 0.01);
}

TEST(SunDay, MatchesThePublishedRiseAndSetTable) {
  for (const auto& r : testing::kPublishedSun) {
    const auto day = sun_day({r.latitude, 0}, sun_date(r.y, r.m, r.d));
    ASSERT_TRUE(day && day->sun.up && day->sun.down) << r.rise;
    EXPECT_LT(apart_s(*day->sun.up, sun_time(r.rise)), 60) << r.rise;
    EXPECT_LT(apart_s(*day->sun.down, sun_time(r.set)), 60) << r.set;
  }
}

// The sunrise of the NREL sample (06:12:43 local, UTC-7). Its printed sunset belongs to the evening before and is not used.
TEST(SunDay, MatchesThePublishedSampleSunrise) {
  const auto day = sun_day({39.742476, -105.1786}, sun_date(2003, 10, 17));
  ASSERT_TRUE(day && day->sun.up);
  EXPECT_LT(apart_s(*day->sun.up, utc(2003, 10, 17, 13, 12, 43)), 60);
}

TEST(SunDay, MatchesAnEphemerisWithinAMinuteUpTo60DegreesAndThreeUpTo72) {
  double worst_below_60 = 0, worst_beyond = 0;
  for (const auto& r : testing::kEphemerisSun) {
    const auto day = sun_day({r.latitude, r.longitude}, sun_date(r.y, r.m, r.d));
    ASSERT_TRUE(day);
    const double tolerance = std::abs(r.latitude) <= 60 ? 60 : 180;
    double& worst = std::abs(r.latitude) <= 60 ? worst_below_60 : worst_beyond;
    const auto check = [&](const char* expected, std::optional<UtcTime> got, const char* what) {
      if (expected == nullptr) return;
      const std::string where = std::string(what) + " at " + std::to_string(r.latitude) + ", " + expected;
      ASSERT_TRUE(got) << where;
      const double apart = apart_s(*got, sun_time(expected));
      EXPECT_LT(apart, tolerance) << where;
      if (apart > worst) worst = apart;
    };
    check(r.rise, day->sun.up, "sunrise");
    check(r.noon, day->noon, "noon");
    check(r.set, day->sun.down, "sunset");
    check(r.dawn, day->civil.up, "first civil twilight");
    check(r.dusk, day->civil.down, "last civil twilight");
  }
  RecordProperty("worst_s_to_60", std::to_string(worst_below_60));
  RecordProperty("worst_s_to_72", std::to_string(worst_beyond));
}

// The same ephemeris: at 69.65 N the sun never sets on 2024-06-20 and never rises on 2024-12-21.
TEST(SunDay, SaysPolarDayAndPolarNight) {
  const auto summer = sun_day({69.6492, 18.9553}, sun_date(2024, 6, 20));
  ASSERT_TRUE(summer);
  EXPECT_EQ(summer->sun.kind, SunPassage::Kind::stays_above);
  EXPECT_FALSE(summer->sun.up || summer->sun.down);
  EXPECT_EQ(summer->civil.kind, SunPassage::Kind::stays_above);
  const auto winter = sun_day({69.6492, 18.9553}, sun_date(2024, 12, 21));
  ASSERT_TRUE(winter);
  EXPECT_EQ(winter->sun.kind, SunPassage::Kind::stays_below);
  EXPECT_FALSE(winter->sun.up || winter->sun.down);
  EXPECT_EQ(winter->civil.kind, SunPassage::Kind::passes);
  EXPECT_EQ(sun_day({90, 0}, sun_date(2024, 6, 20))->sun.kind, SunPassage::Kind::stays_above);
  EXPECT_EQ(sun_day({-90, 0}, sun_date(2024, 6, 20))->sun.kind, SunPassage::Kind::stays_below);
}

// 14 CFR 103.11 counts minutes, not degrees: civil twilight is 47.8 min at 51.5 N in June and 20.7 min at the equator (from the
// rows above).
TEST(SunDay, GivesTwilightItsOwnLengthAtEachLatitude) {
  const auto north = sun_day({51.5074, -0.1278}, sun_date(2024, 6, 20));
  EXPECT_NEAR(in_minutes(duration_between(*north->sun.down, *north->civil.down)), 47.8, 0.5);
  const auto equator = sun_day({-0.1807, -78.4678}, sun_date(2024, 9, 22));
  EXPECT_NEAR(in_minutes(duration_between(*equator->sun.down, *equator->civil.down)), 20.7, 0.5);
}

TEST(SunDay, TakesTheDayOfTheClockWhereThatIsNotTheSuns) {
  // At 157.5 W with a clock 14 h ahead of UTC (Line Islands) noon of 2 May by the clock is noon of 1 May by the sun.
  const auto by_clock = sun_day({1.9, -157.5}, sun_date(2026, 5, 2), hours(14));
  const auto by_sun = sun_day({1.9, -157.5}, sun_date(2026, 5, 1));
  ASSERT_TRUE(by_clock && by_sun);
  EXPECT_LT(apart_s(by_clock->noon, by_sun->noon), 1);
}

TEST(SunDay, RefusesWhatItCannotTell) {
  EXPECT_FALSE(sun_day({91, 0}, sun_date(2024, 1, 1)));
  EXPECT_FALSE(sun_day({50, 181}, sun_date(2024, 1, 1)));
  EXPECT_FALSE(sun_day({NAN, 0}, sun_date(2024, 1, 1)));
  EXPECT_FALSE(sun_day({50, 0}, sun_date(1800, 1, 1)));
  EXPECT_FALSE(sun_day({50, 0}, sun_date(2024, 1, 1), hours(20)));
  EXPECT_FALSE(sun_direction({50, 0}, utc(2300, 1, 1)));
}

RC_GTEST_PROP(SunDay, KeepsItsOrderAndItsHorizon, ()) {
  const GeoPosition p{*rc::gen::inRange(-7200, 7200) * 0.01, *rc::gen::inRange(-18000, 18000) * 0.01};
  const auto date = sun_date(1950, 1, 1) + std::chrono::days(*rc::gen::inRange(0, 50000));
  const auto day = sun_day(p, date);
  RC_ASSERT(day.has_value());
  RC_ASSERT(std::abs(in_hours(duration_between(UtcTime(date.time_since_epoch()) + std::chrono::hours(12), day->noon)) +
                     p.longitude_deg / 15) < 0.4);
  for (const auto& [passage, elevation] : {std::pair{day->sun, kSunriseElevationDeg},
                                           {day->civil, kCivilTwilightElevationDeg},
                                           {day->nautical, kNauticalTwilightElevationDeg}}) {
    if (passage.up) {
      RC_ASSERT(*passage.up <= day->noon);
      RC_ASSERT(std::abs(sun_direction(p, *passage.up)->elevation_deg - elevation) < 0.01);
    }
    if (passage.down) {
      RC_ASSERT(*passage.down >= day->noon);
      RC_ASSERT(std::abs(sun_direction(p, *passage.down)->elevation_deg - elevation) < 0.01);
    }
  }
  if (day->sun.up && day->civil.up) RC_ASSERT(*day->civil.up < *day->sun.up);
  if (day->sun.down && day->civil.down) RC_ASSERT(*day->civil.down > *day->sun.down);
  if (day->civil.up && day->nautical.up) RC_ASSERT(*day->nautical.up < *day->civil.up);
}

// 14 CFR 103.11: sunrise to sunset; 30 minutes more with a lit beacon. London, 2024-06-20, from the rows above.
TEST(Light, FollowsEachRule) {
  const auto day = sun_day({51.5074, -0.1278}, sun_date(2024, 6, 20));
  ASSERT_TRUE(day);
  const auto sunset = light_of_day(*day, LightRule::sunset);
  EXPECT_LT(apart_s(*sunset->last, utc(2024, 6, 20, 20, 21, 24)), 60);
  const auto beacon = light_of_day(*day, LightRule::lit_beacon);
  EXPECT_LT(apart_s(*beacon->first, utc(2024, 6, 20, 3, 13, 2)), 60);
  EXPECT_LT(apart_s(*beacon->last, utc(2024, 6, 20, 20, 51, 24)), 60);
  const auto twilight = light_of_day(*day, LightRule::civil_twilight);
  EXPECT_LT(apart_s(*twilight->last, utc(2024, 6, 20, 21, 9, 13)), 60);
  const auto own = light_of_day(*day, LightRule::own, {minutes(0), minutes(-20)});
  EXPECT_LT(apart_s(*own->last, utc(2024, 6, 20, 20, 1, 24)), 60);
  for (const auto& light : {sunset, beacon, twilight, own}) EXPECT_FALSE(light->cautions.empty());
  EXPECT_FALSE(light_of_day(*day, LightRule::own, {minutes(0), hours(4)}));
}

TEST(Light, SaysAllDayAndNone) {
  const auto summer = light_of_day(*sun_day({69.6492, 18.9553}, sun_date(2024, 6, 20)), LightRule::sunset);
  EXPECT_EQ(summer->kind, Light::Kind::all_day);
  EXPECT_FALSE(summer->last);
  const auto winter = sun_day({69.6492, 18.9553}, sun_date(2024, 12, 21));
  EXPECT_EQ(light_of_day(*winter, LightRule::lit_beacon)->kind, Light::Kind::none);
  EXPECT_EQ(light_of_day(*winter, LightRule::civil_twilight)->kind, Light::Kind::some);
  // Own minutes that leave nothing of a short day.
  const auto short_day = sun_day({69.6492, 18.9553}, sun_date(2025, 1, 27));
  EXPECT_EQ(light_of_day(*short_day, LightRule::own, {hours(-3), hours(-3)})->kind, Light::Kind::none);
}

}  // namespace
}  // namespace headroom
