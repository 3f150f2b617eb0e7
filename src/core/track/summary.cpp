#include "core/track/summary.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

// Time-weighted quantiles of a rate, to 0.01 m/s, from a histogram: one pass, whatever the length.
class RateQuantiles {
 public:
  RateQuantiles(double low, double high) : low_(low), bins_(static_cast<std::size_t>((high - low) * kPerUnit) + 2) {}
  void add(double value, double weight) {
    const double bin = std::clamp((value - low_) * kPerUnit, 0.0, static_cast<double>(bins_.size() - 1));
    bins_[static_cast<std::size_t>(bin)] += static_cast<float>(weight);
    total_ += weight;
  }
  // The value at which the summed weight first reaches q of the whole.
  [[nodiscard]] Speed at(double q) const {
    double sum = 0;
    for (std::size_t i = 0; i < bins_.size(); ++i) {
      sum += static_cast<double>(bins_[i]);
      if (sum > 0 && sum >= q * total_) return metres_per_second(low_ + (static_cast<double>(i) + 0.5) / kPerUnit);
    }
    return metres_per_second(0);
  }

 private:
  static constexpr double kPerUnit = 100;
  double low_ = 0, total_ = 0;
  std::vector<float> bins_;
};

// The point farthest from the start. Distances are compared on the mean sphere (error under 0.6 %), and the true geodesic
// is worked out only for points within 1.2 % of the farthest.
struct Farthest {
  Length distance;
  GeoPosition point;
};
Farthest farthest_from(GeoPosition start, const SmoothedTrack& smoothed, std::size_t first, std::size_t last) {
  const double cos_start = std::cos(start.latitude_deg * std::numbers::pi / 180);
  const double rad = std::numbers::pi / 180;
  MetricScale scale, at_equator;
  const double equator = at_equator.at(0).east;
  const auto rough2 = [&](GeoPosition p) {  // haversine of the angle; grows with distance
    const double dlat = std::sin(0.5 * rad * (p.latitude_deg - start.latitude_deg));
    const double dlon = std::sin(0.5 * rad * longitude_difference(start.longitude_deg, p.longitude_deg));
    const double cos_p = scale.at(p.latitude_deg).east / equator;
    return dlat * dlat + cos_start * cos_p * dlon * dlon;
  };
  double most = 0;
  for (std::size_t i = first; i <= last; ++i) most = std::max(most, rough2(smoothed.fixes[i].position));
  Farthest best{metres(0), start};
  for (std::size_t i = first; i <= last; ++i) {
    const GeoPosition p = smoothed.fixes[i].position;
    if (rough2(p) < most * 0.976) continue;
    const Length d = geodesic_distance(start, p);
    if (d > best.distance) best = {d, p};
  }
  return best;
}

}  // namespace

FlightSummary summarise(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight, const Geoid* geoid) {
  FlightSummary s;
  s.air_time = duration_between(flight.launch, flight.landing);
  const std::size_t first = flight.first, last = flight.last;
  const GeoPosition start = smoothed.fixes[first].position;

  RateQuantiles climbs(-kHeightSpeedMax_m_s, kHeightSpeedMax_m_s), speeds(0, kStepSpeedMax_m_s);
  double fastest = 0;
  double length = 0, low = 0, gained = 0, top = 0;
  bool any = false;
  const bool by_pressure = track.has_pressure;
  MetricScale scale;
  for (std::size_t i = first; i <= last; ++i) {
    const SmoothedFix& f = smoothed.fixes[i];
    double weight = 0;
    if (i > first) weight += std::min(kSmoothGap_s, duration_between(track.fixes[i - 1].time, track.fixes[i].time).si());
    if (i < last) weight += std::min(kSmoothGap_s, duration_between(track.fixes[i].time, track.fixes[i + 1].time).si());
    if (i > first) {
      const SmoothedFix& b = smoothed.fixes[i - 1];
      const MetresPerDegree m = scale.at(0.5 * (b.position.latitude_deg + f.position.latitude_deg));
      const double north = m.north * (f.position.latitude_deg - b.position.latitude_deg);
      const double east = m.east * longitude_difference(b.position.longitude_deg, f.position.longitude_deg);
      length += std::sqrt(north * north + east * east);
    }
    const double speed = std::sqrt(f.east_m_s * f.east_m_s + f.north_m_s * f.north_m_s);
    fastest = std::max(fastest, speed);
    speeds.add(speed, weight);
    const SmoothedHeight& h = by_pressure && f.pressure.known ? f.pressure : f.gnss;
    if (h.known) {
      climbs.add(h.rate_m_s, weight);
      if (!any) low = top = h.height_m;
      any = true;
      // A rise counts once it exceeds the step from the last low; the next low is looked for after the same fall.
      if (h.height_m > top) {
        top = h.height_m;
      } else if (h.height_m < top - kGainStep_m) {
        if (top - low > kGainStep_m) gained += top - low;
        low = top = h.height_m;
      }
      if (h.height_m < low) low = top = h.height_m;
    }
    if (f.pressure.known && track.has_pressure) {
      const auto p = PressureAltitude::from_si(f.pressure.height_m);
      if (!s.highest_pressure || p > *s.highest_pressure) s.highest_pressure = p;
      if (!s.lowest_pressure || p < *s.lowest_pressure) s.lowest_pressure = p;
    }
    if (f.gnss.known && track.has_gnss) {
      const auto msl = altitude_msl(GnssHeight::from_si(f.gnss.height_m), track.gnss_datum, f.position, geoid);
      if (i == first) s.launch_height = msl;
      if (i == last) s.landing_height = msl;
      if (msl && (!s.highest || *msl > *s.highest)) s.highest = msl;
      if (msl && (!s.lowest || *msl < *s.lowest)) s.lowest = msl;
    }
  }
  if (any && top - low > kGainStep_m) gained += top - low;
  s.track_length = metres(length);
  s.height_gained = metres(gained);
  const Farthest farthest = farthest_from(start, smoothed, first, last);
  s.farthest_distance = farthest.distance;
  s.farthest_point = farthest.point;
  s.climb_5 = climbs.at(0.05);
  s.climb_50 = climbs.at(0.5);
  s.climb_95 = climbs.at(0.95);
  s.ground_speed_50 = speeds.at(0.5);
  s.ground_speed_95 = speeds.at(0.95);
  s.ground_speed_highest = metres_per_second(fastest);
  return s;
}

}  // namespace headroom
