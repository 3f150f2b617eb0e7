#include "formats/recording_reader.h"

#include <fmt/format.h>

#include "formats/format.h"
#include "formats/gpx.h"
#include "formats/igc.h"
#include "formats/kml.h"
#include "formats/nmea.h"
#include "formats/text_encoding.h"

namespace headroom {
namespace {

// Why a file of a known format gave nothing, in a sentence.
std::string no_fix_sentence(const Recording& recording, std::string_view format) {
  // A map, not a recording: its warning is a whole sentence, and says what to bring instead.
  for (const Warning& warning : recording.warnings)
    if (warning.code == WarningCode::places_without_times) return warning.text;
  std::string sentence = fmt::format("this {} file holds no position that can be read", format);
  if (!recording.warnings.empty()) {
    const Warning& first = recording.warnings.front();
    sentence += first.line == 0 ? fmt::format("; {}", first.text) : fmt::format("; line {}: {}", first.line, first.text);
  }
  return sentence;
}

}  // namespace

Result<Recording> read_recording(std::string_view bytes, const ReadOptions& options) {
  std::string converted;
  const Utf16 order = utf16_of(bytes);
  if (order != Utf16::none) {
    auto text = from_utf16(bytes, order);
    if (!text) return tl::unexpected(std::move(text.error()));
    converted = std::move(*text);
    bytes = converted;
  }
  Recording recording;
  std::string_view name;
  switch (sniff_format(bytes)) {
    case Format::empty:
      return fail(ErrorKind::bad_input, "the file is empty");
    case Format::unknown:
      return fail(ErrorKind::bad_input,
                  "the file is no recording of a known kind: IGC, GPX, NMEA and KML are read, told by their content");
    case Format::zip:
    case Format::gzip:
      return fail(ErrorKind::bad_input, "the file is an archive: the recordings in it are read one by one");
    case Format::igc:
      name = "IGC";
      recording = read_igc(bytes, options);
      break;
    case Format::gpx:
      name = "GPX";
      recording = read_gpx(bytes, options);
      break;
    case Format::nmea:
      name = "NMEA";
      recording = read_nmea(bytes, options);
      break;
    case Format::kml:
      name = "KML";
      recording = read_kml(bytes, options);
      break;
  }
  if (recording.fixes.empty()) return fail(ErrorKind::bad_input, no_fix_sentence(recording, name));
  if (order != Utf16::none)
    recording.warnings.insert(recording.warnings.begin(), {WarningCode::text_encoding, 1,
                                                           "the text is UTF-16: converted, so places of lines count in UTF-8"});
  return recording;
}

}  // namespace headroom
