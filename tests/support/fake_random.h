#pragma once
#include "app/ports.h"

namespace headroom {

// Bytes that repeat from run to run and differ from call to call (splitmix64, Steele et al. 2014).
class FakeRandom final : public Random {
 public:
  explicit FakeRandom(std::uint64_t seed = 1) : state_(seed) {}
  void fill(std::span<std::uint8_t> bytes) override {
    for (auto& b : bytes) {
      state_ += 0x9e3779b97f4a7c15U;
      std::uint64_t z = state_;
      z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
      z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
      b = static_cast<std::uint8_t>(z >> 56);
    }
  }

 private:
  std::uint64_t state_;
};

}  // namespace headroom
