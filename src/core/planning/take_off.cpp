#include "core/planning/take_off.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "core/planning/draws.h"
#include "core/planning/propeller.h"

namespace headroom {

namespace {

constexpr double kTakeOffGravity = 9.80665;  // m/s2
constexpr double kLeastAcceleration = 0.05;  // m/s2: below it a run is no run

// Nodes and weights of 16-point Gauss-Legendre quadrature on -1..1, half of them: Abramowitz and Stegun, Handbook of
// Mathematical Functions, table 25.4.
constexpr std::array<double, 8> kNode{0.095012509837637, 0.281603550779259, 0.458016777657227, 0.617876244402644,
                                      0.755404408355003, 0.865631202387832, 0.944575023073233, 0.989400934991650};
constexpr std::array<double, 8> kWeight{0.189450610455068, 0.182603415044924, 0.169156519395003, 0.149595988816577,
                                        0.124628971255534, 0.095158511682493, 0.062253523938648, 0.027152459411754};

template <class Force>
std::optional<double> run_metres(double m, double from, double to, double headwind, const Force& force) {
  if (to <= from) return 0.0;
  const double half = (to - from) / 2, mid = (to + from) / 2;
  if (!(force(to) > kLeastAcceleration * m) || !(force(from) > kLeastAcceleration * m)) return std::nullopt;
  double s = 0;
  for (std::size_t k = 0; k < kNode.size(); ++k)
    for (const double v : {mid - half * kNode[k], mid + half * kNode[k]}) {
      const double f = force(v);
      if (!(f > kLeastAcceleration * m)) return std::nullopt;
      s += kWeight[k] * (v - headwind) * m / f;
    }
  return s * half;
}

bool take_off_within(double x, double low, double high) {
  return x >= low && x <= high;
}

// What the integrals need, plain SI.
struct RunCraft {
  double m, rho, S, cl_lo, cl_trim, glide, mu, slope, W, v_lo;
  const Thrust* thrust;
  double thrust_scale;
};

double run_force(const RunCraft& c, double v, bool level) {
  const double i = level ? 0.0 : std::atan(c.slope);
  const double weight = c.m * kTakeOffGravity;
  const double q = 0.5 * c.rho * v * std::abs(v) * c.S;
  const double lift = std::clamp(c.cl_trim * q, 0.0, weight * std::cos(i));
  return c.thrust_scale * thrust_N(*c.thrust, std::max(v, 0.0), c.rho) - c.cl_trim / c.glide * q -
         c.mu * (weight * std::cos(i) - lift) - weight * std::sin(i);
}

// What a learned run factor holds already: the run is worked out with these, the climb and the speed to run with the inputs'.
struct FiguresOfRun {
  double lift_off_cl, trim_cl, glide, resistance, thrust_scale;
};

TakeOffResult evaluate_take_off(const TakeOffInputs& in, double thrust_scale, const FiguresOfRun* of_run = nullptr) {
  TakeOffResult r;
  const double m = in.mass.si(), rho = in.density.si(), S = in.wing_area.si();
  RunCraft c{m,        rho, S, in.lift_off_cl, in.trim_cl,  in.glide, std::max(in.resistance, 0.0),
             in.slope, 0,   0, &in.thrust,     thrust_scale};
  const double run_factor = std::max(in.run_factor, 0.0);
  if (!(m > 0 && rho > 0 && S > 0 && c.cl_lo > 0 && c.cl_trim > 0 && c.glide > 0 && thrust_scale > 0)) {
    r.impossible = NoTakeOff::thrust;
  }
  c.v_lo = std::sqrt(2 * m * kTakeOffGravity / (rho * S * c.cl_lo));
  // The wind is weaker near the ground. That is counted against a headwind and not in favour of a tail wind.
  const double z0 = in.roughness.si();
  const double at_wing = in.headwind.si() > 0 ? std::min(std::log(in.wing_height.si() / z0) / std::log(10 / z0), 1.0) : 1.0;
  c.W = counted_headwind(in.headwind * at_wing).si();
  r.lift_off = metres_per_second(c.v_lo);
  r.counted_headwind = metres_per_second(c.W);
  const double v_ground = std::max(c.v_lo - c.W, 0.0);
  r.ground_speed_at_lift_off = metres_per_second(v_ground);
  if (r.impossible == NoTakeOff::none && !in.wheels && v_ground > in.fastest_run.si()) {
    r.missing = metres_per_second(v_ground - std::max(in.fastest_run.si(), 0.0));
    r.impossible = NoTakeOff::legs;
  }

  std::optional<double> run, floor_run;
  if (r.impossible != NoTakeOff::thrust) {
    RunCraft k = c;
    if (of_run != nullptr) {
      k.cl_lo = of_run->lift_off_cl;
      k.cl_trim = of_run->trim_cl;
      k.glide = of_run->glide;
      k.mu = std::max(of_run->resistance, 0.0);
      k.thrust_scale = of_run->thrust_scale;
      k.v_lo = std::sqrt(2 * m * kTakeOffGravity / (rho * S * k.cl_lo));
    }
    run = run_metres(m, k.W, k.v_lo, k.W, [&](double v) { return run_force(k, v, false); });
    const double W_floor = std::max(k.W, 0.0);  // the published factor for a tail wind stands for it
    floor_run = run_metres(m, W_floor, k.v_lo, W_floor, [&](double v) { return run_force(k, v, true); });
    if (!run || !floor_run) r.impossible = NoTakeOff::thrust;
  }
  const double inflation = std::max(in.inflation.si(), 0.0);
  const double tail = std::max(-c.W, 0.0) / c.v_lo;
  r.factor = surface_factor(in.surface) * std::pow(1.10, std::max(in.slope, 0.0) / 0.02) * std::pow(1.20, tail / 0.10) * 1.33;

  // Climb at trim, with what thrust is left at that airspeed.
  const double v_climb = std::sqrt(2 * m * kTakeOffGravity / (rho * S * c.cl_trim));
  const double climb = r.impossible == NoTakeOff::thrust
                           ? 0
                           : v_climb * (thrust_scale * thrust_N(in.thrust, v_climb, rho) / (m * kTakeOffGravity) - 1 / c.glide);
  const double over_ground = v_climb - c.W;
  r.climb = metres_per_second(climb);
  r.gradient = over_ground > 0.5 ? climb / over_ground : climb / 0.5;
  // The ground rises under a climb as it does under a run; obstacles' heights are above the start.
  if (r.impossible == NoTakeOff::none && !(climb > 0)) r.impossible = NoTakeOff::climb;

  double to_lift_off = 0;
  if (run) {
    r.run = metres(*run * surface_factor(in.surface) * run_factor);
    to_lift_off = inflation + r.run.si();
    if (in.published && floor_run) {
      const double floor = (inflation + *floor_run) * r.factor;
      r.floor_holds = floor > to_lift_off;
      to_lift_off = std::max(to_lift_off, floor);
    }
    r.to_lift_off = metres(to_lift_off);
  }

  const bool lifts = r.impossible == NoTakeOff::none || r.impossible == NoTakeOff::climb;
  const double height_at_lift_off = in.slope * to_lift_off;
  const auto clearance = [&](const std::string& name, Length have, Length height, bool end) {
    Clearance k;
    k.name = name;
    k.have = have;
    k.clears_ever = end ? lifts : r.impossible == NoTakeOff::none;
    if (!k.clears_ever) return k;
    double need = to_lift_off;
    if (!end) {
      const double up = std::max(height.si() + in.over.si() - std::min(height_at_lift_off, 0.0), 0.0);
      const double climb_distance = up / r.gradient;
      // The leaflet's factors are for the whole distance to a screen height; the run has had its own already.
      need += climb_distance * (in.published ? r.factor : 1.0);
      k.height_left = metres(std::min(height_at_lift_off, 0.0) +
                             (have.si() - to_lift_off) * r.gradient / (in.published ? r.factor : 1.0) - height.si());
    }
    k.need = metres(need);
    k.left = metres(have.si() - need);
    return k;
  };
  r.clearances.push_back(clearance({}, in.strip, Length{}, true));
  for (const auto& o : in.obstacles) r.clearances.push_back(clearance(o.name, o.distance, o.height, false));

  // Abort point.
  const double stop = v_ground * std::max(in.reaction.si(), 0.0) + v_ground * v_ground / (2 * in.braking.si());
  r.stopping = metres(stop);
  double last = in.strip.si();
  for (const auto& o : in.obstacles)
    if (o.height.si() > 0) last = std::min(last, o.distance.si());
  last -= stop;
  for (std::size_t k = 1; k < r.clearances.size(); ++k)
    if (r.clearances[k].clears_ever) last = std::min(last, r.clearances[k].have.si() - (r.clearances[k].need.si() - to_lift_off));
  if (last > inflation && r.impossible == NoTakeOff::none) r.abort_point = metres(last);
  return r;
}

std::optional<Error> take_off_range(const TakeOffInputs& in) {
  const auto bad = [](const char* what) { return Error{ErrorKind::out_of_range, what, {}}; };
  if (!take_off_within(in.mass.si(), 40, 450)) return bad("the all-up mass must be 40 to 450 kg");
  if (!take_off_within(in.density.si(), 0.6, 1.5)) return bad("the density of the air must be 0.6 to 1.5 kg/m3");
  if (!take_off_within(in.wing_area.si(), 8, 60)) return bad("the flat area of the wing must be 8 to 60 m2");
  if (!take_off_within(in.thrust.stationary.si(), 50, 2500)) return bad("the static thrust must be 50 to 2500 N");
  if (!take_off_within(in.thrust.at.si(), 0.6, 1.5)) return bad("the density of the thrust test must be 0.6 to 1.5 kg/m3");
  if (in.thrust.diameter && !take_off_within(in.thrust.diameter->si(), 0.5, 2.5))
    return bad("the propeller must be 0.5 to 2.5 m across");
  if (!take_off_within(in.thrust.lost_per_m_s, 0, 0.08)) return bad("the thrust lost must be 0 to 0.08 for each m/s");
  if (!take_off_within(in.lift_off_cl, 0.1, 2.5) || !take_off_within(in.trim_cl, 0.1, 2.5))
    return bad("a lift coefficient must be 0.1 to 2.5");
  if (!take_off_within(in.glide, 2, 15)) return bad("the glide must be 2 to 15");
  if (!take_off_within(in.resistance, 0, 0.5)) return bad("the resistance coefficient must be 0 to 0.5");
  if (!take_off_within(in.slope, -0.3, 0.3)) return bad("the slope must be -30 % to 30 %");
  if (!take_off_within(in.headwind.si(), -20, 20)) return bad("the wind along the strip must be within 20 m/s (39 kt)");
  if (!take_off_within(in.roughness.si(), 0.0002, 0.4)) return bad("the roughness length must be 0.0002 to 0.4 m");
  if (!take_off_within(in.wing_height.si(), 1, 10)) return bad("the wing's height during the run must be 1 to 10 m");
  if (!in.wheels && !take_off_within(in.fastest_run.si(), 1, 12)) return bad("the fastest run must be 1 to 12 m/s");
  if (!take_off_within(in.inflation.si(), 0, 60)) return bad("the inflation distance must be 0 to 60 m");
  if (!take_off_within(in.run_factor, 0.2, 5)) return bad("the run factor must be 0.2 to 5");
  if (!take_off_within(in.strip.si(), 10, 10000)) return bad("the strip must be 10 to 10000 m long");
  if (!take_off_within(in.over.si(), 0, 100)) return bad("the height over an obstacle must be 0 to 100 m");
  if (!take_off_within(in.reaction.si(), 0, 10)) return bad("the reaction time must be 0 to 10 s");
  if (!take_off_within(in.braking.si(), 0.2, 8)) return bad("the braking must be 0.2 to 8 m/s2");
  if (in.obstacles.size() > 100) return bad("no more than 100 obstacles");
  for (const auto& o : in.obstacles) {
    if (!take_off_within(o.distance.si(), 5, 20000)) return bad("an obstacle must be 5 m to 20 km from the start");
    if (!take_off_within(o.height.si(), 0, 500)) return bad("an obstacle must be 0 to 500 m high");
  }
  return std::nullopt;
}

}  // namespace

std::optional<Length> ground_run(Mass mass, Speed lift_off, Speed headwind, const std::function<double(double)>& force) {
  const auto s = run_metres(mass.si(), headwind.si(), lift_off.si(), headwind.si(), force);
  if (!s) return std::nullopt;
  return metres(*s);
}

Result<Speed> speed_at_lift(Mass mass, Density density, Area area, double cl) {
  if (!take_off_within(mass.si(), 40, 450) || !take_off_within(density.si(), 0.6, 1.5) || !take_off_within(area.si(), 8, 60) ||
      !take_off_within(cl, 0.1, 2.5))
    return fail(ErrorKind::out_of_range,
                "flying speed: mass 40 to 450 kg, density 0.6 to 1.5 kg/m3, area 8 to 60 m2, C_L 0.1 to 2.5");
  return metres_per_second(std::sqrt(2 * mass.si() * kTakeOffGravity / (density.si() * area.si() * cl)));
}

Result<double> wind_height_factor(Length height, Length roughness) {
  const double z = height.si(), z0 = roughness.si();
  if (!take_off_within(z0, 0.0002, 1) || !take_off_within(z, 2 * z0, 100))
    return fail(ErrorKind::out_of_range, "wind over height: roughness 0.0002 to 1 m, height from twice that to 100 m");
  return std::log(z / z0) / std::log(10 / z0);
}

double surface_factor(Surface surface) {
  switch (surface) {
    case Surface::firm:
      return 1.0;
    case Surface::dry_grass:
      return 1.20;
    case Surface::soft_or_snow:
      return 1.25;
    case Surface::wet_grass:
      break;
  }
  return 1.30;
}

Result<double> published_factor(Surface surface, double slope, double tailwind_share, bool general) {
  if (!take_off_within(slope, -0.3, 0.3) || !take_off_within(tailwind_share, 0, 1))
    return fail(ErrorKind::out_of_range, "published factors: slope -30 % to 30 %, tail wind no more than the lift-off speed");
  return surface_factor(surface) * std::pow(1.10, std::max(slope, 0.0) / 0.02) * std::pow(1.20, tailwind_share / 0.10) *
         (general ? 1.33 : 1.0);
}

double thrust_N(const Thrust& t, double v, double rho) {
  const double ratio = propeller_detail::power_ratio(rho) / propeller_detail::power_ratio(t.at.si());
  if (!(ratio > 0)) return 0;
  if (t.diameter) {
    const double disc = std::numbers::pi / 4 * t.diameter->si() * t.diameter->si();
    const double T = t.stationary.si();
    const double power = T * std::sqrt(T / (2 * t.at.si() * disc)) * ratio;
    return propeller_detail::ideal_thrust_N(power, v, rho, disc);
  }
  // Static thrust goes with (rho P^2)^(1/3).
  return t.stationary.si() * std::cbrt(rho / t.at.si() * ratio * ratio) * std::max(1 - t.lost_per_m_s * v, 0.0);
}

bool TakeOffResult::clears() const {
  return impossible == NoTakeOff::none &&
         std::all_of(clearances.begin(), clearances.end(), [](const Clearance& c) { return c.clears(); });
}

Result<TakeOffResult> take_off(const TakeOffInputs& in) {
  if (auto e = take_off_range(in)) return tl::unexpected(*e);
  return evaluate_take_off(in, 1.0);
}

Result<TakeOffMargin> take_off_margin(const TakeOffEstimates& e) {
  TakeOffMargin out;
  auto& margin = out.margin;
  margin.kind = MarginKind::take_off_room;
  margin.id = "take_off_room";
  margin.title = "Take-off room";

  const Amount mass = amount(e.mass), wind = amount(e.headwind), legs = amount(e.fastest_run), inflation = amount(e.inflation);
  struct Input {
    const Amount* a;
    const char* measure;
  };
  std::vector<Input> inputs{
      {&mass, "Weigh pilot, machine, wing and kit, and enter the masses."},
      {&e.density, "Enter pressure and temperature, or a weather report."},
      {&wind, "Enter the wind along the strip."},
      {&e.thrust, "Measure the static thrust with a scale, and enter it with the air's temperature and pressure."},
      {&e.lift_off_cl, "Enter the wing's area and speeds."},
      {&e.trim_cl, "Enter the wing's area and speeds."},
      {&e.glide, "Enter the glide with the engine stopped."},
      {&e.resistance, "Enter what the ground is like."},
      {&e.slope, "Measure the slope of the strip."},
      {&e.run_factor, "Debrief a launch, or walk and enter a run."},
      {&inflation, "Walk and enter the distance in which the wing comes up."}};
  if (!e.fixed.wheels) inputs.push_back({&legs, "Enter the highest ground speed at which you still run with the unit on."});
  Amount unknown_room = unknown_amount(Dimension::length, "an input is missing");
  if (!e.walked) {
    unknown_room.note = "nobody has walked the obstacles of this field";
    margin.measure.push_back("Walk the field and enter the distance and height of every obstacle ahead, or that there is none.");
  }
  for (const auto& i : inputs) {
    if (i.a->basis.kind == BasisKind::assumed) margin.assumed = true;
    if (!i.a->known()) margin.measure.push_back(i.measure);
  }
  TakeOffInputs middle = e.fixed;
  middle.published = e.own_runs < kRunsToLeavePublishedFactors;
  const auto set = [&](TakeOffInputs& in, auto value) {
    in.mass = kilograms(value(mass, Factor::mass));
    in.density = Density::from_si(value(e.density, Factor::air_density));
    in.headwind = metres_per_second(value(wind, Factor::wind));
    in.lift_off_cl = value(e.lift_off_cl, Factor::lift_off);
    // Trim and lift-off coefficient are of one wing: the same draw.
    in.trim_cl = value(e.trim_cl, Factor::lift_off);
    in.glide = value(e.glide, Factor::drag);
    in.resistance = value(e.resistance, Factor::resistance);
    in.slope = value(e.slope, Factor::slope);
    in.run_factor = value(e.run_factor, Factor::run_factor);
    in.fastest_run = metres_per_second(value(legs, Factor::run_speed));
    in.inflation = metres(value(inflation, Factor::inflation));
    return value(e.thrust, Factor::thrust);
  };
  if (!margin.measure.empty()) {
    margin.have = e.walked ? exact_amount(Dimension::length, e.fixed.strip.si()) : unknown_room;
    margin.need = margin.left = unknown_room;
    margin.state = margin_state(margin.kind, std::nullopt, false, false, margin.assumed);
    return out;
  }
  if (!take_off_within(e.survey_spread, 0, 0.5))
    return fail(ErrorKind::out_of_range, "the spread of a field's distances must be 0 to 50 %");
  for (int side = 0; side < 3; ++side) {  // the low, middle and high of every figure must be within the model's range
    TakeOffInputs probe = middle;
    probe.thrust.stationary = newtons(set(probe, [side](const Amount& a, Factor) {
      return side == 0 ? a.low : side == 1 ? a.mid : a.high;
    }));
    if (auto bad = take_off_range(probe)) return tl::unexpected(*bad);
    if (side == 1) out.middle = evaluate_take_off(probe, 1.0);
  }

  const std::size_t things = out.middle.clearances.size();
  std::vector<std::vector<double>> have(things, std::vector<double>(kDraws)), need(things), left(things);
  std::vector<std::size_t> short_of(things, 0);
  std::size_t any_short = 0, none = 0;
  std::vector<double> abort(kDraws);
  TakeOffInputs in = middle;
  in.thrust.stationary = newtons(e.thrust.mid);
  // Own runs were set against the force balance with the middle of these figures: whatever they truly are is in the factor by
  // then, and drawing them again would count their spread twice.
  const FiguresOfRun of_run{e.lift_off_cl.mid, e.trim_cl.mid, e.glide.mid, e.resistance.mid, 1.0};
  for (std::size_t i = 0; i < kDraws; ++i) {
    const double thrust = set(in, [i](const Amount& a, Factor f) { return draw(a, f, i); });
    // One surveyor: distances too long and heights too low come together, which is the bad case.
    const double survey = std::exp(e.survey_spread * normal_draw(Factor::survey, i));
    in.strip = e.fixed.strip / survey;
    for (std::size_t k = 0; k < in.obstacles.size(); ++k) {
      in.obstacles[k].distance = e.fixed.obstacles[k].distance / survey;
      in.obstacles[k].height = e.fixed.obstacles[k].height * survey;
    }
    if (e.factor_holds_inflation) in.inflation = metres(inflation.mid);
    const auto r = evaluate_take_off(in, thrust / e.thrust.mid, e.factor_holds_figures ? &of_run : nullptr);
    bool is_short = r.impossible != NoTakeOff::none;
    none += is_short ? 1 : 0;
    abort[i] = r.abort_point ? r.abort_point->si() : 0.0;
    for (std::size_t k = 0; k < things; ++k) {
      const auto& c = r.clearances[k];
      have[k][i] = c.have.si();
      const bool fits = r.impossible == NoTakeOff::none && c.clears();
      short_of[k] += fits ? 0 : 1;
      is_short = is_short || !fits;
      // Where lift-off is not reached no length is enough: the whole strip is missing, so that what is left says so too.
      if (r.impossible != NoTakeOff::none) {
        left[k].push_back(-c.have.si());
        continue;
      }
      need[k].push_back(c.need.si());
      left[k].push_back(c.left.si());
    }
    any_short += is_short ? 1 : 0;
  }
  const double n = static_cast<double>(kDraws);
  for (const auto s : short_of) out.chance_short_of.push_back(static_cast<double>(s) / n);
  out.chance_no_lift_off = static_cast<double>(none) / n;
  margin.chance_short = static_cast<double>(any_short) / n;
  // The thing that is nearest to be short: by its chance, then by what is left at the median.
  std::size_t nearest = 0;
  for (std::size_t k = 1; k < things; ++k) {
    const auto &a = out.middle.clearances[k], &b = out.middle.clearances[nearest];
    if (short_of[k] > short_of[nearest] || (short_of[k] == short_of[nearest] && a.left < b.left)) nearest = k;
  }
  const Basis basis = margin.assumed ? assumed() : e.run_factor.basis;
  margin.have = from_draws(have[nearest], Dimension::length, measured());
  const auto& c = out.middle.clearances[nearest];
  if (2 * none >= kDraws) {
    margin.need = unknown_amount(Dimension::length, "lift-off or climb is not reached, however long the strip");
    margin.left = margin.need;
  } else {
    margin.need = from_draws(need[nearest], Dimension::length, basis);
    margin.left = from_draws(left[nearest], Dimension::length, basis);
    if (none > 0) margin.need.note = "of the cases in which lift-off is reached at all";
  }
  const auto m = [](Length l) { return exact_amount(Dimension::length, l.si(), assumed()); };
  const auto s = [](Speed v) { return exact_amount(Dimension::speed, v.si(), assumed()); };
  const auto& r = out.middle;
  if (r.impossible == NoTakeOff::legs)
    margin.why.push_back(
        Sentence("Lift-off asks for {0} over the ground, {1} more than this pilot runs: a longer strip does not help.",
                 {s(r.ground_speed_at_lift_off), s(r.missing)}));
  else if (r.impossible == NoTakeOff::thrust)
    margin.why.push_back("The thrust does not reach lift-off on this ground, in this air: a longer strip does not help.");
  else if (r.impossible == NoTakeOff::climb)
    margin.why.push_back("It lifts off and does not climb in this air, at this mass.");
  if (c.name.empty())
    margin.why.push_back(Sentence("The strip's end is nearest to be short: lift-off counted after {0}.", {m(r.to_lift_off)}));
  else
    margin.why.push_back(
        Sentence("Nearest to be short: {0}, {1} from the start; lift-off counted after {2}, {3} to pass above it.",
                 {c.name, m(c.have), m(r.to_lift_off), m(e.fixed.over)}));
  margin.why.push_back(
      Sentence("Half of a headwind counts and one and a half times a tail wind: {0} along the strip counts as {1}.",
               {wind, s(r.counted_headwind)}));
  if (middle.published)
    margin.why.push_back(
        Sentence("With {0} own runs, fewer than ten, it is never less than the safety factors of UK CAA Safety Sense "
                 "09 give; those are for aeroplanes.",
                 {exact_amount(Dimension::count, e.own_runs)}));
  if (out.chance_no_lift_off > 0 && r.impossible == NoTakeOff::none)
    margin.why.push_back("In some of the cases lift-off or climb is not reached at all: a longer strip does not help there.");
  out.abort_point = from_draws(abort, Dimension::length, basis);
  // Rounded down, so that the figure shown and the steps beside it never lie beyond it.
  if (const double stop = std::floor(out.abort_point.low); stop >= 1)
    margin.why.push_back(Sentence("If not lifting at {0} from the start, stop: at the speed of lift-off that takes {1}.",
                                  {exact_amount(Dimension::length, stop, assumed()), m(r.stopping)}));
  else
    margin.why.push_back("No point can be named from which the run both stops in time and still clears: no abort point.");
  // Every input at its median already short: the limit is passed.
  margin.state = margin_state(margin.kind, margin.chance_short, !r.clears(), false, margin.assumed);
  return out;
}

std::vector<Change> take_off_changes(const TakeOffEstimates& e) {
  const auto now = take_off_margin(e);
  if (!now || !now->margin.chance_short) return {};
  std::vector<Change> out;
  const auto add = [&](Sentence what, const TakeOffEstimates& changed) {
    const auto then = take_off_margin(changed);
    if (then && then->margin.chance_short) out.push_back({std::move(what), then->margin.chance_short});
  };
  {
    auto c = e;
    for (Mass* m : {&c.mass.low, &c.mass.mid, &c.mass.high}) *m -= kilograms(5);
    add(Sentence("{0} less to lift.", {exact_amount(Dimension::mass, 5)}), c);
  }
  for (const double knots_more : {5.0, -5.0}) {
    auto c = e;
    for (Speed* w : {&c.headwind.low, &c.headwind.mid, &c.headwind.high}) *w += knots(knots_more);
    const auto by = exact_amount(Dimension::speed, knots(5).si());
    add(knots_more > 0 ? Sentence("{0} more headwind.", {by}) : Sentence("{0} less headwind, or more tail wind.", {by}), c);
  }
  {
    auto c = e;
    for (double* d : {&c.density.low, &c.density.mid, &c.density.high}) *d *= 293.15 / 283.15;  // about 20 C, at one pressure
    add(Sentence("Air colder by {0}.", {exact_amount(Dimension::temperature_difference, 10)}), c);
  }
  const double chance = *now->margin.chance_short;
  std::stable_sort(out.begin(), out.end(), [&](const Change& a, const Change& b) {
    return std::abs(*a.chance_short - chance) > std::abs(*b.chance_short - chance);
  });
  return out;
}

}  // namespace headroom
