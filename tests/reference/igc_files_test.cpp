// Every IGC file of the collection against the tallies that came with it (SOURCES.md beside the files: table "IGC (54
// files)", made by another program when the files were collected).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "formats/format.h"
#include "formats/igc.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct IgcTally {
  const char* name;
  std::size_t fixes;
  int duration_s;
  std::size_t bad_b, v, same_time, time_back, midnight;
  bool no_pressure;
  std::size_t k_records;
  const char *columns, *slow_columns;  // CODE@first-last, bytes counted from 1
};

constexpr IgcTally kIgcTallies[] = {
    {"s_001", 3076, 11977, 2, 0, 0, 0, 0, false, 0, "FXA@36-38 ENL@39-41", ""},
    {"s_002", 640, 2704, 0, 1, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40 ENL@41-43", ""},
    {"s_003", 294, 293, 0, 0, 0, 0, 0, true, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_004", 533, 538, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_005", 8351, 8350, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_006", 6752, 21584, 0, 0, 0, 0, 1, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_007", 28399, 28406, 0, 0, 0, 0, 1, false, 0, "FXA@36-38 VXA@39-41 GSP@42-44 CCO@45-47 HDT@48-50", ""},
    {"s_008", 8924, 18390, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40 ENL@41-43", ""},
    {"s_009", 1068, 12524, 0, 17, 0, 0, 0, false, 0, "ENL@36-38", ""},
    {"s_010", 12237, 12236, 0, 0, 0, 0, 0, false, 333, "FXA@36-38 SIU@39-40", "WDI@8-10 WSP@11-13"},
    {"s_011", 549, 554, 0, 1, 5, 0, 0, false, 3, "FXA@36-38 SIU@39-40", "WDI@8-10 WSP@11-13"},
    {"s_012", 4071, 4070, 0, 0, 0, 0, 0, false, 67, "FXA@36-38 SIU@39-40", "WDI@8-10 WSP@11-13"},
    {"s_013", 4588, 13871, 0, 8, 4, 0, 0, false, 0, "TAS@36-38", ""},
    {"s_014", 6932, 21130, 0, 0, 0, 0, 0, false, 0, "TAS@36-38", ""},
    {"s_015", 2852, 10692, 0, 0, 0, 0, 0, false, 59,
     "FXA@36-38 ENL@39-41 TAS@42-46 GSP@47-51 TRT@52-54 VAT@55-59 OAT@60-63 ACZ@64-67", "WDI@8-10 WVE@11-15"},
    {"s_016", 15243, 15309, 0, 22, 0, 0, 0, false, 59, "FXA@36-38 ENL@39-41 TAS@42-46 VAT@47-51 OAT@52-55 ACZ@56-59",
     "WDI@8-10 WVE@11-15"},
    {"s_017", 2949, 11964, 0, 93, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_018", 11984, 12240, 0, 0, 118, 0, 0, false, 0, "FXA@36-38 ENL@39-41", ""},
    {"s_019", 6571, 13410, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40 GSP@41-43 ENL@44-46 GFO@47-49", ""},
    {"s_020", 2488, 7440, 0, 0, 0, 1, 0, false, 0, "", ""},
    {"s_021", 2116, 8530, 0, 0, 1, 0, 0, false, 0, "FXA@36-38 ENL@39-41 REX@42-47", ""},
    {"s_022", 4655, 9817, 0, 0, 5, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_023", 22788, 22853, 0, 28, 0, 0, 0, false, 0, "FXA@36-38 ENL@39-41 GSP@42-46 TRT@47-49", ""},
    {"s_024", 5253, 27016, 0, 0, 0, 0, 0, true, 0, "", ""},
    {"s_025", 3914, 11836, 0, 2, 0, 0, 0, false, 0, "TAS@36-38", ""},
    {"s_026", 5333, 5389, 0, 0, 1, 0, 0, false, 0, "", ""},
    {"s_027", 6452, 6451, 0, 0, 0, 0, 0, false, 0, "SIU@36-37 VAT@38-41 ACZ@42-44", ""},
    {"s_028", 506, 510, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40 VAT@41-44 ACZ@45-47 VXA@48-50", ""},
    {"s_029", 4677, 4696, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37 GSP@38-42 TRT@43-45", ""},
    {"s_030", 4814, 4826, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 VXA@39-41 GSP@42-44 CCO@45-47 HDT@48-50", ""},
    {"s_031", 1657, 1656, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_032", 4886, 4885, 0, 3, 0, 0, 0, false, 0, "", ""},
    {"s_033", 1831, 8890, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_034", 5338, 5404, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_035", 12006, 12046, 0, 5, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_036", 9967, 9978, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 VXA@39-41 GSP@42-44 CCO@45-47 HDT@48-50", ""},
    {"s_037", 10318, 10317, 0, 0, 2, 0, 0, true, 0, "", ""},
    {"s_038", 583, 582, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_039", 2008, 2007, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_040", 5073, 5118, 0, 0, 0, 0, 0, true, 0, "", ""},
    {"s_041", 3992, 4009, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_042", 27082, 27349, 1, 0, 0, 0, 0, false, 0, "", ""},
    {"s_043", 2478, 10039, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_044", 5825, 12207, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
    {"s_045", 6455, 7617, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40 VAT@41-44 ACZ@45-47 VXA@48-50", ""},
    {"s_046", 357, 712, 0, 0, 0, 0, 0, true, 0, "GSP@36-38", ""},
    {"s_047", 1560, 1559, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_048", 1403, 1430, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_049", 1044, 1089, 0, 0, 0, 0, 0, false, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_050", 6437, 6436, 0, 0, 0, 0, 0, true, 0, "LAD@36-36 LOD@37-37", ""},
    {"s_051", 511, 510, 0, 0, 0, 0, 0, false, 0, "", ""},
    {"s_052", 4011, 4010, 0, 0, 0, 0, 0, false, 0, "SIU@36-37 VAT@38-41 ACZ@42-44", ""},
    {"s_053", 3632, 3652, 0, 0, 5, 0, 0, false, 0, "", ""},
    {"s_054", 11336, 19827, 0, 0, 0, 0, 0, false, 0, "FXA@36-38 SIU@39-40", ""},
};

// The subset of tests/data differs from the collection in the maker's code only.
std::string igc_bytes(const std::string& name) {
  for (const auto& folder : {test::shared_folder() / "recordings" / "igc", test::data_folder() / "igc"})
    if (std::string bytes = test::bytes_of(folder / (name + ".igc")); !bytes.empty()) return bytes;
  return {};
}
std::size_t drops(const Recording& r, WarningCode code) {
  for (const auto& reason : r.account.dropped_by)
    if (reason.code == code) return reason.count;
  return 0;
}
std::size_t listed(const Recording& r, WarningCode code) {
  return static_cast<std::size_t>(
      std::count_if(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; }));
}
std::vector<std::string> codes_of(const std::string& columns) {
  std::vector<std::string> codes;
  for (std::size_t at = 0; (at = columns.find('@', at)) != std::string::npos; ++at) codes.push_back(columns.substr(at - 3, 3));
  return codes;
}
std::vector<std::string> codes_of(const std::vector<Channel>& channels) {
  std::vector<std::string> codes;
  for (const Channel& c : channels) codes.push_back(c.code);
  return codes;
}

class IgcFile : public testing::TestWithParam<IgcTally> {};

TEST_P(IgcFile, AgreesWithItsTally) {
  const IgcTally& tally = GetParam();
  const std::string bytes = igc_bytes(tally.name);
  if (bytes.empty()) GTEST_SKIP() << "neither in tests/data nor in the collection beside the source";
  EXPECT_EQ(sniff_format(bytes), Format::igc);
  const Recording r = read_igc(bytes);

  ASSERT_EQ(r.fixes.size(), tally.fixes);
  EXPECT_EQ(std::chrono::floor<std::chrono::seconds>(r.fixes.back().time - r.fixes.front().time).count(), tally.duration_s);
  EXPECT_EQ(drops(r, WarningCode::bad_position_line) + drops(r, WarningCode::truncated_end), tally.bad_b);
  EXPECT_EQ(static_cast<std::size_t>(std::count_if(r.fixes.begin(), r.fixes.end(), [](const Fix& f) { return !f.valid_3d; })),
            tally.v);
  std::size_t same = 0, back = 0;
  for (std::size_t i = 1; i < r.fixes.size(); ++i) {
    same += r.fixes[i].time == r.fixes[i - 1].time;
    back += r.fixes[i].time < r.fixes[i - 1].time;
  }
  EXPECT_EQ(same, tally.same_time);
  EXPECT_EQ(back, tally.time_back);
  EXPECT_EQ(listed(r, WarningCode::time_went_back), tally.time_back);
  EXPECT_EQ(listed(r, WarningCode::midnight) + listed(r, WarningCode::midnight_doubtful), tally.midnight);
  EXPECT_EQ(listed(r, WarningCode::no_pressure_altitude) == 1, tally.no_pressure);
  EXPECT_EQ(r.fixes.front().has_pressure_altitude, !tally.no_pressure);
  EXPECT_EQ(r.slow.times.size(), tally.k_records);
  EXPECT_EQ(codes_of(r.channels), codes_of(std::string(tally.columns)));
  EXPECT_EQ(codes_of(r.slow.channels), codes_of(std::string(tally.slow_columns)));
  for (const Channel& c : r.channels) EXPECT_EQ(c.raw.size(), r.fixes.size());
  for (const Channel& c : r.slow.channels) EXPECT_EQ(c.raw.size(), r.slow.times.size());
}

// Lines, B lines and values of columns counted here by plain means: splitting at line ends and cutting by position.
TEST_P(IgcFile, AccountsForEveryLine) {
  HEADROOM_NEEDS_SHARED_DATA();
  const std::string bytes =
      test::bytes_of(test::shared_folder() / "recordings" / "igc" / (std::string(GetParam().name) + ".igc"));
  const Recording r = read_igc(bytes);
  std::size_t lines = 0;
  std::map<char, std::size_t> letters;
  for (std::size_t at = 0; at < bytes.size(); ++lines) {
    ++letters[bytes[at]];
    const std::size_t stop = bytes.find('\n', at);  // no file at hand ends its lines with CR alone
    at = stop == std::string::npos ? bytes.size() : stop + 1;
  }
  EXPECT_EQ(r.account.lines, lines);
  EXPECT_EQ(r.account.fixes, r.fixes.size());
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  for (const auto& [letter, count] : r.account.by_letter)
    if (letter >= 'A' && letter <= 'Z') {
      EXPECT_EQ(count, letters[letter]) << letter;
    }
  for (const OtherRecord& other : r.others) ASSERT_EQ(bytes.at(other.offset), other.letter) << "line " << other.line;
}

TEST(IgcFiles, SubsetInTheRepositoryReadsLikeTheCollection) {
  std::size_t files = 0;
  for (const IgcTally& tally : kIgcTallies) {
    const std::string bytes = test::bytes_of(test::data_folder() / "igc" / (std::string(tally.name) + ".igc"));
    if (bytes.empty()) continue;
    EXPECT_EQ(read_igc(bytes).fixes.size(), tally.fixes) << tally.name;
    ++files;
  }
  EXPECT_EQ(files, 16u);
}

INSTANTIATE_TEST_SUITE_P(Collection, IgcFile, testing::ValuesIn(kIgcTallies),
                         [](const auto& one) { return std::string(one.param.name); });

}  // namespace
}  // namespace headroom
