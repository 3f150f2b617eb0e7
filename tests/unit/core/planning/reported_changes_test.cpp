// What a report foretells or has just seen is not worked out, and leaves nothing that it touches ample.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/planning/brief.h"

namespace headroom {
namespace {

Day fair_day() {
  Day day;
  DayWind wind;
  wind.from = wind_from_degrees(80);
  wind.mean = exactly(metres_per_second(2));
  wind.source = "EGXX 11:50 UTC";
  wind.of_report = true;
  day.wind = wind;
  day.sky.visibility = metres(10000);
  day.sky.cloud_known = true;
  day.sky.cloud_base = metres(1500);
  day.sky.thunder = day.sky.rain = day.sky.fog = false;
  return day;
}

MarginState state_in(const Day& day, std::string_view id) {
  const State state;
  BriefRequest request;
  request.now = utc(2026, 6, 20, 12, 0, 0);
  request.day = day;
  const auto brief = make_brief(state, request);
  const auto it = std::find_if(brief.margins.begin(), brief.margins.end(), [&](const Margin& m) { return m.id == id; });
  EXPECT_NE(it, brief.margins.end()) << id;
  return it->state;
}

TEST(ReportedChanges, ATrendLeavesSkyAndWindNoBetterThanThin) {
  Day day = fair_day();
  for (const char* id : {"thunderstorm", "visibility", "cloud_base"}) EXPECT_EQ(state_in(day, id), MarginState::ample) << id;
  day.trend = "TEMPO 08025G40KT 2000 TSRA BKN004CB";
  for (const char* id : {"thunderstorm", "visibility", "cloud_base"}) EXPECT_EQ(state_in(day, id), MarginState::thin) << id;
  EXPECT_NE(state_in(day, "wind_mean"), MarginState::ample);
}

TEST(ReportedChanges, WeatherJustPastAndShearAreNoFairSky) {
  Day day = fair_day();
  day.recent = "TS";
  EXPECT_EQ(state_in(day, "thunderstorm"), MarginState::thin);
  EXPECT_EQ(state_in(day, "visibility"), MarginState::ample);
  day = fair_day();
  day.shear_reported = true;
  EXPECT_NE(state_in(day, "wind_mean"), MarginState::ample);
}

// The middle of what is assumed lies inside what is assumed, however hard it blows.
TEST(ReportedChanges, AssumedGustsStayInOrder) {
  for (const bool report : {true, false})
    for (const double mean : {0.0, 5.0, 12.0, 18.0, 23.0, 40.0}) {
      Day day = fair_day();
      day.wind->mean = exactly(metres_per_second(mean));
      day.wind->of_report = report;
      const State state;
      BriefRequest request;
      request.now = utc(2026, 6, 20, 12, 0, 0);
      request.day = day;
      const auto brief = make_brief(state, request);
      for (const Margin& m : brief.margins)
        if (m.id == "gust_spread") {
          EXPECT_LE(m.need.low, m.need.mid) << mean;
          EXPECT_LE(m.need.mid, m.need.high) << mean;
        }
    }
}

}  // namespace
}  // namespace headroom
