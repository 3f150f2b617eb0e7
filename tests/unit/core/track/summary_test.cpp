#include "core/track/summary.h"

#include <gtest/gtest.h>

#include "core/earth/geodesy.h"
#include "core/track/analyse.h"
#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

// A flight whose measures follow from its script: out 4000 m at 10 m/s climbing 2 m/s for 200 s, level, back down.
struct Known {
  Analysis analysis;
  double launch_height = 100;
};
Known known(HeightDatum datum, const Geoid* geoid) {
  test::ScriptedRecording s(7);
  s.stand(60)
      .leg(200, {10, 0, 2})
      .leg(200, {10, 0, 0})
      .leg(200, {-10, 0, -2})
      .leg(100, {-10, 0, 0})
      .leg(1, {-10, 0, 0})
      .stand(60);
  s.recording_.gnss_datum = datum;
  Workspace w;
  auto a = analyse(s.recording_, geoid, w);
  EXPECT_TRUE(a);
  EXPECT_EQ(a->flights.size(), 1U);
  return {std::move(*a)};
}

TEST(Summary, HasTheMeasuresOfTheScript) {
  const Known k = known(HeightDatum::geoid, nullptr);
  ASSERT_EQ(k.analysis.flights.size(), 1U);
  const FlightSummary& s = k.analysis.flights[0].summary;
  EXPECT_NEAR(s.farthest_distance.si(), 4000, 15);
  EXPECT_NEAR(s.height_gained.si(), 400, 6);
  EXPECT_NEAR(s.climb_95.si(), 2, 0.25);
  EXPECT_NEAR(s.climb_5.si(), -2, 0.25);
  EXPECT_NEAR(s.ground_speed_50.si(), 10, 0.2);
  EXPECT_NEAR(s.track_length.si(), 10 * s.air_time.si(), 150);
  ASSERT_TRUE(s.highest && s.lowest && s.launch_height && s.landing_height);
  EXPECT_NEAR(s.highest->si(), 500, 8);
  EXPECT_NEAR(s.launch_height->si(), 100, 8);
  ASSERT_TRUE(s.highest_pressure);
  EXPECT_NEAR(s.highest_pressure->si(), 440, 2);
}

TEST(Summary, GivesNoSeaLevelHeightsFromTheEllipsoidWithoutAGeoid) {
  const Known k = known(HeightDatum::ellipsoid, nullptr);
  ASSERT_EQ(k.analysis.flights.size(), 1U);
  EXPECT_FALSE(k.analysis.flights[0].summary.highest);
  EXPECT_FALSE(k.analysis.flights[0].doubts.empty());
}

TEST(Analyse, GivesTheSameAnswerWhateverTheWorkspaceHeld) {
  test::ScriptedRecording a(3), b(4);
  a.stand(60).take_off().climb(100).descend(120).stand(60);
  b.stand(30).take_off().climb(400).descend(450).stand(300);
  b.pressure_ = false;
  Workspace fresh, used;
  auto first = analyse(b.recording_, nullptr, used);
  ASSERT_TRUE(first);
  used.give_back(std::move(*first));
  const auto x = analyse(a.recording_, nullptr, fresh), y = analyse(a.recording_, nullptr, used);
  ASSERT_TRUE(x && y);
  ASSERT_EQ(x->flights.size(), y->flights.size());
  EXPECT_EQ(x->paths, y->paths);
  EXPECT_EQ(x->notes, y->notes);
  ASSERT_EQ(x->smoothed.fixes.size(), y->smoothed.fixes.size());
  for (std::size_t i = 0; i < x->smoothed.fixes.size(); ++i)
    EXPECT_EQ(x->smoothed.fixes[i].pressure.rate_m_s, y->smoothed.fixes[i].pressure.rate_m_s);
}

}  // namespace
}  // namespace headroom
