// The GPX reader on documents made here, after the GPX 1.0 and 1.1 schemas (check-values.md 3.2).
#include "formats/gpx.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace headroom {
namespace {

std::string gpx_around(const std::string& body, const std::string& version = "1.1") {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"" + version +
         "\" creator=\"made for a test\" xmlns=\"http://www.topografix.com/GPX/" + (version == "1.1" ? "1/1" : "1/0") + "\">\n" +
         body + "\n</gpx>\n";
}
std::string one_track(const std::string& points) {
  return gpx_around("<trk><trkseg>\n" + points + "\n</trkseg></trk>");
}
std::size_t gpx_count(const Recording& r, WarningCode code) {
  return static_cast<std::size_t>(
      std::count_if(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; }));
}
void expect_gpx_balanced(const Recording& r) {
  EXPECT_EQ(r.account.fixes, r.fixes.size());
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
}

TEST(GpxReader, ReadsPositionHeightAndTime) {
  const Recording r =
      read_gpx(one_track("<trkpt lat=\"47.5\" lon=\"-11.25\"><ele>1234.5</ele><time>2021-05-02T07:10:00Z</time></trkpt>"));
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_EQ(r.fixes[0].position, (GeoPosition{47.5, -11.25}));
  EXPECT_EQ(r.fixes[0].gnss_height.si(), 1234.5);
  EXPECT_EQ(r.fixes[0].time, utc(2021, 5, 2, 7, 10));
  EXPECT_TRUE(r.fixes[0].has_time);
  EXPECT_FALSE(r.fixes[0].has_pressure_altitude);
  EXPECT_EQ(r.gnss_datum, HeightDatum::unknown);
  EXPECT_EQ(r.fixes[0].line, 4u);
  EXPECT_TRUE(r.warnings.empty());
  expect_gpx_balanced(r);
}

TEST(GpxReader, ReadsOffsetsAndFractionsOfASecond) {
  // check-values.md 3.2: 2003-04-05T18:22:16.184+01:00 = 17:22:16.184 UTC. Without a zone: UTC, as GPX says.
  const Recording r =
      read_gpx(one_track("<trkpt lat=\"1\" lon=\"1\"><time>2003-04-05T18:22:16.184+01:00</time></trkpt>"
                         "<trkpt lat=\"1\" lon=\"1\"><time> 2003-04-05T17:22:17 </time></trkpt>"));
  EXPECT_EQ(r.fixes.at(0).time, utc(2003, 4, 5, 17, 22, 16, 184));
  EXPECT_EQ(r.fixes.at(1).time, utc(2003, 4, 5, 17, 22, 17));
}

TEST(GpxReader, TakesAnyNamespacePrefix) {
  const Recording r = read_gpx(
      "<g:gpx xmlns:g=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" creator=\"x\"><g:trk><g:trkseg>"
      "<g:trkpt lat=\"1\" lon=\"2\"><g:time>2021-05-02T07:10:00Z</g:time></g:trkpt></g:trkseg></g:trk></g:gpx>");
  ASSERT_EQ(r.fixes.size(), 1u);
  EXPECT_TRUE(r.fixes[0].has_time);
}

TEST(GpxReader, ReadsSpeedAndCourseOfBothVersions) {
  const Recording r = read_gpx(one_track(
      "<trkpt lat=\"1\" lon=\"1\"/><trkpt lat=\"1\" lon=\"1\"><speed>9.25</speed><course>271.5</course></trkpt>"
      "<trkpt lat=\"1\" lon=\"1\"><extensions><t:a xmlns:t=\"urn:t\"><t:speed>3.5</t:speed></t:a></extensions></trkpt>"));
  ASSERT_EQ(r.channels.size(), 2u);
  EXPECT_EQ(r.channels[0].code, "SPEED");
  EXPECT_EQ(r.channels[0].raw.at(0), Channel::missing);
  EXPECT_DOUBLE_EQ(r.channels[0].raw.at(1) * r.channels[0].scale, 9.25);
  EXPECT_DOUBLE_EQ(r.channels[0].raw.at(2) * r.channels[0].scale, 3.5);
  EXPECT_EQ(r.channels[1].code, "COURSE");
  EXPECT_DOUBLE_EQ(r.channels[1].raw.at(1) * r.channels[1].scale, 271.5);
  EXPECT_EQ(r.channels[1].raw.at(2), Channel::missing);
}

TEST(GpxReader, MarksSegmentsAndSkipsEmptyOnes) {
  const std::string point = "<trkpt lat=\"1\" lon=\"1\"/>";
  const Recording r = read_gpx(gpx_around("<trk><trkseg>" + point + point + "</trkseg><trkseg/><trkseg>" + point +
                                          "</trkseg></trk><trk><trkseg>" + point + "</trkseg></trk>"));
  ASSERT_EQ(r.fixes.size(), 4u);
  EXPECT_EQ(r.fixes[1].segment, 0);
  EXPECT_EQ(r.fixes[2].segment, 1);
  EXPECT_EQ(r.fixes[3].segment, 2);
}

TEST(GpxReader, SaysWhenNoPointHasATime) {
  const Recording none = read_gpx(one_track("<trkpt lat=\"1\" lon=\"1\"/><trkpt lat=\"1\" lon=\"1\"/>"));
  EXPECT_EQ(none.fixes.size(), 2u);
  EXPECT_FALSE(none.fixes[0].has_time);
  EXPECT_EQ(gpx_count(none, WarningCode::no_times), 1u);
  const Recording some =
      read_gpx(one_track("<trkpt lat=\"1\" lon=\"1\"/><trkpt lat=\"1\" lon=\"1\"><time>2021-05-02T07:10:00Z</time></trkpt>"
                         "<trkpt lat=\"1\" lon=\"1\"><time>yesterday</time></trkpt>"));
  EXPECT_EQ(gpx_count(some, WarningCode::no_times), 0u);
  EXPECT_EQ(gpx_count(some, WarningCode::bad_time), 2u);
  EXPECT_FALSE(some.fixes[2].has_time);
}

TEST(GpxReader, HoldsPositionsToTheirBounds) {
  const Recording r = read_gpx(one_track(
      "<trkpt lat=\"90\" lon=\"180\"/><trkpt lat=\"-90\" lon=\"-180\"/><trkpt lat=\"90.001\" lon=\"0\"/>"
      "<trkpt lat=\"0\" lon=\"180.5\"/><trkpt lat=\"nan\" lon=\"0\"/><trkpt lat=\"inf\" lon=\"0\"/><trkpt lat=\"1,5\" lon=\"0\"/>"
      "<trkpt lon=\"0\"/><trkpt lat=\"\" lon=\"1\"/><trkpt lat=\"0\" lon=\"0\"/>"));
  EXPECT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(gpx_count(r, WarningCode::position_out_of_range), 3u);  // 180 is kept, two are dropped
  EXPECT_EQ(gpx_count(r, WarningCode::bad_position_line), 5u);
  EXPECT_EQ(gpx_count(r, WarningCode::zero_position), 1u);
  EXPECT_EQ(r.account.dropped, 7u);
  expect_gpx_balanced(r);
}

TEST(GpxReader, FlagsTimesThatCannotBeAndTimesThatGoBack) {
  const Recording r =
      read_gpx(gpx_around("<trk><trkseg><trkpt lat=\"1\" lon=\"1\"><time>1970-01-01T00:00:00Z</time></trkpt>"
                          "<trkpt lat=\"1\" lon=\"1\"><time>2021-05-02T07:10:00Z</time></trkpt></trkseg>"
                          "<trkseg><trkpt lat=\"1\" lon=\"1\"><time>2021-05-02T07:00:00Z</time></trkpt></trkseg></trk>"));
  EXPECT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[0].time, utc(1970, 1, 1));
  EXPECT_EQ(gpx_count(r, WarningCode::bad_time), 1u);
  EXPECT_EQ(gpx_count(r, WarningCode::time_went_back), 1u);
  EXPECT_EQ(gpx_count(r, WarningCode::week_rollover), 0u);
}

TEST(GpxReader, MovesAllTimesByTheRolloverOfGpsWeeksWhenOnlyThatIsPlausible) {
  ReadOptions now;
  now.latest_plausible = utc(2026, 5, 1);
  const Recording r = read_gpx(one_track("<trkpt lat=\"1\" lon=\"1\"><time>2041-12-17T12:00:00Z</time></trkpt>"
                                         "<trkpt lat=\"1\" lon=\"1\"><time>2041-12-17T12:00:01Z</time></trkpt>"),
                               now);
  EXPECT_EQ(r.fixes.at(0).time, utc(2022, 5, 3, 12));
  EXPECT_EQ(r.fixes.at(1).time, utc(2022, 5, 3, 12, 0, 1));
  EXPECT_EQ(gpx_count(r, WarningCode::week_rollover), 1u);
}

TEST(GpxReader, KeepsPointsBeforeABreakAndDropsTheOneItFellIn) {
  const std::string whole = one_track(
      "<trkpt lat=\"1\" lon=\"1\"><ele>1</ele></trkpt>\n<trkpt lat=\"2\" lon=\"2\"><ele>2</ele></trkpt>\n<trkpt lat=\"3\" "
      "lon=\"3\"><ele>345</ele></trkpt>");
  const std::size_t third = whole.find("<trkpt lat=\"3\"");
  for (std::size_t cut = third + 1; cut < whole.find("</gpx>"); ++cut) {
    const Recording r = read_gpx(std::string_view(whole).substr(0, cut));
    const bool closed = cut >= whole.find("</trkpt>", third) + 8;
    ASSERT_EQ(r.fixes.size(), closed ? 3u : 2u) << whole.substr(third, cut - third);
    EXPECT_EQ(gpx_count(r, WarningCode::bad_xml), 1u);
    if (closed) {
      EXPECT_EQ(r.fixes[2].gnss_height.si(), 345);
    }
    expect_gpx_balanced(r);
  }
}

TEST(GpxReader, NamesTheLineOfABreakInTheMiddle) {
  const Recording r = read_gpx(
      one_track("<trkpt lat=\"1\" lon=\"1\"/>\n<trkpt lat=\"2\" lon=\"2\"><ele>1</wrong></trkpt>\n<trkpt lat=\"3\" lon=\"3\"/>"));
  EXPECT_EQ(r.fixes.size(), 1u);
  const auto at =
      std::find_if(r.warnings.begin(), r.warnings.end(), [](const Warning& w) { return w.code == WarningCode::bad_xml; });
  ASSERT_NE(at, r.warnings.end());
  EXPECT_EQ(at->line, 5u);
  EXPECT_GE(r.account.dropped, 2u);
  expect_gpx_balanced(r);
}

TEST(GpxReader, ExpandsNoEntitiesOfTheFile) {
  // "Billion laughs": ten entities of ten references each would be 10^10 characters.
  std::string bomb = "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [\n<!ENTITY a0 \"ha\">\n";
  for (int i = 1; i <= 10; ++i) {
    bomb += "<!ENTITY a" + std::to_string(i) + " \"";
    for (int k = 0; k < 10; ++k) bomb += "&a" + std::to_string(i - 1) + ";";
    bomb += "\">\n";
  }
  bomb += "]>\n<gpx version=\"1.1\" creator=\"&a10;\"><trk><trkseg><trkpt lat=\"1\" lon=\"1\"/></trkseg></trk></gpx>";
  const Recording r = read_gpx(bomb);
  EXPECT_EQ(r.fixes.size(), 1u);
  for (const HeaderField& h : r.header) EXPECT_LT(h.text.size(), 100u);
}

TEST(GpxReader, TakesElementsNestedVeryDeep) {
  std::string deep, close;
  for (int i = 0; i < 200000; ++i) {
    deep += "<a>";
    close += "</a>";
  }
  const Recording r = read_gpx(gpx_around("<trk><trkseg><trkpt lat=\"1\" lon=\"1\"><extensions>" + deep + close +
                                          "</extensions></trkpt></trkseg></trk>" + deep + close));
  EXPECT_EQ(r.fixes.size(), 1u);
  expect_gpx_balanced(r);
}

TEST(GpxReader, ReadsUtf16AndLatin1) {
  const std::string text = one_track("<trkpt lat=\"1\" lon=\"1\"/>");
  for (const bool big : {false, true}) {
    std::string wide = big ? "\xFE\xFF" : "\xFF\xFE";
    for (const char c : text) {
      if (big) wide += '\0';
      wide += c;
      if (!big) wide += '\0';
    }
    EXPECT_EQ(read_gpx(wide).fixes.size(), 1u);
  }
  const Recording latin = read_gpx("<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><gpx creator=\"J\xFCrg\"><trk/></gpx>");
  ASSERT_FALSE(latin.header.empty());
  EXPECT_EQ(latin.header[0].text, "J\xC3\xBCrg");
}

TEST(GpxReader, KeepsHeaderTextsOfBothVersions) {
  const Recording r = read_gpx(gpx_around(
      "<metadata><name>Simulated day</name><author><name>A. Nyone</name></author></metadata><trk><name>one</name></trk>"));
  EXPECT_TRUE(r.simulated);
  const auto has = [](const Recording& in, const char* code, const char* text) {
    return std::any_of(in.header.begin(), in.header.end(),
                       [&](const HeaderField& h) { return h.code == code && h.text == text; });
  };
  EXPECT_TRUE(has(r, "creator", "made for a test"));
  EXPECT_TRUE(has(r, "name", "Simulated day"));
  EXPECT_TRUE(has(r, "author", "A. Nyone"));
  EXPECT_TRUE(has(r, "trk name", "one"));
  EXPECT_TRUE(has(read_gpx(gpx_around("<author>B</author>", "1.0")), "author", "B"));
}

}  // namespace
}  // namespace headroom
