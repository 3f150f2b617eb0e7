#include "core/book/same_flight.h"

#include <algorithm>
#include <numeric>
#include <tuple>

#include "core/track/path.h"

namespace headroom {

namespace {

constexpr double kShareOfPath = 0.5, kShareByTimes = 0.9;
constexpr Length kSamePlace = metres(50);

// Overlap as a share of the longer of the two, so that each shares at least as much of its own time.
double shared_time(const FlightState& a, const FlightState& b) {
  const Duration overlap = duration_between(std::max(a.launch, b.launch), std::min(a.landing, b.landing));
  const Duration longer = std::max(duration_between(a.launch, a.landing), duration_between(b.launch, b.landing));
  if (!(overlap > Duration{}) || !(longer > Duration{})) return 0;
  return overlap / longer;
}

bool by_writing(const FlightSeen& a, const FlightSeen& b) {
  return std::tie(a.flight->written, a.flight->id) < std::tie(b.flight->written, b.flight->id);
}

}  // namespace

SameFlightBasis same_flight(const FlightSeen& first, const FlightSeen& later) {
  const auto &x = *first.flight, &y = *later.flight;
  const double shared = shared_time(x, y);
  if (!(shared > 0)) return SameFlightBasis::none;
  if (x.recording != Hash{} && x.recording == y.recording) return SameFlightBasis::recording;
  if (!first.path.empty() && !later.path.empty()) {
    const auto overlap = compare_paths(first.path, x.launch, later.path, y.launch);
    if (overlap.shared > Duration{}) {
      const bool same = overlap.shared >= y.air_time * kShareOfPath && overlap.median_separation < kSamePlace;
      return same ? SameFlightBasis::path : SameFlightBasis::none;
    }
  }
  const bool same_people = x.machine == y.machine && x.pilot == y.pilot && x.machine != EntryId{};
  return same_people && shared >= kShareByTimes ? SameFlightBasis::times : SameFlightBasis::none;
}

SameFlights find_same_flights(const std::vector<FlightSeen>& by_launch) {
  SameFlights out;
  struct Overlap {
    std::uint32_t later, earlier;  // by writing
    bool operator<(const Overlap& o) const { return std::tie(later, earlier) < std::tie(o.later, o.earlier); }
  };
  std::vector<std::uint32_t> active;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> pairs;
  for (std::uint32_t i = 0; i < by_launch.size(); ++i) {
    const auto& f = *by_launch[i].flight;
    std::erase_if(active, [&](std::uint32_t j) { return by_launch[j].flight->landing <= f.launch; });
    for (const auto j : active) pairs.emplace_back(j, i);
    active.push_back(i);
  }
  if (pairs.empty()) return out;

  // Only flights that overlap another matter from here on; rank them by (written, id).
  std::vector<std::uint32_t> order;
  for (const auto& [a, b] : pairs) {
    order.push_back(a);
    order.push_back(b);
  }
  std::sort(order.begin(), order.end());
  order.erase(std::unique(order.begin(), order.end()), order.end());
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) { return by_writing(by_launch[a], by_launch[b]); });
  std::vector<std::uint32_t> rank(by_launch.size(), 0);
  for (std::uint32_t r = 0; r < order.size(); ++r) rank[order[r]] = r;
  std::vector<Overlap> overlaps;
  overlaps.reserve(pairs.size());
  for (const auto& [a, b] : pairs) overlaps.push_back({std::max(rank[a], rank[b]), std::min(rank[a], rank[b])});
  std::sort(overlaps.begin(), overlaps.end());

  std::vector<bool> counts(order.size(), true);
  for (std::size_t k = 0; k < overlaps.size();) {
    const auto later = overlaps[k].later;
    std::vector<FlightPair> doubtful;
    for (; k < overlaps.size() && overlaps[k].later == later; ++k) {
      const auto earlier = overlaps[k].earlier;
      if (!counts[earlier] || !counts[later]) continue;
      const FlightPair pair{order[earlier], order[later], same_flight(by_launch[order[earlier]], by_launch[order[later]])};
      if (pair.basis != SameFlightBasis::none) {
        out.duplicates.push_back(pair);
        counts[later] = false;
      } else if (by_launch[pair.first].flight->machine == by_launch[pair.second].flight->machine) {
        doubtful.push_back(pair);
      }
    }
    if (counts[later]) out.overlapping.insert(out.overlapping.end(), doubtful.begin(), doubtful.end());
  }
  return out;
}

}  // namespace headroom
