#include "accuracy/launches.h"

#include <cmath>
#include <numbers>

namespace headroom::accuracy {

using namespace simulate;

std::string_view name_of(RunShape run) {
  switch (run) {
    case RunShape::pushed:
      return "run";
    case RunShape::walk_up:
      return "walked up, then run";
    case RunShape::stumble:
      return "stumble";
    case RunShape::wheels:
      return "wheels";
    case RunShape::curved:
      return "curved";
  }
  return "";
}

FlightScript launch_script(RunShape run, std::uint64_t seed) {
  Pcg32 chance(seed, 950 + static_cast<std::uint64_t>(run));
  FlightScript script;
  script.seed = seed * 11 + 5;
  script.begin = utc(2027, 7, 3, 7, 30);
  script.site = {{46.0 + chance.uniform(-8, 8), 8.0 + chance.uniform(-9, 9)},
                 AltitudeMsl::from_si(chance.uniform(0, 1200)),
                 metres(47),
                 metres(chance.uniform(0, 12))};
  script.air.wind_10m = metres_per_second(chance.uniform(0.0, 3.0));
  const double from = chance.uniform(0, 360);
  script.air.from = wind_from_degrees(from);
  script.air.shear_exponent = chance.uniform(0.08, 0.30);
  script.air.veer_deg_per_100m = chance.uniform(-1, 5);
  script.air.gustiness = chance.uniform(0.6, 1.6);
  script.air.vertical = metres_per_second(chance.uniform(0.1, 0.8));
  script.air.warmer = celsius_difference(chance.uniform(-10, 15));
  script.air.qnh = hectopascals(chance.uniform(995, 1030));
  script.craft.without_fuel = kilograms(chance.uniform(95, 130));
  script.craft.fuel = litres(chance.uniform(3, 11));
  script.craft.wing_area = square_metres(chance.uniform(20, 27));
  script.craft.lift_coefficient = chance.uniform(0.52, 0.68);
  script.craft.run_lift_coefficient = chance.uniform(0.88, 1.2);
  script.craft.static_thrust = newtons(chance.uniform(430, 620));
  script.craft.leg_force = newtons(chance.uniform(180, 320));
  script.craft.leg_speed = metres_per_second(chance.uniform(5, 7.5));
  const double into = from + chance.uniform(-25, 25);  // degrees; near the wind, as one does

  auto& legs = script.legs;
  const bool warm = chance.uniform() < 0.7;
  const EngineUse on_ground = warm ? EngineUse::idle : EngineUse::off;
  legs.push_back({.kind = LegKind::stand, .duration = seconds(chance.uniform(20, 60)), .engine = EngineUse::off});
  if (chance.uniform() < 0.6)
    legs.push_back({.kind = LegKind::walk_to, .east_m = chance.uniform(-50, 50), .north_m = chance.uniform(-50, 50)});
  legs.push_back({.kind = LegKind::stand, .duration = seconds(chance.uniform(3, 30)), .engine = on_ground});
  if (chance.uniform() < 0.4)
    legs.push_back({.kind = LegKind::kite, .duration = seconds(chance.uniform(15, 60)), .engine = on_ground});
  for (double left = chance.uniform(0, 1); left < 0.35; left += 0.2) {
    legs.push_back({.kind = LegKind::false_start, .heading_deg = into, .distance = metres(chance.uniform(3, 8)), .run = run});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(chance.uniform(10, 60)), .engine = on_ground});
  }
  const bool reverse = run != RunShape::wheels && chance.uniform() < 0.3;
  if (reverse) legs.push_back({.kind = LegKind::kite, .duration = seconds(chance.uniform(4, 12)), .engine = on_ground});
  legs.push_back({.kind = LegKind::take_off, .heading_deg = into, .reverse = reverse, .run = run});

  const double away = into * std::numbers::pi / 180;
  const double height = chance.uniform(70, 160);
  legs.push_back({.kind = LegKind::climb_to,
                  .east_m = 900 * std::sin(away),
                  .north_m = 900 * std::cos(away),
                  .height = metres(height),
                  .engine = EngineUse::full});
  for (int i = 0; i < 2; ++i)
    legs.push_back({.kind = LegKind::fly_to,
                    .east_m = chance.uniform(-900, 900),
                    .north_m = chance.uniform(-900, 900),
                    .height = metres(height),
                    .engine = EngineUse::as_needed});
  const double glide = chance.uniform(0, 2 * std::numbers::pi);
  legs.push_back({.kind = LegKind::glide_to,
                  .east_m = 20000 * std::sin(glide),
                  .north_m = 20000 * std::cos(glide),
                  .height = metres(45),
                  .engine = chance.uniform() < 0.5 ? EngineUse::off : EngineUse::idle});
  legs.push_back({.kind = LegKind::land, .heading_deg = from});
  legs.push_back({.kind = LegKind::stand, .duration = seconds(chance.uniform(5, 60))});
  return script;
}

RecorderModel launch_recorder(int interval_s, bool pressure, std::uint64_t seed) {
  Pcg32 chance(seed, 991);
  RecorderModel model;
  model.interval_s = interval_s;
  model.position_noise = metres(chance.uniform(0.8, 3.0));
  model.position_jitter = metres(chance.uniform(0.15, 0.6));
  model.noise_time = seconds(chance.uniform(20, 80));
  model.pressure = pressure;
  model.pressure_jitter = metres(chance.uniform(0.1, 0.4));
  model.pressure_by_speed = metres(chance.uniform(-0.7, 0.7));
  model.dropouts_per_hour = chance.uniform(0, 3);
  return model;
}

}  // namespace headroom::accuracy
