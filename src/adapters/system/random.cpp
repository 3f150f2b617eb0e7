#include "adapters/system/random.h"

#include <sys/random.h>

#include <cerrno>
#include <cstdlib>

namespace headroom {

void SystemRandom::fill(std::span<std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const auto n = ::getrandom(bytes.data(), bytes.size(), 0);
    if (n < 0) {
      if (errno == EINTR) continue;
      std::abort();  // no kernel that this runs on lacks it, and a weak salt must not pass for a good one
    }
    bytes = bytes.subspan(static_cast<std::size_t>(n));
  }
}

}  // namespace headroom
