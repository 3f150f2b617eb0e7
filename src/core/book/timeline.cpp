#include "core/book/timeline.h"

#include <algorithm>
#include <cmath>

namespace headroom {

void HourSum::add_assumed(double low, double mid_, double high) {
  mid += mid_;
  linear_low += mid_ - low;
  linear_high += high - mid_;
  ++assumed;
}
void HourSum::add_measured(double value, double distance) {
  mid += value;
  const double below = std::min(distance, std::max(value, 0.0));
  square_low += below * below;
  square_high += distance * distance;
}
void HourSum::add_learned(double low, double mid_, double high, int n) {
  // Learned from the same few runs, the errors of many flights are one error: they add like assumed ones.
  mid += mid_;
  linear_low += mid_ - low;
  linear_high += high - mid_;
  ++learned;
  learned_n += n;
}
HourSum& HourSum::operator+=(const HourSum& o) {
  mid += o.mid;
  linear_low += o.linear_low;
  linear_high += o.linear_high;
  square_low += o.square_low;
  square_high += o.square_high;
  assumed += o.assumed;
  learned += o.learned;
  learned_n += o.learned_n;
  return *this;
}
HourSum& HourSum::operator-=(const HourSum& o) {
  mid -= o.mid;
  linear_low -= o.linear_low;
  linear_high -= o.linear_high;
  square_low -= o.square_low;
  square_high -= o.square_high;
  assumed -= o.assumed;
  learned -= o.learned;
  learned_n -= o.learned_n;
  return *this;
}
Estimate<Duration> HourSum::estimate() const {
  // Differences of prefix sums leave rounding dust of either sign; it is wiped, not hidden: 1e-6 s is far below any hour.
  const auto clean = [](double v) { return v > 1e-6 ? v : 0.0; };
  const double m = clean(mid);
  const double low = clean(linear_low) + std::sqrt(clean(square_low));
  const double high = clean(linear_high) + std::sqrt(clean(square_high));
  const Basis basis = assumed > 0 ? headroom::assumed() : learned > 0 ? learned_from(learned_n / learned) : measured();
  return {seconds(std::max(m - low, 0.0)), seconds(m), seconds(m + high), basis, {}};
}

UseSum& UseSum::operator+=(const UseSum& o) {
  running += o.running;
  air += o.air;
  ground_handling += o.ground_handling;
  launches += o.launches;
  return *this;
}
UseSum& UseSum::operator-=(const UseSum& o) {
  running -= o.running;
  air -= o.air;
  ground_handling -= o.ground_handling;
  launches -= o.launches;
  return *this;
}

void Timeline::sort() {
  const auto before = [](const Use& a, const Use& b) { return a.at < b.at; };
  if (!std::is_sorted(uses_.begin(), uses_.end(), before)) std::stable_sort(uses_.begin(), uses_.end(), before);
}

std::size_t Timeline::index(UtcTime t) const {
  const auto it = std::lower_bound(uses_.begin(), uses_.end(), t, [](const Use& u, UtcTime at) { return u.at < at; });
  return static_cast<std::size_t>(it - uses_.begin());
}

Duration Timeline::recorded_running(UtcTime from, UtcTime to) const {
  double total = 0;
  for (std::size_t i = index(from); i < uses_.size() && uses_[i].at < to; ++i) total += uses_[i].running.mid;
  return seconds(total);
}

bool Timeline::correct(UtcTime from, UtcTime to, Duration measured, Duration error) {
  HourSum recorded;
  const std::size_t first = index(from), last = index(to);
  for (std::size_t i = first; i < last; ++i) recorded += uses_[i].running;
  const double run = in_seconds(measured), dev = in_seconds(error);
  if (run + dev < in_seconds(recorded.estimate().low)) return false;
  if (!(recorded.mid > 0)) {
    if (run > 0) {
      Use use;
      use.at = std::max(from, to - std::chrono::milliseconds(1));
      use.running.add_measured(run, dev);
      unrecorded_.push_back(use);
    }
    return true;
  }
  const double factor = run / recorded.mid;
  for (std::size_t i = first; i < last; ++i) {
    const double scaled = uses_[i].running.mid * factor;
    uses_[i].running = {};
    // The meter's error belongs to the whole interval; each use takes its share of the square.
    uses_[i].running.add_measured(scaled, run > 0 ? dev * std::sqrt(scaled / run) : 0);
  }
  corrected_.push_back({from, to, run - recorded.mid, run});
  return true;
}

void Timeline::seal() {
  if (!unrecorded_.empty()) {
    uses_.insert(uses_.end(), unrecorded_.begin(), unrecorded_.end());
    unrecorded_.clear();
    sort();
  }
  std::sort(corrected_.begin(), corrected_.end(), [](const Corrected& a, const Corrected& b) { return a.from < b.from; });
  before_.assign(uses_.size() + 1, {});
  for (std::size_t i = 0; i < uses_.size(); ++i) {
    before_[i + 1] = before_[i];
    before_[i + 1] += UseSum{uses_[i].running, uses_[i].air, uses_[i].ground_handling, uses_[i].launches};
  }
}

UseSum Timeline::between(std::size_t first, std::size_t last) const {
  if (first >= last) return {};
  UseSum total = before_[last];
  total -= before_[first];
  return total;
}

UseSum Timeline::sum(UtcTime from, UtcTime to) const {
  if (!(from < to)) return {};
  UseSum total = between(index(from), index(to));
  for (const auto& c : corrected_) {
    if (c.to <= from || c.from >= to || (from <= c.from && c.to <= to)) continue;  // outside, or wholly inside
    const double inside = between(index(std::max(from, c.from)), index(std::min(to, c.to))).running.mid;
    const double share = c.measured > 0 ? inside / c.measured : 0;
    const double more = c.unexplained > 0 ? c.unexplained * (1 - share) : -c.unexplained * share;
    const double less = c.unexplained > 0 ? c.unexplained * share : -c.unexplained * (1 - share);
    total.running.linear_high += more;
    total.running.linear_low += std::min(less, inside);
    ++total.running.assumed;
  }
  return total;
}

}  // namespace headroom
