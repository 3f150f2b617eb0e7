#pragma once
// Physical quantities as types. SI inside (m, kg, s, K, A unused); made and read at the edges by named functions.
// Conversion factors are exact by definition: international foot, pound and nautical mile (NIST SP 811, 2008 ed.,
// appendix B), US gallon 231 cubic inches, imperial gallon 4.54609 L, conventional inch of mercury 3386.388 67 Pa
// at 0 C (NIST SP 811, B.8). A temperature and a temperature difference are different types, and so are all heights
// that count from different zeros.
#include <compare>
#include <concepts>
#include <numbers>

namespace headroom {

// A quantity of dimension length^L mass^M time^T temperature^K. Zero cost: one double.
template <int L, int M, int T, int K>
class Quantity {
 public:
  constexpr Quantity() = default;
  [[nodiscard]] static constexpr Quantity from_si(double value) { return Quantity(value); }
  [[nodiscard]] constexpr double si() const { return si_; }

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator-() const { return Quantity(-si_); }
  constexpr Quantity& operator+=(Quantity o) {
    si_ += o.si_;
    return *this;
  }
  constexpr Quantity& operator-=(Quantity o) {
    si_ -= o.si_;
    return *this;
  }
  constexpr Quantity& operator*=(double k) {
    si_ *= k;
    return *this;
  }
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }

 private:
  explicit constexpr Quantity(double si) : si_(si) {}
  double si_ = 0;
};

template <int L1, int M1, int T1, int K1, int L2, int M2, int T2, int K2>
constexpr auto operator*(Quantity<L1, M1, T1, K1> a, Quantity<L2, M2, T2, K2> b) {
  if constexpr (L1 + L2 == 0 && M1 + M2 == 0 && T1 + T2 == 0 && K1 + K2 == 0)
    return a.si() * b.si();
  else
    return Quantity<L1 + L2, M1 + M2, T1 + T2, K1 + K2>::from_si(a.si() * b.si());
}
template <int L1, int M1, int T1, int K1, int L2, int M2, int T2, int K2>
constexpr auto operator/(Quantity<L1, M1, T1, K1> a, Quantity<L2, M2, T2, K2> b) {
  if constexpr (L1 == L2 && M1 == M2 && T1 == T2 && K1 == K2)
    return a.si() / b.si();
  else
    return Quantity<L1 - L2, M1 - M2, T1 - T2, K1 - K2>::from_si(a.si() / b.si());
}

using Length = Quantity<1, 0, 0, 0>;
using Area = Quantity<2, 0, 0, 0>;
using Volume = Quantity<3, 0, 0, 0>;
using Mass = Quantity<0, 1, 0, 0>;
using Duration = Quantity<0, 0, 1, 0>;
using Speed = Quantity<1, 0, -1, 0>;
using Acceleration = Quantity<1, 0, -2, 0>;
using Force = Quantity<1, 1, -2, 0>;
using Torque = Quantity<2, 1, -2, 0>;
using Pressure = Quantity<-1, 1, -2, 0>;
using Density = Quantity<-3, 1, 0, 0>;
using VolumeFlow = Quantity<3, 0, -1, 0>;
using TemperatureDifference = Quantity<0, 0, 0, 1>;
using Count = Quantity<0, 0, 0, 0>;  // launches, fills: a number of things, estimated or counted

// A point on a scale with its own zero: two of one kind differ by a quantity, a point plus a quantity is a point.
template <class Tag, class Difference>
class Point {
 public:
  constexpr Point() = default;
  [[nodiscard]] static constexpr Point from_si(double value) { return Point(value); }
  [[nodiscard]] constexpr double si() const { return si_; }

  constexpr auto operator<=>(const Point&) const = default;
  friend constexpr Difference operator-(Point a, Point b) { return Difference::from_si(a.si_ - b.si_); }
  friend constexpr Point operator+(Point a, Difference d) { return Point(a.si_ + d.si()); }
  friend constexpr Point operator-(Point a, Difference d) { return Point(a.si_ - d.si()); }

 private:
  explicit constexpr Point(double si) : si_(si) {}
  double si_ = 0;
};

using Temperature = Point<struct TemperatureTag, TemperatureDifference>;  // thermodynamic [K]
using AltitudeMsl = Point<struct AltitudeMslTag, Length>;                 // above mean sea level (geoid) [m]
using PressureAltitude = Point<struct PressureAltitudeTag, Length>;       // ISA, 1013.25 hPa datum [m]
using EllipsoidHeight = Point<struct EllipsoidHeightTag, Length>;         // above the WGS 84 ellipsoid [m]
using HeightAboveGround = Point<struct HeightAboveGroundTag, Length>;     // above the ground below [m]
using GnssHeight = Point<struct GnssHeightTag, Length>;                   // as written; its datum is the recording's [m]

// Running hours (engine turning) and air hours (launch to landing) do not mix.
template <class Tag>
class Hours {
 public:
  constexpr Hours() = default;
  explicit constexpr Hours(Duration d) : duration_(d) {}
  [[nodiscard]] constexpr Duration duration() const { return duration_; }
  constexpr auto operator<=>(const Hours&) const = default;
  constexpr Hours& operator+=(Hours o) {
    duration_ += o.duration_;
    return *this;
  }
  friend constexpr Hours operator+(Hours a, Hours b) { return Hours(a.duration_ + b.duration_); }
  friend constexpr Hours operator-(Hours a, Hours b) { return Hours(a.duration_ - b.duration_); }

 private:
  Duration duration_;
};
using RunningHours = Hours<struct RunningHoursTag>;
using AirHours = Hours<struct AirHoursTag>;

// Directions, true, clockwise from north. Where the wind comes from is not where a track goes to.
template <class Tag>
class Direction {
 public:
  constexpr Direction() = default;
  explicit constexpr Direction(double radians) : radians_(radians) {}
  [[nodiscard]] constexpr double radians() const { return radians_; }
  [[nodiscard]] constexpr double degrees() const { return radians_ * 180.0 / std::numbers::pi; }
  constexpr auto operator<=>(const Direction&) const = default;

 private:
  double radians_ = 0;
};
using TrackTowards = Direction<struct TrackTowardsTag>;
using WindFrom = Direction<struct WindFromTag>;
constexpr TrackTowards track_towards_degrees(double d) {
  return TrackTowards(d * std::numbers::pi / 180.0);
}
constexpr WindFrom wind_from_degrees(double d) {
  return WindFrom(d * std::numbers::pi / 180.0);
}

// Makers (from the edge) and readers (to the edge), in pairs. One line a unit.
#define HEADROOM_UNIT(Type, maker, reader, factor) \
  constexpr Type maker(double value) {             \
    return Type::from_si(value * (factor));        \
  }                                                \
  constexpr double reader(Type quantity) {         \
    return quantity.si() / (factor);               \
  }
HEADROOM_UNIT(Length, metres, in_metres, 1.0)
HEADROOM_UNIT(Length, kilometres, in_kilometres, 1000.0)
HEADROOM_UNIT(Length, feet, in_feet, 0.3048)
HEADROOM_UNIT(Length, statute_miles, in_statute_miles, 1609.344)
HEADROOM_UNIT(Length, nautical_miles, in_nautical_miles, 1852.0)
HEADROOM_UNIT(Length, millimetres, in_millimetres, 1e-3)
HEADROOM_UNIT(Count, counts, in_counts, 1.0)
HEADROOM_UNIT(Area, square_metres, in_square_metres, 1.0)
HEADROOM_UNIT(Volume, litres, in_litres, 1e-3)
HEADROOM_UNIT(Volume, us_gallons, in_us_gallons, 3.785411784e-3)
HEADROOM_UNIT(Volume, imperial_gallons, in_imperial_gallons, 4.54609e-3)
HEADROOM_UNIT(Mass, kilograms, in_kilograms, 1.0)
HEADROOM_UNIT(Mass, pounds, in_pounds, 0.45359237)
HEADROOM_UNIT(Duration, seconds, in_seconds, 1.0)
HEADROOM_UNIT(Duration, minutes, in_minutes, 60.0)
HEADROOM_UNIT(Duration, hours, in_hours, 3600.0)
HEADROOM_UNIT(Duration, days, in_days, 86400.0)
HEADROOM_UNIT(Speed, metres_per_second, in_metres_per_second, 1.0)
HEADROOM_UNIT(Speed, kilometres_per_hour, in_kilometres_per_hour, 1000.0 / 3600.0)
HEADROOM_UNIT(Speed, miles_per_hour, in_miles_per_hour, 1609.344 / 3600.0)
HEADROOM_UNIT(Speed, knots, in_knots, 1852.0 / 3600.0)
HEADROOM_UNIT(Speed, feet_per_minute, in_feet_per_minute, 0.3048 / 60.0)
HEADROOM_UNIT(Pressure, pascals, in_pascals, 1.0)
HEADROOM_UNIT(Pressure, hectopascals, in_hectopascals, 100.0)
HEADROOM_UNIT(Pressure, inches_of_mercury, in_inches_of_mercury, 3386.38866667)
HEADROOM_UNIT(Pressure, bars, in_bars, 1e5)
HEADROOM_UNIT(Pressure, pounds_per_square_inch, in_pounds_per_square_inch, 0.45359237 * 9.80665 / (0.0254 * 0.0254))
HEADROOM_UNIT(Force, newtons, in_newtons, 1.0)
HEADROOM_UNIT(VolumeFlow, litres_per_hour, in_litres_per_hour, 1e-3 / 3600.0)
HEADROOM_UNIT(TemperatureDifference, kelvins_difference, in_kelvins_difference, 1.0)
HEADROOM_UNIT(TemperatureDifference, celsius_difference, in_celsius_difference, 1.0)
HEADROOM_UNIT(TemperatureDifference, fahrenheit_difference, in_fahrenheit_difference, 5.0 / 9.0)
#undef HEADROOM_UNIT

constexpr Temperature kelvins(double k) {
  return Temperature::from_si(k);
}
constexpr Temperature celsius(double c) {
  return Temperature::from_si(c + 273.15);
}
constexpr Temperature fahrenheit(double f) {
  return Temperature::from_si((f - 32.0) * 5.0 / 9.0 + 273.15);
}
constexpr double in_kelvins(Temperature t) {
  return t.si();
}
constexpr double in_celsius(Temperature t) {
  return t.si() - 273.15;
}
constexpr double in_fahrenheit(Temperature t) {
  return (t.si() - 273.15) * 9.0 / 5.0 + 32.0;
}

}  // namespace headroom
