#pragma once
// Wind triangle, ground speeds out and home, where to turn back, legs of a route.
//
// Notation: TAS true airspeed V, W wind speed, wd direction it comes from, tc track wanted, WCA wind correction angle.
//   sin WCA = (W/V) sin(wd - tc)     GS = V cos WCA - W cos(wd - tc)     heading = tc + WCA
// Source: FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, navigation chapter (the wind triangle, drawn); the
// formulas are its sine and cosine rule. Flat triangle; angles true.
// Range: airspeed 1 to 200 m/s, wind 0 to 100 m/s; beyond it, or NaN, out_of_range.
#include <optional>
#include <string>
#include <vector>

#include "core/earth/geodesy.h"
#include "core/estimate.h"
#include "core/result.h"
#include "core/time.h"
#include "core/units.h"

namespace headroom {

struct Wind {
  WindFrom from;
  Speed speed;
};

struct WindTriangle {
  double correction_rad = 0;  // WCA, to the right positive
  TrackTowards heading;       // 0 to 2 pi
  Speed ground_speed;         // above zero
};
// Nothing solved: refused, when the wind across is more than the airspeed or the ground speed is not above zero.
[[nodiscard]] Result<WindTriangle> wind_triangle(TrackTowards track, Speed airspeed, Wind wind);

struct GroundVector {
  TrackTowards track;
  Speed ground_speed;
};
// From a heading to the track made good.
[[nodiscard]] Result<GroundVector> track_made_good(TrackTowards heading, Speed airspeed, Wind wind);
// From heading, airspeed, track and ground speed to the wind.
[[nodiscard]] Result<Wind> wind_from_track(TrackTowards heading, Speed airspeed, TrackTowards track, Speed ground_speed);

// Parts of a wind along and across a direction: head positive, from the right positive.
struct WindParts {
  Speed head, from_right;
};
[[nodiscard]] WindParts wind_parts(Wind wind, TrackTowards direction);

// Point of no return: t = E B/(O + B), D = O t. E usable endurance after what is held back; O, B ground speeds out and back.
// Equal time point of a distance: D B/(O + B). Source: any air navigation text; formulas as on a training formula sheet of the
// Australian Civil Aviation Safety Authority's syllabus (2012).
struct TurnBack {
  Duration after;
  Length distance;
};
// Errors: out_of_range unless both speeds are 0.1 to 300 m/s and the endurance 0 to 48 h.
[[nodiscard]] Result<TurnBack> point_of_no_return(Duration endurance, Speed out, Speed back);
[[nodiscard]] Result<Length> equal_time_point(Length distance, Speed out, Speed back);

// Out along a track and back against it, with one wind. The usable time is the least of endurance and what is left to the
// last moment to be down. Refused when either way cannot be flown.
struct OutAndHome {
  WindTriangle out, home;
  TurnBack turn;
  Length reach_one_way;  // straight on, never to come back
};
[[nodiscard]] Result<OutAndHome> out_and_home(TrackTowards out, Speed airspeed, Wind wind, Duration usable);

// Speed over the ground for the furthest glide, sink polar w = a V^2 + b V + c (sink positive), headwind W:
//   V* = W + sqrt(W^2 + (c + b W)/a).  Source: tangent to the polar from (W, 0), derived.
// Range: a above 0, headwind -20 to 20 m/s; refused when the root has no meaning (no sink at that speed).
struct SinkPolar {
  double a = 0, b = 0, c = 0;  // SI
  [[nodiscard]] double sink(double v) const { return (a * v + b) * v + c; }
};
struct GlideChoice {
  Speed airspeed, sink;
  double glide_over_ground = 0;
};
[[nodiscard]] Result<GlideChoice> speed_to_glide(const SinkPolar& polar, Speed headwind);
// Distance glided from a height: h (V - W)/s with still-air glide V/s (small angles). Zero or less is refused.
[[nodiscard]] Result<Length> glide_reach(Length height, double still_air_glide, Speed airspeed, Speed headwind);

// A route: each leg the geodesic between two places (WGS 84), flown at one airspeed and one wind.
struct RoutePoint {
  std::string name;
  GeoPosition position;
};
struct RoutePlan {
  std::vector<RoutePoint> points;  // 2 to 1000
  Speed airspeed;
  std::vector<Wind> winds;  // one for all, or one a leg
  UtcTime start{};
  VolumeFlow burn;                 // level
  Volume fuel;                     // usable at the start of the first leg, after what is held back
  std::optional<UtcTime> down_by;  // last light by the owner's rule
};
struct Leg {
  std::string from, to;
  Length distance;
  TrackTowards track;                    // at the middle of the leg
  std::optional<WindTriangle> triangle;  // none: cannot be flown in this wind
  Duration time, time_so_far;
  UtcTime arrival{};
  Volume fuel_left;                    // at its end; negative: it runs out on the way
  std::optional<Duration> light_left;  // at its end
  std::optional<Duration> home;        // straight back to the start from its end, with this leg's wind
  std::optional<Volume> fuel_left_home;
  std::optional<Duration> light_left_home;
};
struct Route {
  std::vector<Leg> legs;  // ends with the first that cannot be flown
  bool flyable = true;
  Length distance;
  Duration time;
  // The latest time on the route after which fuel or light no longer bring one straight home; none: they do from the end.
  std::optional<Duration> turn_back_after;
  std::optional<GeoPosition> turn_back_at;
  bool turn_back_for_light = false;
};
// Errors: out_of_range, with the range, for airspeed, wind, positions, burn 0.1 to 60 L/h, fuel 0 to 200 L.
[[nodiscard]] Result<Route> plan_route(const RoutePlan& plan);

}  // namespace headroom
