// Unit factors against NIST SP 811 (2008), appendix B, and the wrong sums that must not compile.
#include "core/units.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

template <class A, class B>
concept CanAdd = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept CanSubtract = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept CanCompare = requires(A a, B b) {
  a < b;
};

static_assert(CanAdd<Length, Length>);
static_assert(!CanAdd<Length, Duration>);
static_assert(!CanAdd<Speed, Length>);
static_assert(!CanAdd<Temperature, Temperature>, "two absolute temperatures have no sum");
static_assert(CanAdd<Temperature, TemperatureDifference>);
static_assert(!CanSubtract<AltitudeMsl, PressureAltitude>);
static_assert(!CanSubtract<EllipsoidHeight, AltitudeMsl>);
static_assert(!CanCompare<HeightAboveGround, AltitudeMsl>);
static_assert(!CanAdd<RunningHours, AirHours>);
static_assert(!CanCompare<RunningHours, AirHours>);
static_assert(!CanCompare<WindFrom, TrackTowards>);
static_assert(!std::is_convertible_v<double, Length>);
static_assert(!std::is_convertible_v<Length, double>);
static_assert(std::is_same_v<decltype(metres(1) / seconds(1)), Speed>);
static_assert(std::is_same_v<decltype(metres(1) / metres(1)), double>);
static_assert(sizeof(Length) == sizeof(double) && sizeof(AltitudeMsl) == sizeof(double));

TEST(Units, FactorsAreTheExactOnesOfNistSp811) {
  EXPECT_DOUBLE_EQ(in_metres(feet(1)), 0.3048);
  EXPECT_DOUBLE_EQ(in_metres(nautical_miles(1)), 1852);
  EXPECT_DOUBLE_EQ(in_litres(us_gallons(1)), 3.785411784);
  EXPECT_DOUBLE_EQ(in_litres(imperial_gallons(1)), 4.54609);
  EXPECT_DOUBLE_EQ(in_kilograms(pounds(1)), 0.45359237);
  EXPECT_NEAR(in_metres_per_second(knots(1)), 0.514444444, 1e-9);
  EXPECT_NEAR(in_metres_per_second(miles_per_hour(1)), 0.44704, 1e-12);
  EXPECT_NEAR(in_metres_per_second(feet_per_minute(200)), 1.016, 1e-12);
  EXPECT_NEAR(in_hectopascals(inches_of_mercury(29.92)), 1013.207, 5e-4);
  EXPECT_NEAR(in_pascals(pounds_per_square_inch(1)), 6894.757, 1e-3);
}

TEST(Units, ADifferenceOfTenCelsiusIsEighteenFahrenheitWithNo32) {
  EXPECT_DOUBLE_EQ(in_fahrenheit_difference(celsius_difference(10)), 18);
  EXPECT_NEAR(in_fahrenheit(celsius(100)), 212, 1e-9);
  EXPECT_NEAR(in_celsius(fahrenheit(-40)), -40, 1e-9);
}

}  // namespace
}  // namespace headroom
