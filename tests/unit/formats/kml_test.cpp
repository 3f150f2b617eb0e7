// The KML reader. What gx:Track, when and coord mean: OGC KML 2.3 (12-007r2), "Track": the nth when belongs to the nth coord,
// coord is longitude, latitude, altitude with blanks between; an empty coord marks a missing position.
#include "formats/kml.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "formats/recording_reader.h"

namespace headroom {
namespace {

std::string track(const std::string& inner) {
  return "<gx:Track>" + inner + "</gx:Track>";
}
std::string kml(const std::string& inner) {
  return "<?xml version='1.0'?>\n<kml xmlns='http://www.opengis.net/kml/2.2' "
         "xmlns:gx='http://www.google.com/kml/ext/2.2'><Document>"
         "<name>a day</name><Placemark><name>one</name>" +
         inner + "</Placemark></Document></kml>";
}
const std::string kTwo =
    "<altitudeMode>absolute</altitudeMode><when>2026-06-01T08:00:00Z</when><when>2026-06-01T10:00:01.5+02:00</when>"
    "<gx:coord>7.5 46.25 612.5</gx:coord><gx:coord>7.6 46.5 613</gx:coord>";

std::size_t kml_count(const Recording& r, WarningCode code) {
  return static_cast<std::size_t>(
      std::count_if(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; }));
}
void expect_kml_balance(const Recording& r) {
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  EXPECT_EQ(r.account.fixes, r.fixes.size());
}

TEST(KmlReader, PairsTimesAndPositions) {
  const Recording r = read_kml(kml(track(kTwo)));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_EQ(r.fixes[0].time, utc(2026, 6, 1, 8));
  EXPECT_EQ(r.fixes[1].time, utc(2026, 6, 1, 8, 0, 1, 500));
  EXPECT_EQ(r.fixes[0].position, (GeoPosition{46.25, 7.5}));
  EXPECT_EQ(r.fixes[0].gnss_height.si(), 612.5);
  EXPECT_EQ(r.gnss_datum, HeightDatum::geoid);
  // kml, Document, name, Placemark, name, Track, altitudeMode, two when; two coord are the fixes.
  EXPECT_EQ(r.account.other, 9u);
  expect_kml_balance(r);
  ASSERT_EQ(r.header.size(), 2u);
  EXPECT_EQ(r.header[1].text, "one");
  EXPECT_TRUE(r.warnings.empty());
}

TEST(KmlReader, MakesEachTrackOfAMultiTrackASegment) {
  const Recording r = read_kml(kml("<gx:MultiTrack><altitudeMode>absolute</altitudeMode>" +
                                   track("<when>2026-06-01T08:00:00Z</when><gx:coord>7 46 1</gx:coord>") + track("") +
                                   track("<when>2026-06-01T08:10:00Z</when><gx:coord>7,46,2</gx:coord>") + "</gx:MultiTrack>"));
  ASSERT_EQ(r.fixes.size(), 2u);
  EXPECT_EQ(r.fixes[0].segment, 0);
  EXPECT_EQ(r.fixes[1].segment, 1);
  EXPECT_EQ(r.fixes[1].gnss_height.si(), 2);
  EXPECT_EQ(r.gnss_datum, HeightDatum::geoid);
}

TEST(KmlReader, DropsAMissingPositionAndKeepsThePairs) {
  const Recording r =
      read_kml(kml(track("<when>2026-06-01T08:00:00Z</when><when>2026-06-01T08:00:01Z</when><when>2026-06-01T08:00:02Z</when>"
                         "<gx:coord>7 46 1</gx:coord><gx:coord/><gx:coord>7.1 46 1</gx:coord><gx:coord>7.2 46 1</gx:coord>")));
  ASSERT_EQ(r.fixes.size(), 3u);
  EXPECT_EQ(r.fixes[1].time, utc(2026, 6, 1, 8, 0, 2));
  EXPECT_FALSE(r.fixes[2].has_time);
  EXPECT_EQ(r.account.dropped, 1u);
  expect_kml_balance(r);
}

TEST(KmlReader, KnowsWhatHeightsCountFrom) {
  const std::string point = "<when>2026-06-01T08:00:00Z</when><gx:coord>7 46 35</gx:coord>";
  const Recording ground = read_kml(kml(track("<altitudeMode>relativeToGround</altitudeMode>" + point)));
  EXPECT_FALSE(ground.fixes.at(0).has_gnss_height);
  const Recording drawn = read_kml(kml(track(point)));
  EXPECT_TRUE(drawn.fixes.at(0).has_gnss_height);
  EXPECT_EQ(drawn.gnss_datum, HeightDatum::unknown);
  EXPECT_EQ(kml_count(drawn, WarningCode::height_doubtful), 1u);
}

TEST(KmlReader, RefusesPlacesAndLines) {
  for (const char* inner :
       {"<Point><coordinates>7,46,0</coordinates></Point>", "<LineString><coordinates>7,46,0 7,47,0</coordinates></LineString>",
        "<TimeStamp><when>2026-06-01T08:00:00Z</when></TimeStamp><Point><coordinates>7,46,0</coordinates></Point>"}) {
    const auto r = read_recording(kml(inner));
    ASSERT_FALSE(r) << inner;
    EXPECT_NE(r.error().what.find("export GPX or IGC"), std::string::npos);
  }
  const auto empty = read_recording(kml(""));
  ASSERT_FALSE(empty);
  EXPECT_NE(empty.error().what.find("KML"), std::string::npos);
}

TEST(KmlReader, KeepsWhatStandsBeforeABreak) {
  const std::string whole = kml(track(kTwo));
  const Recording in_position = read_kml(whole.substr(0, whole.find("46.5") + 3));
  EXPECT_EQ(in_position.fixes.size(), 1u);  // "7.6 46." may be cut
  EXPECT_EQ(kml_count(in_position, WarningCode::truncated_end), 1u);
  EXPECT_EQ(kml_count(in_position, WarningCode::bad_xml), 1u);
  expect_kml_balance(in_position);
  const Recording behind = read_kml(whole.substr(0, whole.find("</gx:Track")));
  EXPECT_EQ(behind.fixes.size(), 2u);
}

TEST(KmlReader, DropsPositionsThatDoNotExist) {
  const Recording r = read_kml(
      kml(track("<gx:coord>7 91 0</gx:coord><gx:coord>nan 46 0</gx:coord><gx:coord>7</gx:coord><gx:coord>1 2 3 4</gx:coord>")));
  EXPECT_TRUE(r.fixes.empty());
  EXPECT_EQ(r.account.dropped, 4u);
  expect_kml_balance(r);
}

}  // namespace
}  // namespace headroom
