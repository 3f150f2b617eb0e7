// Values: sample output of the interpolation program in the readme of the NIMA/NASA EGM96 distribution (spline on the same
// 15' grid), and grid nodes read with PROJ 9.1.1 from the same file.
#include "core/earth/geoid.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>

#include "support/shared_data.h"

namespace headroom {
namespace {

std::string egm96_bytes() {
  for (const char* folder : {"/usr/share/proj", "/usr/local/share/proj"}) {
    const std::string text = test::bytes_of(std::filesystem::path(folder) / "egm96_15.gtx");
    if (text.empty()) continue;
    return text;
  }
  return {};
}

TEST(Geoid, MatchesThePublishedUndulationsWithin10Centimetres) {
  auto bytes = egm96_bytes();
  if (bytes.empty()) GTEST_SKIP() << "egm96_15.gtx (proj-data) is not installed";
  const auto geoid = Geoid::from_gtx(std::move(bytes));
  ASSERT_TRUE(geoid) << geoid.error().what;
  const double published[][3] = {{38.6281550, 269.7791550, -31.628}, {-14.6212170, 305.0211140, -2.969},
                                 {46.8743190, 102.4487290, -43.575}, {-23.6174460, 133.8747120, 15.871},
                                 {38.6254730, 359.9995000, 50.066},  {-0.4667440, 0.0023000, 17.329}};
  for (const auto& p : published) EXPECT_NEAR(geoid->undulation({p[0], p[1]})->si(), p[2], 0.1) << p[0] << ' ' << p[1];
  // Printed to four decimals in a numerical-software vendor's documentation; a steep place, see Geoid.
  EXPECT_NEAR(geoid->undulation({27.988056, 86.925278})->si(), -28.7444, 0.15);
}

TEST(Geoid, GivesTheNodesThemselvesPolesAndDateLineIncluded) {
  auto bytes = egm96_bytes();
  if (bytes.empty()) GTEST_SKIP() << "egm96_15.gtx (proj-data) is not installed";
  const auto geoid = Geoid::from_gtx(std::move(bytes));
  ASSERT_TRUE(geoid);
  const double nodes[][3] = {{90, 0, 13.606245},        {-90, 0, -29.53385}, {0, 0, 17.16158},      {45, 0, 47.139923},
                             {47.25, 11.25, 48.567616}, {46, 7, 51.282913},  {37, -119, -26.771404}};
  for (const auto& n : nodes) EXPECT_NEAR(geoid->undulation({n[0], n[1]})->si(), n[2], 1e-5) << n[0] << ' ' << n[1];
  EXPECT_NEAR(geoid->undulation({12, 180})->si(), geoid->undulation({12, -180})->si(), 1e-9);
  EXPECT_NEAR(geoid->undulation({12, 179.9999999})->si(), geoid->undulation({12, -179.9999999})->si(), 1e-4);
  EXPECT_FALSE(geoid->undulation({90.1, 0}));
  EXPECT_FALSE(geoid->undulation({std::nan(""), 0}));
  EXPECT_FALSE(geoid->undulation({0, INFINITY}));
}

// A globe of 3 x 4 nodes at 90 degrees, by hand after the layout in the PROJ manual ("GTX").
std::string small_grid(float value_at_origin) {
  std::string bytes;
  const auto put = [&](std::uint64_t word, int size) {
    for (int i = size - 1; i >= 0; --i) bytes.push_back(static_cast<char>((word >> (8 * i)) & 0xff));
  };
  for (const double d : {-90.0, -180.0, 90.0, 90.0}) put(std::bit_cast<std::uint64_t>(d), 8);
  put(3, 4);
  put(4, 4);
  for (int i = 0; i < 12; ++i) put(std::bit_cast<std::uint32_t>(i == 6 ? value_at_origin : 0.0F), 4);
  return bytes;
}

TEST(Geoid, InterpolatesBilinearlyOnAGridMadeByHand) {
  const auto geoid = Geoid::from_gtx(small_grid(8));
  ASSERT_TRUE(geoid) << geoid.error().what;
  EXPECT_DOUBLE_EQ(geoid->undulation({0, 0})->si(), 8);
  EXPECT_DOUBLE_EQ(geoid->undulation({45, 0})->si(), 4);
  EXPECT_DOUBLE_EQ(geoid->undulation({-45, 45})->si(), 2);
  EXPECT_DOUBLE_EQ(geoid->undulation({0, 360 - 45})->si(), 4);
}

TEST(Geoid, RefusesBytesThatAreNoWholeGrid) {
  auto bytes = small_grid(1);
  bytes.pop_back();
  EXPECT_FALSE(Geoid::from_gtx(bytes));
  EXPECT_FALSE(Geoid::from_gtx({}));
  EXPECT_FALSE(Geoid::from_gtx(std::string(44, '\0')));
  auto negative = small_grid(1);
  negative[32] = static_cast<char>(0xff);
  EXPECT_FALSE(Geoid::from_gtx(negative));
}

TEST(AltitudeMsl, AppliesTheGeoidToEllipsoidHeightsOnly) {
  const auto geoid = Geoid::from_gtx(small_grid(48));
  ASSERT_TRUE(geoid);
  const auto h = GnssHeight::from_si(1000);
  EXPECT_DOUBLE_EQ(altitude_msl(h, HeightDatum::ellipsoid, {0, 0}, &*geoid)->si(), 952);
  EXPECT_DOUBLE_EQ(altitude_msl(h, HeightDatum::geoid, {0, 0}, &*geoid)->si(), 1000);
  EXPECT_DOUBLE_EQ(altitude_msl(h, HeightDatum::unknown, {0, 0}, &*geoid)->si(), 1000);
  EXPECT_FALSE(altitude_msl(h, HeightDatum::ellipsoid, {0, 0}, nullptr));
  EXPECT_NE(datum_doubt(HeightDatum::unknown, {0, 0}, &*geoid).find("48 m too high"), std::string::npos);
  EXPECT_TRUE(datum_doubt(HeightDatum::geoid, {0, 0}, nullptr).empty());
  EXPECT_FALSE(datum_doubt(HeightDatum::ellipsoid, {0, 0}, nullptr).empty());
}

}  // namespace
}  // namespace headroom
