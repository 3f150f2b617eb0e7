// The KML files of the collection. SOURCES.md beside them: one flight without times for its points, and one file with a
// timed track; what they hold is counted here from their text.
#include <gtest/gtest.h>

#include <string>

#include "formats/kml.h"
#include "formats/recording_reader.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

std::size_t occurrences(const std::string& text, std::string_view what, std::size_t from = 0,
                        std::size_t to = std::string::npos) {
  std::size_t count = 0;
  for (std::size_t at = from; (at = text.find(what, at)) < to; at += what.size()) ++count;
  return count;
}

TEST(KmlFiles, ReadTheTimedTrackAndLeaveTheMap) {
  HEADROOM_NEEDS_SHARED_DATA();
  const std::string bytes = test::bytes_of(test::shared_folder() / "recordings" / "kml" / "segmented_tracks-track.kml");
  const Recording r = read_kml(bytes);
  EXPECT_EQ(r.fixes.size(), occurrences(bytes, "<gx:coord>"));
  // Most of its times are left empty: <when/>.
  const std::size_t track = bytes.find("<gx:Track>"), end = bytes.find("</gx:Track>");
  std::size_t timed = 0;
  for (const Fix& f : r.fixes) timed += f.has_time;
  EXPECT_EQ(timed, occurrences(bytes, "<when>", track, end));
  EXPECT_EQ(r.fixes.size() - timed, occurrences(bytes, "<when/>", track, end));
  ASSERT_FALSE(r.fixes.empty());
  EXPECT_EQ(r.fixes.front().time, utc(2007, 7, 27, 5, 24, 5));  // its gx:TimeSpan
  EXPECT_EQ(r.fixes.back().time, utc(2007, 7, 27, 5, 35, 0));
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  EXPECT_EQ(r.account.dropped, 0u);
}

TEST(KmlFiles, RefuseALineWithoutTimesAndSayWhatToExport) {
  HEADROOM_NEEDS_SHARED_DATA();
  const auto r = read_recording(test::bytes_of(test::shared_folder() / "recordings" / "kml" / "vario_flight.kml"));
  ASSERT_FALSE(r);
  EXPECT_EQ(r.error().kind, ErrorKind::bad_input);
  EXPECT_NE(r.error().what.find("without times"), std::string::npos);
  EXPECT_NE(r.error().what.find("1 line "), std::string::npos);
  EXPECT_NE(r.error().what.find("export GPX or IGC"), std::string::npos);
}

}  // namespace
}  // namespace headroom
