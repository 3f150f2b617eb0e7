#pragma once
// Which reader a file needs, told by content, never by name.
#include <string_view>

namespace headroom {

enum class Format { unknown, empty, igc, gpx, nmea, kml, zip, gzip };

// Looks at up to the first 64 KiB. IGC: a readable B or HFDTE record, or an A record first, among lines that begin with
// record letters. GPX and KML: XML whose root element is `gpx` or `kml`, under any prefix. NMEA: a sentence on a line, its
// checksum fitting (formats/nmea.h). Zip and gzip: by their first bytes; formats/unpack.h opens them. Empty: no byte, or
// nothing but blanks. UTF-16 text of any of them is seen through.
[[nodiscard]] Format sniff_format(std::string_view bytes);

}  // namespace headroom
