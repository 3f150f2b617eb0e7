// Flight detection against the simulator's truth, with which it shares no code: kiting, false starts, walks, V fixes and slow
// flight against the wind are in the mix.
#include <gtest/gtest.h>

#include "core/simulate/season.h"
#include "core/track/analyse.h"
#include "formats/igc_write.h"
#include "formats/recording_reader.h"

namespace headroom::simulate {
namespace {

TEST(SeasonDetection, EachFileIsOneFlightNearItsTruth) {
  Workspace workspace;
  for (const std::uint64_t seed : {26U, 301U, 302U}) {
    SeasonRequest request;
    request.end = utc(2026, 9, 30);
    request.seed = seed;
    const auto steps = invent_season(request, std::vector<EntryId>(kSeasonIdCount));
    ASSERT_TRUE(steps);
    for (const SeasonStep& step : *steps) {
      if (!step.recording) continue;
      const SeasonRecording& r = *step.recording;
      const auto read = read_recording(*write_simulated_igc(r.recording));
      ASSERT_TRUE(read);
      auto analysis = analyse(*read, nullptr, workspace);
      ASSERT_TRUE(analysis);
      ASSERT_EQ(analysis->flights.size(), 1U) << seed << "/" << r.name;
      const Flight& flight = analysis->flights.front();
      EXPECT_FALSE(flight.begins_in_air || flight.ends_in_air) << seed << "/" << r.name;
      // Two fixes more than the 2 s and 4 s to be reached by most of them.
      const bool slow = read->fixes.size() < 1500;
      const double allowed = slow ? 14 : 5;
      EXPECT_NEAR(in_seconds(duration_between(r.truth.launch, flight.launch)), 0, allowed) << seed << "/" << r.name;
      EXPECT_NEAR(in_seconds(duration_between(r.truth.landing, flight.landing)), 0, allowed) << seed << "/" << r.name;
    }
  }
}

}  // namespace
}  // namespace headroom::simulate
