#include "accuracy/baseline_wind.h"

#include <cmath>
#include <numbers>
#include <optional>

namespace headroom::accuracy {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kCircleWithin_s = 60, kPointsWithin_s = 180, kPlausible_m_s = 25;

double track_of(const GroundVelocity& g) {
  return std::atan2(g.east_m_s, g.north_m_s);
}

std::vector<PlainWind> held(const std::vector<std::optional<PlainWind>>& found) {
  std::vector<PlainWind> out(found.size());
  std::optional<PlainWind> last;
  for (const auto& f : found)
    if (f) {
      last = f;
      break;
    }
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (found[i]) last = found[i];
    out[i] = last.value_or(PlainWind{});
  }
  return out;
}

// For each instant the beginning of the shortest stretch up to it, at most 60 s, with a net turn of a full circle.
std::vector<std::optional<std::size_t>> circle_begins(std::span<const GroundVelocity> v) {
  std::vector<double> turned(v.size(), 0);
  for (std::size_t i = 1; i < v.size(); ++i)
    turned[i] = turned[i - 1] + std::remainder(track_of(v[i]) - track_of(v[i - 1]), kTurn);
  std::vector<std::optional<std::size_t>> out(v.size());
  for (std::size_t i = 1; i < v.size(); ++i)
    for (std::size_t j = i; j-- > 0 && v[i].time_s - v[j].time_s <= kCircleWithin_s;)
      if (std::abs(turned[i] - turned[j]) >= kTurn) {
        out[i] = j;
        break;
      }
  return out;
}

}  // namespace

std::vector<PlainWind> full_circle_mean(std::span<const GroundVelocity> v) {
  const auto begins = circle_begins(v);
  std::vector<std::optional<PlainWind>> found(v.size());
  for (std::size_t i = 0; i < v.size(); ++i) {
    if (!begins[i]) continue;
    PlainWind sum;
    double time = 0;
    for (std::size_t k = *begins[i] + 1; k <= i; ++k) {
      const double dt = v[k].time_s - v[k - 1].time_s;
      sum.east_m_s += dt * 0.5 * (v[k].east_m_s + v[k - 1].east_m_s);
      sum.north_m_s += dt * 0.5 * (v[k].north_m_s + v[k - 1].north_m_s);
      time += dt;
    }
    found[i] = PlainWind{sum.east_m_s / time, sum.north_m_s / time};
  }
  return held(found);
}

std::vector<PlainWind> three_point_circle(std::span<const GroundVelocity> v) {
  std::vector<std::optional<PlainWind>> found(v.size());
  constexpr double apart = std::numbers::pi / 2;
  const auto far = [&](std::size_t a, std::size_t b) {
    return std::abs(std::remainder(track_of(v[a]) - track_of(v[b]), kTurn)) >= apart;
  };
  for (std::size_t i = 0; i < v.size(); ++i) {
    std::optional<std::size_t> second, third;
    for (std::size_t j = i; j-- > 0 && v[i].time_s - v[j].time_s <= kPointsWithin_s && !third;) {
      if (!far(i, j)) continue;
      if (!second)
        second = j;
      else if (far(*second, j))
        third = j;
    }
    if (!third) continue;
    const double ax = v[*second].east_m_s - v[i].east_m_s, ay = v[*second].north_m_s - v[i].north_m_s;
    const double bx = v[*third].east_m_s - v[i].east_m_s, by = v[*third].north_m_s - v[i].north_m_s;
    const double d = 2 * (ax * by - ay * bx);
    if (std::abs(d) < 1) continue;
    const double a2 = ax * ax + ay * ay, b2 = bx * bx + by * by;
    const PlainWind centre{v[i].east_m_s + (by * a2 - ay * b2) / d, v[i].north_m_s + (ax * b2 - bx * a2) / d};
    if (std::hypot(centre.east_m_s, centre.north_m_s) <= kPlausible_m_s) found[i] = centre;
  }
  return held(found);
}

std::vector<bool> circle_flown(std::span<const GroundVelocity> v) {
  const auto begins = circle_begins(v);
  std::vector<bool> out(v.size(), false);
  bool flown = false;
  for (std::size_t i = 0; i < v.size(); ++i) {
    flown = flown || begins[i].has_value();
    out[i] = flown;
  }
  return out;
}

}  // namespace headroom::accuracy
