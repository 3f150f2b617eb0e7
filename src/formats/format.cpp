#include "formats/format.h"

namespace headroom {

Format sniff_format(std::string_view bytes) {
  if (bytes.empty()) return Format::empty;
  return Format::unknown;
}

}  // namespace headroom
