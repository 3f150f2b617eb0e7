// A flight as a page and its chart, from a real recording in a book.
#include "app/flight_page.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "app/correct.h"
#include "app/debrief.h"
#include "app/enter.h"
#include "app/flight_told.h"
#include "support/shared_data.h"
#include "support/world.h"

namespace headroom {
namespace {

// What a B record says by the IGC specification (FAI/IGC Technical specification, A4.1): BHHMMSSDDMMmmmNDDDMMmmmEVPPPPPGGGGG.
struct BRecord {
  double latitude = 0, longitude = 0, gnss_height = 0;
};
std::vector<BRecord> b_records(const std::string& text) {
  std::vector<BRecord> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line.size() < 35 || line[0] != 'B') continue;
    const auto number = [&](std::size_t at, std::size_t n) { return std::stod(line.substr(at, n)); };
    BRecord b;
    b.latitude = (number(7, 2) + number(9, 5) / 60000) * (line[14] == 'S' ? -1 : 1);
    b.longitude = (number(15, 3) + number(18, 5) / 60000) * (line[23] == 'W' ? -1 : 1);
    b.gnss_height = number(30, 5);
    out.push_back(b);
  }
  return out;
}

class FlightPage : public testing::Test {
 protected:
  void SetUp() override {
    igc_ = test::bytes_of(test::data_folder() / "igc" / "s_003.igc");
    world_.files.files["hop.igc"] = igc_;
    world_.clock.time = utc(2026, 6, 20, 12);
    DebriefRequest request;
    request.paths = {"hop.igc"};
    const auto answer = debrief(request, world_.ports);
    ASSERT_TRUE(answer) << answer.error().what;
    open();
    ASSERT_EQ(session_.state.flights.size(), 1U);
    launch_ = session_.state.flights[0].launch;
  }
  void open() {
    auto session = open_session(world_.ports, {}, true);
    ASSERT_TRUE(session) << session.error().what;
    session_ = std::move(*session);
  }
  EntryId enter_at(UtcTime at, PlainFacts facts) {
    EnterRequest request;
    request.at = at;
    request.facts = [facts](const Subjects&) { return Result<PlainFacts>(facts); };
    const auto answer = enter(request, world_.ports);
    EXPECT_TRUE(answer) << answer.error().what;
    return answer ? answer->id : EntryId{};
  }

  std::string igc_;
  MemoryWorld world_;
  Session session_;
  UtcTime launch_{};
};

TEST_F(FlightPage, TellsTheFlightFromItsRecording) {
  const auto page = flight_page_json(0, session_, world_.ports);
  ASSERT_TRUE(page) << page.error().what;
  EXPECT_EQ((*page)["has_track"], true);
  EXPECT_EQ((*page)["by_hand"], false);
  EXPECT_EQ((*page)["recording"]["file_name"], "hop.igc");
  EXPECT_EQ((*page)["recording"]["bytes"], igc_.size());
  EXPECT_TRUE((*page)["older"].is_null());
  EXPECT_GE((*page)["tale"].size(), 3U);
  EXPECT_FALSE((*page)["measures"].empty());
  for (const auto& row : (*page)["measures"]) {
    EXPECT_TRUE(row["usual"].is_null()) << "there is no earlier flight";
    EXPECT_EQ(row["unusual"], false);
    EXPECT_LE(row["today"]["low"].get<double>(), row["today"]["mid"].get<double>());
  }
  // 7 April 2022 was a Thursday (ISO calendar).
  EXPECT_EQ((*page)["when_text"].get<std::string>().substr(0, 21), "Thursday 7 April 2022");
}

TEST_F(FlightPage, DrawsWhatTheRecordSays) {
  const auto text = flight_series(session_.state.flights[0], session_, world_.ports);
  ASSERT_TRUE(text) << text.error().what;
  const auto series = AnswerJson::parse(*text);
  const auto fixes = b_records(igc_);
  ASSERT_FALSE(fixes.empty());
  const auto rows = series["t_s"].size();
  EXPECT_GT(rows, 100U);
  EXPECT_LE(rows, kChartPoints + 1);
  for (const char* column : {"height", "climb", "speed"}) {
    ASSERT_FALSE(series[column].is_null()) << column;
    EXPECT_EQ(series[column]["value"].size(), rows) << column;
    for (const char* band : {"low", "high"})
      EXPECT_TRUE(series[column][band].empty() || series[column][band].size() == rows) << column;
  }
  EXPECT_TRUE(std::is_sorted(series["t_s"].begin(), series["t_s"].end()));
  const auto by_height = [](const BRecord& a, const BRecord& b) { return a.gnss_height < b.gnss_height; };
  const double highest = std::max_element(fixes.begin(), fixes.end(), by_height)->gnss_height;
  double drawn = -1e9;
  for (const auto& v : series["height"]["value"])
    if (!v.is_null()) drawn = std::max(drawn, v.get<double>());
  EXPECT_NEAR(drawn, highest, 5) << "the smoothed height at the top";
  ASSERT_EQ(series["latitude"].size(), series["longitude"].size());
  const auto [south, north] =
      std::minmax_element(fixes.begin(), fixes.end(), [](auto& a, auto& b) { return a.latitude < b.latitude; });
  constexpr double kSome_deg = 1e-4;  // 11 m
  for (const auto& latitude : series["latitude"]) {
    EXPECT_GE(latitude.get<double>(), south->latitude - kSome_deg);
    EXPECT_LE(latitude.get<double>(), north->latitude + kSome_deg);
  }
}

TEST_F(FlightPage, KeepsWhatWasAnalysed) {
  const auto before = world_.cache.kept.size();
  const auto first = flight_page_json(0, session_, world_.ports);
  ASSERT_TRUE(first);
  EXPECT_EQ(world_.cache.kept.size(), before + 2) << "page and chart";
  const auto second = flight_page_json(0, session_, world_.ports);
  ASSERT_TRUE(second);
  EXPECT_EQ(*first, *second);
  auto other = session_;
  ASSERT_TRUE(other.units.choose_list("us"));
  const auto feet = flight_page_json(0, other, world_.ports);
  ASSERT_TRUE(feet);
  EXPECT_NE((*feet)["tale"], (*first)["tale"]) << "other units, another text";
}

TEST_F(FlightPage, ListsTheEntriesOfTheDay) {
  enter_at(launch_ - std::chrono::hours(11), Note{"before"});
  enter_at(launch_ - std::chrono::hours(13), Note{"long before"});
  enter_at(launch_ + std::chrono::hours(2), Note{"<b>after</b>"});
  const auto wrong = enter_at(launch_ + std::chrono::hours(1), Note{"wrong"});
  ASSERT_TRUE(void_entry({wrong.text(), "typed twice", 0}, world_.ports));
  open();
  const auto page = flight_page_json(0, session_, world_.ports);
  ASSERT_TRUE(page);
  ASSERT_EQ((*page)["entries"].size(), 2U) << (*page)["entries"].dump(1);
  EXPECT_EQ((*page)["entries"][0]["text"], "Note: \"before\"");
  EXPECT_EQ((*page)["entries"][1]["text"], "Note: \"<b>after</b>\"");
}

TEST_F(FlightPage, PutsTheHeadBesideTheEarlierOnes) {
  for (int day = 1; day <= 6; ++day)
    enter_at(launch_ - std::chrono::hours(24 * day), Reading{std::string(kHeadMaximum), 450, "K", {}});
  enter_at(launch_ + std::chrono::minutes(30), Reading{std::string(kHeadMaximum), 470, "K", {}});
  open();
  const auto page = flight_page_json(0, session_, world_.ports);
  ASSERT_TRUE(page);
  EXPECT_EQ((*page)["measures"][0]["key"], kHeadMaximum);
  EXPECT_EQ((*page)["measures"][0]["unusual"], true);
  EXPECT_NE((*page)["title"].get<std::string>().find("The head ran 20 °C hotter than usual."), std::string::npos);
}

TEST_F(FlightPage, TellsAFlightByHandFromTheBook) {
  FlightEntry flight;
  flight.machine = *session_.state.machine;
  flight.pilot = *session_.state.pilot;
  flight.launch = launch_ + std::chrono::hours(48);
  flight.landing = flight.launch + std::chrono::minutes(45);
  flight.air_time = seconds(45 * 60);
  flight.running_time = unknown_estimate<Duration>("not told");
  enter_at(flight.launch, flight);
  open();
  const auto found = find_flight(session_.state, session_.state.flights[1].id.text());
  ASSERT_TRUE(found);
  const auto page = flight_page_json(*found, session_, world_.ports);
  ASSERT_TRUE(page);
  EXPECT_EQ((*page)["title"], "45 min in the air.");
  EXPECT_EQ((*page)["by_hand"], true);
  EXPECT_EQ((*page)["has_track"], false);
  EXPECT_TRUE((*page)["flight"].is_null());
  EXPECT_TRUE((*page)["recording"].is_null());
  EXPECT_EQ((*page)["older"], session_.state.flights[0].id.text());
  EXPECT_FALSE(flight_series(session_.state.flights[*found], session_, world_.ports));
}

TEST_F(FlightPage, FindsByTheBeginningOfAnId) {
  const auto id = session_.state.flights[0].id.text();
  EXPECT_TRUE(find_flight(session_.state, id.substr(0, 4)));
  EXPECT_EQ(find_flight(session_.state, "01").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(find_flight(session_.state, "zzzz").error().kind, ErrorKind::not_found);
  session_.state.flights.push_back(session_.state.flights[0]);
  EXPECT_EQ(find_flight(session_.state, id.substr(0, 4)).error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace headroom
