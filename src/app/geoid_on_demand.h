#pragma once
// The geoid, read when the first recording needs it, and once.
#include <optional>
#include <string>
#include <utility>

#include "app/ports.h"
#include "core/earth/geoid.h"

namespace headroom {

class GeoidOnDemand {
 public:
  explicit GeoidOnDemand(Files& files) : files_(files) {}
  // Null without a grid.
  const Geoid* get() {
    if (!tried_) {
      tried_ = true;
      // Where Debian's proj-data puts the grid, and where a build by hand does. Without it heights over the ellipsoid stay
      // what they are, and the analysis says so.
      for (const char* path : {"/usr/share/proj/egm96_15.gtx", "/usr/local/share/proj/egm96_15.gtx"}) {
        std::string bytes;
        if (!files_.read(path, bytes, kLargestGrid)) continue;
        if (auto geoid = Geoid::from_gtx(std::move(bytes))) {
          geoid_ = std::move(*geoid);
          break;
        }
      }
    }
    return geoid_ ? &*geoid_ : nullptr;
  }

 private:
  static constexpr std::uint64_t kLargestGrid = 16ull << 20;
  Files& files_;
  bool tried_ = false;
  std::optional<Geoid> geoid_;
};

}  // namespace headroom
