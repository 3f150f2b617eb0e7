// Flights found in real recordings against a table made by hand, by looking at speed and height, before the detector was
// tuned (flights_by_hand.csv; times are good to about 10 s).
#include <gtest/gtest.h>

#include <sstream>

#include "core/track/analyse.h"
#include "formats/gpx.h"
#include "formats/igc.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct HandRow {
  std::string file;
  int flights = 0;
  UtcTime launch{}, landing{};
  bool begins_in_air = false, ends_in_air = false;
};

std::vector<HandRow> hand_table() {
  std::istringstream lines(test::bytes_of(std::filesystem::path(HEADROOM_SOURCE_DIR) / "tests/reference/flights_by_hand.csv"));
  std::vector<HandRow> rows;
  std::string line;
  std::getline(lines, line);
  while (std::getline(lines, line)) {
    std::istringstream cells(line);
    std::array<std::string, 6> cell;
    for (auto& c : cell) std::getline(cells, c, ',');
    HandRow row{cell[0], std::stoi(cell[1]), {}, {}, cell[4] == "yes", cell[5] == "yes"};
    if (row.flights > 0) {
      row.launch = parse_rfc3339(cell[2]).value();
      row.landing = parse_rfc3339(cell[3]).value();
    }
    rows.push_back(row);
  }
  return rows;
}

// From the larger collection beside the source, else from the subset that comes with it; empty when it is in neither.
std::string recorded(const std::string& file) {
  std::string bytes = test::bytes_of(test::shared_folder() / "recordings" / file);
  return bytes.empty() ? test::bytes_of(test::data_folder() / file) : bytes;
}

// The hand's own reading is good to 10 s, twelve-second recorders are no better than two fixes: 30 s in all.
constexpr double kTolerance_s = 30;

TEST(FlightsInRecordings, AreThoseOfTheHandTable) {
  const auto rows = hand_table();
  ASSERT_EQ(rows.size(), 58U);
  Workspace workspace;
  int looked_at = 0;
  for (const HandRow& row : rows) {
    SCOPED_TRACE(row.file);
    const std::string bytes = recorded(row.file);
    if (bytes.empty() && !test::has_shared_data()) continue;
    ++looked_at;
    auto analysis = analyse(row.file.ends_with(".gpx") ? read_gpx(bytes) : read_igc(bytes), nullptr, workspace);
    if (!analysis) {
      EXPECT_EQ(row.flights, 0) << analysis.error().what;
      continue;
    }
    EXPECT_EQ(analysis->flights.size(), static_cast<std::size_t>(row.flights));
    if (analysis->flights.size() == 1 && row.flights == 1) {
      const Flight& f = analysis->flights[0];
      EXPECT_NEAR(duration_between(row.launch, f.launch).si(), 0, kTolerance_s) << rfc3339(f.launch);
      EXPECT_NEAR(duration_between(row.landing, f.landing).si(), 0, kTolerance_s) << rfc3339(f.landing);
      EXPECT_EQ(f.begins_in_air, row.begins_in_air);
      EXPECT_EQ(f.ends_in_air, row.ends_in_air);
    }
    workspace.give_back(std::move(*analysis));
  }
  EXPECT_GE(looked_at, 15);
}

}  // namespace
}  // namespace headroom
