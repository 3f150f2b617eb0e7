// Arithmetic in words, as command and page both show it.
#include <gtest/gtest.h>

#include <algorithm>

#include "app/metar_words.h"
#include "app/said_air.h"
#include "app/said_load.h"
#include "app/said_sun.h"
#include "app/said_take_off.h"
#include "formats/metar.h"
#include "support/fake_clock.h"

namespace headroom {
namespace {

std::string value_of(const CalcWords& words, std::string_view label) {
  for (const auto& [name, value] : words.rows)
    if (name == label) return value;
  return {};
}

// ISO 2533, table of the standard atmosphere: at 1000 m 898.75 hPa, 8.5 °C, 1.1117 kg/m3.
TEST(SaidCalc, TellsTheStandardAirAtAThousandMetres) {
  SaidAir said;
  said.pressure_altitude = "1000";
  const auto in = air_input(said, UnitChoice());
  ASSERT_TRUE(in);
  const auto air = air_report(*in);
  ASSERT_TRUE(air);
  const auto words = air_words(*in, *air, UnitChoice());
  EXPECT_EQ(value_of(words, "Temperature"), "8.5 °C");
  EXPECT_EQ(value_of(words, "Pressure here (QFE)").substr(0, 5), "898.7");
  EXPECT_EQ(value_of(words, "Density (CIPM-2007)").substr(0, 4), "1.11");
  EXPECT_FALSE(words.assumed.empty()) << "temperature and dry air are assumed";
  const auto json = calc_words_json(words);
  for (const auto& row : json["rows"]) EXPECT_NE(row["label"].get<std::string>().front(), ' ');
}

TEST(SaidCalc, NamesTheBoxOfWhatIsMissing) {
  const auto where = [](const auto& result) { return result ? std::string("none") : result.error().where; };
  EXPECT_EQ(where(answer_load({}, UnitChoice())), "--mass");
  SaidTakeOff run;
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "--mass");
  run.mass = "121";
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "--strip");
  run.strip = "180";
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "--wing-area");
  run.wing_area = "26";
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "--thrust");
  run.thrust = "57";
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "--thrust") << "without its unit";
  run.thrust = "57kgf";
  EXPECT_EQ(where(run_asked(run, UnitChoice())), "none");
  FakeClock clock;
  EXPECT_EQ(where(answer_sun({}, clock, "")), "--latitude");
}

TEST(SaidCalc, JudgesOnlyTheLimitsThatWereGiven) {
  SaidLoad said;
  said.mass = "121";
  said.wing_most = "110";
  const auto answer = answer_load(said, UnitChoice());
  ASSERT_TRUE(answer) << answer.error().what;
  EXPECT_EQ(answer->margins.size(), 1U);
  EXPECT_TRUE(answer->is_short());
  EXPECT_EQ(load_words(*answer, UnitChoice()).sentences.size(), 1U);
  said.wing_most = "140";
  EXPECT_FALSE(answer_load(said, UnitChoice())->is_short());
}

// On the equator at an equinox the day lasts 12 h and some 7 min: refraction and the sun's radius make up the minutes.
TEST(SaidCalc, TellsTheDayOnTheEquator) {
  FakeClock clock(utc(2026, 3, 20, 12), 0);
  const auto answer = answer_sun({"0", "0", ""}, clock, "");
  ASSERT_TRUE(answer) << answer.error().what;
  const auto lasts = value_of(sun_words(*answer, clock, ""), "From sunrise to sunset");
  EXPECT_EQ(lasts, "12.1 h");
}

// The groups of a report by WMO-No. 306, FM 15.
TEST(SaidCalc, SaysWhatOfAReportIsNotRead) {
  const auto metar = read_metar("METAR EGXX 201150Z 24015G27KT 9999 FEW030 16/14 Q1009 <b>", utc(2026, 5, 20, 12));
  ASSERT_TRUE(metar);
  const auto words = metar_words(*metar);
  EXPECT_NE(value_of(words, "24015G27KT").find("15 kt"), std::string::npos);
  EXPECT_EQ(value_of(words, "<b>").substr(0, 8), "not read");
  EXPECT_EQ(words.sentences.size(), 1U);
}

}  // namespace
}  // namespace headroom
