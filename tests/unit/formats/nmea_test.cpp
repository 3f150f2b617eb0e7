// The NMEA reader on worked sentences (reference check-values 3.3: published examples whose checksums and decodings were
// recomputed there) and on damage.
#include "formats/nmea.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "formats/recording_reader.h"

namespace headroom {
namespace {

// "$body*hh". The checksum is the exclusive or of the body's bytes; the published sentences below prove the reader's.
std::string sentence(const std::string& body) {
  unsigned sum = 0;
  for (const char c : body) sum ^= static_cast<unsigned char>(c);
  constexpr const char* kHex = "0123456789ABCDEF";
  return "$" + body + "*" + kHex[sum >> 4U & 15U] + kHex[sum & 15U] + "\r\n";
}
std::string gga(const std::string& time, const std::string& more = "1,08,0.9,545.4,M,46.9,M,,") {
  return sentence("GPGGA," + time + ",4807.038,N,01131.000,E," + more);
}
std::string rmc(const std::string& time, const std::string& date, const std::string& status = "A",
                const std::string& mode = "A") {
  return sentence("GPRMC," + time + "," + status + ",4807.038,N,01131.000,E,022.4,084.4," + date + ",,," + mode);
}
std::size_t count_of(const Recording& r, WarningCode code) {
  return static_cast<std::size_t>(
      std::count_if(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; }));
}
std::size_t dropped_for(const Recording& r, WarningCode code) {
  for (const auto& reason : r.account.dropped_by)
    if (reason.code == code) return reason.count;
  return 0;
}
double value_of(const Recording& r, std::string_view code, std::size_t i = 0) {
  for (const Channel& c : r.channels)
    if (c.code == code) return c.raw.at(i) == Channel::missing ? -1e9 : c.raw[i] * c.scale;
  return -1e9;
}
void expect_balance(const Recording& r) {
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  EXPECT_EQ(r.account.fixes, r.fixes.size());
}

TEST(NmeaReader, ReadsTheWorkedSentences) {
  const Recording r = read_nmea(
      "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"
      "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n");
  ASSERT_EQ(r.fixes.size(), 1u);
  const Fix& f = r.fixes[0];
  EXPECT_EQ(f.time, utc(1994, 3, 23, 12, 35, 19));
  EXPECT_NEAR(f.position.latitude_deg, 48.1173, 1e-12);
  EXPECT_NEAR(f.position.longitude_deg, 11.51666667, 5e-9);
  EXPECT_TRUE(f.valid_3d);
  ASSERT_TRUE(f.has_gnss_height);
  EXPECT_EQ(f.gnss_height.si(), 545.4);
  EXPECT_EQ(r.gnss_datum, HeightDatum::geoid);
  EXPECT_NEAR(f.gnss_height.si() + value_of(r, "GEOID"), 592.3, 1e-9);
  EXPECT_NEAR(value_of(r, "SPEED"), 11.523556, 5e-4);
  EXPECT_NEAR(value_of(r, "COURSE"), 84.4, 1e-9);
  EXPECT_EQ(value_of(r, "SAT"), 8);
  EXPECT_NEAR(value_of(r, "HDOP"), 0.9, 1e-9);
  EXPECT_EQ(r.account.lines, 2u);
  EXPECT_EQ(r.account.other, 1u);
  EXPECT_EQ(r.account.dropped, 0u);
}

TEST(NmeaReader, ReadsTheOtherWorkedSentences) {
  const Recording a = read_nmea(
      "$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76\n"
      "$GPRMC,092750.000,A,5321.6802,N,00630.3372,W,0.02,31.66,280511,,,A*43\n");
  ASSERT_EQ(a.fixes.size(), 1u);
  EXPECT_EQ(a.fixes[0].time, utc(2011, 5, 28, 9, 27, 50));
  EXPECT_NEAR(a.fixes[0].position.latitude_deg, 53.36133667, 5e-9);
  EXPECT_NEAR(a.fixes[0].position.longitude_deg, -6.50562, 1e-12);
  EXPECT_EQ(a.fixes[0].gnss_height.si(), 61.7);
  const Recording b = read_nmea("$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E*52\n");
  ASSERT_EQ(b.fixes.size(), 1u);
  EXPECT_EQ(b.fixes[0].time, utc(2012, 6, 16, 3));
  EXPECT_NEAR(b.fixes[0].position.latitude_deg, 47 + 40.36415 / 60, 1e-12);
  EXPECT_NEAR(b.fixes[0].position.longitude_deg, -(122 + 25.35953 / 60), 1e-12);
  EXPECT_FALSE(b.fixes[0].has_gnss_height);
  EXPECT_EQ(count_of(b, WarningCode::no_gnss_height), 1u);
}

TEST(NmeaReader, DropsASentenceWhoseChecksumDoesNotFit) {
  const Recording r = read_nmea("$GPGGA,123519,4807.039,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n" + gga("123520"));
  EXPECT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(dropped_for(r, WarningCode::bad_checksum), 1u);
  expect_balance(r);
}

TEST(NmeaReader, TakesAMissingChecksumAndSaysSoOnce) {
  const std::string plain = "$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E\n";
  const Recording r = read_nmea(plain + "$GPRMC,030001,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E\n");
  EXPECT_EQ(r.fixes.size(), 2u);
  EXPECT_EQ(count_of(r, WarningCode::no_checksum), 1u);
  // Among sentences of the same kind that have one, it is a sentence cut off.
  const Recording cut = read_nmea(rmc("025959", "160612") + "$GPRMC,030000,A,4740.36\n");
  EXPECT_EQ(cut.fixes.size(), 1u);
  EXPECT_EQ(dropped_for(cut, WarningCode::bad_checksum), 1u);
}

TEST(NmeaReader, DatesFixesBackAcrossMidnightFromADateThatComesLate) {
  const Recording r =
      read_nmea(gga("235959") + gga("000000") + gga("000001") + sentence("GPZDA,000001.00,09,03,2019,00,00") + gga("000002"));
  ASSERT_EQ(r.fixes.size(), 4u);
  EXPECT_EQ(r.fixes[0].time, utc(2019, 3, 8, 23, 59, 59));
  EXPECT_EQ(r.fixes[1].time, utc(2019, 3, 9));
  EXPECT_EQ(r.fixes[3].time, utc(2019, 3, 9, 0, 0, 2));
  EXPECT_EQ(count_of(r, WarningCode::midnight), 1u);
  EXPECT_EQ(count_of(r, WarningCode::no_date), 1u);
}

TEST(NmeaReader, FollowsTheDateThatRmcStatesAtMidnight) {
  const Recording r = read_nmea(rmc("235959", "310526") + gga("235959") + gga("000000") + rmc("000000", "010626"));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_EQ(r.fixes[1].time - r.fixes[0].time, std::chrono::seconds(1));
  EXPECT_EQ(r.fixes[1].time, utc(2026, 6, 1));
  EXPECT_EQ(r.warnings.size(), 1u);  // no pressure height; nothing of midnight, for the file states it
}

TEST(NmeaReader, FollowsTheClockWhereTheDateLagsBehindMidnight) {
  const Recording r = read_nmea(rmc("235959", "310526") + rmc("000000", "310526") + rmc("000001", "010626"));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[1].time, utc(2026, 6, 1));
  EXPECT_EQ(r.fixes[2].time, utc(2026, 6, 1, 0, 0, 1));
  EXPECT_EQ(count_of(r, WarningCode::bad_date), 1u);
}

TEST(NmeaReader, TakesAnotherDayForAnotherLog) {
  const Recording r = read_nmea(rmc("120000", "300526") + rmc("120001", "300526") + rmc("090000", "020626"));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[2].time, utc(2026, 6, 2, 9));
  EXPECT_EQ(r.fixes[1].segment, 0);
  EXPECT_EQ(r.fixes[2].segment, 1);
  EXPECT_EQ(count_of(r, WarningCode::several_logs), 1u);
  EXPECT_EQ(count_of(r, WarningCode::time_went_back), 0u);
}

TEST(NmeaReader, MovesARolledOverDateWhenOnlyThatCanBe) {
  ReadOptions options;
  options.latest_plausible = utc(2026, 11, 25);
  // 1024 weeks after 2006-10-15 is 2026-05-31 (7168 days).
  const Recording early = read_nmea(rmc("120000", "151006"), options);
  EXPECT_EQ(early.fixes.at(0).time, utc(2006, 10, 15, 12));
  EXPECT_EQ(count_of(early, WarningCode::week_rollover), 1u);  // kept, but said
  options.earliest_plausible = utc(2020, 1, 1);
  const Recording moved = read_nmea(rmc("120000", "151006") + rmc("120001", "151006"), options);
  EXPECT_EQ(moved.fixes.at(1).time, utc(2026, 5, 31, 12, 0, 1));
  EXPECT_EQ(count_of(moved, WarningCode::week_rollover), 1u);
}

TEST(NmeaReader, KeepsTimesOfDayWhenNoDateComes) {
  const Recording r = read_nmea(gga("101500.25"));
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.fixes[0].time, utc(1970, 1, 1, 10, 15, 0, 250));
  EXPECT_EQ(count_of(r, WarningCode::no_date), 1u);
}

TEST(NmeaReader, DropsWhatTheReceiverCallsInvalid) {
  const Recording r = read_nmea(rmc("120000", "010626", "V", "N") + gga("120000", "0,00,99.9,545.4,M,46.9,M,,") +
                                sentence("GPGLL,4807.038,N,01131.000,E,120000,V,N") + rmc("120001", "010626"));
  EXPECT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(dropped_for(r, WarningCode::position_not_valid), 3u);
  expect_balance(r);
}

TEST(NmeaReader, CountsEmptySentencesAsOther) {
  // As a receiver writes them before its first fix.
  const Recording r = read_nmea(
      "$GPRMC,,V,,,,,,,,,,N*53\n$GPVTG,,,,,,,,,N*30\n$GPGGA,,,,,,0,00,99.99,,,,,,*48\n$GPGLL,,,,,,V,N*64\n$GPZDA,,,,,00,00*48\n" +
      rmc("120001", "010626"));
  EXPECT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.account.dropped, 0u);
  EXPECT_EQ(r.account.other, 5u);
}

TEST(NmeaReader, MarksFixesOfTwoDimensionsAndOfDeadReckoning) {
  const std::string two = sentence("GPGSA,A,2,06,07,11,,,,,,,,,,1.4,1.1,0.8"),
                    three = sentence("GPGSA,A,3,06,07,11,19,,,,,,,,,1.4,1.1,0.8"),
                    none = sentence("GNGSA,A,1,,,,,,,,,,,,,99.9,99.9,99.9");
  const Recording r = read_nmea(gga("120000") + two + gga("120001") + three + none + gga("120002", "6,08,0.9,545.4,M,46.9,M,,"));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_FALSE(r.fixes[0].valid_3d);
  EXPECT_TRUE(r.fixes[1].valid_3d);  // another constellation adds nothing, and takes nothing away
  EXPECT_FALSE(r.fixes[2].valid_3d);
}

TEST(NmeaReader, CallsASimulatedRecordingInvented) {
  const Recording all = read_nmea(rmc("120000", "010626", "V", "S") + gga("120000", "8,08,0.9,545.4,M,46.9,M,,"));
  EXPECT_EQ(all.fixes.size(), 1u);
  EXPECT_TRUE(all.simulated);
  const Recording some = read_nmea(rmc("120000", "010626", "A", "S") + rmc("120001", "010626"));
  EXPECT_EQ(some.fixes.size(), 1u);
  EXPECT_FALSE(some.simulated);
  EXPECT_EQ(dropped_for(some, WarningCode::receiver_simulates), 1u);
  expect_balance(some);
  EXPECT_EQ(some.channels.at(0).raw.size(), 1u);
  EXPECT_TRUE(read_nmea("# invented for a test\n" + rmc("120000", "010626")).simulated);
}

TEST(NmeaReader, TakesPgrmzForThePressureHeight) {
  // 2282 ft = 695.5536 m exactly (1 ft = 0.3048 m).
  const Recording r = read_nmea(gga("120000") + sentence("PGRMZ,2282,f,3") + gga("120001"));
  ASSERT_EQ(r.fixes.size(), 2u);
  ASSERT_TRUE(r.fixes[0].has_pressure_altitude);
  EXPECT_NEAR(r.fixes[0].pressure_altitude.si(), 695.5536, 1e-9);
  EXPECT_FALSE(r.fixes[1].has_pressure_altitude);
}

TEST(NmeaReader, DoesNotTakeARepeatedGnssHeightForAPressureHeight) {
  // As in a real log of the collection: GGA 695.7 m, PGRMZ 2282 ft.
  const Recording r = read_nmea(gga("120000", "1,08,0.9,695.7,M,51.6,M,,") + sentence("PGRMZ,2282,f,3"));
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_FALSE(r.fixes[0].has_pressure_altitude);
  EXPECT_EQ(count_of(r, WarningCode::height_doubtful), 1u);
}

TEST(NmeaReader, DoubtsTheDatumOfAReceiverWithoutGeoid) {
  const Recording r = read_nmea(gga("120000", "1,08,0.9,545.4,M,0.0,M,,"));
  EXPECT_EQ(r.gnss_datum, HeightDatum::unknown);
  EXPECT_EQ(count_of(r, WarningCode::height_doubtful), 1u);
}

TEST(NmeaReader, ReadsAnyTalkerAndLeavesOtherSentences) {
  const std::string body = ",101500.00,4807.038,N,01131.000,E,";
  const Recording r =
      read_nmea(sentence("GNGNS" + body + "AN,10,1.2,403.6,-32.1,,") + sentence("BDGGA" + body + "1,08,0.9,403.6,M,-32.1,M,,") +
                sentence("GNVTG,248.0,T,236.0,M,10.0,N,18.5,K,D") + sentence("GLGSV,1,1,00") +
                "!AIVDM,1,1,,A,x,0*00\r\nplain text of a logger\r\n" + sentence("GNGLL,4807.039,N,01131.000,E,101501.00,A,D"));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_NEAR(value_of(r, "SPEED"), 10 * 1852.0 / 3600, 5e-4);
  EXPECT_NEAR(value_of(r, "COURSE"), 248, 1e-9);
  EXPECT_EQ(r.account.other, 5u);
  EXPECT_EQ(count_of(r, WarningCode::unknown_record), 1u);
  expect_balance(r);
}

TEST(NmeaReader, FindsASentenceBehindOtherBytes) {
  const std::string good = rmc("120000", "010626");
  const Recording logged = read_nmea("2026-06-01 12:00:00.123 " + good);
  EXPECT_EQ(logged.fixes.size(), 1u);
  EXPECT_EQ(count_of(logged, WarningCode::bytes_before_sentence), 1u);
  const Recording glued = read_nmea("$GPGGA,120000,4807.0" + good);
  EXPECT_EQ(glued.fixes.size(), 1u);
  EXPECT_EQ(count_of(glued, WarningCode::bytes_before_sentence), 1u);
  const Recording tagged = read_nmea("\\s:r1,c:1780315200*0F\\" + good);
  EXPECT_EQ(tagged.fixes.size(), 1u);
  EXPECT_EQ(count_of(tagged, WarningCode::bytes_before_sentence), 0u);
}

TEST(NmeaReader, DropsWhatCannotBeReadForAReason) {
  const Recording r = read_nmea(sentence("GPRMC,120000,A,4807.0x8,N,01131.000,E,,,010626,,,A") +           // not a number
                                sentence("GPRMC,120001,A,9107.038,N,01131.000,E,,,010626,,,A") +           // no such latitude
                                sentence("GPRMC,120002,A,4860.000,N,01131.000,E,,,010626,,,A") +           // sixty minutes
                                sentence("GPRMC,250003,A,4807.038,N,01131.000,E,,,010626,,,A") +           // no such hour
                                sentence("GPRMC,120004,A,4807.038,Q,01131.000,E,,,010626,,,A") +           // no hemisphere
                                std::string("\x01\x02\x03\n") + rmc("120005", "320626") + "$GPRMC,1200");  // bad date; cut end
  EXPECT_EQ(dropped_for(r, WarningCode::bad_position_line), 2u);
  EXPECT_EQ(dropped_for(r, WarningCode::position_out_of_range), 2u);
  EXPECT_EQ(dropped_for(r, WarningCode::bad_time), 1u);
  EXPECT_EQ(dropped_for(r, WarningCode::binary_rubbish), 1u);
  EXPECT_EQ(dropped_for(r, WarningCode::truncated_end), 1u);
  EXPECT_EQ(count_of(r, WarningCode::bad_date), 1u);
  EXPECT_EQ(r.fixes.size(), 1u);
  expect_balance(r);
}

TEST(NmeaReader, KeepsFixesThatComeFasterThanTheirClock) {
  const Recording r = read_nmea(rmc("120000", "010626") + sentence("GPRMC,120000,A,4807.039,N,01131.000,E,,,010626,,,A") +
                                rmc("120001", "010626"));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[0].time, r.fixes[1].time);
}

TEST(NmeaReader, SaysThatALogOfAnotherDeviceHoldsNoPosition) {
  const auto r = read_recording(sentence("SDDBT,8.1,f,2.4,M,1.3,F") + sentence("WIMWV,214.8,R,0.1,K,A"));
  ASSERT_FALSE(r);
  EXPECT_NE(r.error().what.find("another device"), std::string::npos);
  EXPECT_NE(r.error().what.find("SDDBT, WIMWV"), std::string::npos);
}

}  // namespace
}  // namespace headroom
