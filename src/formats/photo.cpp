#include "formats/photo.h"

namespace headroom {

std::optional<PhotoKind> photo_kind(std::string_view bytes) {
  using namespace std::string_view_literals;
  if (bytes.starts_with("\xFF\xD8\xFF"sv)) return PhotoKind::jpeg;
  if (bytes.starts_with("\x89PNG\r\n\x1A\n"sv)) return PhotoKind::png;
  return std::nullopt;
}

}  // namespace headroom
