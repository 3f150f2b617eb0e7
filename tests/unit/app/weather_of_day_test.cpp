// A report read into a day: what was typed stays, what is missing is filled, and what is too old for the launch is left out.
#include "app/weather_of_day.h"

#include <gtest/gtest.h>

#include <numbers>

#include "formats/metar.h"
#include "formats/taf.h"

namespace headroom {
namespace {

const UtcTime kReportNow = utc(2026, 6, 20, 12, 0, 0);

WeatherReport report_read(const char* text) {
  const auto report = read_metar(text, kReportNow);
  EXPECT_TRUE(report) << text;
  return report.value_or(WeatherReport{});
}

DayWind typed_wind(double speed) {
  DayWind wind;
  wind.from = wind_from_degrees(200);
  wind.mean = exactly(metres_per_second(speed));
  wind.source = "typed";
  return wind;
}

TEST(WeatherOfDay, FillsWhatIsNotSaidAndLeavesWhatIs) {
  Day day;
  day.wind = typed_wind(4);
  day.sky.visibility = metres(9000);
  day.sky.visibility_source = "typed";
  ASSERT_TRUE(
      take_report(day, report_read("METAR EGXX 201150Z 24015G27KT 8000 -RA FEW008 BKN012 16/14 Q1009"), kReportNow, kReportNow));
  EXPECT_EQ(day.wind->mean.mid, metres_per_second(4));
  EXPECT_EQ(day.wind->source, "typed");
  ASSERT_TRUE(day.wind->gust) << "gusts were not typed";
  EXPECT_NEAR(in_knots(day.wind->gust->mid), 27, 1e-6);
  EXPECT_EQ(*day.sky.visibility, metres(9000));
  EXPECT_EQ(day.sky.visibility_source, "typed");
  ASSERT_TRUE(day.temperature && day.dew_point && day.qnh);
  EXPECT_NEAR(in_celsius(*day.temperature), 16, 1e-9);
  ASSERT_TRUE(day.sky.cloud_known && day.sky.cloud_base);
  EXPECT_NEAR(in_feet(*day.sky.cloud_base), 800, 1e-6) << "the lowest layer, of any amount";
  EXPECT_TRUE(day.sky.rain.value_or(false));
}

TEST(WeatherOfDay, WhatWasSeenByEyeIsNotTakenBack) {
  Day day;
  day.sky.thunder = true;
  day.sky.rain = day.sky.fog = false;
  day.sky.weather_source = "typed";
  ASSERT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 24005KT 9999 FEW030 16/10 Q1009"), kReportNow, kReportNow));
  EXPECT_TRUE(*day.sky.thunder);
  EXPECT_EQ(day.sky.weather_source, "typed");
}

TEST(WeatherOfDay, OfALaunchHoursLaterItSaysNothingOfSkyAndAir) {
  Day day;
  ASSERT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 24005KT CAVOK 16/10 Q1009"), kReportNow,
                          kReportNow + std::chrono::hours(3)));
  EXPECT_TRUE(day.wind);
  EXPECT_FALSE(day.temperature);
  EXPECT_FALSE(day.sky.visibility);
  EXPECT_FALSE(day.sky.cloud_known);
  EXPECT_FALSE(day.sky.thunder);
}

TEST(WeatherOfDay, AFarStationAcrossHillsSaysLessOfTheField) {
  const auto taken = [](std::optional<Length> away, bool hills) {
    Day day;
    day.station_away = away;
    day.hills_between = hills;
    EXPECT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 24010KT 9999 FEW030 16/10 Q1009"), kReportNow, kReportNow));
    return day;
  };
  const auto width = [](const Day& day) { return (day.wind->mean.high - day.wind->mean.mid).si(); };
  const Day at_it = taken(metres(0), false), near = taken(kilometres(10), false), far = taken(kilometres(80), false),
            across = taken(kilometres(80), true), unsaid = taken({}, false);
  EXPECT_LT(width(at_it), width(near));
  EXPECT_LT(width(near), width(far));
  EXPECT_LT(width(far), width(across));
  EXPECT_LT(at_it.sky.cloud_off, near.sky.cloud_off);
  EXPECT_LT(far.sky.visibility_off, across.sky.visibility_off);
  EXPECT_NEAR(width(unsaid), width(taken(kilometres(20), false)), 1e-12);
  EXPECT_NE(unsaid.wind->source.find("20 km"), std::string::npos) << "what is taken for known is said";
}

TEST(WeatherOfDay, OfTomorrowItDoesNotTellTheWindEither) {
  Day day;
  ASSERT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 24015G27KT CAVOK 16/10 Q1009"), kReportNow,
                          kReportNow + std::chrono::hours(20)));
  EXPECT_FALSE(day.wind);
}

// Federal Meteorological Handbook No. 1, 12.6 and 12.7: AO1 has no discriminator of precipitation, PWINO says that the identifier
// of present weather does not work.
TEST(WeatherOfDay, AStationThatCannotTellRainDoesNotSayThereIsNone) {
  const auto rain_of = [](const char* text) {
    Day day;
    day.station_away = metres(3000);
    EXPECT_TRUE(take_report(day, report_read(text), kReportNow, kReportNow)) << text;
    return day.sky.rain;
  };
  EXPECT_EQ(rain_of("METAR KXXX 201150Z AUTO 08008KT 10SM CLR 11/06 A3012 RMK AO2"), std::optional<bool>(false));
  EXPECT_EQ(rain_of("METAR KXXX 201150Z AUTO 08008KT 10SM CLR 11/06 A3012 RMK AO2 PWINO"), std::nullopt);
  EXPECT_EQ(rain_of("METAR KXXX 201150Z AUTO 08008KT 10SM CLR 11/06 A3012 RMK AO1"), std::nullopt);
  EXPECT_EQ(rain_of("METAR KXXX 201150Z AUTO 08008KT 5SM RA OVC020 11/06 A3012 RMK AO1"), std::optional<bool>(true));
}

// ICAO Annex 3, Appendix 3, section 4.4.2: a report tells the aerodrome, and names some of what is up to about 16 km from it. Of
// a station 20 km away "none" was told as ample.
TEST(WeatherOfDay, NoneAtAStationFarAwayIsNoWordOnTheFieldsSky) {
  for (const auto& [away, known] :
       {std::pair(std::optional<Length>(metres(5000)), true), std::pair(std::optional<Length>(metres(20000)), false),
        std::pair(std::optional<Length>(), false)}) {
    Day day;
    day.station_away = away;
    ASSERT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 24005KT 9999 FEW030 16/10 Q1009"), kReportNow, kReportNow));
    EXPECT_EQ(day.sky.thunder.has_value(), known);
    EXPECT_EQ(day.sky.fog.has_value(), known);
    EXPECT_EQ(day.sky.none_elsewhere.empty(), known);
  }
  Day storm;
  storm.station_away = metres(20000);
  ASSERT_TRUE(take_report(storm, report_read("METAR EGXX 201150Z 24005KT 9999 TS FEW030CB 16/10 Q1009"), kReportNow, kReportNow));
  EXPECT_TRUE(storm.sky.thunder.value_or(false)) << "what is seen counts from wherever";
}

TEST(WeatherOfDay, ATrendAndWeatherJustPastAreKept) {
  Day day;
  ASSERT_TRUE(take_report(day,
                          report_read("METAR EGXX 201150Z 08008KT 9999 FEW035 11/06 Q1015 RETS WS R09 TEMPO 08025G40KT TSRA"),
                          kReportNow, kReportNow));
  EXPECT_EQ(day.trend, "TEMPO 08025G40KT TSRA");
  EXPECT_EQ(day.recent, "TS");
  EXPECT_TRUE(day.shear_reported);
}

TEST(WeatherOfDay, AVaryingDirectionIsKept) {
  const auto wind_of = [](const char* text) {
    Day day;
    EXPECT_TRUE(take_report(day, report_read(text), kReportNow, kReportNow)) << text;
    return *day.wind;
  };
  const DayWind some = wind_of("METAR EGXX 201150Z 24012KT 180V300 9999 FEW030 16/10 Q1009");
  ASSERT_TRUE(some.from && some.between);
  EXPECT_NEAR(some.between->first.radians() * 180 / std::numbers::pi, 180, 1e-9);
  EXPECT_FALSE(wind_of("METAR EGXX 201150Z 24004KT 120V330 9999 FEW030 16/10 Q1009").from)
      << "210 degrees of arc: from all sides";
}

TEST(WeatherOfDay, AStormInSkyOrRemarksCountsWherePresentWeatherWasNotObserved) {
  for (const char* text : {"METAR EGXX 201150Z AUTO 24005KT 9999 // FEW030CB 16/10 Q1009",
                           "METAR KXXX 201150Z AUTO 24005KT 10SM // CLR 16/10 A3000 RMK AO2 LTG DSNT W"}) {
    Day day;
    day.sky.thunder = false;  // nothing seen by eye
    ASSERT_TRUE(take_report(day, report_read(text), kReportNow, kReportNow)) << text;
    EXPECT_TRUE(*day.sky.thunder) << text;
  }
}

TEST(WeatherOfDay, ALayerWithoutItsBaseLeavesTheOthersAndTheDoubt) {
  Day day;
  ASSERT_TRUE(
      take_report(day, report_read("METAR EGXX 201150Z AUTO 24005KT 9999 FEW005 BKN/// 16/10 Q1009"), kReportNow, kReportNow));
  EXPECT_FALSE(day.sky.cloud_known);
  EXPECT_TRUE(day.sky.cloud_partly);
  ASSERT_TRUE(day.sky.cloud_base);
  EXPECT_NEAR(in_feet(*day.sky.cloud_base), 500, 1e-6);
}

TEST(WeatherOfDay, PressureAndTemperatureOfAnotherPlaceAndHourAreLessSure) {
  Day near, later, next_day;
  near.station_away = metres(0);
  const auto report = report_read("METAR EGXX 201150Z 24005KT 9999 FEW030 16/10 Q1009");
  ASSERT_TRUE(take_report(near, report, kReportNow, kReportNow));
  ASSERT_TRUE(take_report(later, report, kReportNow, kReportNow + std::chrono::hours(5)));
  ASSERT_TRUE(take_report(next_day, report, kReportNow, kReportNow + std::chrono::hours(24)));
  EXPECT_GT(later.qnh_off, near.qnh_off);
  EXPECT_FALSE(next_day.qnh);
  EXPECT_FALSE(later.temperature);
  Day far;
  far.station_away = kilometres(100);
  ASSERT_TRUE(take_report(far, report, kReportNow, kReportNow));
  EXPECT_GT(far.temperature_off, near.temperature_off);
}

TEST(WeatherOfDay, AnUnreadGroupLeavesItsPieceUnknown) {
  Day day;
  ASSERT_TRUE(take_report(day, report_read("METAR EGXX 201150Z 2401XKT 9999 FEW030 16/10 Q1009"), kReportNow, kReportNow));
  EXPECT_FALSE(day.wind);
  EXPECT_TRUE(day.temperature);
}

TEST(WeatherOfDay, AnOldReportIsRefused) {
  Day day;
  const auto old = take_report(day, report_read("METAR EGXX 200700Z 24005KT 9999 FEW030 16/10 Q1009"), kReportNow, kReportNow);
  ASSERT_FALSE(old);
  EXPECT_EQ(old.error().kind, ErrorKind::out_of_range);
}

Forecast forecast_read(const char* text) {
  const auto forecast = read_taf(text, kReportNow);
  EXPECT_TRUE(forecast) << text;
  return forecast.value_or(Forecast{});
}
const UtcTime kForecastEnd = kReportNow + std::chrono::hours(2);

TEST(ForecastOfDay, FillsTheWindAndKeepsEachGroupWithItsChance) {
  Day day;
  const auto f = forecast_read(
      "TAF EGXX 201100Z 2012/2112 24010KT 9999 FEW030 TEMPO 2013/2016 25018G30KT TSRA SCT012CB BECMG 2015/2017 30005KT");
  ASSERT_TRUE(take_forecast(day, f, kReportNow, kReportNow, kForecastEnd));
  ASSERT_TRUE(day.wind);
  EXPECT_NEAR(in_knots(day.wind->mean.mid), 10, 1e-9);
  EXPECT_EQ(day.wind->source, "EGXX forecast of 11:00 UTC");
  EXPECT_FALSE(day.wind->gust) << "the TEMPO is not at the launch";
  ASSERT_TRUE(day.forecast);
  ASSERT_EQ(day.forecast->wind.size(), 2U) << "the BECMG begins after the landing";
  EXPECT_TRUE(day.forecast->wind[0].group.prevails());
  EXPECT_EQ(day.forecast->wind[1].group.text, "TEMPO 2013/2016 25018G30KT TSRA SCT012CB");
  EXPECT_EQ(day.forecast->wind[1].group.chance, 1) << "an hour in it";
  EXPECT_NEAR(in_knots(day.forecast->wind[1].gust->mid), 30, 1e-9);
  EXPECT_EQ(day.forecast->weather.size(), 2U);
  EXPECT_TRUE(day.forecast->unknown.wind.empty());
}

TEST(ForecastOfDay, WhatIsTypedOrReportedComesFirst) {
  Day day;
  day.wind = typed_wind(4);
  ASSERT_TRUE(take_forecast(day, forecast_read("TAF EGXX 201100Z 2012/2112 24010G22KT 9999 FEW030"), kReportNow, kReportNow,
                            kForecastEnd));
  EXPECT_EQ(day.wind->source, "typed");
  EXPECT_FALSE(day.wind->gust);
  EXPECT_TRUE(day.forecast->wind[0].gust);
}

TEST(ForecastOfDay, ItsSpreadIsWiderThanThatOfAReportOfTheHour) {
  for (const char* wind : {"00000KT", "24005KT", "24015KT", "24030KT"}) {
    Day told, foretold;
    ASSERT_TRUE(take_report(told, report_read(("METAR EGXX 201200Z " + std::string(wind) + " 9999 FEW030 16/10 Q1009").c_str()),
                            kReportNow, kReportNow));
    ASSERT_TRUE(take_forecast(foretold,
                              forecast_read(("TAF EGXX 201100Z 2012/2112 " + std::string(wind) + " 9999 FEW030").c_str()),
                              kReportNow, kReportNow, kForecastEnd));
    EXPECT_GT(foretold.wind->mean.high, told.wind->mean.high) << wind;
    EXPECT_LE(foretold.wind->mean.low, told.wind->mean.low) << wind;
  }
}

TEST(ForecastOfDay, SaysHowFarItGoesAndRefusesAnotherDay) {
  Day day;
  const auto f = forecast_read("TAF EGXX 201100Z 2012/2013 24010KT 9999 FEW030");
  ASSERT_TRUE(take_forecast(day, f, kReportNow, kReportNow, kForecastEnd));
  EXPECT_EQ(day.forecast->to, kReportNow + std::chrono::hours(1));
  const auto later = take_forecast(day, f, kReportNow, kReportNow + std::chrono::hours(3), kReportNow + std::chrono::hours(4));
  ASSERT_FALSE(later);
  EXPECT_EQ(later.error().kind, ErrorKind::out_of_range);
  EXPECT_EQ(later.error().where, "--taf");
  EXPECT_FALSE(take_forecast(day, f, utc(2026, 6, 20, 9, 30), kReportNow, kForecastEnd)) << "issued after now";
}

TEST(ForecastOfDay, AnUnreadGroupIsNamed) {
  Day day;
  ASSERT_TRUE(take_forecast(day, forecast_read("TAF EGXX 201100Z 2012/2112 24010KT 9999 FEW030 TEMPO 2013/2016 2501XKT"),
                            kReportNow, kReportNow, kForecastEnd));
  EXPECT_EQ(day.forecast->unknown.wind, std::vector<std::string>{"TEMPO 2013/2016 2501XKT"});
  EXPECT_TRUE(day.forecast->unknown.cloud.empty());
}

}  // namespace
}  // namespace headroom
