#include "formats/igc_write.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

Recording one_fix() {
  Recording recording;
  recording.simulated = true;
  Fix fix;
  fix.time = utc(2001, 7, 16, 16, 2, 40);
  fix.position = {54.118683, -2.822367};
  fix.pressure_altitude = PressureAltitude::from_si(280);
  fix.gnss_height = GnssHeight::from_si(421);
  fix.has_pressure_altitude = fix.has_gnss_height = true;
  recording.fixes.push_back(fix);
  return recording;
}

std::string written(const Recording& recording, const IgcWriteOptions& options = {}) {
  auto text = write_simulated_igc(recording, options);
  EXPECT_TRUE(text) << (text ? "" : text.error().what);
  return text.value_or("");
}

// The worked record of a public reader: HFDTE160701 and B1602405407121N00249342WA0028000421 are 16 July 2001, 16:02:40,
// 54 degrees 7.121 minutes north, 2 degrees 49.342 minutes west, 280 m by pressure, 421 m by GNSS.
TEST(IgcWrite, WritesTheWorkedRecord) {
  const std::string text = written(one_fix());
  EXPECT_NE(text.find("\r\nHFDTE160701\r\n"), std::string::npos);
  EXPECT_NE(text.find("\r\nB1602405407121N00249342WA0028000421\r\n"), std::string::npos);
  EXPECT_NE(written(one_fix(), {.long_date = true}).find("\r\nHFDTEDATE:160701,01\r\n"), std::string::npos);
}

TEST(IgcWrite, SaysSimulatedInThreePlaces) {
  const std::string text = written(one_fix());
  EXPECT_EQ(text.rfind("AXXX001SIMULATED\r\n", 0), 0U);
  EXPECT_NE(text.find("\r\nHFFTYFRTYPE:SIMULATED\r\n"), std::string::npos);
  EXPECT_NE(text.find("\r\nLXXXSIMULATED "), std::string::npos);
}

TEST(IgcWrite, RefusesARealRecording) {
  Recording real = one_fix();
  real.simulated = false;
  ASSERT_FALSE(write_simulated_igc(real));
  EXPECT_EQ(write_simulated_igc(real).error().kind, ErrorKind::refused);
}

// Minutes never reach 60; a minus sign takes the first of the five places of a height.
TEST(IgcWrite, CarriesMinutesAndSignsHeights) {
  Recording recording = one_fix();
  recording.fixes[0].position = {-0.9999999, 179.9999999};
  recording.fixes[0].pressure_altitude = PressureAltitude::from_si(-12.4);
  recording.fixes[0].valid_3d = false;
  recording.fixes[0].has_gnss_height = false;
  EXPECT_NE(written(recording).find("B1602400100000S18000000EV-001200000\r\n"), std::string::npos);
}

// Columns begin at byte 36, 1-based and inclusive: I record of the IGC technical specification, appendix A.
TEST(IgcWrite, DeclaresItsColumns) {
  Recording recording = one_fix();
  recording.channels.push_back({"ENL", 1, {950}});
  const std::string text = written(recording);
  EXPECT_NE(text.find("\r\nI013638ENL\r\n"), std::string::npos);
  EXPECT_NE(text.find("A0028000421950\r\n"), std::string::npos);
  recording.channels[0].raw[0] = 1000;
  EXPECT_FALSE(write_simulated_igc(recording));
  recording.channels[0] = {"ABC", 1, {1}};
  EXPECT_FALSE(write_simulated_igc(recording));
}

TEST(IgcWrite, BeginsANewDateAtMidnight) {
  Recording recording = one_fix();
  recording.fixes.push_back(recording.fixes[0]);
  recording.fixes[0].time = utc(2026, 12, 31, 23, 59, 59);
  recording.fixes[1].time = utc(2027, 1, 1);
  const std::string text = written(recording);
  EXPECT_NE(text.find("\r\nB235959"), std::string::npos);
  EXPECT_NE(text.find("\r\nHFDTE010127\r\nB000000"), std::string::npos);
}

TEST(IgcWrite, RefusesWhatTheFormCannotHold) {
  Recording recording = one_fix();
  recording.fixes[0].gnss_height = GnssHeight::from_si(123456);
  EXPECT_FALSE(write_simulated_igc(recording));
  recording = one_fix();
  recording.fixes[0].time = utc(2101, 1, 1);
  EXPECT_FALSE(write_simulated_igc(recording));
  recording.fixes.clear();
  EXPECT_FALSE(write_simulated_igc(recording));
}

}  // namespace
}  // namespace headroom
