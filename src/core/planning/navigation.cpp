#include "core/planning/navigation.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;

double full_circle(double a) {
  const double r = std::fmod(a, kTurn);
  return r < 0 ? r + kTurn : r;
}
bool wind_in_range(Wind w) {
  return std::isfinite(w.from.radians()) && w.speed.si() >= 0 && w.speed.si() <= 100;
}
bool airspeed_in_range(Speed v) {
  return v.si() >= 1 && v.si() <= 200;
}
constexpr const char* kTriangleRange = "the wind triangle holds for airspeeds of 1 to 200 m/s and winds of 0 to 100 m/s";

}  // namespace

WindParts wind_parts(Wind w, TrackTowards direction) {
  const double a = w.from.radians() - direction.radians();
  return {w.speed * std::cos(a), w.speed * std::sin(a)};
}

Result<WindTriangle> wind_triangle(TrackTowards track, Speed airspeed, Wind wind) {
  if (!airspeed_in_range(airspeed) || !wind_in_range(wind) || !std::isfinite(track.radians()))
    return fail(ErrorKind::out_of_range, kTriangleRange);
  const auto parts = wind_parts(wind, track);
  const double across = parts.from_right.si() / airspeed.si();
  if (!(std::abs(across) < 1))
    return fail(ErrorKind::refused, "no heading holds this track: the wind across it is the airspeed or more");
  const double wca = std::asin(across);
  const double ground = airspeed.si() * std::cos(wca) - parts.head.si();
  if (!(ground > 0))
    return fail(ErrorKind::refused, "the ground speed along this track is not above zero: the headwind is the airspeed or more");
  return WindTriangle{wca, TrackTowards(full_circle(track.radians() + wca)), metres_per_second(ground)};
}

Result<GroundVector> track_made_good(TrackTowards heading, Speed airspeed, Wind wind) {
  if (!airspeed_in_range(airspeed) || !wind_in_range(wind) || !std::isfinite(heading.radians()))
    return fail(ErrorKind::out_of_range, kTriangleRange);
  const double e = airspeed.si() * std::sin(heading.radians()) - wind.speed.si() * std::sin(wind.from.radians());
  const double n = airspeed.si() * std::cos(heading.radians()) - wind.speed.si() * std::cos(wind.from.radians());
  return GroundVector{TrackTowards(full_circle(std::atan2(e, n))), metres_per_second(std::hypot(e, n))};
}

Result<Wind> wind_from_track(TrackTowards heading, Speed airspeed, TrackTowards track, Speed ground_speed) {
  if (!airspeed_in_range(airspeed) || !(ground_speed.si() >= 0 && ground_speed.si() <= 300) ||
      !std::isfinite(heading.radians()) || !std::isfinite(track.radians()))
    return fail(ErrorKind::out_of_range, kTriangleRange);
  const double e = airspeed.si() * std::sin(heading.radians()) - ground_speed.si() * std::sin(track.radians());
  const double n = airspeed.si() * std::cos(heading.radians()) - ground_speed.si() * std::cos(track.radians());
  return Wind{WindFrom(full_circle(std::atan2(e, n))), metres_per_second(std::hypot(e, n))};
}

Result<TurnBack> point_of_no_return(Duration endurance, Speed out, Speed back) {
  const double E = endurance.si(), O = out.si(), B = back.si();
  if (!(O >= 0.1 && O <= 300 && B >= 0.1 && B <= 300 && E >= 0 && E <= 48 * 3600.0))
    return fail(ErrorKind::out_of_range, "turning back: ground speeds of 0.1 to 300 m/s, an endurance of 0 to 48 h");
  const double t = E * B / (O + B);
  return TurnBack{seconds(t), metres(O * t)};
}

Result<Length> equal_time_point(Length distance, Speed out, Speed back) {
  const double O = out.si(), B = back.si();
  if (!(O >= 0.1 && O <= 300 && B >= 0.1 && B <= 300 && distance.si() >= 0 && distance.si() <= 2e7))
    return fail(ErrorKind::out_of_range, "equal time: ground speeds of 0.1 to 300 m/s, a distance of 0 to 20000 km");
  return distance * (B / (O + B));
}

Result<OutAndHome> out_and_home(TrackTowards out, Speed airspeed, Wind wind, Duration usable) {
  const auto there = wind_triangle(out, airspeed, wind);
  if (!there) return fail(there.error().kind, "outward: " + there.error().what);
  const auto back = wind_triangle(TrackTowards(out.radians() + std::numbers::pi), airspeed, wind);
  if (!back) return fail(back.error().kind, "homeward: " + back.error().what);
  const auto turn = point_of_no_return(usable, there->ground_speed, back->ground_speed);
  if (!turn) return tl::unexpected(turn.error());
  return OutAndHome{*there, *back, *turn, there->ground_speed * usable};
}

Result<GlideChoice> speed_to_glide(const SinkPolar& p, Speed headwind) {
  const double W = headwind.si();
  const double under = W * W + (p.c + p.b * W) / p.a;
  if (!(p.a > 0 && W >= -20 && W <= 20))
    return fail(ErrorKind::out_of_range, "glide speed: a above zero, headwind within 20 m/s");
  const double v = W + std::sqrt(under);
  if (!(under > 0 && v > 0 && p.sink(v) > 0)) return fail(ErrorKind::refused, "this polar has no best glide in this wind");
  return GlideChoice{metres_per_second(v), metres_per_second(p.sink(v)), (v - W) / p.sink(v)};
}

Result<Length> glide_reach(Length height, double glide, Speed airspeed, Speed headwind) {
  if (!(height.si() >= 0 && height.si() <= 12000 && glide > 0.5 && glide < 80 && airspeed_in_range(airspeed) &&
        std::abs(headwind.si()) <= 100))
    return fail(ErrorKind::out_of_range,
                "gliding distance: height 0 to 12000 m, glide 0.5 to 80, airspeed 1 to 200 m/s, wind within 100 m/s");
  const double reach = height.si() * glide * (1 - headwind.si() / airspeed.si());
  if (!(reach > 0) && height.si() > 0) return fail(ErrorKind::refused, "against this wind the glide goes backwards");
  return metres(reach);
}

Result<Route> plan_route(const RoutePlan& plan) {
  const auto bad = [](std::string what) { return fail(ErrorKind::out_of_range, std::move(what)); };
  const std::size_t n = plan.points.size();
  if (n < 2 || n > 1000) return bad("a route has 2 to 1000 points");
  if (plan.winds.size() != 1 && plan.winds.size() != n - 1) return bad("a route has one wind, or one for each leg");
  if (!airspeed_in_range(plan.airspeed) || !std::all_of(plan.winds.begin(), plan.winds.end(), wind_in_range))
    return bad(kTriangleRange);
  if (!(in_litres_per_hour(plan.burn) >= 0.1 && in_litres_per_hour(plan.burn) <= 60))
    return bad("the burn must be 0.1 to 60 L/h");
  if (!(in_litres(plan.fuel) >= 0 && in_litres(plan.fuel) <= 200)) return bad("the fuel must be 0 to 200 L");
  for (const auto& p : plan.points)
    if (!(std::abs(p.position.latitude_deg) <= 90 && std::abs(p.position.longitude_deg) <= 180))
      return bad("a latitude must be within 90 degrees and a longitude within 180");

  // Time home from a place, straight, with one wind; nothing when it cannot be flown.
  const auto time_home = [&](GeoPosition from, const Wind& wind) -> std::optional<Duration> {
    const auto line = geodesic(from, plan.points.front().position);
    if (line.distance.si() < 1) return Duration{};
    const auto t = wind_triangle(line.azimuth_at_start, plan.airspeed, wind);
    if (!t) return std::nullopt;
    return line.distance / t->ground_speed;
  };
  const double fuel_time = plan.fuel.si() / plan.burn.si();
  const double light_time = plan.down_by ? in_seconds(duration_between(plan.start, *plan.down_by)) : 1e12;
  const auto gets_home = [&](double so_far, GeoPosition at, const Wind& wind) {
    const auto home = time_home(at, wind);
    return home && so_far + home->si() <= std::min(fuel_time, light_time);
  };

  Route route;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const auto& a = plan.points[i];
    const auto& b = plan.points[i + 1];
    const Wind wind = plan.winds[plan.winds.size() == 1 ? 0 : i];
    Leg leg;
    leg.from = a.name;
    leg.to = b.name;
    const auto line = geodesic(a.position, b.position);
    leg.distance = line.distance;
    leg.track =
        geodesic(geodesic_end(a.position, line.azimuth_at_start, line.distance / 2).position, b.position).azimuth_at_start;
    if (line.distance.si() < 1) leg.track = line.azimuth_at_start;
    if (const auto t = wind_triangle(leg.track, plan.airspeed, wind)) leg.triangle = *t;
    if (!leg.triangle) {
      route.legs.push_back(std::move(leg));
      route.flyable = false;
      break;
    }
    leg.time = leg.distance / leg.triangle->ground_speed;
    const double before = route.time.si();
    route.time += leg.time;
    route.distance += leg.distance;
    leg.time_so_far = route.time;
    leg.arrival = shifted(plan.start, route.time);
    leg.fuel_left = plan.fuel - plan.burn * route.time;
    leg.home = time_home(b.position, wind);
    if (plan.down_by) leg.light_left = seconds(light_time) - route.time;
    if (leg.home) {
      leg.fuel_left_home = leg.fuel_left - plan.burn * *leg.home;
      if (leg.light_left) leg.light_left_home = *leg.light_left - *leg.home;
    }
    if (!route.turn_back_after) {
      // The first moment on this leg from which one no longer gets home: steps to find it, halving to place it.
      constexpr int kSteps = 64;
      const auto place = [&](double share) {
        return geodesic_end(a.position, line.azimuth_at_start, line.distance * share).position;
      };
      const auto ok = [&](double share) { return gets_home(before + leg.time.si() * share, place(share), wind); };
      double good = 0, lost = -1;
      if (!ok(0)) lost = 0;
      for (int k = 1; k <= kSteps && lost < 0; ++k) {
        const double share = static_cast<double>(k) / kSteps;
        if (ok(share))
          good = share;
        else
          lost = share;
      }
      if (lost >= 0) {
        for (int k = 0; k < 30 && lost > 0; ++k) {
          const double middle = (good + lost) / 2;
          (ok(middle) ? good : lost) = middle;
        }
        route.turn_back_after = seconds(before + leg.time.si() * good);
        route.turn_back_at = place(good);
        route.turn_back_for_light = light_time < fuel_time;
      }
    }
    route.legs.push_back(std::move(leg));
  }
  return route;
}

}  // namespace headroom
