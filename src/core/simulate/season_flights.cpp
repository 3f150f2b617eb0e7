#include "core/simulate/season_flights.h"

#include <cmath>
#include <numbers>

namespace headroom::simulate {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr EngineColumn kNone = EngineColumn::none, kNoise = EngineColumn::noise_level, kRpm = EngineColumn::rpm;
constexpr Strip kH = Strip::home, kO = Strip::other;
using S = Style;
using W = Weather;

// Days before the end, time, strip, style, weather; wind at 10 m and where it comes from, QNH, warmth; route turned; recorder;
// kiting before, a false start, launched facing the wing.
constexpr SeasonDay kDays[] = {
    {205, 9, 40, kH, S::circuits, W::calm, 1.2, 250, 1021, -6, 0, 1, kNone, true, false, false},
    {201, 10, 10, kH, S::evening, W::steady, 2.2, 230, 1016, -5, 0, 1, kNone, false, false, false},
    {196, 10, 5, kH, S::triangle, W::steady, 2.7, 200, 1012, -4, 0, 5, kNone, false, false, false},
    {190, 13, 20, kH, S::local, W::gusty, 3.2, 265, 1009, -2, 0, 2, kNoise, true, true, true},
    {184, 9, 30, kH, S::outward, W::steady, 2.2, 215, 1018, -3, 0, 2, kNone, false, false, false},
    {184, 12, 45, kO, S::homeward, W::steady, 2.6, 235, 1017, 0, 0, 2, kNone, false, false, true},
    {176, 11, 15, kH, S::local, W::thermic, 2.6, 180, 1014, 2, 70, 5, kNone, false, true, false},
    {171, 9, 50, kH, S::steps, W::calm, 1.6, 70, 1024, -1, 0, 2, kNone, false, false, false},
    {165, 17, 40, kH, S::evening, W::sheared, 1.4, 110, 1020, 3, 200, 1, kNoise, false, false, false},
    {158, 10, 20, kH, S::circuits, W::steady, 2.8, 245, 1011, 2, 0, 5, kNone, true, false, true},
    {152, 9, 15, kH, S::outward, W::calm, 1.9, 190, 1019, 3, 0, 5, kNone, false, false, false},
    {152, 13, 30, kO, S::homeward, W::sea_breeze, 3.1, 60, 1018, 6, 0, 2, kNone, false, false, true},
    {145, 5, 40, kH, S::local, W::sheared, 1.3, 240, 1022, 0, 130, 5, kNone, false, false, false},
    {140, 14, 10, kH, S::circuits, W::gusty, 3.6, 280, 1008, 4, 0, 2, kNone, false, false, true},
    {133, 6, 20, kH, S::engine_off, W::calm, 1.5, 150, 1023, 2, 0, 1, kNoise, false, false, false},
    {128, 18, 5, kO, S::evening, W::steady, 2.0, 210, 1017, 7, 40, 2, kNone, false, false, false},
    {121, 6, 0, kH, S::triangle, W::sheared, 1.7, 170, 1019, 3, 90, 5, kNone, false, true, false},
    {115, 8, 30, kH, S::outward, W::calm, 1.4, 225, 1021, 5, 0, 5, kNone, false, false, false},
    {115, 10, 20, kO, S::homeward, W::steady, 2.1, 235, 1021, 7, 0, 5, kNone, false, false, false},
    {108, 15, 0, kH, S::local, W::sea_breeze, 3.3, 55, 1016, 8, 250, 2, kNone, true, false, true},
    {103, 6, 10, kH, S::evening, W::calm, 0.9, 300, 1020, 4, 120, 2, kNone, false, false, false},
    {96, 17, 30, kH, S::local, W::steady, 2.4, 250, 1015, 8, 310, 5, kNone, false, false, false},
    {90, 6, 30, kH, S::steps, W::sheared, 1.5, 190, 1018, 4, 45, 5, kRpm, false, false, false},
    {90, 17, 50, kH, S::evening, W::thermic, 2.3, 205, 1016, 9, 280, 2, kNone, false, false, false},
    {83, 11, 40, kH, S::local, W::thermic, 2.2, 160, 1015, 9, 0, 5, kNone, false, true, true},
    {77, 6, 15, kH, S::round, W::calm, 1.8, 100, 1022, 5, 0, 5, kNone, false, false, false},
    {71, 18, 0, kH, S::local, W::steady, 2.0, 270, 1019, 7, 180, 5, kNone, false, false, false},
    {66, 8, 40, kH, S::outward, W::steady, 2.5, 205, 1014, 4, 0, 5, kNone, false, false, false},
    {66, 12, 10, kO, S::homeward, W::sea_breeze, 3.0, 70, 1014, 8, 0, 5, kNone, false, false, true},
    {58, 7, 0, kH, S::evening, W::calm, 1.1, 340, 1020, 3, 90, 5, kNone, false, false, false},
    {52, 16, 20, kH, S::circuits, W::gusty, 3.4, 255, 1007, 5, 0, 5, kNoise, true, false, true},
    {47, 17, 0, kH, S::local, W::steady, 2.7, 220, 1012, 4, 60, 5, kNone, false, false, false},
    {41, 9, 20, kO, S::local, W::calm, 1.7, 180, 1021, 2, 210, 5, kNone, false, false, false},
    {36, 7, 30, kH, S::triangle, W::sheared, 1.6, 120, 1023, 1, 270, 5, kNone, false, false, false},
    {30, 9, 0, kH, S::engine_off, W::calm, 1.9, 90, 1024, 1, 60, 2, kNone, false, false, false},
    {25, 15, 10, kH, S::evening, W::gusty, 3.3, 290, 1006, 1, 330, 2, kNone, false, true, true},
    {19, 9, 50, kH, S::local, W::steady, 2.1, 240, 1013, 0, 150, 5, kNone, false, false, false},
    {13, 10, 30, kH, S::steps, W::calm, 1.5, 200, 1020, -1, 160, 5, kNone, false, false, false},
    {7, 10, 5, kH, S::evening, W::steady, 2.6, 225, 1015, -2, 60, 2, kNone, true, false, false},
    {1, 9, 45, kH, S::local, W::sheared, 2.0, 235, 1017, -2, 20, 1, kNone, false, false, false},
};
static_assert(std::size(kDays) == kSeasonFlights);

class Route {
 public:
  explicit Route(const SeasonDay& day)
      : day_(day),
        at_(place_of(day.from)),
        cosine_(std::cos(day.turned_deg * kDegree)),
        sine_(std::sin(day.turned_deg * kDegree)) {}
  std::vector<Leg> legs;

  void launch() {
    // From where the recorder is switched on to the layout, warm-up, then off into the wind.
    legs.push_back({.kind = LegKind::stand, .duration = seconds(50)});
    legs.push_back({.kind = LegKind::walk_to, .east_m = at_.east_m, .north_m = at_.north_m});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(80)});
    if (day_.kiting) legs.push_back({.kind = LegKind::kite, .duration = seconds(140)});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(170), .engine = EngineUse::as_needed});
    if (day_.false_start) {
      legs.push_back({.kind = LegKind::false_start, .heading_deg = day_.from_deg + 8, .distance = metres(5.0)});
      legs.push_back({.kind = LegKind::stand, .duration = seconds(60)});
      legs.push_back({.kind = LegKind::stand, .duration = seconds(25), .engine = EngineUse::idle});
    }
    legs.push_back({.kind = LegKind::take_off, .heading_deg = day_.from_deg, .reverse = day_.reverse});
  }
  void climb(double east, double north, double height, EngineUse engine = EngineUse::full) {
    add(LegKind::climb_to, east, north, height, engine);
  }
  void fly(double east, double north, double height, double trim = 1.0) {
    add(LegKind::fly_to, east, north, height, EngineUse::as_needed).trim = trim;
  }
  void circle(double turns, double bank, double height) {
    legs.push_back(
        {.kind = LegKind::circle, .height = metres(height), .bank_deg = bank, .turns = turns, .engine = EngineUse::as_needed});
  }
  void glide(double east, double north, double height, EngineUse engine) { add(LegKind::glide_to, east, north, height, engine); }
  // To a point downwind of the strip at 60 m, then straight in; the glide seldom ends where it was meant to.
  void land(Strip strip, EngineUse engine) {
    const StripPlace to = place_of(strip);
    const double heading = day_.from_deg * kDegree;
    const double headwind = day_.wind_10m * 1.25;
    const double back = 60.0 * (engine == EngineUse::off ? 5.6 : 6.6) * (11.0 - headwind) / 11.0;
    const double east = to.east_m - back * std::sin(heading), north = to.north_m - back * std::cos(heading);
    const auto straight = [&](double e, double n, double height) {
      legs.push_back(
          {.kind = LegKind::fly_to, .east_m = e, .north_m = n, .height = metres(height), .engine = EngineUse::as_needed});
    };
    straight(east - 350 * std::sin(heading), north - 350 * std::cos(heading), 75);
    straight(east, north, 62);
    legs.push_back({.kind = LegKind::land, .heading_deg = day_.from_deg, .engine = engine});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(45)});
    legs.push_back({.kind = LegKind::walk_to, .east_m = to.east_m + 30, .north_m = to.north_m - 25});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(60)});
  }

 private:
  // East and north of the strip set out from, the route turned about it.
  Leg& add(LegKind kind, double east, double north, double height, EngineUse engine) {
    legs.push_back({.kind = kind,
                    .east_m = at_.east_m + east * cosine_ + north * sine_,
                    .north_m = at_.north_m - east * sine_ + north * cosine_,
                    .height = metres(height),
                    .engine = engine});
    return legs.back();
  }
  const SeasonDay& day_;
  StripPlace at_;
  double cosine_, sine_;
};

std::vector<Leg> route_of(const SeasonDay& day) {
  Route route(day);
  route.launch();
  Strip to = day.from;
  EngineUse landing = EngineUse::idle;
  switch (day.style) {
    case Style::circuits:
      route.climb(700, 300, 120);
      for (int i = 0; i < 3; ++i) {
        route.fly(900, 700, 140);
        route.fly(-800, 800, 140);
        route.fly(-700, -700, 130);
        route.fly(800, -600, 130);
      }
      break;
    case Style::evening:  // low over the fields
      route.climb(900, 600, 160);
      route.fly(2300, 1600, 150);
      route.circle(1, 16, 150);
      route.fly(1200, 3400, 130);
      route.fly(-1500, 2200, 120, 0.9);
      route.circle(1.5, -14, 120);
      route.fly(-1300, -600, 120);
      break;
    case Style::local:
      route.climb(1800, 900, 320);
      route.circle(2, 18, 320);
      route.fly(3200, 2900, 320);
      route.circle(1.5, -22, 320);
      route.fly(-900, 4200, 280);
      route.glide(-2600, 2500, 140, EngineUse::idle);
      route.climb(-3600, 600, 260, EngineUse::as_needed);
      route.fly(-2800, -2600, 240);
      route.fly(600, -3300, 220);
      route.circle(2, 15, 220);
      route.fly(2600, -1500, 200);
      break;
    case Style::triangle:
      route.climb(2500, 1500, 420);
      route.fly(6800, 3900, 420);
      route.fly(900, 8300, 430, 0.85);
      route.circle(1, 20, 430);
      route.fly(-2900, 2900, 380);
      route.fly(-1200, -2300, 250);
      break;
    case Style::round:  // the longest: by the other strip without landing
      route.climb(2500, 900, 500);
      route.fly(9000, 4000, 600);
      route.circle(2, 20, 600);
      route.fly(9800, 8200, 550, 0.88);
      route.fly(1500, 9300, 500);
      route.circle(1, -18, 480);
      route.fly(-4500, 3600, 350);
      route.fly(-1800, -1200, 220);
      break;
    case Style::steps:  // the engine's programme: full, part, idle, in turn
      route.climb(1200, 800, 260);
      for (int i = 0; i < 3; ++i) {
        route.fly(1500.0 - 900 * i, 1900, 260);
        route.glide(-600, 1500.0 - 700 * i, 150, EngineUse::idle);
        route.climb(-1500, -500.0 * i, 280, i == 1 ? EngineUse::as_needed : EngineUse::full);
      }
      route.fly(-900, -1300, 200);
      break;
    case Style::engine_off:
      route.climb(1500, 1000, 520);
      route.glide(-500, 1800, 160, EngineUse::off);
      route.climb(900, -1400, 480);
      route.glide(1600, 900, 170, EngineUse::off);
      route.fly(2400, -300, 170);
      route.fly(900, -2300, 160);
      landing = EngineUse::off;
      break;
    case Style::outward:
      route.climb(1900, 1200, 380);
      route.fly(7400, 4700, 400, 0.82);
      route.fly(11500, 8600, 350, 0.82);
      route.fly(12600, 5200, 250);
      route.circle(1, 20, 250);
      to = Strip::other;
      break;
    case Style::homeward:
      route.climb(-1200, -1200, 330);
      route.fly(-4600, -600, 330);
      route.fly(-8600, -3900, 280, 0.85);
      route.fly(-11300, -5300, 220);
      to = Strip::home;
      break;
  }
  route.land(to, landing);
  return route.legs;
}

AirScript air_of(const SeasonDay& day) {
  AirScript air;
  air.wind_10m = metres_per_second(day.wind_10m);
  air.from = wind_from_degrees(day.from_deg);
  air.qnh = hectopascals(day.qnh_hpa);
  air.warmer = kelvins_difference(day.warmer_k);
  switch (day.weather) {
    case Weather::calm:
      air.gustiness = 0.9, air.vertical = metres_per_second(0.2), air.drift = metres_per_second(0.3);
      break;
    case Weather::steady:
      air.gustiness = 1.0, air.vertical = metres_per_second(0.4);
      break;
    case Weather::gusty:
      air.gustiness = 1.5, air.vertical = metres_per_second(0.6), air.drift = metres_per_second(0.8);
      air.shear_exponent = 0.15;
      break;
    case Weather::sea_breeze:  // shallow, under a wind that comes nearly from the other side
      air.gustiness = 1.1, air.vertical = metres_per_second(0.4);
      air.shear_exponent = 0.12, air.veer_deg_per_100m = 0;
      air.upper = UpperWind{metres_per_second(3.5), wind_from_degrees(day.from_deg + 150), metres(160), metres(90)};
      break;
    case Weather::sheared:  // cold air near the ground, the night's wind above
      air.gustiness = 0.8, air.vertical = metres_per_second(0.15), air.drift = metres_per_second(0.3);
      air.shear_exponent = 0.32, air.veer_deg_per_100m = 6;
      break;
    case Weather::thermic:
      air.gustiness = 1.1, air.vertical = metres_per_second(1.0);
      air.shear_exponent = 0.15;
      air.thermals = {{1900, 1500, metres_per_second(2.2), metres(130)}, {-1500, 3400, metres_per_second(1.6), metres(110)}};
      break;
  }
  return air;
}

}  // namespace

StripPlace place_of(Strip strip) {
  return strip == Strip::home ? StripPlace{0, 0} : StripPlace{9800, 6200};
}

Site invented_site() {
  return {{52.30, 0.40}, AltitudeMsl::from_si(38), metres(46.07), metres(6)};
}

std::span<const SeasonDay> season_days() {
  return kDays;
}

Result<SimulatedFlight> fly_day(int number, std::uint64_t seed, UtcTime begin, Volume fuel) {
  const SeasonDay& day = kDays[number - 1];
  FlightScript script;
  script.seed = seed * 1000 + static_cast<std::uint64_t>(number);
  script.begin = begin;
  script.site = invented_site();
  script.air = air_of(day);
  script.craft.fuel = fuel;
  // Hidden: lines shrink and cloth ages, so trim flight slows and glide worsens by the hour; the cleaned propeller pulls more;
  // the smaller jet burns less.
  script.craft.lift_coefficient *= 1.0 + 0.0012 * number;
  script.craft.drag_at_zero_lift *= 1.0 + 0.001 * number;
  if (day.days_before_end < kPropellerDay) script.craft.static_thrust = newtons(595);
  if (day.days_before_end < kJetDay) script.craft.full_burn = litres_per_hour(6.1);
  const StripPlace strip = place_of(day.from);
  script.start_east_m = strip.east_m + 35;
  script.start_north_m = strip.north_m - 20;
  script.legs = route_of(day);
  return simulate_flight(script);
}

Result<SimulatedFlight> drive(bool to_strip, std::uint64_t seed, UtcTime begin, StripPlace from_or_to, const AirScript& air) {
  // A lane, a village with a junction, a straight country road, another bend or two: 11 km.
  struct Point {
    double east_m, north_m, speed_m_s, stop_s;
  };
  static constexpr Point kRoad[] = {{120, -140, 5, 0},    {640, -260, 9, 12},    {900, -1150, 16, 0},  {1700, -1600, 20, 0},
                                    {1900, -2100, 12, 0}, {2400, -2150, 12, 18}, {3900, -3300, 23, 0}, {5600, -3900, 25, 0},
                                    {6100, -4900, 19, 0}, {7400, -5200, 24, 0},  {7600, -5700, 13, 7}, {8300, -6100, 13, 0},
                                    {8420, -6000, 6, 0}};
  RideScript ride;
  ride.seed = seed;
  ride.begin = begin;
  ride.site = invented_site();
  ride.air = air;
  std::vector<RoadPoint> road{{from_or_to.east_m, from_or_to.north_m, metres_per_second(4), {}}};
  for (const Point& p : kRoad)
    road.push_back(
        {from_or_to.east_m + p.east_m, from_or_to.north_m + p.north_m, metres_per_second(p.speed_m_s), seconds(p.stop_s)});
  if (to_strip) {
    // The speed belongs to the stretch that leads to a point; backwards it is the stretch behind it.
    std::vector<RoadPoint> back;
    for (std::size_t i = road.size() - 1; i-- > 0;)
      back.push_back({road[i].east_m, road[i].north_m, road[i + 1].speed, road[i].stop});
    ride.start_east_m = road.back().east_m, ride.start_north_m = road.back().north_m;
    ride.road = std::move(back);
  } else {
    ride.start_east_m = road.front().east_m, ride.start_north_m = road.front().north_m;
    ride.road.assign(road.begin() + 1, road.end());
  }
  return simulate_ride(ride);
}

Result<Recording> recorded(const SimulatedFlight& flight, int number, int which) {
  const SeasonDay& day = kDays[number - 1];
  RecorderModel model;
  model.interval_s = which == 0 ? day.interval_s : 2;
  model.engine = which == 0 ? day.engine : EngineColumn::noise_level;
  model.unlocked_fixes = number % 5 == 1 ? 3 + number % 4 : 0;
  model.dropouts_per_hour = number % 4 == 2 ? 1.5 : 0;
  model.repeated_seconds_per_hour = number % 6 == 4 ? 1.5 : 0;
  model.pressure_offset = metres((number + which) % 2 == 0 ? 6 : -4);
  if (number == kSwitchedOnInTheAir) model.starts_late = duration_between(flight.script.begin, flight.truth.launch) + minutes(4);
  return record(flight, model, flight.script.seed + (which == 0 ? 0 : 500000));
}

}  // namespace headroom::simulate
