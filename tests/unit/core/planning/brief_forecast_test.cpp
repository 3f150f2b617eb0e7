// A forecast among the margins: what it brings counts, what it does not tell is unknown, and without one nothing changes.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/planning/brief.h"
#include "core/planning/brief_day.h"

namespace headroom {
namespace {

const UtcTime kLaunch = utc(2026, 6, 20, 12, 0, 0);

State limited_state() {
  State state;
  const auto put = [&](const char* key, double value) {
    Sample s;
    s.value = value;
    s.unit = "m/s";
    state.readings[key].push_back(s);
  };
  put("limit_wind", 6);
  put("limit_gust_spread", 4);
  return state;
}
ForecastWind foretold_wind(double mean, ChangeKind kind = ChangeKind::base, double chance = 1,
                           std::optional<double> gust = std::nullopt) {
  const auto told = [](double v) {
    return Estimate<Speed>{
        metres_per_second(std::max(0.0, v - 3)), metres_per_second(v), metres_per_second(v + 3), assumed(), {}};
  };
  ForecastWind w;
  w.group = {"GROUP", kind, kind == ChangeKind::probable ? 30 : 0, chance, kLaunch, kLaunch + std::chrono::hours(1)};
  w.mean = told(mean);
  if (gust) w.gust = told(*gust);
  return w;
}
Day forecast_day(std::vector<ForecastWind> winds) {
  Day day;
  DayForecast f;
  f.source = "EGXX forecast of 11:00 UTC";
  f.from = kLaunch;
  f.to = kLaunch + std::chrono::hours(1);
  f.wind = std::move(winds);
  const ForecastGroup base{"GROUP", ChangeKind::base, 0, 1, f.from, f.to};
  f.visibility.push_back({base, kilometres(10), false});
  f.cloud.push_back({base, std::nullopt});
  f.weather.push_back({base, false, false, false});
  day.forecast = std::move(f);
  return day;
}
std::vector<Margin> margins_of(const State& state, const Day& day, UtcTime landing = kLaunch + std::chrono::hours(1)) {
  DayPlan plan{state, day, kLaunch, landing, kLaunch, duration_between(kLaunch, landing)};
  std::vector<Margin> out;
  add_wind(out, plan);
  add_sky(out, plan);
  return out;
}
Margin forecast_margin(const std::vector<Margin>& margins, std::string_view id) {
  const auto it = std::find_if(margins.begin(), margins.end(), [&](const Margin& m) { return m.id == id; });
  EXPECT_NE(it, margins.end()) << id;
  return it == margins.end() ? Margin{} : *it;
}
Margin wind_until(const Day& day, UtcTime landing = kLaunch + std::chrono::hours(1)) {
  return forecast_margin(margins_of(limited_state(), day, landing), "wind_forecast");
}
bool says(const Margin& m, std::string_view words) {
  return std::any_of(m.why.begin(), m.why.end(), [&](const Sentence& s) {
    if (s.text.find(words) != std::string::npos) return true;
    return std::any_of(s.parts.begin(), s.parts.end(), [&](const Sentence::Part& p) {
      const auto* text = std::get_if<std::string>(&p);
      return text && text->find(words) != std::string::npos;
    });
  });
}

TEST(BriefForecast, WithoutOneThereIsNoSuchMargin) {
  const Day day;
  for (const Margin& m : margins_of(limited_state(), day)) EXPECT_NE(m.id, "wind_forecast");
}

TEST(BriefForecast, WindThatPrevailsCountsInFull) {
  EXPECT_EQ(wind_until(forecast_day({foretold_wind(9)})).state, MarginState::short_of);
  const auto calm = wind_until(forecast_day({foretold_wind(0.5)}));
  EXPECT_EQ(calm.state, MarginState::ample);
  EXPECT_TRUE(calm.assumed);
  double before = 0;
  for (double mean = 0; mean < 12; mean += 0.5) {
    const auto m = wind_until(forecast_day({foretold_wind(mean)}));
    ASSERT_TRUE(m.chance_short);
    EXPECT_GE(*m.chance_short, before);
    before = *m.chance_short;
  }
}

TEST(BriefForecast, WhatMayComeCountsByItsChance) {
  const auto m = wind_until(forecast_day({foretold_wind(0.5), foretold_wind(20, ChangeKind::probable, 0.3)}));
  ASSERT_TRUE(m.chance_short);
  EXPECT_NEAR(*m.chance_short, 0.3, 0.01);
  EXPECT_EQ(m.state, MarginState::short_of) << "wind is deadly: 20 in 100 and more";
  EXPECT_GT(m.left.mid, 0) << "what is less likely than not does not stand for need";
  EXPECT_TRUE(says(m, "30 in 100"));
  const auto often = wind_until(forecast_day({foretold_wind(0.5), foretold_wind(20, ChangeKind::temporary, 0.8)}));
  EXPECT_NEAR(*often.chance_short, 0.8, 0.01);
  EXPECT_LT(often.left.mid, 0);
  // Two that may come, each apart: 1 - 0.7 * 0.2.
  const auto both = wind_until(forecast_day(
      {foretold_wind(0.5), foretold_wind(20, ChangeKind::probable, 0.3), foretold_wind(20, ChangeKind::temporary, 0.8)}));
  EXPECT_NEAR(*both.chance_short, 0.86, 0.01);
}

TEST(BriefForecast, GustsCountAgainstTheirOwnLimit) {
  const auto m = wind_until(forecast_day({foretold_wind(0.5, ChangeKind::base, 1, 12)}));
  EXPECT_EQ(m.state, MarginState::short_of);
  EXPECT_EQ(m.have.mid, 4);
}

TEST(BriefForecast, LandingBeforeTheChangeIsNamed) {
  auto late = foretold_wind(20, ChangeKind::from);
  late.group.from = kLaunch + std::chrono::minutes(40);
  const auto m = wind_until(forecast_day({foretold_wind(0.5), late}));
  ASSERT_EQ(m.changes.size(), 1U);
  EXPECT_LT(*m.changes[0].chance_short, 0.05);
}

TEST(BriefForecast, WhatItDoesNotReachIsUnknownUnlessShortAlready) {
  const auto landing = kLaunch + std::chrono::hours(2);
  const auto m = wind_until(forecast_day({foretold_wind(0.5)}), landing);
  EXPECT_EQ(m.state, MarginState::unknown);
  EXPECT_FALSE(m.chance_short);
  EXPECT_TRUE(says(m, "13:00 UTC"));
  EXPECT_FALSE(m.measure.empty());
  EXPECT_EQ(wind_until(forecast_day({foretold_wind(12)}), landing).state, MarginState::short_of);
  const auto all = margins_of(limited_state(), forecast_day({foretold_wind(0.5)}), landing);
  for (const char* id : {"visibility", "cloud_base", "thunderstorm"})
    EXPECT_EQ(forecast_margin(all, id).state, MarginState::unknown) << id;
}

TEST(BriefForecast, AnUnreadGroupMakesItsPieceUnknown) {
  Day day = forecast_day({foretold_wind(0.5)});
  day.forecast->unknown.weather = {"TEMPO 2012/2014 TSRX"};
  const auto all = margins_of(limited_state(), day);
  EXPECT_EQ(forecast_margin(all, "thunderstorm").state, MarginState::unknown);
  EXPECT_TRUE(says(forecast_margin(all, "thunderstorm"), "TSRX"));
  EXPECT_EQ(forecast_margin(all, "visibility").state, MarginState::ample);
  EXPECT_TRUE(forecast_margin(all, "visibility").assumed) << "nobody has looked";
  EXPECT_EQ(forecast_margin(all, "wind_forecast").state, MarginState::ample);
}

TEST(BriefForecast, TheSkyCountsWhatItBrings) {
  Day day = forecast_day({foretold_wind(0.5)});
  EXPECT_EQ(forecast_margin(margins_of(limited_state(), day), "thunderstorm").state, MarginState::ample);
  const auto with_storm = [&](ChangeKind kind, double chance) {
    Day other = day;
    other.forecast->weather.push_back({{"GROUP", kind, 30, chance, kLaunch, kLaunch}, true, true, false});
    return forecast_margin(margins_of(limited_state(), other), "thunderstorm");
  };
  EXPECT_EQ(with_storm(ChangeKind::temporary, 0.5).state, MarginState::short_of);
  EXPECT_EQ(with_storm(ChangeKind::probable, 0.3).state, MarginState::thin);
  EXPECT_NEAR(*with_storm(ChangeKind::probable, 0.3).chance_short, 0.3, 1e-9);
  Day rain = day;
  rain.forecast->weather.push_back({{"GROUP", ChangeKind::temporary, 0, 0.8, kLaunch, kLaunch}, false, true, false});
  EXPECT_EQ(forecast_margin(margins_of(limited_state(), rain), "thunderstorm").state, MarginState::thin);
  // A clear sky now, typed, and a low base later.
  day.sky.cloud_known = true;
  day.sky.visibility = kilometres(20);
  day.forecast->cloud.push_back({{"GROUP", ChangeKind::from, 0, 1, kLaunch, kLaunch}, metres(150)});
  day.forecast->visibility.push_back({{"GROUP", ChangeKind::probable, 30, 0.3, kLaunch, kLaunch}, metres(800), false});
  const auto all = margins_of(limited_state(), day);
  EXPECT_EQ(forecast_margin(all, "cloud_base").state, MarginState::short_of);
  EXPECT_EQ(forecast_margin(all, "visibility").state, MarginState::thin);
  EXPECT_NEAR(*forecast_margin(all, "visibility").chance_short, 0.3, 1e-9);
}

}  // namespace
}  // namespace headroom
