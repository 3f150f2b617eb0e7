// The shed's figures and sentences from a state made by hand.
#include "app/shed.h"

#include <gtest/gtest.h>

#include "support/fake_clock.h"

namespace headroom {
namespace {

class ShedTest : public ::testing::Test {
 protected:
  ShedTest() {
    EntryId machine;
    machine.bytes.back() = 9;
    for (int day = 0; day < 7; ++day) {
      FlightState f;
      f.id.bytes.back() = static_cast<std::uint8_t>(day + 1);
      f.machine = machine;
      f.launch = utc(2026, 4, 1, 8) + std::chrono::hours(24 * day);
      f.landing = f.launch + std::chrono::minutes(30);
      f.air_time = seconds(1800);
      f.running_low = f.running_mid = f.running_high = seconds(1800);
      f.running_basis = BasisKind::measured;
      session_.state.flights.push_back(f);
    }
    session_.state.last_at = session_.state.flights.back().landing;
  }
  void head(int day, double celsius) {
    Sample s;
    s.at = session_.state.flights[static_cast<std::size_t>(day)].landing + std::chrono::minutes(5);
    s.value = celsius + 273.15;
    session_.state.readings[std::string(kHeadMaximum)].push_back(s);
  }
  void fuel(FuelEvent::Kind kind, UtcTime at, double in_litres_, std::optional<double> after = {}) {
    FuelEvent e;
    e.kind = kind;
    e.at = at;
    e.volume = litres(in_litres_);
    if (after) e.in_tank_after = litres(*after);
    session_.state.fuel.push_back(e);
  }
  Session session_;
  FakeClock clock_{utc(2026, 4, 20, 12), 0};
};

TEST_F(ShedTest, SaysThatThereIsNothingInAnEmptyBook) {
  const auto shed = shed_json(Session{}, clock_);
  EXPECT_TRUE(shed["head"]["points"].empty());
  EXPECT_TRUE(shed["head"]["usual"].is_null());
  EXPECT_TRUE(shed["plugs"].empty());
  EXPECT_TRUE(shed["burn"]["points"].empty());
  for (const auto* text : {&shed["head"]["text"], &shed["plugs_text"], &shed["burn"]["text"], &shed["due"]["text"]})
    EXPECT_FALSE(text->get<std::string>().empty());
}

TEST_F(ShedTest, PutsHeadMaximaInTheOwnersUnitBesideTheirFlights) {
  for (int day = 0; day < 6; ++day) head(day, 180);
  head(6, 200);
  auto shed = shed_json(session_, clock_);
  ASSERT_EQ(shed["head"]["points"].size(), 7U);
  EXPECT_DOUBLE_EQ(shed["head"]["points"][0]["value"].get<double>(), 180);
  EXPECT_EQ(shed["head"]["points"][3]["flight"], session_.state.flights[3].id.text());
  EXPECT_EQ(shed["head"]["points"][5]["unusual"], false);
  EXPECT_EQ(shed["head"]["points"][6]["unusual"], true);
  ASSERT_TRUE(session_.units.choose_list("temperature=F"));
  shed = shed_json(session_, clock_);
  EXPECT_EQ(shed["head"]["unit"], "°F");
  EXPECT_DOUBLE_EQ(shed["head"]["points"][0]["value"].get<double>(), 356);  // 180 °C, by the definition of the degree Fahrenheit
}

TEST_F(ShedTest, DividesWhatWasBurntByTheTimeTheEngineRan) {
  fuel(FuelEvent::Kind::filled, utc(2026, 4, 1, 7), 5, 8);  // 8 L before the first flight
  fuel(FuelEvent::Kind::left, utc(2026, 4, 1, 9), 6);       // 2 L in half an hour
  fuel(FuelEvent::Kind::filled, utc(2026, 4, 2, 7), 1);     // 7 L
  fuel(FuelEvent::Kind::left, utc(2026, 4, 3, 9), 4);       // 3 L in two flights of half an hour
  const auto burn = shed_json(session_, clock_)["burn"];
  EXPECT_EQ(burn["unit"], "L/h");
  ASSERT_EQ(burn["points"].size(), 2U);
  EXPECT_DOUBLE_EQ(burn["points"][0]["mid"].get<double>(), 4);
  EXPECT_DOUBLE_EQ(burn["points"][1]["mid"].get<double>(), 3);
  EXPECT_EQ(burn["points"][1]["flights"], 2);
  for (const auto& p : burn["points"]) {
    EXPECT_LT(p["low"].get<double>(), p["mid"].get<double>());
    EXPECT_GT(p["high"].get<double>(), p["mid"].get<double>());
  }
}

TEST_F(ShedTest, PutsOpenAndGroundingFindingsFirst) {
  const auto found = [&](int day, bool grounding, bool closed, const char* text) {
    FindingState f;
    f.at = utc(2026, 4, 1) + std::chrono::hours(24 * day);
    f.grounding = grounding;
    f.text = text;
    if (closed) f.closed = f.at + std::chrono::hours(1);
    session_.state.findings.push_back(f);
  };
  found(1, true, true, "closed");
  found(2, false, false, "older");
  found(3, true, false, "<i>grounding</i>");
  found(4, false, false, "newer");
  const auto findings = shed_json(session_, clock_)["findings"];
  ASSERT_EQ(findings.size(), 4U);
  EXPECT_EQ(findings[0]["text"], "<i>grounding</i>");
  EXPECT_EQ(findings[1]["text"], "newer");
  EXPECT_EQ(findings[2]["text"], "older");
  EXPECT_EQ(findings[3]["text"], "closed");
  EXPECT_FALSE(findings[3]["closed"].is_null());
}

}  // namespace
}  // namespace headroom
