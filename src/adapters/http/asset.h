#pragma once
#include <string_view>

namespace headroom::http {

// One file of the page, as it is sent: compressed already, or as it stands where that is no smaller.
struct Asset {
  std::string_view path;  // "/index.html"
  std::string_view type;
  std::string_view bytes;  // gzip (RFC 1952) when `gzipped`
  bool gzipped = false;
  bool hashed = false;  // its name changes with its content: it may be kept for ever
};

}  // namespace headroom::http
