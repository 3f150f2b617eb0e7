#include "core/track/path.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

using std::chrono::milliseconds;
constexpr std::string_view kDigits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

void put_number(std::string& out, std::uint64_t n) {
  do {
    const auto digit = static_cast<std::size_t>(n & 31U);
    n >>= 5U;
    out.push_back(kDigits[n != 0 ? digit + 32 : digit]);
  } while (n != 0);
}
void put_step(std::string& out, std::int64_t n) {
  put_number(out, (static_cast<std::uint64_t>(n) << 1U) ^ static_cast<std::uint64_t>(n >> 63));
}

std::array<std::int8_t, 256> digit_values() {
  std::array<std::int8_t, 256> v{};
  v.fill(-1);
  for (std::size_t i = 0; i < kDigits.size(); ++i) v[static_cast<unsigned char>(kDigits[i])] = static_cast<std::int8_t>(i);
  return v;
}

// At most 10 digits (50 bits): more is no number of ours.
std::optional<std::uint64_t> take_number(std::string_view& text) {
  static const auto values = digit_values();
  std::uint64_t n = 0;
  for (unsigned shift = 0; shift < 50; shift += 5) {
    if (text.empty()) return std::nullopt;
    const int digit = values[static_cast<unsigned char>(text.front())];
    if (digit < 0) return std::nullopt;
    text.remove_prefix(1);
    n |= static_cast<std::uint64_t>(digit & 31) << shift;
    if (digit < 32) return n;
  }
  return std::nullopt;
}
std::int64_t unzigzag(std::uint64_t n) {
  return static_cast<std::int64_t>(n >> 1U) ^ -static_cast<std::int64_t>(n & 1U);
}

GeoPosition between(const PathPoint& a, const PathPoint& b, UtcTime t) {
  const auto span = static_cast<double>((b.time - a.time).count());
  const double f = span > 0 ? static_cast<double>((t - a.time).count()) / span : 0;
  double lon = a.position.longitude_deg + f * longitude_difference(a.position.longitude_deg, b.position.longitude_deg);
  if (lon > 180) lon -= 360;
  if (lon < -180) lon += 360;
  return {a.position.latitude_deg + f * (b.position.latitude_deg - a.position.latitude_deg), lon};
}

// Walks forward through a path; where() asks must not go back in time.
class PathReader {
 public:
  explicit PathReader(const std::vector<PathPoint>& points) : points_(points) {}
  std::optional<GeoPosition> where(UtcTime t) {
    while (next_ < points_.size() && points_[next_].time < t) ++next_;
    if (next_ == points_.size()) return std::nullopt;
    if (points_[next_].time == t) return points_[next_].position;
    if (next_ == 0) return std::nullopt;
    const PathPoint &a = points_[next_ - 1], &b = points_[next_];
    if (b.time - a.time > std::chrono::seconds(kPathGap_s)) return std::nullopt;
    return between(a, b, t);
  }

 private:
  const std::vector<PathPoint>& points_;
  std::size_t next_ = 0;
};

}  // namespace

std::string encode_path(std::span<const PathPoint> fixes, UtcTime launch, UtcTime landing) {
  std::string out = "1";
  if (landing < launch) return out;
  const std::int64_t step_ms = 1000LL * (landing - launch < std::chrono::hours(1) ? kPathStepShort_s : kPathStepLong_s);
  std::int64_t last_lat = 0, last_lon = 0;
  UtcTime last{};
  std::size_t count = 0;
  const auto put = [&](UtcTime t, GeoPosition p) {
    const auto lat = static_cast<std::int64_t>(std::llround(p.latitude_deg * 1e5));
    const auto lon = static_cast<std::int64_t>(std::llround(p.longitude_deg * 1e5));
    put_number(out, static_cast<std::uint64_t>(count == 0 ? (t - launch).count() : (t - last).count() / 1000));
    put_step(out, lat - last_lat);
    put_step(out, lon - last_lon);
    last_lat = lat;
    last_lon = lon;
    last = t;
    ++count;
  };
  std::int64_t t_ms = launch.time_since_epoch().count();
  if (const std::int64_t over = ((t_ms % step_ms) + step_ms) % step_ms; over != 0) t_ms += step_ms - over;
  std::size_t next = 0;
  while (next < fixes.size() && count < kPathPointsMax) {
    const UtcTime t{milliseconds(t_ms)};
    if (t > landing) break;
    while (next < fixes.size() && fixes[next].time < t) ++next;
    if (next == fixes.size()) break;
    if (fixes[next].time == t) {
      put(t, fixes[next].position);
    } else if (next > 0 && fixes[next].time - fixes[next - 1].time <= std::chrono::seconds(kPathGap_s)) {
      put(t, between(fixes[next - 1], fixes[next], t));
    } else {  // in a gap: go on at its end
      const std::int64_t end = fixes[next].time.time_since_epoch().count();
      t_ms += std::max<std::int64_t>(0, (end - t_ms - 1) / step_ms) * step_ms;
    }
    t_ms += step_ms;
  }
  return out;
}

std::optional<std::vector<PathPoint>> decode_path(std::string_view text, UtcTime launch) {
  if (text.empty() || text.front() != '1') return std::nullopt;
  text.remove_prefix(1);
  std::vector<PathPoint> points;
  points.reserve(std::min(text.size() / 3, kPathPointsMax));
  std::int64_t lat = 0, lon = 0, t_ms = 0;
  while (!text.empty()) {
    const auto dt = take_number(text);
    const auto dlat = dt ? take_number(text) : std::nullopt;
    const auto dlon = dlat ? take_number(text) : std::nullopt;
    if (!dlon || points.size() == kPathPointsMax) return std::nullopt;
    // A year is more than any flight; the bound keeps the sums far from overflow.
    constexpr std::uint64_t year_s = 366ULL * 86400ULL;
    if (*dt > (points.empty() ? year_s * 1000 : year_s) || (!points.empty() && *dt == 0)) return std::nullopt;
    t_ms += points.empty() ? static_cast<std::int64_t>(*dt) : static_cast<std::int64_t>(*dt) * 1000;
    if (t_ms > static_cast<std::int64_t>(year_s) * 1000) return std::nullopt;
    lat += unzigzag(*dlat);
    lon += unzigzag(*dlon);
    if (std::abs(lat) > 9'000'000 || std::abs(lon) > 18'000'000) return std::nullopt;
    points.push_back({launch + milliseconds(t_ms), {static_cast<double>(lat) * 1e-5, static_cast<double>(lon) * 1e-5}});
  }
  return points;
}

PathOverlap compare_paths(std::string_view a, UtcTime a_launch, std::string_view b, UtcTime b_launch) {
  PathOverlap result;
  const auto pa = decode_path(a, a_launch), pb = decode_path(b, b_launch);
  if (!pa || !pb || pa->size() < 2 || pb->size() < 2) return result;
  result.shorter =
      std::min(duration_between(pa->front().time, pa->back().time), duration_between(pb->front().time, pb->back().time));
  // Instants of the sparser path: each stands for the time since the one before it, so no stretch counts twice.
  const bool a_sparser = pa->size() <= pb->size();
  const auto &sparse = a_sparser ? *pa : *pb, &other = a_sparser ? *pb : *pa;
  if (sparse.back().time < other.front().time || other.back().time < sparse.front().time) return result;
  PathReader reader(other);
  std::vector<double> separations;
  bool before_known = false;
  for (std::size_t i = 0; i < sparse.size(); ++i) {
    const auto q = reader.where(sparse[i].time);
    if (q) {
      separations.push_back(short_distance(sparse[i].position, *q).si());
      if (before_known && sparse[i].time - sparse[i - 1].time <= std::chrono::seconds(kPathGap_s))
        result.shared += duration_between(sparse[i - 1].time, sparse[i].time);
    }
    before_known = q.has_value();
  }
  if (separations.empty()) return result;
  const auto middle = separations.begin() + static_cast<std::ptrdiff_t>(separations.size() / 2);
  std::nth_element(separations.begin(), middle, separations.end());
  result.median_separation = metres(*middle);
  return result;
}

}  // namespace headroom
