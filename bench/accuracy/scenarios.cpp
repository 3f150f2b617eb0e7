#include "accuracy/scenarios.h"

#include <cmath>
#include <numbers>

namespace headroom::accuracy {
namespace {

using namespace simulate;

struct Pen {
  std::vector<Leg>& legs;
  double east = 0, north = 0;

  void climb(double e, double n, double height) {
    legs.push_back({.kind = LegKind::climb_to, .east_m = e, .north_m = n, .height = metres(height), .engine = EngineUse::full});
  }
  void fly(double e, double n, double height, double trim) {
    legs.push_back({.kind = LegKind::fly_to,
                    .east_m = e,
                    .north_m = n,
                    .height = metres(height),
                    .engine = EngineUse::as_needed,
                    .trim = trim});
    east = e;
    north = n;
  }
  void circle(double turns, double bank, double height) {
    legs.push_back(
        {.kind = LegKind::circle, .height = metres(height), .bank_deg = bank, .turns = turns, .engine = EngineUse::as_needed});
  }
};

}  // namespace

std::string_view name_of(Habit habit) {
  switch (habit) {
    case Habit::local:
      return "local, with turns";
    case Habit::local_trimmed:
      return "local, trimmers moved";
    case Habit::long_legs:
      return "long legs, trimmers moved";
    case Habit::straight:
      return "one straight line";
  }
  return "";
}

FlightScript script_of(Habit habit, std::uint64_t seed) {
  Pcg32 chance(seed, 900 + static_cast<std::uint64_t>(habit));
  FlightScript script;
  script.seed = seed * 7 + 3;
  script.begin = utc(2027, 6, 1, 8, 0);
  script.site = {{47.0 + chance.uniform(-6, 6), 9.0 + chance.uniform(-8, 8)},
                 AltitudeMsl::from_si(chance.uniform(0, 900)),
                 metres(47),
                 metres(chance.uniform(0, 12))};
  script.air.wind_10m = metres_per_second(chance.uniform(0.3, 4.8));
  const double from = chance.uniform(0, 360);
  script.air.from = wind_from_degrees(from);
  script.air.shear_exponent = chance.uniform(0.08, 0.30);
  script.air.veer_deg_per_100m = chance.uniform(-1, 5);
  script.air.drift = metres_per_second(chance.uniform(0.2, 0.9));
  script.air.drift_time = seconds(chance.uniform(500, 1500));
  script.air.gustiness = chance.uniform(0.6, 1.6);
  script.air.vertical = metres_per_second(chance.uniform(0.1, 0.9));
  script.air.warmer = celsius_difference(chance.uniform(-10, 15));
  script.craft.without_fuel = kilograms(chance.uniform(95, 140));
  script.craft.fuel = litres(16);
  script.craft.wing_area = square_metres(chance.uniform(22, 29));
  script.craft.lift_coefficient = chance.uniform(0.52, 0.68);
  script.craft.static_thrust = newtons(chance.uniform(600, 720));
  script.craft.torque_bank_deg = chance.uniform(-2, 2);

  const bool moves_trimmers = habit == Habit::local_trimmed || habit == Habit::long_legs;
  const double usual = habit == Habit::local ? 1.0 : chance.uniform(0.85, 1.0);
  const auto trim = [&] { return moves_trimmers ? chance.uniform(0.68, 1.05) : usual; };
  Pen pen{script.legs};
  script.legs.push_back({.kind = LegKind::stand, .duration = seconds(20), .engine = EngineUse::idle});
  script.legs.push_back({.kind = LegKind::take_off, .heading_deg = from});
  double height = chance.uniform(150, 450);
  const double away = from * std::numbers::pi / 180;
  pen.climb(900 * std::sin(away), 900 * std::cos(away), height);

  if (habit == Habit::local || habit == Habit::local_trimmed) {
    const int legs = 9 + static_cast<int>(chance.uniform(0, 6));
    for (int i = 0; i < legs; ++i) {
      height = std::min(700.0, std::max(120.0, height + chance.uniform(-60, 90)));
      pen.fly(chance.uniform(-2500, 2500), chance.uniform(-2500, 2500), height, trim());
      if (chance.uniform() < 0.3)
        pen.circle(chance.uniform(0.7, 2.5), (chance.uniform() < 0.5 ? -1 : 1) * chance.uniform(12, 32), height);
    }
  } else if (habit == Habit::long_legs) {
    const int legs = 3 + static_cast<int>(chance.uniform(0, 2));
    double heading = chance.uniform(0, 360);
    for (int i = 0; i < legs; ++i) {
      const double length = chance.uniform(4000, 8000);
      const int parts = 2 + static_cast<int>(chance.uniform(0, 3));
      const double e0 = pen.east, n0 = pen.north;
      const double s = std::sin(heading * std::numbers::pi / 180), c = std::cos(heading * std::numbers::pi / 180);
      for (int part = 1; part <= parts; ++part) {
        height = std::min(900.0, std::max(150.0, height + chance.uniform(-60, 60)));
        pen.fly(e0 + s * length * part / parts, n0 + c * length * part / parts, height, trim());
      }
      if (chance.uniform() < 0.3)
        pen.circle(chance.uniform(0.7, 1.5), (chance.uniform() < 0.5 ? -1 : 1) * chance.uniform(12, 28), height);
      heading += (chance.uniform() < 0.5 ? -1 : 1) * chance.uniform(60, 170);
    }
  } else {
    const double heading = chance.uniform(0, 2 * std::numbers::pi);
    pen.fly(15000 * std::sin(heading), 15000 * std::cos(heading), height, trim());
  }
  const double glide = chance.uniform(0, 2 * std::numbers::pi);
  script.legs.push_back({.kind = LegKind::glide_to,
                         .east_m = pen.east + 20000 * std::sin(glide),
                         .north_m = pen.north + 20000 * std::cos(glide),
                         .height = metres(60),
                         .engine = chance.uniform() < 0.5 ? EngineUse::off : EngineUse::idle});
  script.legs.push_back({.kind = LegKind::land, .heading_deg = from});
  script.legs.push_back({.kind = LegKind::stand, .duration = seconds(30)});
  return script;
}

RecorderModel recorder_of(int interval_s, std::uint64_t seed) {
  Pcg32 chance(seed, 990);
  RecorderModel model;
  model.interval_s = interval_s;
  model.position_noise = metres(chance.uniform(0.8, 3.0));
  model.position_jitter = metres(chance.uniform(0.15, 0.6));
  model.noise_time = seconds(chance.uniform(20, 80));
  model.pressure = chance.uniform() < 0.8;
  model.dropouts_per_hour = chance.uniform(0, 3);
  return model;
}

}  // namespace headroom::accuracy
