#pragma once
#include "app/ports.h"

namespace headroom {

class QuietProgress final : public Progress {
 public:
  void step(std::string_view, std::uint64_t, std::uint64_t) override { ++steps; }
  bool stop_requested() const override { return stop_after >= 0 && steps >= stop_after; }
  int steps = 0;
  int stop_after = -1;
};

}  // namespace headroom
