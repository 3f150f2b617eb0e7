#include "core/planning/walk.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom {
namespace {

struct Spot {
  double e = 0, n = 0;
};
Spot operator-(Spot a, Spot b) {
  return {a.e - b.e, a.n - b.n};
}
double cross(Spot a, Spot b) {
  return a.e * b.n - a.n * b.e;
}
double dot(Spot a, Spot b) {
  return a.e * b.e + a.n * b.n;
}
double apart(Spot a, Spot b) {
  return std::hypot(a.e - b.e, a.n - b.n);
}

// ---- the longest straight

constexpr double kOnLine_m = 1e-6;

// How often the ring goes round p, counted with its sense; on the ring itself: not zero.
bool inside_ring(const std::vector<Spot>& ring, Spot p) {
  int winding = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Spot a = ring[i], b = ring[(i + 1) % ring.size()];
    const Spot along = b - a;
    const double length = std::hypot(along.e, along.n);
    const double side = cross(along, p - a);
    const double t = dot(along, p - a);
    if (std::abs(side) <= kOnLine_m * length && t >= -kOnLine_m * length && t <= length * (length + kOnLine_m)) return true;
    if (a.n <= p.n && b.n > p.n && side > 0) ++winding;
    if (a.n > p.n && b.n <= p.n && side < 0) --winding;
  }
  return winding != 0;
}

// Where the line from `at` along the unit vector `way` meets the ring, as distances from `at`, in order.
void meetings(const std::vector<Spot>& ring, Spot at, Spot way, std::vector<double>& out) {
  out.clear();
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Spot a = ring[i] - at, b = ring[(i + 1) % ring.size()] - at;
    const double da = cross(way, a), db = cross(way, b);
    const bool on_a = std::abs(da) <= kOnLine_m, on_b = std::abs(db) <= kOnLine_m;
    if (on_a) out.push_back(dot(way, a));
    if (!on_a && !on_b && (da < 0) != (db < 0)) out.push_back(dot(way, a) + (dot(way, b) - dot(way, a)) * da / (da - db));
  }
  std::sort(out.begin(), out.end());
}

double twice_area(const std::vector<Spot>& ring) {
  double sum = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) sum += cross(ring[i], ring[(i + 1) % ring.size()]);
  return sum;
}

// ---- from fixes to a path

struct Step {
  double t = 0;  // seconds from the first fix
  Spot at;
  std::size_t fix = 0;
};

double fast_share(const std::vector<Step>& steps, double& usual_fast) {
  constexpr double kOver_s = 10;
  double fast = 0, all = 0;
  std::vector<double> speeds;
  std::size_t j = 0;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    while (j < steps.size() && steps[j].t - steps[i].t < kOver_s) ++j;
    if (j >= steps.size()) break;
    const double v = apart(steps[i].at, steps[j].at) / (steps[j].t - steps[i].t);
    const double weight = std::min(steps[i + 1].t - steps[i].t, kOver_s);
    all += weight;
    if (v > kFootSpeedMax_m_s) {
      fast += weight;
      speeds.push_back(v);
    }
  }
  if (!speeds.empty()) {
    std::nth_element(speeds.begin(), speeds.begin() + static_cast<std::ptrdiff_t>(speeds.size() / 2), speeds.end());
    usual_fast = speeds[speeds.size() / 2];
  }
  return all > 0 ? fast / all : 0;
}

// The most fixes a walker can have come by one after another. Looks back over 60 fixes, which bounds the work on rubbish.
std::vector<Step> reachable(const std::vector<Step>& steps) {
  constexpr std::size_t kBack = 60;
  const double slack = 4 * kReceiverSpread_m;
  std::vector<std::size_t> from(steps.size()), count(steps.size(), 1);
  std::size_t best = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    from[i] = i;
    for (std::size_t j = i; j-- > 0 && i - j <= kBack;) {
      if (count[j] + 1 <= count[i]) continue;
      if (apart(steps[i].at, steps[j].at) > kFootSpeedMax_m_s * (steps[i].t - steps[j].t) + slack) continue;
      count[i] = count[j] + 1;
      from[i] = j;
    }
    if (count[i] > count[best]) best = i;
  }
  std::vector<Step> kept;
  for (std::size_t i = best;; i = from[i]) {
    kept.push_back(steps[i]);
    if (from[i] == i) break;
  }
  std::reverse(kept.begin(), kept.end());
  return kept;
}

// Running mean over 7 s. `scatter`: standard deviation of the fixes about it along one direction, set right for the share of a
// fix in its own mean; 0 where single fixes stand alone.
std::vector<Spot> smoothed_path(const std::vector<Step>& steps, double& scatter) {
  constexpr double kHalf_s = 3.5;
  std::vector<Spot> path;
  path.reserve(steps.size());
  double squares = 0, freedom = 0;
  std::size_t begin = 0, end = 0;
  Spot sum;
  for (const Step& s : steps) {
    while (end < steps.size() && steps[end].t <= s.t + kHalf_s) {
      sum = {sum.e + steps[end].at.e, sum.n + steps[end].at.n};
      ++end;
    }
    while (steps[begin].t < s.t - kHalf_s) {
      sum = {sum.e - steps[begin].at.e, sum.n - steps[begin].at.n};
      ++begin;
    }
    const auto count = static_cast<double>(end - begin);
    const Spot mean{sum.e / count, sum.n / count};
    path.push_back(mean);
    squares += dot(s.at - mean, s.at - mean) / 2;
    freedom += 1 - 1 / count;
  }
  scatter = freedom > 10 ? std::sqrt(squares / freedom) : 0;
  return path;
}

// Points at least `step` apart; standing still becomes one point.
std::vector<Spot> thinned(const std::vector<Spot>& path, double step) {
  std::vector<Spot> out;
  for (const Spot& p : path)
    if (out.empty() || apart(out.back(), p) >= step) out.push_back(p);
  return out;
}

double way_length(const std::vector<Spot>& path) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < path.size(); ++i) sum += apart(path[i], path[i + 1]);
  return sum;
}

// ---- along one line

struct Axis {
  Spot middle, way;          // unit vector
  double low = 0, high = 0;  // along it, from the middle
  double beside = 0;         // nine tenths of the path are within this of it
};

Axis axis_of(const std::vector<Spot>& path) {
  Axis axis;
  for (const Spot& p : path) axis.middle = {axis.middle.e + p.e, axis.middle.n + p.n};
  const auto count = static_cast<double>(path.size());
  axis.middle = {axis.middle.e / count, axis.middle.n / count};
  double ee = 0, nn = 0, en = 0;
  for (const Spot& p : path) {
    const Spot d = p - axis.middle;
    ee += d.e * d.e;
    nn += d.n * d.n;
    en += d.e * d.n;
  }
  const double angle = 0.5 * std::atan2(2 * en, ee - nn);
  axis.way = {std::cos(angle), std::sin(angle)};
  std::vector<double> off;
  for (const Spot& p : path) {
    const double along = dot(axis.way, p - axis.middle);
    axis.low = std::min(axis.low, along);
    axis.high = std::max(axis.high, along);
    off.push_back(std::abs(cross(axis.way, p - axis.middle)));
  }
  const auto ninth = off.begin() + static_cast<std::ptrdiff_t>(off.size() * 9 / 10);
  std::nth_element(off.begin(), ninth, off.end());
  axis.beside = *ninth;
  return axis;
}

// ---- round the edge

// What was walked twice at the two ends of the loop is dropped: the later passing of the same place closes it.
std::vector<Spot> closed_at_overlap(const std::vector<Spot>& path, double& gap) {
  const std::size_t half = path.size() / 2;
  std::size_t near_end = 0, near_start = path.size() - 1;
  for (std::size_t i = 0; i < half; ++i)
    if (apart(path[i], path.back()) < apart(path[near_end], path.back())) near_end = i;
  for (std::size_t i = half; i < path.size(); ++i)
    if (apart(path[i], path.front()) < apart(path[near_start], path.front())) near_start = i;
  const double by_end = apart(path[near_end], path.back()), by_start = apart(path[near_start], path.front());
  gap = std::min(by_end, by_start);
  // Ends that lie apart are an open walk, whose whole length is the edge.
  if (gap > 2 * kEndSpreads * kReceiverSpread_m) {
    gap = apart(path.front(), path.back());
    return path;
  }
  if (by_end <= by_start) return {path.begin() + static_cast<std::ptrdiff_t>(near_end), path.end()};
  return {path.begin(), path.begin() + static_cast<std::ptrdiff_t>(near_start) + 1};
}

// Cuts ways out and back on nearly the same line (to the gate, to the car): stretches of the ring whose ends are within
// `width` and which enclose less than a lane of that width. A corner sharper than 29 degrees is cut where it gets as narrow.
std::vector<Spot> without_ways_out_and_back(std::vector<Spot> ring, double width) {
  for (int round = 0; round < 12 && ring.size() >= 8; ++round) {
    const std::size_t n = ring.size();
    std::vector<double> way(2 * n + 1), swept(2 * n + 1);
    for (std::size_t k = 0; k < 2 * n; ++k) {
      way[k + 1] = way[k] + apart(ring[k % n], ring[(k + 1) % n]);
      swept[k + 1] = swept[k] + cross(ring[k % n], ring[(k + 1) % n]);
    }
    std::size_t first = 0, last = 0;
    double longest = 2 * width;
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = i + 2; j < i + n && way[j] - way[i] <= way[n] / 2; ++j) {
        const double stretch = way[j] - way[i], across = apart(ring[i], ring[j % n]);
        if (stretch <= longest || across > width || stretch < 4 * across) continue;
        if (std::abs(swept[j] - swept[i] + cross(ring[j % n], ring[i])) > width * stretch) continue;
        longest = stretch;
        first = i;
        last = j;
      }
    if (first == last) break;
    std::vector<Spot> kept;
    for (std::size_t k = last; k <= first + n; ++k) kept.push_back(ring[k % n]);
    ring = std::move(kept);
  }
  return ring;
}

// Corners of the ring such that no point of it is farther than `within` from the lines between them.
// Douglas and Peucker, Cartographica 10 (1973) 112-122 (from memory).
void keep_corners(const std::vector<Spot>& ring, std::size_t first, std::size_t last, double within, std::vector<Spot>& out) {
  const std::size_t n = ring.size();
  const Spot a = ring[first], b = ring[last % n];
  const double length = apart(a, b);
  std::size_t farthest = first;
  double most = within;
  for (std::size_t k = first + 1; k < last; ++k) {
    const Spot p = ring[k];
    double away = apart(a, p);
    if (length > 0) {
      const double t = std::clamp(dot(b - a, p - a) / (length * length), 0.0, 1.0);
      away = apart(p, {a.e + t * (b.e - a.e), a.n + t * (b.n - a.n)});
    }
    if (away > most) {
      most = away;
      farthest = k;
    }
  }
  if (farthest == first) {
    out.push_back(a);
    return;
  }
  keep_corners(ring, first, farthest, within, out);
  keep_corners(ring, farthest, last, within, out);
}

std::vector<Spot> corners_of(const std::vector<Spot>& ring, double within) {
  constexpr std::size_t kMost = 120;
  std::size_t far = 0;
  for (std::size_t i = 0; i < ring.size(); ++i)
    if (apart(ring[0], ring[i]) > apart(ring[0], ring[far])) far = i;
  for (;; within *= 1.5) {
    std::vector<Spot> out;
    keep_corners(ring, 0, far, within, out);
    keep_corners(ring, far, ring.size(), within, out);
    if (out.size() <= kMost) return out;
  }
}

Spot centroid(const std::vector<Spot>& ring) {
  Spot sum;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Spot a = ring[i], b = ring[(i + 1) % ring.size()];
    sum = {sum.e + (a.e + b.e) * cross(a, b), sum.n + (a.n + b.n) * cross(a, b)};
  }
  const double six = 3 * twice_area(ring);
  return {sum.e / six, sum.n / six};
}

// ---- heights

double median_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

struct Rise {
  double height = 0, spread = 0;  // metres; one standard deviation
  double run = 0;                 // between the two places it was told at
};

// From the fixes about either end. Nothing when an end has fewer than 3 heights.
template <class HeightOf>
std::optional<Rise> rise_between(const std::vector<Step>& steps, Spot from, Spot to, double least_spread, HeightOf height_of) {
  const double about = std::max(12.0, 0.08 * apart(from, to));
  const Spot way = to - from;
  struct End {
    double height = 0, spread = 0, along = 0;
  };
  const auto end_at = [&](Spot end) -> std::optional<End> {
    std::vector<double> heights, alongs;
    for (const Step& s : steps) {
      if (apart(s.at, end) > about) continue;
      const auto h = height_of(s.fix);
      if (!h) continue;
      heights.push_back(*h);
      alongs.push_back(dot(way, s.at - from) / std::hypot(way.e, way.n));
    }
    if (heights.size() < 3) return std::nullopt;
    End e;
    e.height = median_of(heights);
    e.along = median_of(alongs);
    for (double& h : heights) h = std::abs(h - e.height);
    e.spread = std::max(least_spread, 1.4826 * median_of(heights));
    return e;
  };
  const auto a = end_at(from), b = end_at(to);
  if (!a || !b || !(b->along - a->along > 10)) return std::nullopt;
  return Rise{b->height - a->height, std::hypot(a->spread, b->spread), b->along - a->along};
}

double bearing_of(Spot way) {
  const double deg = std::atan2(way.e, way.n) * 180 / std::numbers::pi;
  return deg < 0 ? deg + 360 : deg;
}

// One walk, step by step.
class WalkReader {
 public:
  WalkReader(const Track& track, const Geoid* geoid) : track_(track), geoid_(geoid), frame_(track.fixes.front().position) {}

  Result<Walk> read() {
    if (auto path = find_path(); !path) return tl::unexpected<Error>(path.error());
    const double length = way_length(path_);
    const Axis axis = axis_of(path_);
    if (axis.high - axis.low < 15)
      return fail(ErrorKind::bad_input, "this recording stays within 15 m: that is no walk round a field or along a strip");
    if (axis.beside <= std::max(2 * spread_, 0.03 * (axis.high - axis.low)))
      along_line(axis);
    else if (auto edge = round_edge(length); !edge)
      return tl::unexpected<Error>(edge.error());
    walk_.spread = metres(spread_);
    say_height();
    return walk_;
  }

 private:
  Result<void> find_path() {
    std::vector<Step> steps;
    for (std::size_t i = 0; i < track_.fixes.size(); ++i) {
      const EastNorth p = frame_.to_local(track_.fixes[i].position);
      steps.push_back({in_seconds(duration_between(track_.fixes.front().time, track_.fixes[i].time)),
                       {in_metres(p.east), in_metres(p.north)},
                       i});
    }
    double usual = 0;
    const double fast = fast_share(steps, usual);
    if (fast > 0.1)
      return fail(ErrorKind::bad_input, "this was not on foot: " + std::to_string(std::lround(100 * fast)) +
                                            " % of the time faster than 3 m/s, mostly about " +
                                            std::to_string(std::lround(usual)) + " m/s; record the walk alone");
    steps_ = reachable(steps);
    walk_.fixes = steps_.size();
    walk_.set_aside = steps.size() - steps_.size();
    if (steps_.size() < 20)
      return fail(ErrorKind::bad_input,
                  "only " + std::to_string(steps_.size()) +
                      " fixes can be used; a walk needs at least 20, so let the recorder write one a second");
    double scatter = 0;
    auto path = smoothed_path(steps_, scatter);
    spread_ = std::max(kReceiverSpread_m, scatter);
    path_ = thinned(path, std::max(2.0, way_length(path) / 1500));
    double widest = 0;
    for (std::size_t i = 0; i + 1 < path_.size(); ++i) widest = std::max(widest, apart(path_[i], path_[i + 1]));
    if (widest > 30)
      walk_.remarks.push_back(Sentence("Neighbouring fixes are up to {0} apart: what the edge does between them is not known.",
                                       {exact_amount(Dimension::length, widest)}));
    return {};
  }

  void add_strip(Spot from, Spot to) {
    WalkedStrip strip;
    const double straight = apart(from, to);
    strip.straight = metres(straight);
    strip.length = metres(straight - 2 * kEndSpreads * spread_);
    if (in_metres(strip.length) < 5) {
      walk_.remarks.push_back(Sentence("The longest straight is {0}, which the spread of its ends leaves nothing of: no strip.",
                                       {exact_amount(Dimension::length, straight)}));
      return;
    }
    strip.towards_deg = bearing_of(to - from);
    strip.towards_spread_deg = std::atan(std::numbers::sqrt2 * spread_ / straight) * 180 / std::numbers::pi;
    strip.begin = position(from);
    add_slope(strip, from, to);
    walk_.strips.push_back(strip);
  }

  void add_slope(WalkedStrip& strip, Spot from, Spot to) {
    const auto pressure = [&](std::size_t i) -> std::optional<double> {
      const TrackFix& f = track_.fixes[i];
      if (!track_.has_pressure || !f.has_pressure_altitude) return std::nullopt;
      return f.pressure_altitude.si();
    };
    const auto gnss = [&](std::size_t i) -> std::optional<double> {
      const TrackFix& f = track_.fixes[i];
      if (!track_.has_gnss || !f.has_gnss_height) return std::nullopt;
      return f.gnss_height.si();
    };
    const auto by_pressure = rise_between(steps_, from, to, kBarometerSpread_m, pressure);
    const auto rise = by_pressure ? by_pressure : rise_between(steps_, from, to, kReceiverHeightSpread_m, gnss);
    if (!rise) {
      walk_.slope_remark = "The slope is left unsaid: there are too few heights at the two ends.";
      return;
    }
    if (!by_pressure && std::abs(rise->height) <= kEndSpreads * rise->spread) {
      walk_.slope_remark =
          "The slope is left unsaid: the heights are those of the receiver, and its two ends differ by less than "
          "their spread.";
      return;
    }
    const double slope = rise->height / rise->run;
    if (std::abs(slope) > 0.3) {
      walk_.slope_remark = "The slope is left unsaid: the heights give more than 30 %.";
      return;
    }
    strip.slope = slope;
    strip.slope_spread = kEndSpreads * rise->spread / rise->run;
    walk_.slope_remark = by_pressure ? "The slope is from the recording's pressure heights."
                                     : "The slope is from the receiver's heights, whose difference stands clear of their spread.";
  }

  void along_line(const Axis& axis) {
    walk_.kind = WalkKind::line;
    // The way out: from where the walk began to its far end.
    const double begin = dot(axis.way, path_.front() - axis.middle);
    const bool upward = axis.high - begin >= begin - axis.low;
    const auto on_axis = [&](double along) {
      return Spot{axis.middle.e + along * axis.way.e, axis.middle.n + along * axis.way.n};
    };
    const Spot low = on_axis(axis.low), high = on_axis(axis.high);
    walk_.centre = position(on_axis((axis.low + axis.high) / 2));
    add_strip(upward ? low : high, upward ? high : low);
  }

  Result<void> round_edge(double length) {
    walk_.kind = WalkKind::edge;
    double gap = 0;
    auto ring = closed_at_overlap(path_, gap);
    if (gap > 0.25 * length)
      return fail(ErrorKind::bad_input, "this walk neither closes (its ends are " + std::to_string(std::lround(gap)) +
                                            " m apart) nor keeps to one line; walk round the whole edge, or along one strip");
    walk_.gap = metres(gap);
    if (gap > 2 * kEndSpreads * kReceiverSpread_m)
      walk_.remarks.push_back(Sentence("The walk ends {0} from where it began; the edge between is taken as straight.",
                                       {exact_amount(Dimension::length, gap)}));
    ring = without_ways_out_and_back(std::move(ring), 2 * spread_);
    const auto corners = corners_of(ring, spread_ / 2);
    std::vector<EastNorth> polygon;
    for (const Spot& c : corners) polygon.push_back({metres(c.e), metres(c.n)});
    const auto straight = longest_straight(polygon);
    const double area = std::abs(twice_area(ring)) / 2;
    if (!straight || area < 100)
      return fail(ErrorKind::bad_input,
                  "this walk goes round less than 100 m2 and keeps to no line; walk round the whole edge, "
                  "or along one strip");
    walk_.area = Area::from_si(area);
    // Errors a minute's walk apart (84 m) are taken as independent: an assumption, no source.
    ring.push_back(ring.front());
    walk_.area_spread = Area::from_si(spread_ * std::sqrt(84 * way_length(ring)));
    walk_.centre = position(centroid(corners));
    const Spot from{in_metres(straight->from.east), in_metres(straight->from.north)};
    const Spot to{in_metres(straight->to.east), in_metres(straight->to.north)};
    add_strip(from, to);
    if (!walk_.strips.empty()) add_strip(to, from);
    if (walk_.strips.size() == 2 && walk_.strips[0].towards_deg > walk_.strips[1].towards_deg)
      std::swap(walk_.strips[0], walk_.strips[1]);
    return {};
  }

  void say_height() {
    std::vector<double> sea, pressure;
    bool gnss = false;
    for (const Step& s : steps_) {
      const TrackFix& f = track_.fixes[s.fix];
      if (track_.has_pressure && f.has_pressure_altitude) pressure.push_back(f.pressure_altitude.si());
      if (!track_.has_gnss || !f.has_gnss_height) continue;
      gnss = true;
      if (const auto msl = altitude_msl(f.gnss_height, track_.gnss_datum, f.position, geoid_)) sea.push_back(msl->si());
    }
    if (!pressure.empty()) walk_.pressure_height = PressureAltitude::from_si(median_of(pressure));
    if (!sea.empty()) {
      walk_.height = AltitudeMsl::from_si(median_of(sea));
      walk_.height_remark =
          "The height is the median of " + std::to_string(sea.size()) + " heights of the receiver, above sea level";
      const auto doubt = datum_doubt(track_.gnss_datum, walk_.centre, geoid_);
      walk_.height_remark += doubt.empty() ? "." : "; " + doubt + ".";
    } else if (gnss) {
      walk_.height_remark =
          "No height above sea level: the recorder's heights count from the ellipsoid, and no geoid is installed.";
    } else if (walk_.pressure_height) {
      walk_.height_remark = "No height above sea level: the recording has pressure heights alone, which follow the weather.";
    } else {
      walk_.height_remark = "No height: the recording has none.";
    }
  }

  [[nodiscard]] GeoPosition position(Spot p) const { return frame_.to_position({metres(p.e), metres(p.n)}); }

  const Track& track_;
  const Geoid* geoid_;
  LocalFrame frame_;
  std::vector<Step> steps_;
  std::vector<Spot> path_;
  double spread_ = kReceiverSpread_m;
  Walk walk_;
};

}  // namespace

std::optional<Straight> longest_straight(const std::vector<EastNorth>& polygon) {
  std::vector<Spot> ring;
  for (const EastNorth& p : polygon) {
    const Spot spot{in_metres(p.east), in_metres(p.north)};
    if (ring.empty() || apart(ring.back(), spot) > kOnLine_m) ring.push_back(spot);
  }
  while (ring.size() > 1 && apart(ring.front(), ring.back()) <= kOnLine_m) ring.pop_back();
  if (ring.size() < 3 || twice_area(ring) == 0) return std::nullopt;
  std::optional<Straight> best;
  double longest = 0;
  std::vector<double> met;
  for (std::size_t i = 0; i < ring.size(); ++i)
    for (std::size_t j = i + 1; j < ring.size(); ++j) {
      const double length = apart(ring[i], ring[j]);
      if (length <= kOnLine_m) continue;
      const Spot way{(ring[j].e - ring[i].e) / length, (ring[j].n - ring[i].n) / length};
      meetings(ring, ring[i], way, met);
      if (met.empty() || met.back() - met.front() <= longest) continue;
      const auto on_line = [&](double t) { return Spot{ring[i].e + t * way.e, ring[i].n + t * way.n}; };
      // Stretches between meetings, joined while they are inside.
      double begin = met.front();
      for (std::size_t k = 0; k + 1 < met.size(); ++k) {
        if (met[k + 1] - met[k] > kOnLine_m && !inside_ring(ring, on_line((met[k] + met[k + 1]) / 2))) {
          begin = met[k + 1];
          continue;
        }
        if (met[k + 1] - begin <= longest) continue;
        longest = met[k + 1] - begin;
        const Spot from = on_line(begin), to = on_line(met[k + 1]);
        best = Straight{{metres(from.e), metres(from.n)}, {metres(to.e), metres(to.n)}, metres(longest)};
      }
    }
  return best;
}

Result<Walk> read_walk(const Track& track, const Geoid* geoid) {
  if (track.fixes.size() < 20)
    return fail(ErrorKind::bad_input, "only " + std::to_string(track.fixes.size()) +
                                          " fixes; a walk needs at least 20, so let the recorder write one a second");
  return WalkReader(track, geoid).read();
}

}  // namespace headroom
