#pragma once
// Figures held to their targets. A target that is not reached yet has a floor beside it: the report says MISSED, and fails only
// when the figure falls under the floor.
#include <cstdio>

namespace headroom::accuracy {

class Targets {
 public:
  void hold(const char* what, double got, double least, double most = 1e9) { hold_above(what, got, least, most, least, most); }
  // Known to miss: no worse than `floor_least` to `floor_most`.
  void hold_above(const char* what, double got, double least, double most, double floor_least, double floor_most) {
    const bool good = got >= least && got <= most, known = got >= floor_least && got <= floor_most;
    std::printf("  %-64s %6.2f  %s\n", what, got, good ? "reached" : known ? "MISSED" : "MISSED, and worse than before");
    failed_ += known ? 0 : 1;
  }
  [[nodiscard]] int failed() const { return failed_; }

 private:
  int failed_ = 0;
};

}  // namespace headroom::accuracy
