#include "formats/geojson.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace headroom {
namespace {

// The polygon with a hole of RFC 7946, appendix A.3.
constexpr const char* kHole =
    R"("coordinates":[[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]],[[100.8,0.8],[100.8,0.2],[100.2,0.2],[100.2,0.8],[100.8,0.8]]])";
// The two polygons of appendix A.6.
constexpr const char* kTwo =
    R"("coordinates":[[[[102.0,2.0],[103.0,2.0],[103.0,3.0],[102.0,3.0],[102.0,2.0]]],[[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]]]])";

std::string one_feature(const std::string& geometry, const std::string& properties) {
  return R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":)" + properties + R"(,"geometry":{)" +
         geometry + "}}]}";
}

TEST(GeoJson, ReadsTheStandardsPolygonWithAHole) {
  const auto f = read_geojson_areas(
      one_feature(std::string(R"("type":"Polygon",)") + kHole, R"({"name":"quarry","floor_m":450,"ceiling_m":900.5})"));
  ASSERT_TRUE(f) << f.error().what;
  ASSERT_EQ(f->areas.size(), 1U);
  EXPECT_EQ(f->areas[0].name, "quarry");
  EXPECT_EQ(f->areas[0].rings.size(), 2U);
  EXPECT_EQ(f->areas[0].rings[0].size(), 4U);
  EXPECT_EQ(f->areas[0].rings[0][1], (GeoPosition{0, 101}));  // longitude first
  EXPECT_EQ(f->areas[0].floor->si(), 450);
  EXPECT_EQ(f->areas[0].ceiling->si(), 900.5);
  EXPECT_TRUE(f->warnings.empty());
}

TEST(GeoJson, ReadsCoordinatesBeforeTheTypeAndSeveralPolygons) {
  const auto f = read_geojson_areas(one_feature(std::string(kTwo) + R"(,"type":"MultiPolygon")", R"({"floor_ft": 1000})"),
                                    {"name", "floor_ft", "ceiling_ft", 0.3048});
  ASSERT_TRUE(f) << f.error().what;
  ASSERT_EQ(f->areas.size(), 2U);
  EXPECT_NEAR(f->areas[1].floor->si(), 304.8, 1e-9);
}

TEST(GeoJson, WithoutAFloorCountsFromTheGroundAndWarns) {
  for (const char* properties : {"null", "{}", R"({"floor_m":null})", R"({"floor_m":"GND"})"}) {
    const auto f = read_geojson_areas(one_feature(std::string(R"("type":"Polygon",)") + kHole, properties));
    ASSERT_TRUE(f) << properties;
    EXPECT_FALSE(f->areas.at(0).floor);
    EXPECT_EQ(f->warnings.size(), 1U) << properties;
  }
  const auto f = read_geojson_areas(one_feature(R"("type":"Point","coordinates":[1,2])", "{}"));
  ASSERT_TRUE(f);
  EXPECT_TRUE(f->areas.empty());
  EXPECT_EQ(f->warnings.size(), 1U);
}

TEST(GeoJson, RefusesAndNamesTheFeature) {
  const auto refused = [](const std::string& geometry, const std::string& properties = "{}") {
    const auto f = read_geojson_areas(one_feature(geometry, properties));
    return !f && f.error().kind == ErrorKind::bad_input && f.error().where == "feature 1";
  };
  EXPECT_TRUE(refused(R"("type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1]]])"));   // not closed
  EXPECT_TRUE(refused(R"("type":"Polygon","coordinates":[[[0,0],[1,0],[0,0]]])"));         // three positions
  EXPECT_TRUE(refused(R"("type":"Polygon","coordinates":[[[0,0],[1,0],[1,91],[0,0]]])"));  // off the globe
  EXPECT_TRUE(refused(R"("type":"Polygon","coordinates":[[[0],[1,0],[1,1],[0]]])"));       // half a position
  EXPECT_TRUE(refused(R"("type":"Polygon")"));
  EXPECT_TRUE(refused(R"("type":"Polygon","coordinates":7)"));
  EXPECT_TRUE(refused(std::string(R"("type":"Polygon",)") + kHole, R"({"floor_m":500,"ceiling_m":400})"));
  EXPECT_TRUE(refused(std::string(R"("type":"Polygon",)") + kHole, R"({"floor_m":1e9})"));
  EXPECT_TRUE(refused(std::string(R"("type":"Polygon",)") + kHole, R"({"floor_m":true})"));
  EXPECT_FALSE(read_geojson_areas(""));
  EXPECT_FALSE(read_geojson_areas("[]"));
  EXPECT_FALSE(read_geojson_areas(R"({"type":"Topology"})"));
  EXPECT_FALSE(read_geojson_areas(R"({"type":"FeatureCollection"})"));
}

RC_GTEST_PROP(GeoJson, NeverFailsOtherThanByAnErrorOnCutOrBrokenText, ()) {
  auto text = one_feature(std::string(R"("type":"Polygon",)") + kHole, R"({"name":"a","floor_m":1})");
  const auto cut = *rc::gen::inRange<std::size_t>(0, text.size());
  RC_ASSERT(!read_geojson_areas(std::string_view(text).substr(0, cut)));
  text[cut] = static_cast<char>(*rc::gen::inRange(1, 127));
  (void)read_geojson_areas(text);
}

}  // namespace
}  // namespace headroom
