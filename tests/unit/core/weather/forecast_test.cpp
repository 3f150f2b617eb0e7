// What of a forecast counts for a stretch of time, by the definitions of WMO-No. 306, FM 51 (those of ICAO Annex 3, appendix 5).
#include "core/weather/forecast.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

UtcTime hour_of(int hour, int minute = 0) {
  return utc(2026, 6, 20, hour, minute);
}

Conditions blowing(double mean, std::optional<double> gust = std::nullopt) {
  Conditions c;
  ReportedWind w;
  w.mean = metres_per_second(mean);
  if (gust) w.gust = metres_per_second(*gust);
  c.wind = w;
  return c;
}
// A self-contained part: 10 km, a layer at 900 m, no weather.
Conditions whole(double mean, std::optional<double> gust = std::nullopt) {
  Conditions c = blowing(mean, gust);
  c.visibility = ReportedVisibility{ReportedVisibility::Bound::exactly, kilometres(10), std::nullopt};
  c.sky = ReportedSky{ReportedSky::Statement::layers,
                      {{CloudLayer::Amount::few, HeightAboveGround::from_si(900), CloudLayer::Convective::none}}};
  c.weather.emplace();
  return c;
}
WeatherCode coded(const char* descriptor, const char* kind) {
  WeatherCode w;
  w.descriptor = descriptor;
  w.kinds.emplace_back(kind);
  return w;
}
// Valid 12 to 24, 5 m/s.
Forecast all_day() {
  Forecast f;
  f.station = "EGXX";
  f.issued = hour_of(11);
  f.from = hour_of(12);
  f.to = utc(2026, 6, 21);
  f.parts.push_back({ChangeKind::base, 0, f.from, f.to, whole(5), {}, false, "base"});
  return f;
}
void put(Forecast& f, ChangeKind kind, UtcTime from, UtcTime to, Conditions c, int percent = 0) {
  f.parts.push_back({kind, percent, from, to, std::move(c), {}, false, "change"});
}
double strongest(const Forecast& f, UtcTime from, UtcTime to) {
  const auto o = conditions_over(f, from, to);
  EXPECT_TRUE(o.wind.known());
  return o.wind.prevailing.empty() ? -1 : o.wind.prevailing.front().value.mean.si();
}

TEST(ConditionsOver, FmReplacesEverythingFromItsTime) {
  Forecast f = all_day();
  put(f, ChangeKind::from, hour_of(15), f.to, blowing(9));
  EXPECT_EQ(strongest(f, hour_of(13), hour_of(15)), 5) << "up to it, not with it";
  EXPECT_EQ(strongest(f, hour_of(13), hour_of(15, 1)), 9);
  EXPECT_EQ(strongest(f, hour_of(15), hour_of(15)), 9);
  EXPECT_EQ(strongest(f, hour_of(14, 59), hour_of(14, 59)), 5);
  const auto after = conditions_over(f, hour_of(16), hour_of(17));
  ASSERT_EQ(after.wind.prevailing.size(), 1U);
  EXPECT_EQ(after.wind.prevailing[0].part, 1U);
  EXPECT_FALSE(after.cloud.known()) << "what an FM does not say is not carried over";
  EXPECT_EQ(after.cloud.unknown, std::vector<std::size_t>{1});
}

TEST(ConditionsOver, WhileItBecomesBothCountAndAfterItTheNew) {
  Forecast f = all_day();
  put(f, ChangeKind::becoming, hour_of(14), hour_of(16), blowing(2));
  EXPECT_EQ(strongest(f, hour_of(12), hour_of(14)), 5);
  EXPECT_EQ(strongest(f, hour_of(15), hour_of(15, 30)), 5) << "the easing may not have come yet";
  EXPECT_EQ(conditions_over(f, hour_of(15), hour_of(15, 30)).wind.prevailing.size(), 2U);
  EXPECT_EQ(strongest(f, hour_of(16), hour_of(17)), 2);
  f = all_day();
  put(f, ChangeKind::becoming, hour_of(14), hour_of(16), blowing(8));
  EXPECT_EQ(strongest(f, hour_of(13), hour_of(14, 1)), 8) << "the freshening may come at once";
  const auto o = conditions_over(f, hour_of(17), hour_of(18));
  EXPECT_TRUE(o.cloud.known() && o.visibility.known() && o.weather.known()) << "what it does not name stays";
}

TEST(ConditionsOver, OneChangeAfterTheOther) {
  Forecast f = all_day();
  put(f, ChangeKind::becoming, hour_of(13), hour_of(14), blowing(8));
  put(f, ChangeKind::becoming, hour_of(15), hour_of(16), blowing(3));
  put(f, ChangeKind::from, hour_of(20), f.to, whole(1));
  EXPECT_EQ(strongest(f, hour_of(14), hour_of(15)), 8);
  EXPECT_EQ(conditions_over(f, hour_of(14), hour_of(15)).wind.prevailing.size(), 1U);
  EXPECT_EQ(strongest(f, hour_of(16), hour_of(19)), 3);
  EXPECT_EQ(strongest(f, hour_of(20), hour_of(22)), 1);
  EXPECT_EQ(strongest(f, hour_of(12), hour_of(22)), 8);
}

TEST(ConditionsOver, AChangeThatBeganBeforeTheForecastCounts) {
  Forecast f = all_day();
  put(f, ChangeKind::becoming, hour_of(11), hour_of(13), blowing(8));
  EXPECT_EQ(strongest(f, hour_of(12), hour_of(12, 30)), 8);
  EXPECT_EQ(strongest(f, hour_of(14), hour_of(15)), 8);
  EXPECT_EQ(conditions_over(f, hour_of(14), hour_of(15)).wind.prevailing.size(), 1U);
}

TEST(ConditionsOver, TempoAndProbCountWithinTheirPeriodAndOnlyWhereWorse) {
  Forecast f = all_day();
  put(f, ChangeKind::temporary, hour_of(14), hour_of(18), blowing(9, 14));
  put(f, ChangeKind::probable, hour_of(16), hour_of(17), blowing(12), 30);
  put(f, ChangeKind::probable_temporary, hour_of(14), hour_of(18), blowing(3), 40);
  EXPECT_TRUE(conditions_over(f, hour_of(12), hour_of(14)).wind.passing.empty());
  EXPECT_TRUE(conditions_over(f, hour_of(18), hour_of(19)).wind.passing.empty());
  const auto o = conditions_over(f, hour_of(15), hour_of(16, 30));
  ASSERT_EQ(o.wind.passing.size(), 2U) << "3 m/s for a while is no worse than 5";
  EXPECT_EQ(o.wind.passing[0].part, 2U);
  EXPECT_EQ(o.wind.passing[0].from, hour_of(16));
  EXPECT_EQ(o.wind.passing[0].to, hour_of(16, 30));
  EXPECT_EQ(o.wind.passing[1].value.mean.si(), 9);
  ASSERT_EQ(o.gust.passing.size(), 1U);
  EXPECT_EQ(o.gust.passing[0].value.si(), 14);
  EXPECT_EQ(strongest(f, hour_of(15), hour_of(16, 30)), 5) << "it does not prevail";
}

TEST(ConditionsOver, AWindWithoutGustsEndsThoseBefore) {
  Forecast f = all_day();
  f.parts[0].conditions = whole(6, 12);
  put(f, ChangeKind::becoming, hour_of(14), hour_of(15), blowing(6));
  EXPECT_EQ(conditions_over(f, hour_of(14), hour_of(15)).gust.prevailing.front().value.si(), 12);
  EXPECT_EQ(conditions_over(f, hour_of(15), hour_of(16)).gust.prevailing.front().value.si(), 0);
}

TEST(ConditionsOver, SkyAndWeather) {
  Forecast f = all_day();
  Conditions storm;
  storm.visibility = ReportedVisibility{ReportedVisibility::Bound::exactly, metres(1500), std::nullopt};
  storm.weather = std::vector<WeatherCode>{coded("TS", "RA")};
  storm.sky = ReportedSky{ReportedSky::Statement::layers,
                          {{CloudLayer::Amount::broken, HeightAboveGround::from_si(240), CloudLayer::Convective::cumulonimbus}}};
  put(f, ChangeKind::temporary, hour_of(14), hour_of(16), storm);
  auto o = conditions_over(f, hour_of(15), hour_of(17));
  ASSERT_TRUE(o.visibility.passing.size() == 1 && o.cloud.passing.size() == 1 && o.weather.passing.size() == 1);
  EXPECT_TRUE(o.weather.passing[0].value.thunder && o.weather.passing[0].value.rain);
  EXPECT_EQ(o.cloud.passing[0].value.lowest, HeightAboveGround::from_si(240));
  EXPECT_TRUE(o.wind.passing.empty());
  // Weather that prevails ends with NSW.
  f = all_day();
  f.parts[0].conditions.weather->push_back(coded("SH", "RA"));
  Conditions none;
  none.weather.emplace();
  put(f, ChangeKind::becoming, hour_of(14), hour_of(15), none);
  EXPECT_TRUE(conditions_over(f, hour_of(14), hour_of(15)).weather.prevailing.front().value.rain);
  EXPECT_FALSE(conditions_over(f, hour_of(15), hour_of(16)).weather.prevailing.front().value.rain);
  // Cumulonimbus without a word of weather is a storm all the same.
  Conditions cb;
  cb.sky = storm.sky;
  put(f, ChangeKind::probable, hour_of(17), hour_of(18), cb, 30);
  o = conditions_over(f, hour_of(17), hour_of(18));
  ASSERT_EQ(o.weather.passing.size(), 1U);
  EXPECT_TRUE(o.weather.passing[0].value.thunder);
}

TEST(ConditionsOver, WhatCouldNotBeReadIsUnknownInItsPeriodOnly) {
  Forecast f = all_day();
  Conditions unread;
  unread.unreadable.wind = true;
  put(f, ChangeKind::temporary, hour_of(14), hour_of(16), unread);
  EXPECT_TRUE(conditions_over(f, hour_of(12), hour_of(14)).wind.known());
  EXPECT_FALSE(conditions_over(f, hour_of(13), hour_of(14, 30)).wind.known());
  EXPECT_TRUE(conditions_over(f, hour_of(13), hour_of(14, 30)).cloud.known());
  EXPECT_TRUE(conditions_over(f, hour_of(16), hour_of(18)).wind.known());
  f = all_day();
  put(f, ChangeKind::becoming, hour_of(14), hour_of(16), unread);
  EXPECT_FALSE(conditions_over(f, hour_of(20), hour_of(21)).wind.known()) << "it stays so";
}

TEST(ConditionsOver, BeyondItsEndNothingIsSaid) {
  const Forecast f = all_day();
  auto o = conditions_over(f, hour_of(23), utc(2026, 6, 21, 1));
  EXPECT_FALSE(o.covered);
  EXPECT_EQ(o.to, f.to);
  EXPECT_TRUE(o.wind.known()) << "of the hour it covers";
  o = conditions_over(f, hour_of(10), hour_of(11));
  EXPECT_FALSE(o.covered);
  EXPECT_FALSE(o.wind.known());
  EXPECT_FALSE(conditions_over(f, utc(2026, 6, 21), utc(2026, 6, 21, 1)).wind.known());
  EXPECT_TRUE(conditions_over(f, hour_of(12), utc(2026, 6, 21)).covered);
}

TEST(ConditionsOver, MoreTimeNeverMakesItBetter) {
  Forecast f = all_day();
  put(f, ChangeKind::becoming, hour_of(13), hour_of(15), blowing(2));
  put(f, ChangeKind::temporary, hour_of(14), hour_of(17), blowing(7));
  put(f, ChangeKind::from, hour_of(18), f.to, whole(6));
  for (int start = 12; start < 23; ++start) {
    double worst = 0;
    for (int end = start; end < 24; ++end) {
      const auto o = conditions_over(f, hour_of(start), hour_of(end));
      double now = o.wind.prevailing.front().value.mean.si();
      if (!o.wind.passing.empty()) now = std::max(now, o.wind.passing.front().value.mean.si());
      EXPECT_GE(now, worst) << start << " to " << end;
      worst = now;
    }
  }
}

TEST(ChanceMet, ByTheWordAndTheTimeSpentInIt) {
  ForecastPart part;
  EXPECT_EQ(chance_met(part, hours(1)), 1);
  part.kind = ChangeKind::temporary;
  EXPECT_EQ(chance_met(part, hours(0)), 0.5) << "half of the time at most";
  EXPECT_EQ(chance_met(part, minutes(30)), 0.75);
  EXPECT_EQ(chance_met(part, hours(3)), 1);
  part.kind = ChangeKind::probable_temporary;
  part.percent = 30;
  EXPECT_EQ(chance_met(part, hours(3)), 0.3);
  part.kind = ChangeKind::probable;
  part.percent = 40;
  EXPECT_EQ(chance_met(part, hours(3)), 0.4);
}

// What is as bad only from later on does not hide what may come before.
TEST(ConditionsOver, ATempoBeforeAWorseFmStands) {
  Forecast f = all_day();
  put(f, ChangeKind::temporary, hour_of(12), hour_of(13), blowing(9));
  put(f, ChangeKind::from, hour_of(14), f.to, blowing(11));
  const auto o = conditions_over(f, hour_of(12), hour_of(15));
  ASSERT_EQ(o.wind.passing.size(), 1U);
  EXPECT_EQ(o.wind.passing.front().value.mean, metres_per_second(9));
  // What is as bad from the beginning on does.
  Forecast g = all_day();
  g.parts.front().conditions = whole(11);
  put(g, ChangeKind::temporary, hour_of(12), hour_of(13), blowing(9));
  EXPECT_TRUE(conditions_over(g, hour_of(12), hour_of(15)).wind.passing.empty());
}

Conditions with_cumulonimbus() {
  Conditions c;
  c.sky = ReportedSky{ReportedSky::Statement::layers,
                      {{CloudLayer::Amount::few, HeightAboveGround::from_si(900), CloudLayer::Convective::cumulonimbus}}};
  return c;
}
bool storm_in(const Forecast& f, UtcTime from, UtcTime to) {
  const auto weather = conditions_over(f, from, to).weather;
  for (const auto* list : {&weather.prevailing, &weather.passing})
    for (const auto& w : *list)
      if (w.value.thunder) return true;
  return false;
}

// Each piece of a group changes that piece alone (FM 51): no weather of note any more leaves the sky as it was.
TEST(ConditionsOver, CumulonimbusStaysUntilTheSkyChanges) {
  Forecast f = all_day();
  f.parts.front().conditions.sky = with_cumulonimbus().sky;
  Conditions nothing_of_note;
  nothing_of_note.weather.emplace();
  put(f, ChangeKind::becoming, hour_of(13), hour_of(14), nothing_of_note);
  EXPECT_TRUE(storm_in(f, hour_of(15), hour_of(16)));
  Conditions other_sky;
  other_sky.sky = whole(5).sky;
  put(f, ChangeKind::becoming, hour_of(16), hour_of(17), other_sky);
  EXPECT_FALSE(storm_in(f, hour_of(18), hour_of(19)));
}

TEST(ConditionsOver, ACumulonimbusSkyDoesNotEndTheFog) {
  Forecast f = all_day();
  f.parts.front().conditions.weather->push_back(coded("", "FG"));
  put(f, ChangeKind::becoming, hour_of(13), hour_of(14), with_cumulonimbus());
  const auto weather = conditions_over(f, hour_of(15), hour_of(16)).weather;
  bool fog = false;
  for (const auto& w : weather.prevailing) fog = fog || w.value.fog;
  EXPECT_TRUE(fog);
  EXPECT_TRUE(storm_in(f, hour_of(15), hour_of(16)));
}

}  // namespace
}  // namespace headroom
