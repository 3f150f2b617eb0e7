#include "formats/recording_reader.h"

#include <fmt/format.h>

#include "formats/format.h"
#include "formats/gpx.h"
#include "formats/igc.h"

namespace headroom {
namespace {

// Why a file of a known format gave nothing, in a sentence.
std::string no_fix_sentence(const Recording& recording, std::string_view format) {
  std::string sentence = fmt::format("this {} file holds no position that can be read", format);
  if (!recording.warnings.empty()) {
    const Warning& first = recording.warnings.front();
    sentence += first.line == 0 ? fmt::format("; {}", first.text) : fmt::format("; line {}: {}", first.line, first.text);
  }
  return sentence;
}

}  // namespace

Result<Recording> read_recording(std::string_view bytes, const ReadOptions& options) {
  Recording recording;
  std::string_view name;
  switch (sniff_format(bytes)) {
    case Format::empty:
      return fail(ErrorKind::bad_input, "the file is empty");
    case Format::unknown:
      return fail(ErrorKind::bad_input, "the file is no recording of a known kind: IGC and GPX are read, told by their content");
    case Format::igc:
      name = "IGC";
      recording = read_igc(bytes, options);
      break;
    case Format::gpx:
      name = "GPX";
      recording = read_gpx(bytes, options);
      break;
  }
  if (recording.fixes.empty()) return fail(ErrorKind::bad_input, no_fix_sentence(recording, name));
  return recording;
}

}  // namespace headroom
