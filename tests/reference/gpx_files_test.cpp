// Every GPX file of the collection against what SOURCES.md beside it says (table "GPX, KML, NMEA, engine": version, track
// points, segments, last time), and the invented file of tests/data against its own text.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "formats/format.h"
#include "formats/gpx.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct GpxTally {
  const char* name;
  std::size_t points, segments;
  const char* last_time;
};
constexpr GpxTally kGpxTallies[] = {
    {"wahoo-element-bolt.gpx", 1101, 4, "2018-03-20T07:27:30Z"}, {"korita-zbevnica.gpx", 871, 4, "2010-10-03T13:19:31Z"},
    {"track_with_speed.gpx", 3, 1, "2009-03-02T14:06:05Z"},      {"track-with-empty-segment.gpx", 9, 2, "2013-07-06T17:27:42Z"},
    {"cerknicko-jezero.gpx", 296, 8, "2010-08-05T16:23:49Z"},    {"unicode.gpx", 0, 0, ""},
};

TEST(GpxFiles, AgreeWithTheirTally) {
  HEADROOM_NEEDS_SHARED_DATA();
  for (const GpxTally& tally : kGpxTallies) {
    SCOPED_TRACE(tally.name);
    const std::string bytes = test::bytes_of(test::shared_folder() / "recordings" / "gpx" / tally.name);
    ASSERT_FALSE(bytes.empty());
    EXPECT_EQ(sniff_format(bytes), Format::gpx);
    const Recording r = read_gpx(bytes);
    ASSERT_EQ(r.fixes.size(), tally.points);
    EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
    EXPECT_EQ(r.account.dropped, 0u);
    // Segments, told by plain text; those without a point make no segment of a recording.
    std::size_t all = 0, with_points = 0;
    for (std::size_t at = 0; (at = bytes.find("<trkseg", at)) != std::string::npos; ++at) {
      ++all;
      with_points += bytes.find("<trkpt", at) < std::min(bytes.find("</trkseg", at), bytes.find("<trkseg", at + 1));
    }
    EXPECT_EQ(all, tally.segments);
    std::set<std::uint16_t> segments;
    for (const Fix& f : r.fixes) segments.insert(f.segment);
    EXPECT_EQ(segments.size(), with_points);
    if (tally.points == 0) continue;
    EXPECT_EQ(rfc3339(r.fixes.back().time), tally.last_time);
  }
}

TEST(GpxFiles, SayHowManyPointsHaveNoTime) {
  HEADROOM_NEEDS_SHARED_DATA();
  const std::string bytes = test::bytes_of(test::shared_folder() / "recordings" / "gpx" / "korita-zbevnica.gpx");
  const Recording r = read_gpx(bytes);
  // Counted by plain text: track points up to whose end no <time> stands.
  std::size_t without = 0;
  for (std::size_t at = 0; (at = bytes.find("<trkpt", at)) != std::string::npos; ++at) {
    const std::size_t end = std::min(bytes.find("</trkpt>", at), bytes.find("<trkpt", at + 1));
    without += bytes.find("<time>", at) > end;
  }
  EXPECT_EQ(static_cast<std::size_t>(std::count_if(r.fixes.begin(), r.fixes.end(), [](const Fix& f) { return !f.has_time; })),
            without);
  EXPECT_GT(without, 0u);
}

TEST(GpxFiles, TheInventedOneReadsAsWritten) {
  const Recording r = read_gpx(test::bytes_of(test::data_folder() / "gpx" / "constructed_1_1.gpx"));
  ASSERT_EQ(r.fixes.size(), 5u);
  EXPECT_TRUE(r.simulated);
  EXPECT_EQ(r.fixes[1].time, utc(2026, 5, 2, 7, 10, 1, 250));
  EXPECT_FALSE(r.fixes[2].has_time);
  EXPECT_EQ(r.fixes[2].segment, 0);
  EXPECT_EQ(r.fixes[3].segment, 1);
  EXPECT_EQ(r.fixes[4].segment, 2);
  EXPECT_EQ(r.fixes[4].position, (GeoPosition{-10, -20}));
  EXPECT_FALSE(r.fixes[4].valid_3d);
  EXPECT_FALSE(r.fixes[4].has_gnss_height);
  EXPECT_EQ(r.fixes[3].line, 15u);
}

}  // namespace
}  // namespace headroom
