// The air against published tables. Values recomputed from a stated formula are marked so; they agree with the printed
// tables to the digits that those print.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "core/air/humid_air.h"
#include "core/air/report.h"
#include "core/air/standard_atmosphere.h"

namespace headroom {
namespace {

// ISO 2533:1975 / ICAO Doc 7488 / U.S. Standard Atmosphere 1976, geopotential table. Tolerances are half of the last digit;
// 0.1 Pa covers the slightly different gas constants of the three.
TEST(StandardAtmosphere, MatchesTheGeopotentialTable) {
  struct Row {
    double h, t, p, rho, a;
  };
  constexpr Row rows[] = {{-500, 291.400, 107477.511, 1.284891, 342.208}, {0, 288.150, 101325.000, 1.225000, 340.294},
                          {250, 286.525, 98357.534, 1.195868, 339.333},   {500, 284.900, 95460.835, 1.167269, 338.369},
                          {1000, 281.650, 89874.563, 1.111643, 336.434},  {1500, 278.400, 84555.994, 1.058067, 334.487},
                          {2000, 275.150, 79495.202, 1.006490, 332.529},  {2500, 271.900, 74682.518, 0.956859, 330.559},
                          {3000, 268.650, 70108.526, 0.909122, 328.578},  {4000, 262.150, 61640.214, 0.819129, 324.579},
                          {5000, 255.650, 54019.888, 0.736116, 320.529},  {11000, 216.650, 22632.040, 0.363918, 295.069}};
  for (const Row& r : rows) {
    const auto air = standard_air(GeopotentialHeight::from_si(r.h));
    ASSERT_TRUE(air) << r.h;
    EXPECT_NEAR(in_kelvins(air->temperature), r.t, 5e-4) << r.h;
    EXPECT_NEAR(in_pascals(air->pressure), r.p, 0.1) << r.h;
    EXPECT_NEAR(air->density.si(), r.rho, 1e-6) << r.h;
    EXPECT_NEAR(in_metres_per_second(air->speed_of_sound), r.a, 5e-4) << r.h;
  }
}

// U.S. Standard Atmosphere 1976, geometric table (8.9876e4 Pa at 1 km).
TEST(StandardAtmosphere, KeepsGeometricAndGeopotentialHeightsApart) {
  struct Row {
    double z, h, p;
  };
  constexpr Row rows[] = {{1000, 999.843, 89876.29}, {3000, 2998.585, 70121.16}, {5000, 4996.070, 54048.29}};
  for (const Row& r : rows) {
    const auto h = geopotential_height(AltitudeMsl::from_si(r.z));
    ASSERT_TRUE(h);
    EXPECT_NEAR(h->si(), r.h, 5e-4);
    EXPECT_NEAR(in_pascals(standard_air(*h)->pressure), r.p, 0.1);
    EXPECT_NEAR(geometric_height(*h)->si(), r.z, 1e-6);
  }
}

// From the definition (ISO 2533); 850, 700 and 500 hPa are the standard levels of every sounding.
TEST(PressureAltitude, MatchesTheDefinitionAtTheUsualLevels) {
  struct Row {
    double hpa, m, ft;
  };
  constexpr Row rows[] = {{1013.25, 0.00, 0.0},   {1000, 110.88, 363.8},  {950, 540.34, 1772.8},  {900, 988.50, 3243.1},
                          {850, 1457.30, 4781.2}, {700, 3012.18, 9882.5}, {500, 5574.43, 18288.8}};
  for (const Row& r : rows) {
    const auto pa = pressure_altitude(hectopascals(r.hpa));
    ASSERT_TRUE(pa);
    EXPECT_NEAR(pa->si(), r.m, 0.0051);
    EXPECT_NEAR(in_feet(metres(pa->si())), r.ft, 0.051);
    EXPECT_NEAR(in_pascals(*standard_pressure(*pa)), 100 * r.hpa, 1e-6);
  }
}

// Altimeter definition (ICAO Doc 7488), recomputed from it.
TEST(AltimeterSetting, GivesThePressureAtTheField) {
  struct Row {
    double qnh, elevation, qfe, pa;
  };
  constexpr Row rows[] = {{1013.25, 500, 954.608, 500.00},
                          {1030, 300, 993.999, 161.49},
                          {1000, 300, 964.854, 410.88},
                          {1019.3, 1793.1, 820.663, 1742.86},
                          {995, 1200, 860.921, 1353.04}};
  for (const Row& r : rows) {
    const auto qfe = qfe_from_qnh(hectopascals(r.qnh), AltitudeMsl::from_si(r.elevation));
    ASSERT_TRUE(qfe);
    EXPECT_NEAR(in_hectopascals(*qfe), r.qfe, 5.1e-4);
    EXPECT_NEAR(pressure_altitude(*qfe)->si(), r.pa, 0.0051);
    EXPECT_NEAR(in_hectopascals(*qnh_from_qfe(*qfe, AltitudeMsl::from_si(r.elevation))), r.qnh, 1e-9);
  }
}

// Under this definition the pressure altitude of a field is its elevation plus the pressure altitude of the setting.
RC_GTEST_PROP(AltimeterSetting, AddsToTheElevation, ()) {
  const double qnh = *rc::gen::inRange(95000, 105000);
  const double elevation = *rc::gen::inRange(-400, 4000);
  const auto qfe = qfe_from_qnh(pascals(qnh), AltitudeMsl::from_si(elevation));
  RC_ASSERT(qfe.has_value());
  RC_ASSERT(std::abs(pressure_altitude(*qfe)->si() - elevation - pressure_altitude(pascals(qnh))->si()) < 1e-6);
}

// R. S. Davis's CIPM tables as printed in Jones & Schoonover, Handbook of Mass Measurement (2002), p. 205; the last two
// there are by the 1978 model, hence 7e-5.
TEST(MoistAirDensity, MatchesTheHandbookOfMassMeasurement) {
  struct Row {
    double p, t, rh, rho, tolerance;
  };
  const double mmhg = 101325.014 / 760;
  const Row rows[] = {{97325.343, 10, 40, 1.19569, 1e-5},
                      {101325.014, 40, 40, 1.11497, 7e-5},
                      {748.1 * mmhg, 22.3, 37, 1.17194, 7e-5},
                      {612.3 * mmhg, 23.4, 23, 0.95632, 7e-5}};
  for (const Row& r : rows) {
    const auto rho = moist_air_density(pascals(r.p), celsius(r.t), RelativeHumidity::from_percent(r.rh));
    ASSERT_TRUE(rho);
    EXPECT_NEAR(rho->si(), r.rho, r.tolerance);
  }
}

// Recomputed from the formulas of Picard et al. (2008) and of WMO-No. 8 by an independent program.
TEST(MoistAirDensity, MatchesBothFormsOfTheTable) {
  struct Row {
    double p, t, rh, cipm, virtual_form, t_v, da;
  };
  constexpr Row rows[] = {
      {101325, 20, 50, 1.199314, 1.198867, 294.431, 220.2}, {101325, 15, 0, 1.225521, 1.225000, 288.150, -4.4},
      {101325, 25, 50, 1.177316, 1.176934, 299.918, 411.6}, {101325, 35, 90, 1.124223, 1.123905, 314.069, 885.3},
      {84000, 30, 40, 0.958157, 0.957938, 305.478, 2486.7}, {90000, 25, 60, 1.043517, 1.043214, 300.543, 1639.1},
      {99000, 22, 40, 1.164198, 1.163798, 296.344, 527.1}};
  for (const Row& r : rows) {
    const auto h = RelativeHumidity::from_percent(r.rh);
    const auto cipm = moist_air_density(pascals(r.p), celsius(r.t), h);
    const auto practical = virtual_temperature_density(pascals(r.p), celsius(r.t), h);
    ASSERT_TRUE(cipm && practical);
    EXPECT_NEAR(cipm->si(), r.cipm, 1e-6);
    EXPECT_NEAR(practical->si(), r.virtual_form, 1e-6);
    EXPECT_NEAR(in_kelvins(*virtual_temperature(pascals(r.p), celsius(r.t), h)), r.t_v, 5.1e-4);
    EXPECT_NEAR(density_altitude(*cipm)->si(), r.da, 0.06);
    EXPECT_LT(std::abs(practical->si() / cipm->si() - 1), 6e-4);
    EXPECT_NEAR(density_altitude(*practical)->si(), r.da, 4.5);  // 4 m, and the row's own rounding
  }
}

// Magnus formula of WMO-No. 8, annex 4.B; 0.05 % is half of the last digit at 44.30 %.
TEST(DewPoint, GivesRelativeHumidityAndBack) {
  struct Row {
    double t, td, percent;
  };
  constexpr Row rows[] = {{25, 12, 44.30}, {18, 16, 88.11}, {30, 20, 55.10}};
  for (const Row& r : rows) {
    const auto h = humidity_from_dew_point(celsius(r.t), celsius(r.td));
    ASSERT_TRUE(h);
    EXPECT_NEAR(h->percent(), r.percent, 0.0051);
    EXPECT_NEAR(in_celsius(*dew_point(celsius(r.t), *h)), r.td, 1e-9);
  }
}

// Recomputed from Picard et al. (2008) by an independent program.
TEST(DewPoint, GivesTheDensityOfTheTable) {
  struct Row {
    double p, t, td, rho;
  };
  constexpr Row rows[] = {{95000, 25, 12, 1.104170}, {101325, 30, 20, 1.154584}};
  for (const Row& r : rows) {
    EXPECT_NEAR(moist_air_density_from_dew_point(pascals(r.p), celsius(r.t), celsius(r.td))->si(), r.rho, 1e-6);
  }
}

// National Weather Service "Density Altitude" formula sheet, and the exact definition beside it.
TEST(DensityAltitude, MatchesTheWeatherServiceSheet) {
  struct Row {
    double t, td, hpa, nws_ft, exact_ft, exact_m;
  };
  constexpr Row rows[] = {{30, 15, 850, 7796, 7782, 2371.9},
                          {15, -50, 1013.25, 19, 1, 0.2},
                          {35, 20, 1000, 3031, 3014, 918.8},
                          {25, 10, 950, 3509, 3493, 1064.7}};
  for (const Row& r : rows) {
    const auto nws = nws_density_altitude(hectopascals(r.hpa), celsius(r.t), celsius(r.td));
    ASSERT_TRUE(nws) << r.td;
    EXPECT_NEAR(in_feet(metres(nws->si())), r.nws_ft, 0.51);
    EXPECT_NEAR(in_feet(metres(nws->si())), r.exact_ft, 20);
    // The table's exact column takes the sheet's own vapour pressure in an ideal gas.
    const double e = 6.11 * std::pow(10.0, 7.5 * r.td / (237.7 + r.td));
    const double t_v = (r.t + 273.15) / (1 - e / r.hpa * (1 - 0.622));
    EXPECT_NEAR(density_altitude(Density::from_si(100 * r.hpa / (287.05287 * t_v)))->si(), r.exact_m, 0.16);
  }
}

// FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, performance chapter, density altitude chart, Sample Problem 1:
// 5883 ft, 70 F, 30.10 inHg -> pressure altitude 5718 ft, density altitude about 7700 ft (read from a chart: 50 ft).
TEST(DensityAltitude, MatchesTheWorkedProblemOfTheHandbook) {
  const auto qfe = qfe_from_qnh(inches_of_mercury(30.10), AltitudeMsl::from_si(in_metres(feet(5883))));
  ASSERT_TRUE(qfe);
  EXPECT_NEAR(in_hectopascals(*qfe), 820.66, 0.006);
  EXPECT_NEAR(in_feet(metres(pressure_altitude(*qfe)->si())), 5718, 1);
  const double rho = in_pascals(*qfe) / (287.05287 * in_kelvins(fahrenheit(70)));
  EXPECT_NEAR(rho, 0.97156, 6e-6);
  const double da_ft = in_feet(metres(density_altitude(Density::from_si(rho))->si()));
  EXPECT_NEAR(da_ft, 7700, 50);
  EXPECT_NEAR(da_ft, 7709, 0.6);
}

// Exact dry cases by definition; the rule of 120 ft per degree is up to 150 ft off.
TEST(DensityAltitude, MatchesTheDryCases) {
  struct Row {
    double pa_ft, t, da_ft;
  };
  constexpr Row rows[] = {{0, 30, 1724},    {2500, 20, 3655},   {3000, 35, 5913},
                          {5000, 30, 7801}, {1000, -10, -1874}, {520, 35, 2907}};
  for (const Row& r : rows) {
    const double p = in_pascals(*standard_pressure(PressureAltitude::from_si(in_metres(feet(r.pa_ft)))));
    const auto da = density_altitude(Density::from_si(p / (287.05287 * (r.t + 273.15))));
    ASSERT_TRUE(da);
    EXPECT_NEAR(in_feet(metres(da->si())), r.da_ft, 0.6);
  }
  // 35 C at sea level: humidity of 90 % costs 192 m.
  EXPECT_NEAR(density_altitude(Density::from_si(101325 / (287.05287 * 308.15)))->si(), 693.5, 0.06);
}

TEST(Air, RefusesWhatLiesOutsideTheModels) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const double h : {-1001.0, 11001.0, nan}) {
    EXPECT_FALSE(standard_air(GeopotentialHeight::from_si(h)));
    EXPECT_FALSE(standard_pressure(PressureAltitude::from_si(h)));
    EXPECT_FALSE(geometric_height(GeopotentialHeight::from_si(h)));
  }
  EXPECT_EQ(standard_air(GeopotentialHeight::from_si(nan)).error().kind, ErrorKind::out_of_range);
  for (const double p : {0.0, -5.0, 20000.0, 120000.0, nan}) {
    EXPECT_FALSE(pressure_altitude(pascals(p)));
    EXPECT_FALSE(moist_air_density(pascals(p), celsius(20), {}));
    EXPECT_FALSE(qfe_from_qnh(pascals(p), {}));
    EXPECT_FALSE(qnh_from_qfe(pascals(p), AltitudeMsl::from_si(0)));
  }
  EXPECT_FALSE(qfe_from_qnh(hectopascals(30.10), {}));  // inches of mercury taken for hPa
  EXPECT_FALSE(moist_air_density(pascals(1e5), celsius(70), {}));
  EXPECT_FALSE(moist_air_density(pascals(1e5), celsius(20), RelativeHumidity::from_percent(101)));
  EXPECT_FALSE(moist_air_density(pascals(1e5), celsius(20), RelativeHumidity::from_percent(nan)));
  EXPECT_FALSE(humidity_from_dew_point(celsius(10), celsius(11)));
  EXPECT_FALSE(dew_point(celsius(10), RelativeHumidity{}));
  EXPECT_FALSE(density_altitude(Density::from_si(0)));
  EXPECT_FALSE(density_altitude(Density::from_si(nan)));
  EXPECT_FALSE(nws_density_altitude(hectopascals(1000), celsius(10), celsius(12)));
  EXPECT_FALSE(speed_of_sound(kelvins(nan)));
}

RC_GTEST_PROP(Air, ThinsWithHeatHumidityAndHeight, ()) {
  const double p = *rc::gen::inRange(60000, 105000), t = *rc::gen::inRange(-15, 44), h = *rc::gen::inRange(0, 95);
  const auto rho = [](double pp, double tt, double hh) {
    return moist_air_density(pascals(pp), celsius(tt), RelativeHumidity::from_percent(hh))->si();
  };
  RC_ASSERT(rho(p, t + 1, h) < rho(p, t, h));
  RC_ASSERT(rho(p, t, h + 5) < rho(p, t, h));
  RC_ASSERT(rho(p - 500, t, h) < rho(p, t, h));
}

TEST(AirReport, PutsTheHandbookProblemTogether) {
  AirInput in;
  in.qnh = inches_of_mercury(30.10);
  in.elevation = AltitudeMsl::from_si(in_metres(feet(5883)));
  in.temperature = fahrenheit(70);
  const auto report = air_report(in);
  ASSERT_TRUE(report);
  EXPECT_NEAR(in_feet(metres(report->pressure_altitude.si())), 5718, 1);
  EXPECT_NEAR(in_feet(metres(report->density_altitude.si())), 7700, 50);
  EXPECT_NEAR(report->airspeed_factor * report->airspeed_factor * report->density_ratio, 1, 1e-12);
  EXPECT_EQ(report->assumed.size(), 1U);  // dry air
  EXPECT_FALSE(report->dew_point);
}

TEST(AirReport, RefusesAnUnclearQuestion) {
  AirInput in;
  EXPECT_EQ(air_report(in).error().kind, ErrorKind::bad_input);
  in.qnh = hectopascals(1013);
  EXPECT_FALSE(air_report(in));  // no elevation
  in.elevation = AltitudeMsl::from_si(100);
  EXPECT_TRUE(air_report(in));
  in.pressure_altitude = PressureAltitude::from_si(100);
  EXPECT_FALSE(air_report(in));  // two pressures
  in.pressure_altitude.reset();
  in.dew_point = celsius(5);
  in.humidity = RelativeHumidity::from_percent(50);
  EXPECT_FALSE(air_report(in));  // two humidities
}

}  // namespace
}  // namespace headroom
