#include "core/typed.h"

namespace headroom {

std::string typed(std::string_view text) {
  return std::string(kTypedFrom) + with_typed(text) + std::string(kTypedTo);
}

std::string with_typed(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const auto here = text.substr(i, kTypedFrom.size());
    if (here == kTypedFrom || here == kTypedTo)
      i += here.size();
    else
      out += text[i++];
  }
  return out;
}

std::string without_typed(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  std::size_t opened = std::string::npos;  // where in `out` what stands behind an opening mark begins
  for (std::size_t i = 0; i < text.size();) {
    const auto here = text.substr(i, kTypedFrom.size());
    if (here == kTypedFrom) {
      opened = out.size();
      i += here.size();
    } else if (here == kTypedTo) {
      if (opened != std::string::npos) out.resize(opened);
      opened = std::string::npos;
      i += here.size();
    } else {
      out += text[i++];
    }
  }
  return out;
}

}  // namespace headroom
