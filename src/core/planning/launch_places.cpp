#include "core/planning/launch_places.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

double middle_value(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

// Which launches belong together, by a forest of parents.
class Linked {
 public:
  explicit Linked(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), std::size_t{0}); }
  std::size_t root(std::size_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  // The smaller index stays the root, so that the order of launches decides and nothing else.
  void join(std::size_t a, std::size_t b) {
    a = root(a);
    b = root(b);
    parent_[std::max(a, b)] = std::min(a, b);
  }

 private:
  std::vector<std::size_t> parent_;
};

UsualDirection direction_of(const std::vector<double>& group) {
  constexpr double kRad = std::numbers::pi / 180;
  double s = 0, c = 0;
  for (const double d : group) {
    s += std::sin(d * kRad);
    c += std::cos(d * kRad);
  }
  UsualDirection out;
  out.launches = group.size();
  out.towards_deg = std::fmod(std::atan2(s, c) / kRad + 360, 360);
  const double r = std::min(1.0, std::hypot(s, c) / static_cast<double>(group.size()));
  out.spread_deg = r > 1e-9 ? std::sqrt(std::max(0.0, -2 * std::log(r))) / kRad : 180;
  return out;
}

LaunchPlace place_of(const std::vector<LaunchSeen>& all, std::vector<std::size_t> members) {
  LaunchPlace place;
  const LocalFrame frame(all[members.front()].position);
  std::vector<double> east, north, heights, rooms, towards;
  for (const std::size_t i : members) {
    const EastNorth p = frame.to_local(all[i].position);
    east.push_back(in_metres(p.east));
    north.push_back(in_metres(p.north));
    if (all[i].height) heights.push_back(all[i].height->si());
    if (all[i].room_used) rooms.push_back(in_metres(*all[i].room_used));
    if (all[i].towards_deg) towards.push_back(*all[i].towards_deg);
  }
  place.position = frame.to_position({metres(middle_value(east)), metres(middle_value(north))});
  place.heights = heights.size();
  place.rooms = rooms.size();
  if (!heights.empty()) place.height = AltitudeMsl::from_si(middle_value(heights));
  if (!rooms.empty()) place.room_used = metres(middle_value(rooms));
  place.directions = usual_directions(towards);
  place.launches = std::move(members);
  return place;
}

}  // namespace

std::vector<UsualDirection> usual_directions(const std::vector<double>& towards_deg) {
  std::vector<double> sorted;
  for (const double d : towards_deg) sorted.push_back(std::fmod(std::fmod(d, 360) + 360, 360));
  if (sorted.empty()) return {};
  std::sort(sorted.begin(), sorted.end());
  std::vector<UsualDirection> out;
  while (!sorted.empty()) {
    const std::size_t n = sorted.size();
    const auto from_first = [&](std::size_t first, std::size_t k) {
      return std::fmod(sorted[(first + k) % n] - sorted[first] + 360, 360);
    };
    std::size_t best = 0, most = 0, count = 1;
    for (std::size_t first = 0; first < n; ++first) {
      count = first == 0 ? 1 : std::max<std::size_t>(count - 1, 1);
      while (count < n && from_first(first, count) <= kDirectionWidth_deg) ++count;
      if (count <= most) continue;
      most = count;
      best = first;
    }
    std::rotate(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(best), sorted.end());
    const auto end = sorted.begin() + static_cast<std::ptrdiff_t>(most);
    out.push_back(direction_of({sorted.begin(), end}));
    sorted.erase(sorted.begin(), end);
    std::sort(sorted.begin(), sorted.end());
  }
  return out;
}

std::vector<LaunchPlace> launch_places(const std::vector<LaunchSeen>& launches) {
  std::vector<std::size_t> by_latitude(launches.size());
  std::iota(by_latitude.begin(), by_latitude.end(), std::size_t{0});
  std::sort(by_latitude.begin(), by_latitude.end(),
            [&](std::size_t a, std::size_t b) { return launches[a].position.latitude_deg < launches[b].position.latitude_deg; });
  Linked linked(launches.size());
  // A degree of latitude is at least 110.5 km.
  constexpr double kReach_deg = kSamePlace_m / 110500;
  for (std::size_t x = 0; x < by_latitude.size(); ++x)
    for (std::size_t y = x + 1; y < by_latitude.size(); ++y) {
      const GeoPosition a = launches[by_latitude[x]].position, b = launches[by_latitude[y]].position;
      if (b.latitude_deg - a.latitude_deg > kReach_deg) break;
      if (linked.root(by_latitude[x]) == linked.root(by_latitude[y])) continue;
      if (in_metres(short_distance(a, b)) <= kSamePlace_m) linked.join(by_latitude[x], by_latitude[y]);
    }
  std::map<std::size_t, std::vector<std::size_t>> members;
  for (std::size_t i = 0; i < launches.size(); ++i) members[linked.root(i)].push_back(i);
  std::vector<LaunchPlace> places;
  for (auto& [root, list] : members) places.push_back(place_of(launches, std::move(list)));
  std::stable_sort(places.begin(), places.end(),
                   [](const LaunchPlace& a, const LaunchPlace& b) { return a.launches.size() > b.launches.size(); });
  return places;
}

}  // namespace headroom
