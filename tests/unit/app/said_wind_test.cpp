// A wind as it is typed.
#include <gtest/gtest.h>

#include "app/said_day.h"

namespace headroom {
namespace {

DayWind wind_typed(const char* text) {
  const auto wind = parse_wind("--wind", text, UnitChoice{});
  EXPECT_TRUE(wind) << text;
  return wind.value_or(DayWind{});
}

// WMO-No. 306, Manual on Codes, FM 15, 15.5: dddffGfmfm with KT or MPS; VRB for a varying direction; 00000KT is calm.
TEST(SaidWind, TakesTheWindGroupOfAReport) {
  const auto gusty = wind_typed("25012G18KT");
  ASSERT_TRUE(gusty.from && gusty.gust);
  EXPECT_NEAR(in_knots(gusty.mean.mid), 12, 1e-9);
  EXPECT_NEAR(in_knots(gusty.gust->mid), 18, 1e-9);
  const auto same = wind_typed("250/12kt");
  EXPECT_EQ(gusty.from, same.from);
  EXPECT_NEAR(wind_typed("24005MPS").mean.mid.si(), 5, 1e-9);
  EXPECT_FALSE(wind_typed("VRB03KT").from);
  EXPECT_EQ(wind_typed("00000KT").mean.mid, metres_per_second(0));
}

TEST(SaidWind, TakesAGustInLetters) {
  for (const char* text : {"250/12G18kt", "250/12kt G18", "250/12 kt gust 18 kt", "250/12 gust 18 kt", "250/12g18 kt"}) {
    const auto wind = wind_typed(text);
    ASSERT_TRUE(wind.gust) << text;
    EXPECT_NEAR(in_knots(wind.gust->mid), 18, 1e-9) << text;
    EXPECT_NEAR(in_knots(wind.mean.mid), 12, 1e-9) << text;
  }
}

TEST(SaidWind, RefusesWhatIsNoWind) {
  for (const char* text :
       {"", "250", "250/", "250/12", "250/12G", "250/12G8kt", "25012G18", "39012KT", "250/12 kt gust", "250/90kt"})
    EXPECT_FALSE(parse_wind("--wind", text, UnitChoice{})) << text;
}

}  // namespace
}  // namespace headroom
