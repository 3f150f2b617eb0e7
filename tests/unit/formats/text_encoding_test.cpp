// UTF-16. The pairs of code points and units are those of The Unicode Standard, table 3-5 (from memory: 004D, 0430, 4E8C,
// 10302 = D800 DF02) and of RFC 3629 section 7 for UTF-8.
#include "formats/text_encoding.h"

#include <gtest/gtest.h>

#include "formats/format.h"
#include "formats/recording_reader.h"

namespace headroom {
namespace {

using namespace std::string_literals;

std::string as_utf16(const std::string& ascii, bool big, bool mark) {
  std::string out = mark ? (big ? "\xFE\xFF" : "\xFF\xFE") : "";
  for (const char c : ascii) out += big ? std::string{'\0', c} : std::string{c, '\0'};
  return out;
}

TEST(Utf16, BecomesUtf8) {
  EXPECT_EQ(from_utf16("\xFE\xFF\x00\x4D\x04\x30\x4E\x8C\xD8\x00\xDF\x02"s, Utf16::big_endian).value(),
            "M\xD0\xB0\xE4\xBA\x8C\xF0\x90\x8C\x82");
  EXPECT_EQ(from_utf16("\x4D\x00\x30\x04"s, Utf16::little_endian).value(), "M\xD0\xB0");
}

TEST(Utf16, MarksLoneSurrogatesAndDropsAnOddByte) {
  EXPECT_EQ(from_utf16("\xD8\x00\x00\x41\xDC"s, Utf16::big_endian).value(),
            "\xEF\xBF\xBD"
            "A");
}

TEST(Utf16, IsToldWithAndWithoutItsMark) {
  const std::string text = "HFDTE020521\nB1101355206343N00006198WA0058700558\n";
  for (const bool big : {false, true}) {
    const Utf16 order = big ? Utf16::big_endian : Utf16::little_endian;
    EXPECT_EQ(utf16_of(as_utf16(text, big, true)), order);
    EXPECT_EQ(utf16_of(as_utf16(text, big, false)), order);
  }
  EXPECT_EQ(utf16_of(text), Utf16::none);
  EXPECT_EQ(utf16_of(std::string(100, '\0')), Utf16::none);
  EXPECT_EQ(utf16_of(""), Utf16::none);
}

TEST(Utf16, RecordingsOfAnyFormatAreReadThroughIt) {
  const struct {
    const char *format, *text;
  } kTexts[] = {
      {"igc", "HFDTE020521\nB1101355206343N00006198WA0058700558\n"},
      {"gpx", "<gpx><trk><trkseg><trkpt lat='1' lon='2'/></trkseg></trk></gpx>"},
      {"nmea", "$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E*52\n"},
      {"kml", "<kml><gx:Track><when>2026-06-01T08:00:00Z</when><gx:coord>7 46 1</gx:coord></gx:Track></kml>"},
  };
  for (const auto& one : kTexts)
    for (const bool big : {false, true})
      for (const bool mark : {false, true}) {
        const auto r = read_recording(as_utf16(one.text, big, mark));
        ASSERT_TRUE(r) << one.format << " " << r.error().what;
        EXPECT_EQ(r->format, one.format);
        EXPECT_EQ(r->fixes.size(), 1u);
        EXPECT_EQ(r->warnings.front().code, WarningCode::text_encoding);
      }
}

TEST(Utf16, IsBounded) {
  const auto r = from_utf16(std::string(kLargestUtf16 + 2, 'a'), Utf16::little_endian);
  ASSERT_FALSE(r);
  EXPECT_EQ(r.error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace headroom
