// What an owner types, read in the unit meant. Factors: NIST SP 811 (2008), appendix B.
#include "core/unit_choice.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

TEST(UnitChoice, ABareNumberIsInTheOwnersUnit) {
  UnitChoice units;
  EXPECT_NEAR(*parse_measure(Measure::temperature, "198", units), 471.15, 1e-9);
  ASSERT_TRUE(units.choose("temperature", "F"));
  EXPECT_NEAR(*parse_measure(Measure::temperature, "390", units), (390 - 32) / 1.8 + 273.15, 1e-9);
}

TEST(UnitChoice, AWrittenUnitHoldsWhateverIsChosen) {
  UnitChoice units;
  ASSERT_TRUE(units.choose_list("us"));
  EXPECT_NEAR(*parse_measure(Measure::volume, "10 L", units), 0.01, 1e-15);
  EXPECT_NEAR(*parse_measure(Measure::volume, "1 imp gal", units), 4.54609e-3, 1e-15);
  EXPECT_NEAR(*parse_measure(Measure::volume, "2,5", units), 2.5 * 3.785411784e-3, 1e-15);
  EXPECT_NEAR(*parse_measure(Measure::speed, "10kt", units), 10 * 1852.0 / 3600, 1e-12);
}

TEST(UnitChoice, AGallonWithoutItsCountryIsRefused) {
  const auto read = parse_measure(Measure::volume, "3 gal", UnitChoice());
  ASSERT_FALSE(read);
  EXPECT_NE(read.error().what.find("US gal"), std::string::npos);
}

TEST(UnitChoice, RefusesWhatIsNoNumberOrOfAnotherMeasure) {
  const UnitChoice units;
  for (const char* text : {"", "abc", "nan", "inf", "1e999", "12 kg", "--3", "0x10"})
    EXPECT_FALSE(parse_measure(Measure::volume, text, units)) << text;
  EXPECT_FALSE(UnitChoice().choose("speed", "F"));
  EXPECT_FALSE(UnitChoice().choose("loudness", "dB"));
  EXPECT_FALSE(UnitChoice().choose_list("speed"));
}

TEST(UnitChoice, ALaterChoiceInAListHoldsOverAPreset) {
  UnitChoice units;
  ASSERT_TRUE(units.choose_list("us,temperature=C"));
  EXPECT_EQ(units.of(Measure::temperature).name, "C");
  EXPECT_EQ(units.of(Measure::speed).name, "mph");
}

TEST(UnitChoice, ReadsTimeAsPeopleWriteIt) {
  for (const char* text : {"1.5", "1,5 h", "1:30", "1h30", "1h 30m", "90 min", "90m", "5400 s", "1 hour 30 minutes"}) {
    const auto read = parse_duration(text);
    ASSERT_TRUE(read) << text;
    EXPECT_NEAR(in_minutes(*read), 90, 1e-9) << text;
  }
  for (const char* text : {"", "-1", "1:75", "1.5:10", "h", "1 fortnight", "1h30h", "1 2"})
    EXPECT_FALSE(parse_duration(text)) << text;
}

}  // namespace
}  // namespace headroom
