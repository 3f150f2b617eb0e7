// Any bytes through the choice of a reader and that reader.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/format.h"
#include "formats/recording_reader.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const Format format = sniff_format(bytes);
  const auto recording = read_recording(bytes);
  const bool readable = format == Format::igc || format == Format::gpx || format == Format::nmea || format == Format::kml;
  if (recording && (!readable || recording->fixes.empty())) std::abort();
  if (!recording && recording.error().what.empty()) std::abort();
  return 0;
}
