#include "core/simulate/air.h"

#include <gtest/gtest.h>

#include <cmath>

namespace headroom::simulate {
namespace {

// ISO 2533:1975 tables: density 1.22500 at 0 m, 1.11164 at 1000 m (geopotential 1.1117), 1.00649 at 2000 m.
TEST(SimulatedAir, DensityIsThatOfTheStandardAtmosphere) {
  const AirScript standard;
  EXPECT_NEAR(density_at(standard, AltitudeMsl::from_si(0)).si(), 1.2250, 1e-4);
  EXPECT_NEAR(density_at(standard, AltitudeMsl::from_si(1000)).si(), 1.1117, 2e-4);
  EXPECT_NEAR(density_at(standard, AltitudeMsl::from_si(2000)).si(), 1.0066, 2e-4);
}

TEST(SimulatedAir, PressureAltitudeEqualsHeightInTheStandardAtmosphere) {
  const AirScript standard;
  for (const double h : {0.0, 150.0, 1200.0, 3000.0})
    EXPECT_NEAR(pressure_altitude_at(standard, AltitudeMsl::from_si(h)).si(), h, 1e-6);
}

// ICAO Doc 7488: about 27 ft (8.2 m) a hectopascal near sea level; 10 hPa low reads about 83 m too high.
TEST(SimulatedAir, LowPressureReadsHigh) {
  AirScript low;
  low.qnh = hectopascals(1003.25);
  EXPECT_NEAR(pressure_altitude_at(low, AltitudeMsl::from_si(0)).si(), 83.5, 1.0);
}

// Power law: twice the height at exponent 0.143 (the one-seventh power law of handbooks) gives 2^(1/7) = 1.104 times the wind.
TEST(SimulatedAir, MeanWindFollowsThePowerLawAndBlowsFromWhereItSays) {
  AirScript script;
  script.wind_10m = metres_per_second(5);
  script.from = wind_from_degrees(270);
  script.shear_exponent = 1.0 / 7.0;
  script.veer_deg_per_100m = 0;
  const AirMotion at_10 = mean_wind(script, 10), at_20 = mean_wind(script, 20);
  EXPECT_NEAR(at_10.east_m_s, 5, 1e-9);
  EXPECT_NEAR(at_10.north_m_s, 0, 1e-9);
  EXPECT_NEAR(at_20.east_m_s / at_10.east_m_s, 1.1041, 1e-4);
}

// MIL-F-8785C, low altitude: at 500 ft, 0.177 + 0.000823 h = 0.5885, so sigma_u = sigma_w / 0.5885^0.4 = 1.236 sigma_w, and
// sigma_w = 0.1 W20. Measured at a standing airspeed of 12 m/s over 40 h.
// Below the base the surface wind alone, above the mixed layer the upper wind alone, half way between them half of each.
TEST(SimulatedAir, AnUpperWindTakesOverThroughTheMixedLayer) {
  AirScript script;
  script.wind_10m = metres_per_second(3);
  script.from = wind_from_degrees(90);
  script.veer_deg_per_100m = 0;
  script.shear_exponent = 0;
  script.upper = UpperWind{metres_per_second(5), wind_from_degrees(180), metres(200), metres(100)};
  EXPECT_NEAR(mean_wind(script, 150).east_m_s, -3, 1e-9);
  EXPECT_NEAR(mean_wind(script, 150).north_m_s, 0, 1e-9);
  EXPECT_NEAR(mean_wind(script, 250).east_m_s, -1.5, 1e-9);
  EXPECT_NEAR(mean_wind(script, 250).north_m_s, 2.5, 1e-9);
  EXPECT_NEAR(mean_wind(script, 500).east_m_s, 0, 1e-9);
  EXPECT_NEAR(mean_wind(script, 500).north_m_s, 5, 1e-9);
}

TEST(SimulatedAir, GustsHaveTheStandardDeviationsOfTheDrydenForm) {
  AirScript script;
  script.wind_10m = metres_per_second(6);
  script.from = wind_from_degrees(180);
  script.shear_exponent = 0;
  script.veer_deg_per_100m = 0;
  script.drift = {};
  script.vertical = {};
  Air air(script, 3);
  const double dt = 0.1;
  const int n = 1440000;
  double along = 0, across = 0, up = 0, mean = 0;
  for (int i = 0; i < n; ++i) {
    const AirMotion a = air.step(dt, i * dt, 0, 0, 152.4, 12);
    mean += a.north_m_s;
    along += (a.north_m_s - 6) * (a.north_m_s - 6);
    across += a.east_m_s * a.east_m_s;
    up += a.up_m_s * a.up_m_s;
  }
  EXPECT_NEAR(mean / n, 6, 0.05);
  EXPECT_NEAR(std::sqrt(along / n), 0.742, 0.03);
  EXPECT_NEAR(std::sqrt(across / n), 0.742, 0.03);
  EXPECT_NEAR(std::sqrt(up / n), 0.600, 0.025);
}

// By its definition: full strength on the axis, exp(-1) of it at the radius, and it drifts with the mean wind.
TEST(SimulatedAir, AThermalRisesRoundItsAxisAndDrifts) {
  AirScript script;
  script.wind_10m = metres_per_second(4);
  script.from = wind_from_degrees(270);
  script.shear_exponent = 0;
  script.veer_deg_per_100m = 0;
  script.drift = {};
  script.vertical = {};
  script.gustiness = 0;
  script.thermals = {{100, 0, metres_per_second(2), metres(150)}};
  Air air(script, 1);
  EXPECT_NEAR(air.step(0.05, 0, 100, 0, 300, 10).up_m_s, 2, 1e-9);
  EXPECT_NEAR(air.step(0.05, 0, 100, 150, 300, 10).up_m_s, 2 * 0.36788, 1e-4);
  EXPECT_NEAR(air.step(0.05, 60, 340, 0, 300, 10).up_m_s, 2, 1e-9);
  EXPECT_NEAR(air.step(0.05, 60, 340, 0, 0, 10).up_m_s, 0, 1e-9);
}

TEST(SimulatedAir, StandsStillWhenNothingIsAskedOfIt) {
  AirScript script;
  script.drift = {};
  script.vertical = {};
  Air air(script, 3);
  for (int i = 0; i < 100; ++i) {
    const AirMotion a = air.step(0.05, i * 0.05, 0, 0, 50, 10);
    EXPECT_EQ(a.east_m_s, 0);
    EXPECT_EQ(a.north_m_s, 0);
    EXPECT_EQ(a.up_m_s, 0);
  }
}

}  // namespace
}  // namespace headroom::simulate
