#include "app/head_history.h"

#include <algorithm>
#include <cmath>

#include "core/learn/priors.h"

namespace headroom {

namespace {

constexpr double kDeviationsOfMedian = 1.4826;  // of a normal distribution: its standard deviation over its median deviation

// The k-th smallest of |v - middle|, v in order: the nearest ones lie on both sides of the middle, each side in order.
double kth_deviation(const std::vector<double>& sorted, double middle, std::size_t k) {
  const auto right_of = static_cast<std::size_t>(std::lower_bound(sorted.begin(), sorted.end(), middle) - sorted.begin());
  const auto left = [&](std::size_t i) { return middle - sorted[right_of - 1 - i]; };
  const auto right = [&](std::size_t i) { return sorted[right_of + i] - middle; };
  const std::size_t lefts = right_of, rights = sorted.size() - right_of;
  // How many of the k nearest are on the left: the least count of which the next one is farther than what the right gives.
  std::size_t low = k + 1 > rights ? k + 1 - rights : 0, high = std::min(k + 1, lefts);
  while (low < high) {
    const auto half = low + (high - low) / 2;
    if (left(half) < right(k - half))
      low = half + 1;
    else
      high = half;
  }
  const std::size_t from_right = k + 1 - low;
  double out = 0;
  if (low > 0) out = left(low - 1);
  if (from_right > 0) out = std::max(out, right(from_right - 1));
  return out;
}

struct SortedUsual {
  double middle = 0, deviation = 0;
};
SortedUsual usual_of_sorted(const std::vector<double>& sorted) {
  const auto n = sorted.size();
  const bool odd = n % 2 == 1;
  SortedUsual out;
  out.middle = odd ? sorted[n / 2] : 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]);
  const double off = odd ? kth_deviation(sorted, out.middle, n / 2)
                         : 0.5 * (kth_deviation(sorted, out.middle, n / 2 - 1) + kth_deviation(sorted, out.middle, n / 2));
  out.deviation = std::max(kDeviationsOfMedian * off, kUsualLeastSpreadKelvin);
  return out;
}

const std::vector<Sample>* head_samples(const State& state) {
  const auto found = state.readings.find(std::string(kHeadMaximum));
  return found == state.readings.end() || found->second.empty() ? nullptr : &found->second;
}

}  // namespace

std::vector<HeadPoint> head_history(const State& state) {
  constexpr auto kAfter = std::chrono::hours(2);
  std::vector<HeadPoint> out;
  const auto* samples = head_samples(state);
  if (samples == nullptr) return out;
  out.reserve(samples->size());
  std::vector<double> sorted;
  sorted.reserve(samples->size());
  std::size_t flown = 0;  // flights launched by then: both lists are in order of time
  std::size_t last = state.flights.size();
  for (const Sample& s : *samples) {
    for (; flown < state.flights.size() && state.flights[flown].launch <= s.at; ++flown)
      if (state.flights[flown].counts) last = flown;
    HeadPoint p;
    p.value = kelvins(s.value);
    p.at = s.at;
    p.flight = last < state.flights.size() && s.at <= state.flights[last].landing + kAfter ? last : state.flights.size();
    p.earlier = static_cast<int>(sorted.size());
    if (p.earlier >= kUsualNeeds) {
      const auto usual = usual_of_sorted(sorted);
      p.enough = true;
      p.unusual = !(std::abs(s.value - usual.middle) <= kUsualWidth * usual.deviation);
      p.middle = kelvins(usual.middle);
      p.low = kelvins(usual.middle - kNormal95 * usual.deviation);
      p.high = kelvins(usual.middle + kNormal95 * usual.deviation);
    }
    if (std::isfinite(s.value)) sorted.insert(std::upper_bound(sorted.begin(), sorted.end(), s.value), s.value);
    out.push_back(p);
  }
  return out;
}

std::optional<UsualHead> usual_head(const State& state) {
  const auto* samples = head_samples(state);
  if (samples == nullptr || samples->size() < static_cast<std::size_t>(kUsualNeeds)) return std::nullopt;
  std::vector<double> sorted;
  for (const Sample& s : *samples)
    if (std::isfinite(s.value)) sorted.push_back(s.value);
  std::sort(sorted.begin(), sorted.end());
  const auto usual = usual_of_sorted(sorted);
  return UsualHead{kelvins(usual.middle - kNormal95 * usual.deviation), kelvins(usual.middle),
                   kelvins(usual.middle + kNormal95 * usual.deviation)};
}

}  // namespace headroom
