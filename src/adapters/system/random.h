#pragma once
#include "app/ports.h"

namespace headroom {

// getrandom(2): from the kernel, good for salts and ids.
class SystemRandom final : public Random {
 public:
  void fill(std::span<std::uint8_t> bytes) override;
};

}  // namespace headroom
