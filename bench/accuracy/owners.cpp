#include "accuracy/owners.h"

#include <algorithm>
#include <cmath>

namespace headroom::owners {

namespace {

constexpr double kOwnersGravity = 9.80665, kTimeStep = 0.02;

double wind_at(double height, const Chance& chance) {
  return chance.lull * chance.wind_10m * std::log(std::max(height, 1.5) / 0.05) / std::log(10 / 0.05);
}
// Two half normals through 5, 50 and 95 %.
double between(double low, double mid, double high, Pcg32& random) {
  const double z = random.gaussian() / 1.645;
  return mid + (z > 0 ? high - mid : mid - low) * z;
}

}  // namespace

Chance chance_of(double wind_10m, Pcg32& random) {
  Chance c{};
  c.wind_10m = wind_10m;
  c.lull = random.uniform() < 0.2 ? 0.7 : 1.0;
  c.soft_from = random.uniform(0, 60);
  c.soft_long = 5;
  c.soft = 0.08;
  c.sink = random.uniform(0, 0.4);
  c.hesitates = random.uniform() < 0.10 ? random.uniform(0.5, 2.0) : 0.0;
  c.again_from = random.uniform() < 0.04 ? random.uniform(8, 25) : 0.0;
  return c;
}

double thrust_in(double density, double at_standard) {
  return at_standard * std::cbrt(density / 1.225 * std::pow(density / 1.225, 2 * 1.05));
}

TakeOffFlown fly_take_off(const Craft& d, const Ground& ground, double density, const Chance& chance) {
  TakeOffFlown out;
  const double g = kOwnersGravity;
  const double v_lo = std::sqrt(2 * d.mass * g / (density * d.area * d.cl_lift_off));
  const double start = chance.again_from;
  double x = start + d.inflation + 1.5 * chance.hesitates, v = 0, t = 0;  // v over the ground
  while (true) {
    const double va = v + wind_at(6, chance), q = 0.5 * density * va * va * d.area;
    if (va >= v_lo) break;
    const bool soft = x > chance.soft_from && x < chance.soft_from + chance.soft_long;
    const double lift = std::min(d.cl_trim * q, d.mass * g);
    const double force = d.thrust * (1 - d.lost_per_m_s * va) - d.cl_trim / d.glide * q -
                         (d.resistance + (soft ? chance.soft : 0.0)) * (d.mass * g - lift) - d.mass * g * ground.slope;
    v += force / d.mass / d.longer * kTimeStep;
    if (!d.wheels) v = std::min(v, d.fastest * (1 - 0.004 * t));
    x += v * kTimeStep;
    t += kTimeStep;
    if (t > 90 || x > 2000 || v < 0) return out;
  }
  out.room = x - start;
  out.ground_speed = v;
  out.lifts = x <= ground.strip && (ground.trees_high <= 0 || x <= ground.trees_at);
  if (!out.lifts || ground.trees_high <= 0) {
    out.clears = out.lifts;
    return out;
  }
  double h = std::min(ground.slope * x, 0.0);
  const double v_trim = std::sqrt(2 * d.mass * g / (density * d.area * d.cl_trim));
  for (t = 0; x < ground.trees_at; t += kTimeStep) {
    const double down = ground.trees_at - x < 60 ? chance.sink : 0.0;
    h += (v_trim * (d.thrust * (1 - d.lost_per_m_s * v_trim) / (d.mass * g) - 1 / d.glide) - down) * kTimeStep;
    x += std::max(v_trim - wind_at(std::max(h, 0.0) + 6, chance), 0.5) * kTimeStep;
    if (t > 300 || h < -5) return out;
  }
  out.clears = h > ground.trees_high;
  return out;
}

Burn hidden_burn(Pcg32& random) {
  // Whole flights of 2.4 to 6 L/h hold nine tenths of them: the class as common practice tells it.
  const double size = std::exp(0.25 * random.gaussian());
  const auto one = [&](double middle, double spread) { return middle * size * std::exp(spread * random.gaussian()); };
  const double ground = one(1.8, 0.2), climb = one(5.6, 0.13), level = one(3.6, 0.13);
  return {{ground, climb, level}};
}

FlownFuel fly_fuel(const Burn& burn, Pcg32& random) {
  FlownFuel f{};
  f.hours = {random.uniform(0.04, 0.12), random.uniform(0.06, 0.3), random.uniform(0.3, 1.2)};
  f.like_it = 1 + kBurnScatter * random.gaussian();
  for (std::size_t j = 0; j < 3; ++j) f.litres += burn.litres_per_hour[j] * f.hours[j] * f.like_it;
  return f;
}

double hours_until_dry(const Burn& burn, const FlownFuel& flight, double litres) {
  double left = litres, hours = 0;
  constexpr double kStep = 10.0 / 3600;  // ten seconds
  for (; left > 0 && hours < 48; hours += kStep) {
    const std::size_t phase = hours < flight.hours[0] ? 0 : hours < flight.hours[0] + flight.hours[1] ? 1 : 2;
    left -= burn.litres_per_hour[phase] * flight.like_it * kStep;
  }
  return hours;
}

Owner hidden_owner(std::uint64_t seed) {
  Pcg32 random(seed, 6001);
  Owner o{};
  o.wheels = random.uniform() < 0.5;
  o.pilot_kg = random.uniform(62, 100);
  o.machine_kg = random.uniform(24, 34) + (o.wheels ? 16 : 0);
  o.wing_kg = random.uniform(5, 7);
  o.area = (o.pilot_kg + o.machine_kg + o.wing_kg) / random.uniform(4.3, 5.4);
  // One wing: both coefficients go together.
  const double z = random.gaussian() / 1.645;
  o.cl_lift_off = 0.92 + (z > 0 ? 0.18 : 0.17) * z;
  o.cl_trim = 0.56 + 0.08 * z;
  o.glide = between(4.0, 5.5, 7.0, random);
  o.resistance = std::max(between(0.02, 0.06, 0.12, random), 0.005);
  o.thrust_standard = (o.pilot_kg + o.machine_kg + o.wing_kg) * random.uniform(4.4, 5.8);
  o.lost_per_m_s = random.uniform(0.018, 0.026);
  o.technique = std::exp(std::log(1.10) + 0.2 * random.gaussian());
  o.technique_scatter = random.uniform(0.06, 0.14);
  o.fastest = std::max(between(4.0, 5.6, 8.0, random), 3.5);
  o.inflation = o.wheels ? random.uniform(3, 6) : std::max(between(3, 6, 12, random), 2.0);
  o.unusable_L = random.uniform(0.1, 0.6);
  o.tank_L = random.uniform(10, 14);
  o.home_slope = 0.01 * random.gaussian();
  o.home_height = random.uniform(0, 800);
  o.burn = hidden_burn(random);
  o.pilot_said = o.pilot_kg + 0.9 * random.gaussian();
  o.machine_said = o.machine_kg + 0.4 * random.gaussian();
  o.wing_said = o.wing_kg + 0.3 * random.gaussian();
  o.thrust_said = o.thrust_standard * (1 + 0.036 * random.gaussian());  // a spring scale, read once
  o.unusable_said = std::max(o.unusable_L + 0.05 * random.gaussian(), 0.0);
  o.recorder_error = random.uniform(0.10, 0.18);
  return o;
}

Day some_day(const Owner& owner, bool at_home, Pcg32& random) {
  Day d{};
  d.height = at_home ? owner.home_height : random.uniform(0, 1400);
  d.temperature_c = 15 - 0.0065 * d.height + random.uniform(-12, 15);
  d.pressure_hpa = random.uniform(1000, 1028);
  // Pressure falls with height by a scale of 8.4 km; dry air.
  d.density = d.pressure_hpa * 100 * std::exp(-d.height / 8434.0) / (287.05 * (d.temperature_c + 273.15));
  d.wind_10m = random.uniform(-0.5, 5.5);
  d.wind_said = d.wind_10m + 0.9 * random.gaussian();
  d.wet = !at_home && random.uniform() < 0.2;
  return d;
}

Craft craft_of(const Owner& o, const Day& day, double litres, Pcg32& random) {
  Craft c{};
  c.mass = o.pilot_kg + o.machine_kg + o.wing_kg + 0.745 * litres;
  c.area = o.area;
  c.cl_lift_off = o.cl_lift_off;
  c.cl_trim = o.cl_trim;
  c.glide = o.glide;
  c.resistance = o.resistance;
  c.thrust = thrust_in(day.density, o.thrust_standard);
  c.lost_per_m_s = o.lost_per_m_s;
  const double surface = day.wet ? 1.25 + 0.08 * random.gaussian() : 1.15 + 0.05 * random.gaussian();
  c.longer = o.technique * std::exp(o.technique_scatter * random.gaussian()) * surface;
  c.fastest = o.fastest;
  c.inflation = std::max(o.inflation * std::exp(0.2 * random.gaussian()), 1.0);
  c.wheels = o.wheels;
  return c;
}

}  // namespace headroom::owners
