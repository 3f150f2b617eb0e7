#pragma once
// Which reader a file needs, told by content, never by name.
#include <string_view>

namespace headroom {

enum class Format { unknown, empty, igc, gpx };
// Looks at up to the first 64 KiB.
[[nodiscard]] Format sniff_format(std::string_view bytes);

}  // namespace headroom
