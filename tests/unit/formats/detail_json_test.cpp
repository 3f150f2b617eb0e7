#include "formats/detail_json.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "core/track/detail.h"
#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

// Up, two circles, down, with a wind of 2 m/s; with heights or without.
AnswerJson told_flight(bool heights) {
  test::ScriptedRecording s;
  const auto flying = [](double heading, double up) {
    return test::ScriptedRecording::Velocity{10 * std::sin(heading) + 2, 10 * std::cos(heading), up};
  };
  s.stand(60);
  s.leg(6, [](double t) { return test::ScriptedRecording::Velocity{-1.5 * (t + 0.5), 0, 0}; });
  s.leg(120, [&](double t) { return flying(-1.57 + 0.002 * t, 2); });
  s.leg(160, [&](double t) { return flying(-1.37 + t * 2 * std::numbers::pi / 40, 0); });
  s.leg(150, [&](double) { return flying(-1.37, -1.6); });
  s.stand(60);
  if (!heights)
    for (Fix& f : s.recording_.fixes) f.has_gnss_height = f.has_pressure_altitude = false;
  Workspace workspace;
  const auto analysis = analyse(s.recording_, nullptr, workspace);
  AnswerJson out;
  if (!analysis || analysis->found.size() != 1) return out;
  DetailOptions options;
  options.aircraft = AircraftKnown::powered_paraglider;
  put_detail(out, tell_flight(s.recording_, *analysis, analysis->found[0], options), UnitChoice{});
  return out;
}

TEST(DetailJson, AFlightWithoutHeightsIsNotCalledLevel) {
  const AnswerJson told = told_flight(false);
  ASSERT_TRUE(told.contains("phases"));
  int airborne = 0;
  for (const auto& phase : told["phases"]) {
    EXPECT_TRUE(phase["height_change_m"].is_null()) << phase.dump();
    EXPECT_FALSE(phase.contains("climb_m_s"));
    for (const char* name : {"initial_climb", "climb", "level", "descent"}) EXPECT_NE(phase["phase"], name);
    airborne += phase["phase"] == "airborne";
  }
  EXPECT_GE(airborne, 1);
  bool said = false;
  for (const auto& line : told["story"]) {
    const auto text = line["text"].get<std::string>();
    EXPECT_EQ(text.find("Level"), std::string::npos) << text;
    said = said || text.find("heights not known") != std::string::npos;
  }
  EXPECT_TRUE(said) << told["story"].dump();
}

TEST(DetailJson, AFlightWithHeightsHasItsHeightChanges) {
  const AnswerJson told = told_flight(true);
  ASSERT_TRUE(told.contains("phases"));
  double up = 0;
  for (const auto& phase : told["phases"]) {
    EXPECT_NE(phase["phase"], "airborne");
    ASSERT_TRUE(phase["height_change_m"].is_number()) << phase.dump();
    up += std::max(0.0, phase["height_change_m"].get<double>());
  }
  EXPECT_NEAR(up, 240, 30);  // 2 m/s for 120 s
  EXPECT_EQ(told["story"].dump().find("heights not known"), std::string::npos);
}

}  // namespace
}  // namespace headroom
