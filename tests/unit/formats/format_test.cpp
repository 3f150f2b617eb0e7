// Formats told by content.
#include "formats/format.h"

#include <gtest/gtest.h>

#include <string>

#include "formats/recording_reader.h"

namespace headroom {
namespace {

using namespace std::string_literals;

TEST(SniffFormat, TellsIgc) {
  EXPECT_EQ(sniff_format("AXXX001\r\nHFDTE020521\r\n"), Format::igc);
  EXPECT_EQ(sniff_format("\xEF\xBB\xBF\r\n\r\nHFDTEDATE:020521,01\r"), Format::igc);
  EXPECT_EQ(sniff_format("B1101355206343N00006198WA0058700558"), Format::igc);
  EXPECT_EQ(sniff_format("\0\x01\x02\nrubbish\nB1101355206343N00006198WA0058700558\n"s), Format::igc);
}

TEST(SniffFormat, TellsGpx) {
  EXPECT_EQ(sniff_format("<gpx/>"), Format::gpx);
  EXPECT_EQ(sniff_format("\xEF\xBB\xBF<?xml version=\"1.0\"?>\n<!-- a <gpx> comment --><?pi x?>\n<!DOCTYPE gpx [<!ENTITY a "
                         "\">\">]>\n<a:gpx x=\"1\">"),
            Format::gpx);
  EXPECT_EQ(sniff_format("\xFF\xFE<\0g\0p\0x\0>\0"s), Format::gpx);
}

TEST(SniffFormat, TellsNmeaKmlAndArchives) {
  EXPECT_EQ(sniff_format("# a comment\n$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"), Format::nmea);
  EXPECT_EQ(sniff_format("$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E\r"), Format::nmea);
  EXPECT_EQ(sniff_format("<?xml version='1.0'?><k:kml xmlns:k='x'/>"), Format::kml);
  EXPECT_EQ(sniff_format("PK\x03\x04 and so on"), Format::zip);
  EXPECT_EQ(sniff_format("\x1F\x8B\x08 and so on"), Format::gzip);
}

TEST(SniffFormat, TellsNothingFromOtherFiles) {
  EXPECT_EQ(sniff_format(""), Format::empty);
  EXPECT_EQ(sniff_format(" \r\n\t\n"), Format::empty);
  EXPECT_EQ(sniff_format("<html><gpx/></html>"), Format::unknown);
  EXPECT_EQ(sniff_format("<gpxx/>"), Format::unknown);
  EXPECT_EQ(sniff_format("<!-- <gpx> never ends"), Format::unknown);
  EXPECT_EQ(sniff_format("Dear Mr B,\nI HFDTE you.\n"), Format::unknown);
  EXPECT_EQ(sniff_format("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*46\r\n"), Format::unknown);
  EXPECT_EQ(sniff_format("a price of $AB123,5 is no sentence\n"), Format::unknown);
  EXPECT_EQ(sniff_format("ALPHA\nis a word\n"), Format::unknown);
}

TEST(ReadRecording, RefusesWithASentenceWhatHoldsNoPosition) {
  for (const char* bytes : {"", "\n\n", "a letter", "AXXX001\r\nHFDTE020521\r\nB12\r\n", "<gpx><trk/></gpx>"}) {
    const auto r = read_recording(bytes);
    ASSERT_FALSE(r) << bytes;
    EXPECT_EQ(r.error().kind, ErrorKind::bad_input);
    EXPECT_GT(r.error().what.size(), 10u);
  }
  // The sentence says what was wrong.
  EXPECT_NE(read_recording("HFDTE020521\r\nB12\r\n").error().what.find("line 2"), std::string::npos);
}

TEST(ReadRecording, ReadsEachFormat) {
  const auto igc = read_recording("HFDTE020521\nB1101355206343N00006198WA0058700558\n");
  ASSERT_TRUE(igc);
  EXPECT_EQ(igc->format, "igc");
  const auto gpx = read_recording("<gpx><trk><trkseg><trkpt lat='1' lon='2'/></trkseg></trk></gpx>");
  ASSERT_TRUE(gpx);
  EXPECT_EQ(gpx->format, "gpx");
}

}  // namespace
}  // namespace headroom
