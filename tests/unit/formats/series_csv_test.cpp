#include "formats/series_csv.h"

#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

namespace headroom {
namespace {

// Three fixes, one second apart: still, flying north-west at 5 m/s, flying east.
Analysis series_analysis() {
  Analysis a;
  a.track.has_gnss = true;
  const UtcTime zero = utc(2026, 5, 2, 7, 10, 0);
  for (int i = 0; i < 3; ++i) {
    TrackFix fix;
    fix.time = zero + std::chrono::milliseconds(1000 * i);
    a.track.fixes.push_back(fix);
    SmoothedFix s;
    s.position = {47.5, -8.25};
    s.horizontal = {1, 0, 0.01};
    s.gnss.known = true;
    s.gnss.height_m = 600.04;
    s.gnss.rate_m_s = -0.001;
    a.smoothed.fixes.push_back(s);
  }
  a.smoothed.fixes[1].east_m_s = -3;
  a.smoothed.fixes[1].north_m_s = 4;
  a.smoothed.fixes[2].east_m_s = 6;
  FoundFlight found;
  found.first = 1;
  found.last = 2;
  a.found.push_back(found);
  return a;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

constexpr const char* kColumns =
    "time,latitude,longitude,height_m,ground_speed_m_s,track_deg,climb_m_s,airborne,engine_on,wind_from_deg,wind_m_s,wind_sd_m_s,"
    "airspeed_m_s,airspeed_sd_m_s";

TEST(SeriesCsv, UnknownIsAnEmptyCell) {
  const auto a = series_analysis();
  FlightDetail detail;
  detail.wind.unknown = "Too short.";
  detail.engine.unknown = "Too short.";
  const auto lines = lines_of(series_csv(a, std::vector<const FlightDetail*>{&detail}));
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_EQ(lines[0], kColumns);
  // Still: no direction. A climb of -0.001 is written without a sign.
  EXPECT_EQ(lines[1], "2026-05-02T07:10:00Z,47.5000000,-8.2500000,600.0,0.00,,0.00,0,,,,,,");
  // The 3-4-5 triangle; atan2(-3, 4) from north is 323.1 degrees.
  EXPECT_EQ(lines[2], "2026-05-02T07:10:01Z,47.5000000,-8.2500000,600.0,5.00,323.1,0.00,1,,,,,,");
  EXPECT_EQ(lines[3], "2026-05-02T07:10:02Z,47.5000000,-8.2500000,600.0,6.00,90.0,0.00,1,,,,,,");
}

TEST(SeriesCsv, WindIsWhereItComesFromAndOnlyInTheAir) {
  const auto a = series_analysis();
  FlightDetail detail;
  WindState w;  // the air moves south: the wind is from the north
  w.north_m_s = -4;
  w.var_east = 0.16F;
  w.var_north = 0.09F;
  w.airspeed_m_s = 10;
  w.var_airspeed = 0.25F;
  detail.wind.times_s = {0, 2};
  detail.wind.states = {w, w};
  detail.engine.first = 1;
  detail.engine.on = {0.25F, 1};
  const auto lines = lines_of(series_csv(a, std::vector<const FlightDetail*>{&detail}));
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_TRUE(lines[1].ends_with(",0,,,,,,")) << lines[1];
  // Spread: sqrt(0.16 + 0.09).
  EXPECT_TRUE(lines[2].ends_with(",1,0.250,0.0,4.00,0.50,10.00,0.50")) << lines[2];
  EXPECT_TRUE(lines[3].ends_with(",1,1.000,0.0,4.00,0.50,10.00,0.50")) << lines[3];
}

TEST(SeriesCsv, NoHeightIsNoHeightAndNoClimb) {
  auto a = series_analysis();
  a.track.has_gnss = false;
  for (auto& f : a.smoothed.fixes) f.gnss.known = false;
  const auto lines = lines_of(series_csv(a, {}));
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_EQ(lines[2], "2026-05-02T07:10:01Z,47.5000000,-8.2500000,,5.00,323.1,,1,,,,,,");
}

}  // namespace
}  // namespace headroom
