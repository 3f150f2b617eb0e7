#include "accuracy/scenarios_engine.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom::accuracy {
namespace {

using namespace simulate;

// Writes legs about the field; heights are above it.
struct Throttle {
  std::vector<Leg>& legs;
  Pcg32& chance;
  double height = 0;
  double trim = 1;

  struct Place {
    double e, n;
  };
  Place somewhere(double reach) { return {chance.uniform(-reach, reach), chance.uniform(-reach, reach)}; }
  void climb(double to, bool full) {
    const Place p = somewhere(2500);
    legs.push_back({.kind = LegKind::climb_to,
                    .east_m = p.e,
                    .north_m = p.n,
                    .height = metres(to),
                    .engine = full ? EngineUse::full : EngineUse::as_needed,
                    .trim = trim});
    height = to;
  }
  void level(double reach) { fly(somewhere(reach), height); }
  void fly(Place p, double at) {
    legs.push_back({.kind = LegKind::fly_to,
                    .east_m = p.e,
                    .north_m = p.n,
                    .height = metres(at),
                    .engine = EngineUse::as_needed,
                    .trim = trim});
    height = at;
  }
  void glide(double to, bool stopped) {
    const Place p = somewhere(4000);
    legs.push_back({.kind = LegKind::glide_to,
                    .east_m = p.e,
                    .north_m = p.n,
                    .height = metres(to),
                    .engine = stopped ? EngineUse::off : EngineUse::idle,
                    .trim = trim});
    height = to;
  }
  void circle() {
    legs.push_back({.kind = LegKind::circle,
                    .height = metres(height),
                    .bank_deg = (chance.uniform() < 0.5 ? -1 : 1) * chance.uniform(12, 30),
                    .turns = chance.uniform(0.7, 2.0),
                    .engine = EngineUse::as_needed,
                    .trim = trim});
  }
};

}  // namespace

std::string_view name_of(Programme programme) {
  switch (programme) {
    case Programme::local:
      return "local, some glides";
    case Programme::cuts:
      return "many cuts and restarts";
    case Programme::long_off:
      return "long glides, engine off";
    case Programme::steps:
      return "steps under part power";
    case Programme::straight:
      return "far and level";
  }
  return "";
}

FlightScript script_of(Programme programme, double vertical_sd_m_s, std::uint64_t seed) {
  Pcg32 chance(seed, 1700 + static_cast<std::uint64_t>(programme));
  FlightScript script;
  script.seed = seed * 11 + 5;
  script.begin = utc(2027, 6, 2, 7, 0);
  script.site = {{46.0 + chance.uniform(-6, 6), 8.0 + chance.uniform(-8, 8)},
                 AltitudeMsl::from_si(chance.uniform(0, 900)),
                 metres(47),
                 metres(chance.uniform(0, 12))};
  const double from = chance.uniform(0, 360);
  script.air.wind_10m = metres_per_second(chance.uniform(0.3, 4.5));
  script.air.from = wind_from_degrees(from);
  script.air.shear_exponent = chance.uniform(0.08, 0.30);
  script.air.gustiness = vertical_sd_m_s < 0.3 ? chance.uniform(0.2, 0.7) : chance.uniform(0.6, 1.5);
  script.air.vertical = metres_per_second(vertical_sd_m_s);
  script.air.vertical_time = seconds(chance.uniform(15, 40));
  script.air.warmer = celsius_difference(chance.uniform(-10, 15));
  script.craft.without_fuel = kilograms(chance.uniform(95, 140));
  script.craft.fuel = litres(16);
  script.craft.wing_area = square_metres(chance.uniform(22, 29));
  script.craft.lift_coefficient = chance.uniform(0.52, 0.68);
  script.craft.drag_at_zero_lift *= chance.uniform(0.8, 1.25);
  script.craft.static_thrust = newtons(chance.uniform(600, 720));
  script.craft.torque_bank_deg = chance.uniform(-2, 2);

  script.legs.push_back({.kind = LegKind::stand, .duration = seconds(chance.uniform(20, 200)), .engine = EngineUse::idle});
  script.legs.push_back({.kind = LegKind::take_off, .heading_deg = from});
  Throttle hand{script.legs, chance};
  if (chance.uniform() < 0.5) hand.trim = chance.uniform(0.75, 1.0);
  hand.climb(chance.uniform(150, 350), true);
  switch (programme) {
    case Programme::local:
      for (int i = 0; i < 7; ++i) {
        hand.level(2000);
        if (chance.uniform() < 0.3) hand.circle();
        if (chance.uniform() < 0.35 && hand.height > 180) {
          hand.glide(hand.height - chance.uniform(60, 110), false);
          if (chance.uniform() < 0.7) hand.climb(hand.height + chance.uniform(40, 120), chance.uniform() < 0.5);
        }
      }
      break;
    case Programme::cuts:
      for (int i = 0; i < 9; ++i) {
        hand.glide(hand.height - chance.uniform(20, 80), chance.uniform() < 0.3);
        hand.climb(hand.height + chance.uniform(40, 110), chance.uniform() < 0.7);
        if (chance.uniform() < 0.5) hand.level(1200);
      }
      break;
    case Programme::long_off:
      for (int i = 0; i < 3; ++i) {
        hand.climb(chance.uniform(450, 800), true);
        hand.glide(chance.uniform(100, 200), chance.uniform() < 0.8);
        hand.climb(hand.height + 60, true);
        hand.level(1500);
      }
      break;
    case Programme::steps:
      for (int i = 0; i < 3; ++i) {
        hand.climb(hand.height + chance.uniform(100, 200), false);
        hand.level(1500);
        for (int step = 0; step < 4; ++step) hand.fly(hand.somewhere(1500), hand.height - chance.uniform(8, 18));
      }
      break;
    case Programme::straight: {
      const double heading = chance.uniform(0, 2 * std::numbers::pi);
      for (int i = 1; i <= 3; ++i)
        hand.fly({3500 * i * std::sin(heading), 3500 * i * std::cos(heading)}, hand.height + chance.uniform(-30, 40));
      hand.fly({3000 * std::sin(heading), 3000 * std::cos(heading)}, hand.height + 20);
      break;
    }
  }
  if (hand.height > 90) hand.glide(60, chance.uniform() < 0.4);
  script.legs.push_back({.kind = LegKind::land, .heading_deg = from});
  script.legs.push_back({.kind = LegKind::stand, .duration = seconds(30)});
  return script;
}

}  // namespace headroom::accuracy
