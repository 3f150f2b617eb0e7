#pragma once
// What one machine did, in order of time, and sums over any stretch of it with their spread. Rules: docs/analysis/counters.md.
#include <vector>

#include "core/book/state.h"

namespace headroom {

// A sum whose parts err in different ways: deviations of assumed parts add linearly, those of measured ones in quadrature.
// All in seconds. `mid` minus the low side never falls below zero because no part's does.
struct HourSum {
  double mid = 0;
  double linear_low = 0, linear_high = 0;  // assumed, distance from mid to the 5 and 95 % value
  double square_low = 0, square_high = 0;  // measured, the squares of the same
  int assumed = 0, learned = 0, learned_n = 0;

  void add_assumed(double low, double mid_, double high);
  void add_measured(double value, double distance);  // distance: 5 to 50 %, cut so that it never exceeds value
  void add_learned(double low, double mid_, double high, int n);
  HourSum& operator+=(const HourSum& o);
  HourSum& operator-=(const HourSum& o);
  [[nodiscard]] Estimate<Duration> estimate() const;
};

// One flight, engine run or stretch of ground handling.
struct Use {
  UtcTime at{};
  HourSum running, air, ground_handling;
  double launches = 0;
};
struct UseSum {
  HourSum running, air, ground_handling;
  double launches = 0;
  UseSum& operator+=(const UseSum& o);
  UseSum& operator-=(const UseSum& o);
};

class Timeline {
 public:
  void add(Use use) { uses_.push_back(std::move(use)); }
  void sort();  // after the last add, before the rest

  // Between two readings of the hour meter the engine ran `measured`. The recorded running in [from, to) is scaled to it, so
  // each part takes its share in proportion to recorded running while it was fitted. Where nothing was recorded the whole
  // is put just before `to`. Returns false, and changes nothing, when the meter shows less than the recorded hours can be
  // (their 5 % value). `error` is the distance from 50 to 95 % of `measured`.
  [[nodiscard]] bool correct(UtcTime from, UtcTime to, Duration measured, Duration error);
  [[nodiscard]] Duration recorded_running(UtcTime from, UtcTime to) const;
  // When the first use was; UtcTime::max() without one.
  [[nodiscard]] UtcTime first_use() const { return uses_.empty() ? UtcTime::max() : uses_.front().at; }

  void seal();  // after the last correction, before the first sum
  // Sum over [from, to). A stretch that cuts through a corrected interval carries the unexplained hours of the other piece
  // in its spread, since nobody knows on which side of the cut they were run.
  [[nodiscard]] UseSum sum(UtcTime from, UtcTime to) const;

 private:
  struct Corrected {
    UtcTime from{}, to{};
    double unexplained = 0;  // measured minus recorded [s]
    double measured = 0;
  };
  [[nodiscard]] std::size_t index(UtcTime t) const;
  [[nodiscard]] UseSum between(std::size_t first, std::size_t last) const;

  std::vector<Use> uses_, unrecorded_;
  std::vector<UseSum> before_;  // before_[i]: sum of uses_[0, i)
  std::vector<Corrected> corrected_;
};

}  // namespace headroom
