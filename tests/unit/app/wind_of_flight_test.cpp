// The wind of an earlier flight as the wind aloft of the next, from a real recording in the book.
#include "app/wind_of_flight.h"

#include <gtest/gtest.h>

#include <numbers>

#include "app/debrief.h"
#include "app/load_state.h"
#include "support/shared_data.h"
#include "support/world.h"

namespace headroom {
namespace {

TEST(WindOfFlight, IsThatOfTheLastRecordedFlightOfTheDay) {
  MemoryWorld world;
  world.files.files["hop.igc"] = test::bytes_of(test::data_folder() / "igc" / "s_003.igc");
  DebriefRequest request;
  request.paths = {"hop.igc"};
  const auto answer = debrief(request, world.ports);
  ASSERT_TRUE(answer) << answer.error().what;
  auto loaded = load_state(world.ports);
  ASSERT_TRUE(loaded);
  ASSERT_EQ(loaded->state.flights.size(), 1U);
  const UtcTime landing = loaded->state.flights[0].landing;

  const auto soon = wind_of_flight(loaded->state, world.ports, landing + std::chrono::minutes(30), {});
  ASSERT_TRUE(soon) << soon.error().what;
  ASSERT_TRUE(soon->from);
  // The same flight's debrief: 166 degrees and 20 km/h on the whole; a layer of it differs by its own spread.
  EXPECT_NEAR(soon->from->radians() * 180 / std::numbers::pi, 166, 40);
  EXPECT_NEAR(in_kilometres_per_hour(soon->mean.mid), 20, 8);
  EXPECT_NE(soon->source.find("your flight of"), std::string::npos);

  const auto later = wind_of_flight(loaded->state, world.ports, landing + std::chrono::hours(4), {});
  ASSERT_TRUE(later);
  EXPECT_GT((later->mean.high - later->mean.low).si(), (soon->mean.high - soon->mean.low).si() + 2);
  EXPECT_FALSE(wind_of_flight(loaded->state, world.ports, landing + std::chrono::hours(7), {})) << "older than six hours";
  EXPECT_FALSE(wind_of_flight(loaded->state, world.ports, landing - std::chrono::minutes(1), {})) << "not landed yet";
}

}  // namespace
}  // namespace headroom
