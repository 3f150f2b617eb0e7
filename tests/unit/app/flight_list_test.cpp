// The list of flights from the folded state.
#include "app/flight_list.h"

#include <gtest/gtest.h>

#include "support/fake_clock.h"

namespace headroom {
namespace {

EntryId id_of(std::uint8_t n) {
  EntryId id;
  id.bytes.back() = n;
  return id;
}

Session three_flights() {
  Session session;
  for (std::uint8_t n = 1; n <= 3; ++n) {
    FlightState f;
    f.id = id_of(n);
    f.launch = utc(2026, 5, n, 8);
    f.landing = f.launch + std::chrono::minutes(24);
    f.air_time = seconds(24 * 60);
    f.counts = n != 2;
    session.state.flights.push_back(f);
  }
  session.state.flights[2].recording.bytes[0] = 1;
  session.state.flights[2].track_length = metres(12130);
  session.state.flights[2].highest = AltitudeMsl{} + metres(340);
  return session;
}

TEST(FlightList, IsNewestFirstAndLeavesOutWhatIsRecordedTwice) {
  const auto session = three_flights();
  FakeClock clock;
  const auto list = flight_list_json({}, session, clock);
  EXPECT_EQ(list["total"], 2);
  ASSERT_EQ(list["flights"].size(), 2U);
  EXPECT_EQ(list["flights"][0]["id"], id_of(3).text());
  EXPECT_EQ(list["flights"][0]["text"], "24 min, 12.1 km, 340 m at the highest");
  EXPECT_EQ(list["flights"][0]["offset_min"], 120);
  EXPECT_EQ(list["flights"][0]["by_hand"], false);
  EXPECT_EQ(list["flights"][1]["text"], "24 min");
  EXPECT_EQ(list["flights"][1]["by_hand"], true);
  FlightListRequest all;
  all.all = true;
  EXPECT_EQ(flight_list_json(all, session, clock)["flights"][1]["counts"], false);
}

TEST(FlightList, SkipsAndStops) {
  const auto session = three_flights();
  FakeClock clock;
  FlightListRequest asked;
  asked.skip = 1;
  EXPECT_EQ(flight_list_json(asked, session, clock)["flights"][0]["id"], id_of(1).text());
  asked.skip = 7;
  EXPECT_TRUE(flight_list_json(asked, session, clock)["flights"].empty());
  asked = {};
  asked.most = 1;
  EXPECT_EQ(flight_list_json(asked, session, clock)["flights"].size(), 1U);
  EXPECT_EQ(flight_list_json(asked, session, clock)["total"], 2);
}

TEST(FlightList, SaysTheOwnersUnits) {
  auto session = three_flights();
  ASSERT_TRUE(session.units.choose_list("us"));
  // 340 m = 1115 ft and 12.13 km = 7.54 mi by the definition of the foot and the mile (NIST SP 811).
  EXPECT_EQ(flight_text(session.state.flights[2], session.units), "24 min, 7.5 mi, 1115 ft at the highest");
}

}  // namespace
}  // namespace headroom
