// Wind chill and carburettor icing against published values.
#include <gtest/gtest.h>

#include <cmath>

#include "core/air/carburettor_icing.h"
#include "core/air/wind_chill.h"

namespace headroom {
namespace {

// The wind chill chart of the U.S. National Weather Service (effective 2001-11-01), whole degrees Fahrenheit; from memory.
TEST(WindChill, MeetsThePublishedChart) {
  struct Row {
    double air_F, wind_mph, chill_F;
  };
  for (const Row& row : {Row{40, 5, 36}, Row{40, 60, 25}, Row{30, 10, 21}, Row{20, 20, 4}, Row{0, 15, -19}, Row{0, 30, -26},
                         Row{-20, 40, -57}, Row{-45, 60, -98}}) {
    const auto chill = wind_chill(celsius((row.air_F - 32) / 1.8), metres_per_second(row.wind_mph * 0.44704));
    ASSERT_TRUE(chill) << row.air_F;
    EXPECT_EQ(std::lround(in_celsius(*chill) * 1.8 + 32), std::lround(row.chill_F))
        << row.air_F << " F, " << row.wind_mph << " mph";
  }
}

TEST(WindChill, IsTheAirItselfInACalmAndNothingBeyondItsRange) {
  EXPECT_EQ(*wind_chill(celsius(5), metres_per_second(0)), celsius(5));
  EXPECT_FALSE(wind_chill(celsius(11), metres_per_second(5)));
  EXPECT_FALSE(wind_chill(celsius(5), metres_per_second(60)));
  EXPECT_FALSE(wind_chill(celsius(5), metres_per_second(-1)));
  // The face meets the airspeed itself, not two thirds of it.
  EXPECT_LT(*wind_chill_in_flight(celsius(0), metres_per_second(10)), *wind_chill(celsius(0), metres_per_second(10)));
}

// Worked answers of public training pages that read the charts: 22/5 "serious icing at descent power" (UK CAA chart), 26/19
// "moderate at cruise, serious at descent" (Transport Canada's chart). FAA-H-8083-25, chapter 7, for the others.
TEST(CarburettorIcing, MeetsWhatIsPublished) {
  const auto at = [](double t, double dew) { return carburettor_icing(celsius(t), celsius(dew)).value(); };
  EXPECT_EQ(at(22, 5), CarburettorIcing::part_throttle);
  EXPECT_EQ(at(26, 19), CarburettorIcing::part_throttle);
  EXPECT_EQ(at(10, 8), CarburettorIcing::any_power) << "below 70 F and above 80 %";
  EXPECT_EQ(at(37, 26), CarburettorIcing::part_throttle) << "as high as 100 F, 50 %";
  EXPECT_EQ(at(35, 5), CarburettorIcing::unlikely);
  EXPECT_EQ(at(-15, -16), CarburettorIcing::unlikely);
  EXPECT_FALSE(carburettor_icing(celsius(10), celsius(12)));
}

}  // namespace
}  // namespace headroom
