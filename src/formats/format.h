#pragma once
// Which reader a file needs, told by content, never by name.
#include <string_view>

namespace headroom {

enum class Format { unknown, empty, igc, gpx };

// Looks at up to the first 64 KiB. IGC: a readable B or HFDTE record, or an A record first, among lines that begin with
// record letters. GPX: XML whose root element is `gpx`, under any prefix. Empty: no byte, or nothing but blanks.
[[nodiscard]] Format sniff_format(std::string_view bytes);

}  // namespace headroom
