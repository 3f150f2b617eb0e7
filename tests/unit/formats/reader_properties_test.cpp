// What holds for any bytes: no reader throws or reads out of bounds (the sanitizer build watches), accounts balance, and
// the way a file is cut into chunks changes nothing.
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <rapidcheck/gtest.h>
#include <string>
#include <vector>

#include "formats/format.h"
#include "formats/gpx.h"
#include "formats/igc.h"
#include "formats/kml.h"
#include "formats/nmea.h"
#include "formats/recording_reader.h"
#include "formats/unpack.h"
#include "support/zip_builder.h"

namespace headroom {
namespace {

// Pieces of real files and of damage, strung together at random.
const std::vector<std::string> kIgcPieces = {
    "AXXX001",
    "HFDTE020521",
    "HFDTEDATE:030521,01",
    "HFDTE000000",
    "HFALG:GEO",
    "HFPLTPILOTINCHARGE:A",
    "I033638FXA3940SIU4143ENL",
    "I023636LAD3737LOD",
    "I013648TDS",
    "I013699WID",
    "J020810WDI1115WVE",
    "K12000027001234",
    "K2359592700",
    "B1602405407121N00249342WA002800042120509950",
    "B1101355206343N00006198WA0058700558",
    "B2359595206343N00006198WA0058700558001002003",
    "B0000015206343S00006198EV-001200000",
    "B0000025206343S00006198EV     -----",
    "B1305105240678N0074",
    "B9999995206343N00006198WA0058700558",
    "B0000000000000N00000000EA0000000000",
    "LXXX",
    "G0123456789ABCDEF",
    "\r\n",
    "\n",
    "\r",
    "\r\r\n",
    "\x1A",
    "\xEF\xBB\xBF",
    "\xFF\xFE",
    std::string("\0\0\0\0\0\0\0\0\0", 9),
};
const std::vector<std::string> kGpxPieces = {
    "<?xml version=\"1.0\"?>",
    "<gpx version=\"1.1\" creator=\"x\">",
    "<g:gpx>",
    "<trk>",
    "<trkseg>",
    "<trkpt lat=\"1\" lon=\"2\">",
    "<trkpt lat=\"1\" lon=\"2\"/>",
    "<trkpt lat=\"91\" lon=\"x\"/>",
    "<ele>1.5</ele>",
    "<ele>1e400</ele>",
    "<time>2021-05-02T07:10:00Z</time>",
    "<time>1970-01-01T00:00:00.5+23:59</time>",
    "<speed>3.5</speed>",
    "<extensions><a:course>-1e300</a:course></extensions>",
    "</trkpt>",
    "</trkseg>",
    "</trk>",
    "</gpx>",
    "<name>\xFF&#x0;&amp;&unknown;</name>",
    "<![CDATA[ <trkpt ]]>",
    "<!-- c -->",
    "<!DOCTYPE gpx [<!ENTITY a \"b\">]>",
    "<",
    ">",
    "\"",
    std::string("\0", 1),
};

const std::vector<std::string> kNmeaPieces = {
    "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47",
    "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A",
    "$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76",
    "$GPRMC,092750.000,A,5321.6802,N,00630.3372,W,0.02,31.66,280511,,,A*43",
    "$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E",
    "$GPRMC,235959,A,4740.36415,N,12225.35953,W,,,320612,,,S",
    "$GPRMC,235959,A,9940.3,N,12225.35953,W,,,010612,,,E",
    "$GPZDA,000419.000,09,03,2019,00,00*5A",
    "$GPZDA,,,,,00,00*48",
    "$GPGLL,4807.038,N,01131.000,E,000001,A",
    "$GNGNS,000002.5,4807.038,S,01131.000,W,NN,1,1,1e9,-3,,",
    "$GPVTG,138.92,T,,M,0.17,N,0.3,K*64",
    "$GPGSA,A,2,28,08,11,27,07,,,,,,,,4.9,1.6,4.5",
    "$PGRMZ,2282,f,3*21",
    "$PGRMZ,-99999999999999999999,m",
    "$GPRMC,,V,,,,,,,,,,N*53",
    "$GPGSV,1,1,00*79",
    "!AIVDM,1,1,,A,x,0*00",
    "\\c:1*00\\$GPZDA,000419.000,09,03,2019,00,00*5A",
    "# simulated",
    "$",
    "*",
    "\r\n",
    "\n",
    "\x1A",
    "\xEF\xBB\xBF",
    std::string("\0\0\0", 3),
};
const std::vector<std::string> kKmlPieces = {
    "<kml>",
    "<Document>",
    "<Placemark>",
    "<name>n</name>",
    "<gx:MultiTrack>",
    "<gx:Track>",
    "<altitudeMode>absolute</altitudeMode>",
    "<altitudeMode>relativeToGround</altitudeMode>",
    "<when>2026-06-01T08:00:00Z</when>",
    "<when>1980-06-01T08:00:00</when>",
    "<when/>",
    "<gx:coord>7.5 46.25 612.5</gx:coord>",
    "<gx:coord>7.5,91</gx:coord>",
    "<coord>1 2 3 4 5</coord>",
    "<coord/>",
    "</gx:Track>",
    "</gx:MultiTrack>",
    "<Point/>",
    "<LineString>",
    "</kml>",
    "<",
    std::string("\0", 1),
};

rc::Gen<std::string> strung(const std::vector<std::string>& pieces, const std::string& between) {
  return rc::gen::map(rc::gen::container<std::vector<std::string>>(
                          rc::gen::oneOf(rc::gen::elementOf(pieces), rc::gen::elementOf(pieces), rc::gen::string<std::string>())),
                      [between](const std::vector<std::string>& parts) {
                        std::string text;
                        for (const std::string& part : parts) text += part + between;
                        return text;
                      });
}
// The text with some bytes changed.
std::string damaged(std::string text) {
  if (text.empty()) return text;
  const auto times = *rc::gen::inRange(0, 4);
  for (int i = 0; i < times; ++i) text[*rc::gen::inRange<std::size_t>(0, text.size())] = *rc::gen::arbitrary<char>();
  return text;
}

void check_account(const Recording& r) {
  RC_ASSERT(r.account.fixes == r.fixes.size());
  RC_ASSERT(r.account.lines == r.account.fixes + r.account.other + r.account.dropped);
  std::uint64_t by_reason = 0;
  for (const auto& reason : r.account.dropped_by) by_reason += reason.count;
  RC_ASSERT(by_reason == r.account.dropped);
  for (const Channel& c : r.channels) RC_ASSERT(c.raw.size() == r.fixes.size());
  for (const Channel& c : r.slow.channels) RC_ASSERT(c.raw.size() == r.slow.times.size());
  RC_ASSERT(r.slow.lines.size() == r.slow.times.size());
  for (const Fix& f : r.fixes) {
    RC_ASSERT(f.position.latitude_deg >= -90 && f.position.latitude_deg <= 90);
    RC_ASSERT(f.position.longitude_deg >= -180 && f.position.longitude_deg <= 180);
    RC_ASSERT(f.line >= 1u);
  }
}
void check_same(const Recording& a, const Recording& b) {
  RC_ASSERT(a.fixes.size() == b.fixes.size());
  for (std::size_t i = 0; i < a.fixes.size(); ++i) {
    RC_ASSERT(a.fixes[i].time == b.fixes[i].time);
    RC_ASSERT(a.fixes[i].position == b.fixes[i].position);
    RC_ASSERT(a.fixes[i].line == b.fixes[i].line);
    RC_ASSERT(a.fixes[i].segment == b.fixes[i].segment);
  }
  RC_ASSERT(a.channels.size() == b.channels.size());
  for (std::size_t i = 0; i < a.channels.size(); ++i) RC_ASSERT(a.channels[i].raw == b.channels[i].raw);
  RC_ASSERT(a.slow.times == b.slow.times);
  RC_ASSERT(a.others.size() == b.others.size());
  for (std::size_t i = 0; i < a.others.size(); ++i) {
    RC_ASSERT(a.others[i].offset == b.others[i].offset);
    RC_ASSERT(a.others[i].length == b.others[i].length);
  }
  RC_ASSERT(a.warnings.size() == b.warnings.size());
  for (std::size_t i = 0; i < a.warnings.size(); ++i) {
    RC_ASSERT(a.warnings[i].code == b.warnings[i].code);
    RC_ASSERT(a.warnings[i].line == b.warnings[i].line);
    RC_ASSERT(a.warnings[i].text == b.warnings[i].text);
  }
  RC_ASSERT(a.account.lines == b.account.lines);
  RC_ASSERT(a.account.dropped == b.account.dropped);
}

RC_GTEST_PROP(IgcReaderProperty, AccountsBalanceForAnyText, ()) {
  const std::string end = *rc::gen::element<std::string>("", "\n", "\r\n", "\r");
  const std::string text = damaged(*strung(kIgcPieces, end));
  const Recording r = read_igc(text);
  check_account(r);
  for (const OtherRecord& other : r.others) RC_ASSERT(text.at(other.offset) == other.letter);
}

RC_GTEST_PROP(IgcReaderProperty, ChunksChangeNothing, ()) {
  const std::string text = damaged(*strung(kIgcPieces, *rc::gen::element<std::string>("", "\n", "\r\n", "\r")));
  const Recording whole = read_igc(text);
  IgcReader reader;
  const auto longest = *rc::gen::element<std::size_t>(1, 2, 7, 40, 3000);
  auto seed = *rc::gen::arbitrary<std::uint32_t>();
  for (std::size_t at = 0; at < text.size();) {
    // Empty chunks too, but not for ever.
    seed = seed * 1103515245 + 12345;
    const std::size_t size = (seed >> 16U) % (longest + 1);
    // Own memory of just the size, so that a read past a chunk's end is seen.
    const std::vector<char> chunk(text.begin() + static_cast<std::ptrdiff_t>(at),
                                  text.begin() + static_cast<std::ptrdiff_t>(std::min(at + size, text.size())));
    reader.feed({chunk.data(), chunk.size()});
    at += chunk.size();
  }
  check_same(whole, reader.finish());
}

RC_GTEST_PROP(IgcReaderProperty, MemoryOfAnOlderRecordingChangesNothing, ()) {
  const std::string before = *strung(kIgcPieces, "\n"), text = *strung(kIgcPieces, "\n");
  Recording reused = read_igc(before);
  read_igc(text, reused);
  check_account(reused);
  check_same(read_igc(text), reused);
}

RC_GTEST_PROP(GpxReaderProperty, AccountsBalanceForAnyText, ()) {
  check_account(read_gpx(damaged(*strung(kGpxPieces, ""))));
  check_account(read_gpx("<gpx><trk><trkseg>" + damaged(*strung(kGpxPieces, ""))));
}

RC_GTEST_PROP(NmeaReaderProperty, AccountsBalanceForAnyText, ()) {
  const std::string text = damaged(*strung(kNmeaPieces, *rc::gen::element<std::string>("", "\n", "\r\n", "\r")));
  const Recording r = read_nmea(text);
  check_account(r);
  for (const OtherRecord& other : r.others) RC_ASSERT(text.at(other.offset) == other.letter);
}

RC_GTEST_PROP(NmeaReaderProperty, ChunksChangeNothing, ()) {
  const std::string text = damaged(*strung(kNmeaPieces, *rc::gen::element<std::string>("", "\n", "\r\n", "\r")));
  NmeaReader reader;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = *rc::gen::inRange<std::size_t>(1, 90);
    const std::string chunk = text.substr(at, size);
    reader.feed(chunk);
    at += chunk.size();
  }
  check_same(read_nmea(text), reader.finish());
}

RC_GTEST_PROP(NmeaReaderProperty, MemoryOfAnOlderRecordingChangesNothing, ()) {
  const std::string before = *strung(kNmeaPieces, "\n"), text = *strung(kNmeaPieces, "\n");
  NmeaReader reader(read_nmea(before));
  reader.feed(text);
  check_same(read_nmea(text), reader.finish());
}

RC_GTEST_PROP(KmlReaderProperty, AccountsBalanceForAnyText, ()) {
  check_account(read_kml(damaged(*strung(kKmlPieces, ""))));
  check_account(read_kml("<kml><gx:Track>" + damaged(*strung(kKmlPieces, ""))));
}

RC_GTEST_PROP(ReadRecordingProperty, TakesTextOfAnyFormatAndEncoding, ()) {
  const std::string text = damaged(*strung(*rc::gen::element(kIgcPieces, kNmeaPieces, kKmlPieces), "\n"));
  std::string wide;
  for (const char c : text) wide += {c, '\0'};
  for (const std::string& bytes : {text, wide}) {
    const auto r = read_recording(bytes);
    if (r) check_account(*r);
  }
}

RC_GTEST_PROP(UnpackProperty, GivesBackWhatWasPackedOrSaysWhyNot, ()) {
  const auto contents =
      *rc::gen::container<std::vector<std::string>>(rc::gen::oneOf(rc::gen::arbitrary<std::string>(), strung(kNmeaPieces, "\n")));
  test::ZipBuilder zip;
  for (const std::string& content : contents) {
    RC_PRE(sniff_format(content) != Format::gzip && sniff_format(content) != Format::zip);
    zip.add("a", content);
  }
  const std::string whole = zip.bytes();
  const auto files = unpack(whole);
  if (contents.empty()) return;
  RC_ASSERT(files.has_value());
  RC_ASSERT(files->size() == contents.size());
  for (std::size_t i = 0; i < contents.size(); ++i) RC_ASSERT((*files)[i].content.value() == contents[i]);
  // Damage is told, or does not touch a content.
  const auto after = unpack(damaged(whole));
  if (after)
    for (const UnpackedFile& file : *after)
      if (file.content) RC_ASSERT(std::find(contents.begin(), contents.end(), *file.content) != contents.end());
}

RC_GTEST_PROP(SniffFormatProperty, TakesAnyBytes, ()) {
  (void)sniff_format(damaged(*strung(kGpxPieces, "")));
  (void)sniff_format(damaged(*strung(kIgcPieces, "\n")));
  const auto bytes = *rc::gen::arbitrary<std::string>();
  if (bytes.find_first_not_of(" \t\r\n") != std::string::npos) RC_ASSERT(sniff_format(bytes) != Format::empty);
}

}  // namespace
}  // namespace headroom
