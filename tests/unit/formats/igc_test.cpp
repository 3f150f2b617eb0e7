// The IGC reader on lines made here. "Standard" below is the FAI Technical Specification for GNSS Flight Recorders,
// appendix A; the worked records and rules are those of check-values.md 3.1.
#include "formats/igc.h"

#include <gtest/gtest.h>

#include <fmt/format.h>
#include <algorithm>
#include <string>

namespace headroom {
namespace {

constexpr const char* kIgcHead = "AXXX001\r\nHFDTE020521\r\n";

// A position line at a time of day, in the middle of nowhere in particular.
std::string igc_line(const char* hhmmss, const char* rest = "4710000N01120000EA0100001100") {
  return std::string("B") + hhmmss + rest + "\r\n";
}
std::size_t igc_count(const Recording& r, WarningCode code) {
  return static_cast<std::size_t>(
      std::count_if(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; }));
}
const Warning* first_igc_warning(const Recording& r, WarningCode code) {
  for (const Warning& w : r.warnings)
    if (w.code == code) return &w;
  return nullptr;
}
std::uint64_t igc_dropped(const Recording& r, WarningCode code) {
  for (const auto& reason : r.account.dropped_by)
    if (reason.code == code) return reason.count;
  return 0;
}
void expect_balanced(const Recording& r) {
  EXPECT_EQ(r.account.fixes, r.fixes.size());
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  std::uint64_t sum = 0;
  for (const auto& reason : r.account.dropped_by) sum += reason.count;
  EXPECT_EQ(sum, r.account.dropped);
}
const Channel& igc_column(const Recording& r, const char* code) {
  for (const Channel& c : r.channels)
    if (c.code == code) return c;
  ADD_FAILURE() << "no column " << code;
  static const Channel none;
  return none;
}

TEST(IgcReader, ReadsTheWorkedRecordWithExtensions) {
  const Recording r = read_igc("HFDTE160701\r\nI033638FXA3940SIU4143ENL\r\nB1602405407121N00249342WA002800042120509950\r\n");
  ASSERT_EQ(r.fixes.size(), 1u);
  const Fix& f = r.fixes[0];
  EXPECT_EQ(f.time, utc(2001, 7, 16, 16, 2, 40));
  EXPECT_NEAR(f.position.latitude_deg, 54.11868333, 5e-9);
  EXPECT_NEAR(f.position.longitude_deg, -2.82236667, 5e-9);
  EXPECT_TRUE(f.valid_3d);
  EXPECT_EQ(f.pressure_altitude.si(), 280);
  EXPECT_EQ(f.gnss_height.si(), 421);
  EXPECT_EQ(igc_column(r, "FXA").raw.at(0), 205);
  EXPECT_EQ(igc_column(r, "SIU").raw.at(0), 9);
  EXPECT_EQ(igc_column(r, "ENL").raw.at(0), 950);
  EXPECT_TRUE(r.warnings.empty());
}

TEST(IgcReader, ReadsTheWorkedRecordOf35Characters) {
  const Recording r = read_igc("HFDTE160701\nB1101355206343N00006198WA0058700558\n");
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.fixes[0].time, utc(2001, 7, 16, 11, 1, 35));
  EXPECT_NEAR(r.fixes[0].position.latitude_deg, 52.10571667, 5e-9);
  EXPECT_NEAR(r.fixes[0].position.longitude_deg, -0.10330000, 5e-9);
  EXPECT_EQ(r.fixes[0].pressure_altitude.si(), 587);
  EXPECT_EQ(r.fixes[0].gnss_height.si(), 558);
}

TEST(IgcReader, ReadsBothSpellingsOfTheDateAndAllSourceLetters) {
  for (const char* date :
       {"HFDTE020521", "HFDTEDATE:020521,01", "HODTE020521", "HPDTEDATE:020521", "HFDTE:020521", "HFDTEDATE: 020521,02"}) {
    const Recording r = read_igc(std::string(date) + "\r\n" + igc_line("120000"));
    ASSERT_EQ(r.fixes.size(), 1u) << date;
    EXPECT_EQ(r.fixes[0].time, utc(2021, 5, 2, 12)) << date;
    EXPECT_TRUE(r.warnings.empty()) << date;
  }
}

TEST(IgcReader, TakesAMinusInTheFirstPlaceOfAHeight) {
  const Recording r = read_igc(kIgcHead + igc_line("120000", "4710000N01120000EA-0012-0345"));
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.fixes[0].pressure_altitude.si(), -12);
  EXPECT_EQ(r.fixes[0].gnss_height.si(), -345);
}

TEST(IgcReader, ReadsSouthAndWestAsNegative) {
  const Recording r = read_igc(kIgcHead + igc_line("120000", "3357123S15112456WA0100001100"));
  EXPECT_DOUBLE_EQ(r.fixes.at(0).position.latitude_deg, -(33 + 57.123 / 60));
  EXPECT_DOUBLE_EQ(r.fixes.at(0).position.longitude_deg, -(151 + 12.456 / 60));
}

TEST(IgcReader, RefinesPositionAndTimeByTheirExtraDigits) {
  // One more digit of latitude, two of longitude, tenths of a second.
  const Recording r = read_igc(std::string(kIgcHead) + "I043636LAD3738LOD3939TDS4042XYZ\r\nB1200004710123N01120456WA0100001100" +
                               "7" + "89" + "4" + "123\r\n");
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_DOUBLE_EQ(r.fixes[0].position.latitude_deg, 47 + 10.1237 / 60);
  EXPECT_DOUBLE_EQ(r.fixes[0].position.longitude_deg, -(11 + 20.45689 / 60));
  EXPECT_EQ(r.fixes[0].time, utc(2021, 5, 2, 12, 0, 0, 400));
  EXPECT_EQ(igc_column(r, "XYZ").raw.at(0), 123);
}

TEST(IgcReader, AddsUpSeveralExtensionRecords) {
  for (const char* tables : {"I013638FXA\r\nI013941ENL\r\n", "I013638FXAI013941ENL\r\n"}) {
    const Recording r = read_igc(kIgcHead + std::string(tables) + "B1200004710000N01120000EA0100001100012345\r\n");
    EXPECT_EQ(igc_column(r, "FXA").raw.at(0), 12) << tables;
    EXPECT_EQ(igc_column(r, "ENL").raw.at(0), 345) << tables;
  }
}

TEST(IgcReader, MarksValuesThatAreCutOrNotNumbersAsMissing) {
  const Recording r = read_igc(std::string(kIgcHead) + "I023638FXA3941OAT\r\n" + "B1200004710000N01120000EA0100001100012-15\r\n" +
                               "B1200014710000N01120000EA0100001100---+07\r\n" + "B1200024710000N01120000EA010000110001\r\n");
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(igc_column(r, "FXA").raw, (std::vector<std::int32_t>{12, Channel::missing, Channel::missing}));
  EXPECT_EQ(igc_column(r, "OAT").raw, (std::vector<std::int32_t>{-15, 7, Channel::missing}));
  EXPECT_EQ(igc_count(r, WarningCode::extension_cut), 2u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::extension_cut)->line, 6u);
}

TEST(IgcReader, ReportsATableThatCannotBeRead) {
  const Recording r =
      read_igc(kIgcHead + std::string("IXX3638FXA\r\nI023638FXA\r\n") + igc_line("120000", "4710000N01120000EA0100001100012"));
  EXPECT_EQ(igc_count(r, WarningCode::bad_extension_table), 2u);
  EXPECT_EQ(igc_dropped(r, WarningCode::bad_extension_table), 1u);
  EXPECT_EQ(igc_column(r, "FXA").raw.at(0), 12);
  expect_balanced(r);
}

TEST(IgcReader, KeepsSlowColumnsAtTheirOwnTimes) {
  const Recording r = read_igc(std::string(kIgcHead) + "J020810WDI1113WSP\r\n" + igc_line("235958") + "K235959270012\r\n" +
                               igc_line("000001") + "K00000209\r\nKxxxxxx270012\r\n");
  ASSERT_EQ(r.slow.times.size(), 2u);
  EXPECT_EQ(r.slow.times[0], utc(2021, 5, 2, 23, 59, 59));
  EXPECT_EQ(r.slow.times[1], utc(2021, 5, 3, 0, 0, 2));
  ASSERT_EQ(r.slow.channels.size(), 2u);
  EXPECT_EQ(r.slow.channels[0].raw, (std::vector<std::int32_t>{270, Channel::missing}));
  EXPECT_EQ(r.slow.channels[1].raw, (std::vector<std::int32_t>{12, Channel::missing}));
  EXPECT_EQ(igc_dropped(r, WarningCode::bad_slow_record), 1u);
  expect_balanced(r);
}

TEST(IgcReader, KeepsEveryOtherRecordByItsPlace) {
  const std::string head = "AXXX001\r\nHFDTE020521\r\nHFPLTPILOTINCHARGE: A. Nyone \r\nC020521120000000000001\r\n";
  const std::string text =
      head + "D20331\r\nE120000PEV\r\nF120000010203\r\nLXXXnote\r\nGabcdef\r\nQ?\r\n\r\n" + igc_line("120000");
  const Recording r = read_igc(text);
  std::string letters;
  for (const OtherRecord& o : r.others) {
    letters += o.letter;
    EXPECT_EQ(text.at(o.offset), o.letter);
    EXPECT_EQ(text.substr(o.offset + o.length, 2), "\r\n");
  }
  EXPECT_EQ(letters, "AHHCDEFLGQ");
  EXPECT_EQ(r.account.lines, 12u);
  EXPECT_EQ(r.account.other, 11u);  // the empty line too
  EXPECT_EQ(igc_count(r, WarningCode::unknown_record), 1u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::unknown_record)->line, 10u);
  const auto pilot = std::find_if(r.header.begin(), r.header.end(), [](const HeaderField& h) { return h.code == "HFPLT"; });
  ASSERT_NE(pilot, r.header.end());
  EXPECT_EQ(pilot->text, "A. Nyone");
  EXPECT_EQ(pilot->line, 3u);
  expect_balanced(r);
}

TEST(IgcReader, KnowsFromWhichZeroGnssHeightsCount) {
  EXPECT_EQ(read_igc("HFALG:GEO\n").gnss_datum, HeightDatum::geoid);
  EXPECT_EQ(read_igc("HFALGALTGPS:ELL\n").gnss_datum, HeightDatum::ellipsoid);
  EXPECT_EQ(read_igc("HFALGALTGPS:NKN\n").gnss_datum, HeightDatum::unknown);
  EXPECT_EQ(read_igc("HFALGALTGPS:ELL\nHFALG:GEO\n").gnss_datum, HeightDatum::unknown);
}

TEST(IgcReader, RollsTheDateOverAtMidnight) {
  const Recording r = read_igc(kIgcHead + igc_line("235959") + igc_line("000001") + igc_line("000002"));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[0].time, utc(2021, 5, 2, 23, 59, 59));
  EXPECT_EQ(r.fixes[1].time, utc(2021, 5, 3, 0, 0, 1));
  EXPECT_EQ(r.fixes[2].time, utc(2021, 5, 3, 0, 0, 2));
  EXPECT_EQ(igc_count(r, WarningCode::midnight), 1u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::midnight)->line, 4u);
}

TEST(IgcReader, DoubtsAMidnightWithAGapAroundIt) {
  const Recording r = read_igc(kIgcHead + igc_line("233000") + igc_line("001000"));
  EXPECT_EQ(r.fixes.at(1).time, utc(2021, 5, 3, 0, 10));
  EXPECT_EQ(igc_count(r, WarningCode::midnight), 0u);
  EXPECT_EQ(igc_count(r, WarningCode::midnight_doubtful), 1u);
}

TEST(IgcReader, KeepsTheDateWhenTheClockRunsBackByTwelveHoursOrLess) {
  const Recording r = read_igc(kIgcHead + igc_line("120000") + igc_line("115942") + igc_line("120001") + igc_line("000001"));
  EXPECT_EQ(r.fixes.at(1).time, utc(2021, 5, 2, 11, 59, 42));
  EXPECT_EQ(r.fixes.at(2).time, utc(2021, 5, 2, 12, 0, 1));
  EXPECT_EQ(r.fixes.at(3).time, utc(2021, 5, 2, 0, 0, 1));  // exactly twelve hours
  EXPECT_EQ(igc_count(r, WarningCode::time_went_back), 2u);
  EXPECT_EQ(igc_count(r, WarningCode::midnight), 0u);
}

TEST(IgcReader, TakesAFixFromBeforeMidnightBackToItsDay) {
  const Recording r = read_igc(kIgcHead + igc_line("235959") + igc_line("000000") + igc_line("235959") + igc_line("000001"));
  EXPECT_EQ(r.fixes.at(2).time, utc(2021, 5, 2, 23, 59, 59));
  EXPECT_EQ(r.fixes.at(3).time, utc(2021, 5, 3, 0, 0, 1));
  EXPECT_EQ(igc_count(r, WarningCode::midnight), 1u);
  EXPECT_EQ(igc_count(r, WarningCode::time_went_back), 1u);
}

TEST(IgcReader, TakesADateRecordAtMidnightForTheSameLog) {
  const Recording r = read_igc(kIgcHead + igc_line("235959") + "HFDTE030521\r\n" + igc_line("000000"));
  EXPECT_EQ(r.fixes.at(1).time, utc(2021, 5, 3));
  EXPECT_EQ(r.fixes.at(1).segment, 0);
  EXPECT_TRUE(r.warnings.empty());
}

TEST(IgcReader, KeepsRepeatedSeconds) {
  const Recording r = read_igc(kIgcHead + igc_line("120000") + igc_line("120000"));
  EXPECT_EQ(r.fixes.size(), 2u);
  EXPECT_TRUE(r.warnings.empty());
}

TEST(IgcReader, KeepsFixesWithoutAThirdDimension) {
  // check-values.md 3.1: a fix before the first lock, met in a real file.
  const Recording r = read_igc(kIgcHead + std::string("B1742333600000N13600000EV0005300000000\r\n") + igc_line("174234"));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_FALSE(r.fixes[0].valid_3d);
  EXPECT_TRUE(r.fixes[0].has_pressure_altitude);
  EXPECT_FALSE(r.fixes[0].has_gnss_height);
  EXPECT_TRUE(r.fixes[1].valid_3d);
}

TEST(IgcReader, WarnsOfPositionZeroAndKeepsIt) {
  const Recording r = read_igc(kIgcHead + igc_line("120000", "0000000N00000000EA0100001100") +
                               igc_line("120001", "0000000N00000001EA0100001100"));
  EXPECT_EQ(r.fixes.size(), 2u);
  EXPECT_EQ(igc_count(r, WarningCode::zero_position), 1u);
}

TEST(IgcReader, DecidesForTheWholeFileWhetherPressureWasMeasured) {
  const char* none = "4710000N01120000EA0000001100";
  const Recording without = read_igc(kIgcHead + igc_line("120000", none) + igc_line("120001", none));
  EXPECT_FALSE(without.fixes.at(0).has_pressure_altitude);
  EXPECT_FALSE(without.fixes.at(1).has_pressure_altitude);
  EXPECT_EQ(igc_count(without, WarningCode::no_pressure_altitude), 1u);
  const Recording at_the_sea = read_igc(kIgcHead + igc_line("120000", none) + igc_line("120001", "4710000N01120000EA0000101100"));
  EXPECT_TRUE(at_the_sea.fixes.at(0).has_pressure_altitude);
  EXPECT_EQ(at_the_sea.fixes.at(0).pressure_altitude.si(), 0);
  EXPECT_EQ(igc_count(at_the_sea, WarningCode::no_pressure_altitude), 0u);
}

TEST(IgcReader, KeepsAFixWhoseHeightIsBlank) {
  const Recording r = read_igc(kIgcHead + igc_line("120000", "4710000N01120000EA     01100") +
                               igc_line("120001", "4710000N01120000EA00900-----"));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_FALSE(r.fixes[0].has_pressure_altitude);
  EXPECT_EQ(r.fixes[0].gnss_height.si(), 1100);
  EXPECT_FALSE(r.fixes[1].has_gnss_height);
  EXPECT_EQ(igc_count(r, WarningCode::bad_height), 2u);
}

TEST(IgcReader, DropsBadPositionLinesByReason) {
  const Recording r =
      read_igc(kIgcHead + igc_line("240000") + igc_line("126000") + igc_line("120061") +
               igc_line("120000", "9000001N01120000EA0100001100") + igc_line("120000", "4710000N18000001EA0100001100") +
               igc_line("120000", "4760001N01120000EA0100001100") + igc_line("120000", "4710000X01120000EA0100001100") +
               igc_line("120000", "47100-0N01120000EA0100001100") + igc_line("120000", "4710000N01120000EX0100001100") +
               igc_line("120000", "4710000N01120000EA01B0001100") + "B1200\r\n" + igc_line("120000"));
  EXPECT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(igc_dropped(r, WarningCode::bad_time), 3u);
  EXPECT_EQ(igc_dropped(r, WarningCode::position_out_of_range), 3u);
  EXPECT_EQ(igc_dropped(r, WarningCode::bad_position_line), 5u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::bad_time)->line, 3u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::bad_position_line)->line, 9u);
  expect_balanced(r);
}

TEST(IgcReader, TakesSixtyMinutesForTheNextDegreeAndALeapSecond) {
  // Sixty minutes stand in two of the real files (s_037 and s_048).
  const Recording r = read_igc(kIgcHead + igc_line("235960", "4560000N00560000EA0000000860"));
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.fixes[0].position.latitude_deg, 46);
  EXPECT_EQ(r.fixes[0].position.longitude_deg, 6);
  EXPECT_EQ(r.fixes[0].time, utc(2021, 5, 3));
}

TEST(IgcReader, MovesADateByTheRolloverOfGpsWeeksOnlyWhenOnlyThatIsPlausible) {
  const std::string fix = igc_line("120000");
  ReadOptions now;
  now.latest_plausible = utc(2026, 5, 1);
  // 1024 weeks = 7168 days. 2041-12-17 less 7168 days is 2022-05-03.
  const Recording future = read_igc("HFDTE171241\r\n" + fix, now);
  EXPECT_EQ(future.fixes.at(0).time, utc(2041, 12, 17, 12) - std::chrono::days(7168));
  EXPECT_EQ(future.fixes.at(0).time, utc(2022, 5, 3, 12));
  EXPECT_EQ(igc_count(future, WarningCode::week_rollover), 1u);
  // Before the first edition of the standard.
  const Recording old = read_igc("HFDTE010585\r\n" + fix, now);
  EXPECT_EQ(old.fixes.at(0).time, utc(1985, 5, 1, 12) + std::chrono::days(7168));
  EXPECT_EQ(igc_count(old, WarningCode::week_rollover), 1u);
  // The owner knows that nothing was flown before 2015.
  now.earliest_plausible = utc(2015, 1, 1);
  const Recording too_old = read_igc("HFDTE170901\r\n" + fix, now);
  EXPECT_EQ(too_old.fixes.at(0).time, utc(2001, 9, 17, 12) + std::chrono::days(7168));
  EXPECT_EQ(igc_count(too_old, WarningCode::week_rollover), 1u);
  // Plausible as it stands.
  const Recording plain = read_igc("HFDTE020521\r\n" + fix, now);
  EXPECT_EQ(plain.fixes.at(0).time, utc(2021, 5, 2, 12));
  EXPECT_TRUE(plain.warnings.empty());
  // Neither is plausible: kept, and said.
  const Recording lost = read_igc("HFDTE010150\r\n" + fix, now);
  EXPECT_EQ(igc_count(lost, WarningCode::week_rollover), 1u);
  // Long ago, but possible: kept, and said.
  now.earliest_plausible.reset();
  const Recording doubtful = read_igc("HFDTE170901\r\n" + fix, now);
  EXPECT_EQ(doubtful.fixes.at(0).time, utc(2001, 9, 17, 12));
  EXPECT_EQ(igc_count(doubtful, WarningCode::week_rollover), 1u);
}

TEST(IgcReader, SplitsSeveralLogsRunTogether) {
  const Recording r =
      read_igc(std::string(kIgcHead) + "I013638FXA\r\n" + igc_line("120000", "4710000N01120000EA0100001100012") +
               "AXXX002\r\nHFDTE030521\r\nI013638ENL\r\n" + igc_line("090000", "4710000N01120000EA0100001100345") +
               "HFDTE040521\r\n" + igc_line("100000", "4710000N01120000EA0100001100678") + "AXXX003\r\n" + igc_line("110000"));
  ASSERT_EQ(r.fixes.size(), 4u);
  EXPECT_EQ(r.fixes[0].segment, 0);
  EXPECT_EQ(r.fixes[1].segment, 1);
  EXPECT_EQ(r.fixes[1].time, utc(2021, 5, 3, 9));
  EXPECT_EQ(r.fixes[2].segment, 2);
  EXPECT_EQ(r.fixes[2].time, utc(2021, 5, 4, 10));
  EXPECT_EQ(r.fixes[3].segment, 3);
  EXPECT_EQ(r.fixes[3].time, utc(2021, 5, 4, 11));
  EXPECT_EQ(igc_count(r, WarningCode::several_logs), 3u);
  EXPECT_EQ(igc_count(r, WarningCode::no_date), 1u);  // the last log has none of its own
  // The columns of one log are not those of the next.
  EXPECT_EQ(igc_column(r, "FXA").raw, (std::vector<std::int32_t>{12, Channel::missing, Channel::missing, Channel::missing}));
  EXPECT_EQ(igc_column(r, "ENL").raw, (std::vector<std::int32_t>{Channel::missing, 345, 678, Channel::missing}));
  expect_balanced(r);
}

TEST(IgcReader, WarnsOfAMissingDateAndTakesALateOne) {
  const Recording none = read_igc(igc_line("120000") + igc_line("120001"));
  EXPECT_EQ(none.fixes.at(1).time, utc(1970, 1, 1, 12, 0, 1));
  EXPECT_EQ(igc_count(none, WarningCode::no_date), 1u);
  const Recording late = read_igc(igc_line("235959") + igc_line("000000") + "HFDTE030521\r\n" + igc_line("000001"));
  EXPECT_EQ(late.fixes.at(0).time, utc(2021, 5, 2, 23, 59, 59));
  EXPECT_EQ(late.fixes.at(1).time, utc(2021, 5, 3));
  EXPECT_EQ(late.fixes.at(2).time, utc(2021, 5, 3, 0, 0, 1));
  EXPECT_EQ(igc_count(late, WarningCode::no_date), 1u);
}

TEST(IgcReader, DropsADateThatIsNone) {
  for (const char* date : {"HFDTE000000", "HFDTE310221", "HFDTE9999", "HFDTE"}) {
    const Recording r = read_igc(std::string(date) + "\r\n" + igc_line("120000"));
    EXPECT_EQ(igc_dropped(r, WarningCode::bad_date), 1u) << date;
    EXPECT_EQ(r.fixes.size(), 1u);
    expect_balanced(r);
  }
}

TEST(IgcReader, TakesAnyLineEnd) {
  const std::string crlf = kIgcHead + igc_line("120000") + igc_line("120001");
  std::string lf, cr;
  for (const char c : crlf) {
    if (c != '\r') lf += c;
    if (c != '\n') cr += c;
  }
  for (const std::string& text : {crlf, lf, cr}) {
    const Recording r = read_igc(text);
    EXPECT_EQ(r.fixes.size(), 2u);
    EXPECT_EQ(r.account.lines, 4u);
    EXPECT_EQ(r.fixes.at(1).line, 4u);
    EXPECT_TRUE(r.warnings.empty());
  }
  const Recording mixed = read_igc(crlf + "LXXX\nLXXX\rLXXX\r\n");
  EXPECT_EQ(mixed.account.lines, 7u);
  EXPECT_EQ(igc_count(mixed, WarningCode::text_encoding), 1u);
}

TEST(IgcReader, SkipsAByteOrderMarkAndRefusesUtf16) {
  const Recording bom = read_igc(std::string("\xEF\xBB\xBF") + kIgcHead + igc_line("120000"));
  EXPECT_EQ(bom.fixes.at(0).time, utc(2021, 5, 2, 12));
  EXPECT_EQ(bom.others.at(0).offset, 3u);
  EXPECT_EQ(igc_count(bom, WarningCode::text_encoding), 1u);
  std::string wide = "\xFF\xFE";
  for (const char c : kIgcHead + igc_line("120000")) (wide += c) += '\0';
  const Recording utf16 = read_igc(wide);
  EXPECT_TRUE(utf16.fixes.empty());
  EXPECT_GE(igc_count(utf16, WarningCode::text_encoding), 1u);
  expect_balanced(utf16);
}

TEST(IgcReader, KeepsFixesBeforeACutLine) {
  const std::string whole = kIgcHead + igc_line("120000") + igc_line("120001");
  const Recording r = read_igc(std::string_view(whole).substr(0, whole.size() - 10));
  EXPECT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(igc_dropped(r, WarningCode::truncated_end), 1u);
  EXPECT_EQ(first_igc_warning(r, WarningCode::truncated_end)->line, 4u);
  // A last line that is whole but for its end is no loss.
  EXPECT_TRUE(read_igc(std::string_view(whole).substr(0, whole.size() - 2)).warnings.empty());
}

TEST(IgcReader, KeepsFixesAroundBinaryRubbish) {
  std::string rubbish;
  for (int i = 0; i < 4000; ++i) rubbish += static_cast<char>(i * 37 % 251);
  const Recording r = read_igc(kIgcHead + igc_line("120000") + rubbish + "\r\n" + igc_line("120001"));
  EXPECT_EQ(r.fixes.size(), 2u);
  EXPECT_GE(igc_dropped(r, WarningCode::binary_rubbish), 1u);
  expect_balanced(r);
}

TEST(IgcReader, ReadsNothingFromAnEmptyFile) {
  const Recording r = read_igc("");
  EXPECT_TRUE(r.fixes.empty());
  EXPECT_TRUE(r.warnings.empty());
  EXPECT_EQ(r.account.lines, 0u);
}

// 1 GB in chunks: one endless line, and then lines of nothing. What the reader keeps must not grow with it.
TEST(IgcReader, HoldsNoMoreThanOneLineOfAnEndlessFile) {
  IgcReader reader;
  const std::string chunk(std::size_t{4} << 20U, 'B');
  for (int i = 0; i < 256; ++i) reader.feed(chunk);
  reader.feed("\n");
  const std::string blank(std::size_t{4} << 20U, '\n');
  for (int i = 0; i < 16; ++i) reader.feed(blank);
  const Recording r = reader.finish();
  EXPECT_EQ(igc_dropped(r, WarningCode::line_too_long), 1u);
  EXPECT_EQ(r.account.lines, 1u + (std::uint64_t{16} << 22U));
  EXPECT_TRUE(r.others.empty());
  expect_balanced(r);
}

TEST(IgcReader, ListsFiftyWarningsOfAKindAndCountsTheRest) {
  std::string text = kIgcHead;
  for (int i = 0; i < 130; ++i) text += "B12\r\n";
  const Recording r = read_igc(text);
  EXPECT_EQ(igc_count(r, WarningCode::bad_position_line), 50u);
  EXPECT_EQ(igc_dropped(r, WarningCode::bad_position_line), 130u);
  ASSERT_EQ(igc_count(r, WarningCode::more_not_listed), 1u);
  EXPECT_NE(first_igc_warning(r, WarningCode::more_not_listed)->text.find("80"), std::string::npos);
}

TEST(IgcReader, SaysWhenAFileCallsItselfInvented) {
  EXPECT_TRUE(read_igc("LXXX SIMULATED flight\r\n").simulated);
  EXPECT_TRUE(read_igc("HFGTYGLIDERTYPE:invented wing\r\n").simulated);
  EXPECT_FALSE(read_igc(kIgcHead).simulated);
  EXPECT_FALSE(read_igc(kIgcHead + igc_line("120000") + "LXXX simulated engine failure\r\n").simulated);
}

TEST(IgcReader, ShowsHeaderTextAsUtf8WhateverItsBytes) {
  const Recording r = read_igc("HFSITSITE:\xD6tz\x01tal\r\nHFPLT:J\xC3\xBCrg\r\n");
  ASSERT_EQ(r.header.size(), 2u);
  EXPECT_EQ(r.header[0].text, "\xC3\x96tztal");
  EXPECT_EQ(r.header[1].text, "J\xC3\xBCrg");
}

TEST(IgcReader, ReusesTheMemoryOfAnOlderRecording) {
  std::string text = std::string(kIgcHead) + "I013638FXA\r\n";
  for (int i = 0; i < 1000; ++i)
    text += igc_line(fmt::format("12{:02}{:02}", i / 60, i % 60).c_str(), "4710000N01120000EA0100001100012");
  Recording r = read_igc(text);
  const Fix* const fixes = r.fixes.data();
  const std::int32_t* const column = r.channels.at(0).raw.data();
  read_igc(text, r);
  EXPECT_EQ(r.fixes.size(), 1000u);
  EXPECT_EQ(r.fixes.data(), fixes);
  EXPECT_EQ(r.channels.at(0).raw.data(), column);
  read_igc(kIgcHead, r);
  EXPECT_TRUE(r.fixes.empty());
  EXPECT_TRUE(r.channels.empty());
}

}  // namespace
}  // namespace headroom
