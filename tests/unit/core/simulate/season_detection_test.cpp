// Flight detection against the simulator's truth, with which it shares no code: kiting, false starts, walks, V fixes and slow
// flight against the wind are in the mix.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "core/simulate/season.h"
#include "core/track/analyse.h"
#include "formats/igc_write.h"
#include "formats/recording_reader.h"

namespace headroom::simulate {
namespace {

// Two fixes more than the 2 s and 4 s to be reached by most.
double allowed_s(const Recording& recording) {
  const double interval = in_seconds(duration_between(recording.fixes[20].time, recording.fixes[21].time));
  return std::max(5.0, 4 + 2 * interval);
}

TEST(SeasonDetection, EachFlightIsFoundNearItsTruthAndNoRideIsAFlight) {
  Workspace workspace;
  for (const std::uint64_t seed : {26U, 301U}) {
    SeasonRequest request;
    request.end = utc(2026, 9, 30);
    request.seed = seed;
    const auto steps = invent_season(request, std::vector<EntryId>(kSeasonIdCount));
    ASSERT_TRUE(steps);
    for (const SeasonStep& step : *steps) {
      if (!step.recording) continue;
      const SeasonRecording& r = *step.recording;
      const std::string which = std::to_string(seed) + "/" + r.name;
      const auto read = read_recording(*write_simulated_igc(r.recording));
      ASSERT_TRUE(read);
      auto analysis = analyse(*read, nullptr, workspace);
      ASSERT_TRUE(analysis);
      ASSERT_EQ(analysis->flights.size(), r.flights.size()) << which;
      for (std::size_t i = 0; i < r.flights.size(); ++i) {
        const Flight& found = analysis->flights[i];
        const Truth& truth = r.flights[i].truth;
        const bool late = r.kind == RecordingKind::begins_in_air;
        EXPECT_EQ(found.begins_in_air, late) << which;
        EXPECT_FALSE(found.ends_in_air) << which;
        const UtcTime begins = late ? read->fixes.front().time : truth.launch;
        EXPECT_NEAR(in_seconds(duration_between(begins, found.launch)), 0, allowed_s(*read)) << which;
        EXPECT_NEAR(in_seconds(duration_between(truth.landing, found.landing)), 0, allowed_s(*read)) << which;
      }
    }
  }
}

}  // namespace
}  // namespace headroom::simulate
