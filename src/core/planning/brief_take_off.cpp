#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "core/air/report.h"
#include "core/learn/priors.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/load.h"
#include "core/typed.h"

namespace headroom {
namespace {

// Weighed things are known to half a kilogram, fuel by the dipstick to half a litre.
constexpr double kWeighedSpread_kg = 0.8;
constexpr double kPetrolDensity_kg_L = 0.745;  // EN 228, the middle of its range

Estimate<Mass> weighed(double kg, double spread) {
  return {kilograms(std::max(kg - spread, 0.0)), kilograms(kg), kilograms(kg + spread), measured(), {}};
}

// What the strip is covered with, as far as the published factors know it; they have none for sand, stones, stubble or high
// grass, which are taken for soft ground.
Surface cover_of(FieldSurface surface) {
  switch (surface) {
    case FieldSurface::hard:
      return Surface::firm;
    case FieldSurface::unsaid:
    case FieldSurface::short_grass:
      return Surface::dry_grass;
    case FieldSurface::long_grass:
    case FieldSurface::sand:
    case FieldSurface::stones:
    case FieldSurface::stubble:
      break;
  }
  return Surface::soft_or_snow;
}
Surface heavier_of(Surface a, Surface b) {
  return surface_factor(a) >= surface_factor(b) ? a : b;
}
FieldSurface cover_today(const Day& day) {
  const auto surface = day.strip->surface;
  return day.mown && surface == FieldSurface::long_grass ? FieldSurface::short_grass : surface;
}
// Today's state, on what is there; a hard strip that is said to be wet grass is what was said.
Surface ground_of(const DayPlan& plan) {
  const Surface cover = plan.day.strip ? cover_of(cover_today(plan.day)) : Surface::dry_grass;
  if (!plan.day.ground_said) return cover;
  return cover == Surface::soft_or_snow ? heavier_of(plan.day.ground, cover) : plan.day.ground;
}

constexpr double kMeasuredWind_m = 2;  // height of a run's measured headwind; a report's is told for 10 m
// Standard deviation of that headwind, which a sample does not carry. Own estimate, no source; as in learn/learned.cpp.
constexpr double kMeasuredWindSd_m_s = 0.7;
constexpr double kThrustSpread = 0.06;  // of a pull on a spring scale, 5 to 95 %
// One standard deviation of ln(run) from what the book does not say of earlier runs and is alike in all of them: a slope of 1 %
// is 6 %, 4 kg of mass are 6 %, the cover of the ground 5 %. Own estimate, no source.
constexpr double kUnsaidOfRuns = 0.10;

}  // namespace

std::vector<double> wind_directions(const DayWind& wind) {
  constexpr double kTurns_rad = 0.26, kStep_rad = 0.13;
  std::vector<double> out;
  if (!wind.from) return out;
  const auto sweep = [&](double from, double over) {
    const int steps = std::max(1, static_cast<int>(std::ceil(over / kStep_rad)));
    for (int i = 0; i <= steps; ++i) out.push_back(from + over * i / steps);
  };
  sweep(wind.from->radians() - kTurns_rad, kTurns_rad);
  sweep(wind.from->radians(), kTurns_rad);
  if (wind.between) {
    const double over =
        std::fmod(wind.between->second.radians() - wind.between->first.radians() + 4 * std::numbers::pi, 2 * std::numbers::pi);
    sweep(wind.between->first.radians(), over);
  }
  return out;
}

Amount prior_of(const State& state, const Prior& prior) {
  return prior_amount(prior, state.setting("prior." + std::string(prior.key)));
}

Estimate<Mass> all_up_of(const DayPlan& plan) {
  const State& state = plan.state;
  if (plan.day.all_up) return weighed(in_kilograms(*plan.day.all_up), 1.0);
  std::vector<KitItem> items;
  std::string missing;
  const auto need = [&](const std::string& what) { missing += (missing.empty() ? "" : "; ") + what; };
  if (plan.day.borrower) {
    if (plan.day.borrower_mass)
      items.push_back({"pilot", weighed(in_kilograms(*plan.day.borrower_mass), 1.5)});
    else
      need("the mass of who flies" + typed(" (--pilot-mass)"));
  } else if (const auto* pilot = state.pilot ? state.find_pilot(*state.pilot) : nullptr; pilot != nullptr && pilot->mass) {
    items.push_back({"pilot", weighed(in_kilograms(*pilot->mass), 1.5)});
  } else {
    need("the pilot's mass" + typed(" (headroom enter pilot NAME --mass)"));
  }
  for (const auto* f : {&figure::machine_mass, &figure::wing_mass}) {
    const auto kg = figure_of(state, *f);
    if (kg)
      items.push_back({std::string(f->words), weighed(*kg, kWeighedSpread_kg)});
    else
      need(f == &figure::machine_mass ? "the machine's" + typed(" (headroom enter figure machine_mass)")
                                      : "the wing's" + typed(" (headroom enter figure wing_mass)"));
  }
  if (plan.day.passenger) items.push_back({"passenger", weighed(in_kilograms(*plan.day.passenger), 1.5)});
  for (const KitPiece& k : kit_of(state)) items.push_back({k.name, weighed(in_kilograms(k.mass), 0.1)});
  if (!missing.empty()) return unknown_estimate<Mass>("not weighed or not entered: " + missing);
  double litres_in = 6;  // half a usual tank, where nobody said
  double spread_litres = 4;
  if (plan.day.in_tank) {
    litres_in = in_litres(plan.day.in_tank->mid);
    spread_litres = std::max(0.3, in_litres(plan.day.in_tank->high - plan.day.in_tank->low) / 2);
  } else if (state.tank.known_at) {
    litres_in = in_litres(state.tank.known + state.tank.added_since);
    spread_litres = 1.5;
  }
  const double kg = litres_in * kPetrolDensity_kg_L;
  items.push_back({"fuel",
                   {kilograms(std::max(0.0, kg - spread_litres * kPetrolDensity_kg_L)),
                    kilograms(kg),
                    kilograms(kg + spread_litres * kPetrolDensity_kg_L),
                    plan.day.in_tank ? measured() : assumed(),
                    {}}});
  auto sum = all_up_mass(items);
  return sum ? *sum : unknown_estimate<Mass>(sum.error().what);
}

Amount density_of(const DayPlan& plan) {
  AirInput in;
  const auto& height = plan.day.field ? plan.day.field->height : std::optional<AltitudeMsl>{};
  if (!height)
    return unknown_amount(Dimension::none,
                          "the height of the field is not known" + typed(": headroom field describe NAME --height HEIGHT"));
  in.elevation = height;
  // A day's pressure away from the standard is worth 2 %, a day's temperature 5 %; what was said of them
  // is as far off as it says.
  in.qnh = plan.day.qnh.value_or(pascals(101325));
  double spread = plan.day.qnh ? plan.day.qnh_off.si() / 101325 : 0.02;
  in.temperature = plan.day.temperature;
  spread = std::hypot(spread, plan.day.temperature ? plan.day.temperature_off.si() / 288 : 0.05);
  if (plan.day.temperature) in.dew_point = plan.day.dew_point;
  const auto air = air_report(in);
  if (!air) return unknown_amount(Dimension::none, air.error().what);
  const double rho = air->density.si();
  Amount a{Dimension::none, rho * (1 - spread), rho, rho * (1 + spread), plan.day.temperature ? measured() : assumed(), {}};
  if (!plan.day.temperature) a.note = "the standard's temperature is assumed" + typed("; say --temperature");
  return a;
}

namespace {

// One standard deviation of a run measured by hand: steps differ by 8 %, a tape laid along a bent run and a figure told in metres
// by 5 %, and where the feet left the ground is found to a metre. Own estimate, no source.
constexpr double kStepsSpread = 0.08, kTapedSpread = 0.05, kLeastSpread_m = 1.0;
constexpr auto kSameLaunch = std::chrono::minutes(10);
constexpr auto kLongestFlight = std::chrono::hours(24);

// The owner's figures that the force balance of each run takes, and what a run was met with.
struct RunBalance {
  TakeOffInputs in;
  double to_10_m = 1;  // wind at 10 m over that at 2 m
  [[nodiscard]] TakeOffInputs met(double density, double headwind_at_2_m) const {
    TakeOffInputs then = in;
    then.density = Density::from_si(density);
    // take_off counts half of a headwind and one and a half times a tail wind, at 10 m: what blew at 2 m is brought there.
    const double there = headwind_at_2_m * to_10_m;
    then.headwind = metres_per_second(there > 0 ? there / 0.5 : there / 1.5);
    return then;
  }
  [[nodiscard]] std::optional<TakeOffResult> told(double density, double headwind_at_2_m) const {
    const auto run = take_off(met(density, headwind_at_2_m));
    if (!run || !(run->run.si() >= 1) || run->impossible != NoTakeOff::none) return std::nullopt;
    return *run;
  }
  [[nodiscard]] std::optional<Length> of(double density, double headwind_at_2_m) const {
    const auto run = told(density, headwind_at_2_m);
    return run ? std::optional<Length>(run->run) : std::nullopt;
  }
};

// The spread of one figure in the logarithm of the run: half way between its ends, or from the one end that has a run.
std::optional<double> log_spread(std::optional<Length> less, Length mid, std::optional<Length> more) {
  if (less && more) return std::abs(std::log(*more / *less)) / (2 * kNormal95);
  if (more) return std::abs(std::log(*more / mid)) / kNormal95;
  if (less) return std::abs(std::log(mid / *less)) / kNormal95;
  return std::nullopt;
}

// Which flight a run entered by hand was the take-off of: the nearest launch of this pilot within ten minutes, or the flight it
// was entered in the middle of.
std::optional<std::size_t> flight_of_run(const State& state, const RunState& r) {
  const auto from = std::lower_bound(state.flights.begin(), state.flights.end(), r.at - kLongestFlight,
                                     [](const FlightState& f, UtcTime t) { return f.launch < t; });
  std::optional<std::size_t> nearest;
  UtcTime::duration least{};
  for (auto it = from; it != state.flights.end() && it->launch <= r.at + kSameLaunch; ++it) {
    if (!it->counts || it->pilot != r.run.pilot) continue;
    const auto away = it->launch > r.at ? it->launch - r.at : r.at - it->launch;
    if (away > kSameLaunch && !(it->launch <= r.at && r.at < it->landing)) continue;
    if (nearest && away >= least) continue;
    nearest = static_cast<std::size_t>(it - state.flights.begin());
    least = away;
  }
  return nearest;
}

// Own runs are set against the middle of the owner's figures, so the factor learned from them is the pilot's and the figures'
// together: what is thought likely of it first is as wide as both. By the figures' effect on one run.
Amount factor_with_figures(const State& state, const Amount& factor, const TakeOffInputs& in, Length run, bool with_inflation) {
  double variance = std::pow(std::log(factor.high / factor.low) / (2 * kNormal95), 2);
  const auto also = [&](auto change) {
    double ends[2] = {0, 0};
    for (const bool high : {false, true}) {
      TakeOffInputs changed = in;
      change(changed, high);
      const auto then = take_off(changed);
      ends[high ? 1 : 0] = std::log(then && then->run.si() > 0 ? then->run / run : 1.0);
    }
    variance += std::pow((ends[1] - ends[0]) / (2 * kNormal95), 2);
  };
  const auto lift_off_cl = prior_of(state, prior::lift_off_cl), trim_cl = prior_of(state, prior::trim_cl),
             glide = prior_of(state, prior::glide), resistance = prior_of(state, prior::resistance),
             wing_up = prior_of(state, prior::inflation);
  also([&](TakeOffInputs& i, bool high) {
    i.lift_off_cl = high ? lift_off_cl.high : lift_off_cl.low;
    i.trim_cl = high ? trim_cl.high : trim_cl.low;
  });
  also([&](TakeOffInputs& i, bool high) { i.glide = high ? glide.high : glide.low; });
  also([&](TakeOffInputs& i, bool high) { i.resistance = high ? resistance.high : resistance.low; });
  also([&](TakeOffInputs& i, bool high) {
    i.thrust.stationary = i.thrust.stationary * (high ? 1 + kThrustSpread : 1 - kThrustSpread);
  });
  if (with_inflation) variance += std::pow((wing_up.high - wing_up.low) / (2 * kNormal95) / run.si(), 2);
  const double middle = std::sqrt(factor.low * factor.high), wide = std::exp(kNormal95 * std::sqrt(variance));
  Amount out = factor;
  out.low = middle / wide;
  out.high = middle * wide;
  return out;
}

}  // namespace

OwnRuns own_runs_of(const DayPlan& plan) {
  OwnRuns out;
  const State& state = plan.state;
  std::vector<OwnRun> runs;
  const auto area = figure_of(state, figure::wing_area), thrust = figure_of(state, figure::static_thrust);
  // The mass of a run that nobody told is the kit list's, and never more than today's, so that a heavy day is not thought to have
  // been usual.
  Day usual = plan.day;
  usual.all_up.reset();
  usual.passenger.reset();
  auto mass = all_up_of({state, usual, plan.start, plan.landing, plan.now, plan.air});
  const auto today = all_up_of(plan);
  if (!mass.known() || (today.known() && today.mid < mass.mid)) mass = today;
  const Surface ground =
      surface_factor(ground_of(plan)) < surface_factor(Surface::dry_grass) ? ground_of(plan) : Surface::dry_grass;
  const auto up = wind_height_factor(metres(kMeasuredWind_m), metres(0.03));
  const double inflation = prior_of(state, prior::inflation).mid;
  const double at_wing = wind_height_factor(TakeOffInputs{}.wing_height, metres(0.03)).value_or(1.0);
  const auto prior = prior_of(state, prior::run_factor);
  Amount likely = prior;
  if (!plan.day.borrower && area && thrust && up) {
    RunBalance usual_run;
    usual_run.to_10_m = 1 / *up;
    TakeOffInputs& in = usual_run.in;
    in.mass = mass.mid;
    in.wing_area = Area::from_si(*area);
    in.thrust.stationary = Force::from_si(*thrust);
    // The figures take_off_of works the run out with, in their middles.
    in.lift_off_cl = prior_of(state, prior::lift_off_cl).mid;
    in.trim_cl = prior_of(state, prior::trim_cl).mid;
    in.glide = prior_of(state, prior::glide).mid;
    in.resistance = prior_of(state, prior::resistance).mid;
    if (const auto diameter = figure_of(state, figure::propeller_diameter)) in.thrust.diameter = metres(*diameter);
    in.surface = ground;
    in.published = false;
    in.fastest_run = metres_per_second(12);
    in.inflation = metres(0);
    in.strip = metres(2000);
    const auto not_mine = [&](const EntryId& pilot, const EntryId& machine) {
      return (state.pilot && pilot != *state.pilot) || (state.machine && machine != *state.machine);
    };
    const auto room_of = [&](std::size_t flight) -> const MeasureSample* {
      const auto it =
          std::lower_bound(state.measures.begin(), state.measures.end(), flight,
                           [](const MeasureSample& s, std::size_t f) { return s.flight < f; });  // room_used is the first kind
      const bool room = it != state.measures.end() && it->flight == flight && it->kind == MeasureKind::room_used;
      return room ? &*it : nullptr;
    };

    std::set<std::size_t> by_hand;  // flights whose run is entered by hand: told better than a recorder sees it
    for (auto it = state.runs.rbegin(); it != state.runs.rend(); ++it) {  // the last said of a launch counts
      const RunState& r = *it;
      if (not_mine(r.run.pilot, r.run.machine)) continue;
      const auto flight = flight_of_run(state, r);
      if (flight && by_hand.contains(*flight)) {
        ++out.left_out;
        continue;
      }
      const MeasureSample* seen = flight ? room_of(*flight) : nullptr;
      // Running and rolling are not the same: a run of the other kind says nothing, nor does a recording of it.
      if (r.run.wheels != plan.day.wheels) {
        if (flight) by_hand.insert(*flight);
        continue;
      }
      std::optional<double> density, headwind;
      double density_spread = 0.02;  // a day's pressure, as in density_of
      if (r.run.height) {
        AirInput air;
        air.elevation = r.run.height;
        air.qnh = pascals(101325);
        air.temperature = r.run.temperature;
        if (const auto found = air_report(air)) density = found->density.si();
        if (!r.run.temperature) density_spread = std::hypot(density_spread, 0.05);
      }
      if (seen != nullptr && seen->density_ratio > 0 && (!density || !r.run.temperature)) {
        density = static_cast<double>(seen->density_ratio) * 1.225;
        density_spread = 0.02;
      }
      if (r.run.headwind)
        headwind = r.run.headwind->si();
      else if (seen != nullptr && seen->headwind_m_s != 0)
        headwind = static_cast<double>(seen->headwind_m_s);
      RunBalance met = usual_run;
      if (r.run.all_up) met.in.mass = *r.run.all_up;
      if (r.run.surface) met.in.surface = *r.run.surface;
      met.in.slope = r.run.slope.value_or(0);
      met.in.wheels = r.run.wheels;
      if (!density || !headwind || !(r.run.all_up || mass.known())) {
        ++out.left_out;  // and the recording of the same launch, if it knows enough, counts
        continue;
      }
      const auto balance = met.of(*density, *headwind);
      // Told to the nearest unit, and for a moment: as a wind typed for the day.
      const double gusts = 0.5 + 0.1 * std::abs(*headwind);
      std::optional<double> wind_sd, density_sd;
      if (balance) {
        wind_sd = log_spread(met.of(*density, *headwind + gusts), *balance, met.of(*density, *headwind - gusts));
        density_sd = log_spread(met.of(*density * (1 + density_spread), *headwind), *balance,
                                met.of(*density * (1 - density_spread), *headwind));
      }
      if (!balance || !wind_sd || !density_sd) {
        ++out.left_out;
        continue;
      }
      const double room = r.run.room.si();
      const double tape_sd = std::max((r.run.steps ? kStepsSpread : kTapedSpread), kLeastSpread_m / room);
      const double times = std::exp(kNormal95 * std::hypot(tape_sd, *wind_sd, *density_sd));
      OwnRun own;
      own.by_force_balance = *balance;
      own.measured = {metres(std::max(0.5, room / times)), metres(room), metres(room * times), measured(), {}};
      if (!(own.measured.high.si() <= 2000)) {
        ++out.left_out;
        continue;
      }
      if (runs.empty()) likely = factor_with_figures(state, prior, met.met(*density, *headwind), *balance, false);
      runs.push_back(own);
      ++out.by_hand;
      if (flight) by_hand.insert(*flight);
    }
    if (mass.known())
      for (const MeasureSample& s : state.measures) {
        // Density and wind of nothing are not known.
        if (s.kind != MeasureKind::room_used || !s.learnable || !(s.low > 0.5F) || !(s.density_ratio > 0) || s.headwind_m_s == 0)
          continue;
        const FlightState& flight = state.flights[s.flight];
        if (not_mine(flight.pilot, flight.machine) || by_hand.contains(s.flight)) continue;
        const double density = static_cast<double>(s.density_ratio) * 1.225, headwind = static_cast<double>(s.headwind_m_s);
        const auto balance = usual_run.told(density, headwind);
        if (!balance) continue;
        OwnRun own;
        own.by_force_balance = balance->run;
        // The room begins with the first step; the wing comes up in the first part of it, which take_off counts apart. What was
        // seen is the whole, so its spread stays the whole's; a short room keeps a third for the run.
        const double room = static_cast<double>(s.mid), rest = std::max(room - inflation, room / 3) / room;
        double spread = std::log(static_cast<double>(s.high) / static_cast<double>(s.low)) / (2 * kNormal95) / rest;
        // d ln(run) / d headwind is about -2 / (lift-off speed less headwind).
        spread =
            std::hypot(spread, 2 * kMeasuredWindSd_m_s / *up * at_wing / std::max(balance->ground_speed_at_lift_off.si(), 2.0));
        const double wide = std::exp(kNormal95 * spread);
        own.measured = {metres(room * rest / wide), metres(room * rest), metres(room * rest * wide), measured(), {}};
        if (!(own.measured.low.si() >= 0.5) || own.measured.high.si() > 2000) continue;
        if (runs.empty()) likely = factor_with_figures(state, prior, usual_run.met(density, headwind), balance->run, true);
        runs.push_back(own);
      }
  }
  auto learned = learn_run_factor(runs, likely, kUnsaidOfRuns);
  if (learned) {
    out.factor = *learned;
  } else {
    out.factor.own = out.factor.next = prior;
    out.by_hand = 0;
  }
  return out;
}

Estimate<Speed> fastest_run_of(const DayPlan& plan) {
  const auto prior = prior_of(plan.state, prior::fastest_run);
  std::vector<Estimate<Speed>> seen;
  // A recording does not tell feet from wheels; its owner may have said it of the run.
  std::set<std::size_t> rolled;
  for (const RunState& r : plan.state.runs)
    if (r.run.wheels)
      if (const auto flight = flight_of_run(plan.state, r)) rolled.insert(*flight);
  if (!plan.day.borrower)
    for (const MeasureSample& s : plan.state.measures)
      if (s.kind == MeasureKind::lift_off_ground_speed && s.learnable && !rolled.contains(s.flight) &&
          (!plan.state.pilot || plan.state.flights[s.flight].pilot == *plan.state.pilot) &&
          (!plan.state.machine || plan.state.flights[s.flight].machine == *plan.state.machine))
        seen.push_back({metres_per_second(static_cast<double>(s.low)),
                        metres_per_second(static_cast<double>(s.mid)),
                        metres_per_second(static_cast<double>(s.high)),
                        measured(),
                        {}});
  return fastest_run(seen, prior);
}

TakeOffEstimates take_off_of(const DayPlan& plan) {
  TakeOffEstimates e;
  const State& state = plan.state;
  e.mass = all_up_of(plan);
  e.density = density_of(plan);
  e.lift_off_cl = prior_of(state, prior::lift_off_cl);
  e.trim_cl = prior_of(state, prior::trim_cl);
  e.glide = prior_of(state, prior::glide);
  e.resistance = prior_of(state, prior::resistance);
  const auto inflation = prior_of(state, prior::inflation);
  e.inflation = {metres(inflation.low), metres(inflation.mid), metres(inflation.high), inflation.basis, {}};
  const OwnRuns own = own_runs_of(plan);
  e.run_factor = own.factor.next;
  e.own_runs = own.factor.runs;
  e.own_runs_by_hand = own.by_hand;
  e.own_runs_left_out = own.left_out;
  e.factor_holds_figures = own.factor.runs > 0;
  e.factor_holds_inflation = own.factor.runs > 0 && own.by_hand == 0;
  e.fastest_run = fastest_run_of(plan);
  e.fixed.wheels = plan.day.wheels;
  e.fixed.surface = ground_of(plan);
  const auto area = figure_of(state, figure::wing_area);
  e.fixed.wing_area = Area::from_si(area.value_or(0));
  const auto thrust = figure_of(state, figure::static_thrust);
  e.thrust = thrust
                 ? Amount{Dimension::none, *thrust * (1 - kThrustSpread), *thrust, *thrust * (1 + kThrustSpread), measured(), {}}
                 : unknown_amount(Dimension::none, "never entered; measure the pull on a spring scale, standing" +
                                                       typed(": headroom enter figure static_thrust \"560 N\""));
  if (const auto diameter = figure_of(state, figure::propeller_diameter)) e.fixed.thrust.diameter = metres(*diameter);
  if (plan.day.strip) {
    const FieldStrip& strip = *plan.day.strip;
    e.fixed.strip = strip.length;
    e.fixed.slope = strip.slope;
    e.slope = {Dimension::none, strip.slope - 0.01, strip.slope, strip.slope + 0.01, measured(), {}};
    e.walked = strip.walked.has_value();
    for (const FieldObstacle& o : strip.obstacles)
      e.fixed.obstacles.push_back({std::string(obstacle_words(o.kind)), o.distance, o.height});
  } else {
    e.slope = exact_amount(Dimension::none, 0, assumed());
  }
  if (plan.day.wind && plan.day.strip) {
    const DayWind& wind = *plan.day.wind;
    if (wind.from) {
      const double angle = wind.from->radians() - plan.day.strip->towards_deg * std::numbers::pi / 180;
      double least = 1e300, most = -1e300;
      for (const double from : wind_directions(wind))
        for (const Speed blows : {wind.mean.low, wind.mean.high}) {
          const double head = std::cos(from - plan.day.strip->towards_deg * std::numbers::pi / 180) * blows.si();
          least = std::min(least, head);
          most = std::max(most, head);
        }
      const double mid = std::cos(angle) * wind.mean.mid.si();
      e.headwind = {metres_per_second(std::min(least, mid)),
                    metres_per_second(mid),
                    metres_per_second(std::max(most, mid)),
                    wind.mean.basis,
                    {}};
    } else {
      // From all sides: it may be a tail wind.
      e.headwind = {-wind.mean.high, -wind.mean.mid, -wind.mean.low, wind.mean.basis, {}};
    }
  } else {
    e.headwind = unknown_estimate<Speed>("the wind is not said" + typed(": --wind"));
  }
  return e;
}

void add_take_off(std::vector<Margin>& out, const DayPlan& plan, bool with_changes) {
  Margin m;
  m.kind = MarginKind::take_off_room;
  m.id = "take_off_room";
  m.title = "Take-off room";
  m.assumed = true;
  m.have = m.need = m.left = unknown_amount(Dimension::length, "not known");
  const auto ask = [&](Sentence what) { m.measure.push_back(std::move(what)); };
  if (!plan.day.field) {
    m.why.push_back("No field is named: neither its length nor its obstacles are known.");
    ask("Name the field" + typed(": --field NAME (headroom field lists them)") + ".");
  } else if (!plan.day.strip) {
    m.why.push_back(Sentence("No strip of {0} is chosen.", {plan.day.field->name}));
    ask("Name the strip" + typed(": --strip NAME") + ", or describe one" + typed(": headroom field strip") + ".");
  } else {
    const auto estimates = take_off_of(plan);
    if (!estimates.walked) {
      m.why.push_back(Sentence("Nobody has walked the strip {0} of {1}: its obstacles are not known.",
                               {plan.day.strip->name, plan.day.field->name}));
      ask("Walk it, enter its obstacles" + typed(" (headroom field obstacle)") + " and say so" +
          typed(" (headroom field walked)") + ".");
    }
    if (!plan.day.wind) ask("Say the wind at the field" + typed(": --wind 240/12kt") + ".");
    if (!estimates.mass.known()) ask(Sentence("All-up mass: {0}.", {estimates.mass.note}));
    if (!estimates.density.known()) ask(Sentence("Air: {0}.", {estimates.density.note}));
    if (!estimates.thrust.known()) ask(Sentence("Thrust: {0}.", {estimates.thrust.note}));
    if (!(estimates.fixed.wing_area.si() > 0))
      ask("Enter the flat wing area" + typed(": headroom enter figure wing_area \"26 m2\"") + ".");
    if (m.measure.empty()) {
      auto told = take_off_margin(estimates);
      if (told) {
        m = std::move(told->margin);
        // Beside the sentence on the abort point, the last that the margin has.
        if (const double stop = std::floor(told->abort_point.low); told->abort_point.known() && stop >= 1)
          if (const auto step = plan.day.borrower ? std::nullopt : figure_of(plan.state, figure::step_length))
            m.why.push_back(
                Sentence("From the start, {0} is {1} of your steps.",
                         {exact_amount(Dimension::length, stop), exact_amount(Dimension::count, std::floor(stop / *step))}));
        if (cover_of(cover_today(plan.day)) == Surface::soft_or_snow)
          m.why.push_back(Sentence("{0} has no published factor: it counts as soft ground at least.",
                                   {std::string(surface_words(plan.day.strip->surface))}));
        else if (!plan.day.ground_said)
          m.why.push_back("The ground is taken for dry; say so when it is wet, soft or under snow" + typed(" (--ground)") + ".");
        if (estimates.own_runs_by_hand > 0)
          m.why.push_back(Sentence(
              "Own runs that count: {0}, of which measured by hand: {1}. Where mass and ground were not told they are taken "
              "as flown with the kit list's mass and on dry grass: heavier ones or softer ground would make you look worse "
              "than you are, lighter ones better.",
              {exact_amount(Dimension::count, estimates.own_runs), exact_amount(Dimension::count, estimates.own_runs_by_hand)}));
        else if (estimates.own_runs > 0)
          m.why.push_back(
              Sentence("{0} own runs count, taken as flown with the kit list's mass and on dry grass: heavier ones or softer "
                       "ground would make "
                       "you look worse than you are, lighter ones better.",
                       {exact_amount(Dimension::count, estimates.own_runs)}));
        if (estimates.own_runs_left_out > 0)
          m.why.push_back(
              Sentence("Measured by hand and not counted, because the wind along it, the height of the place or the mass is "
                       "not told, or no run comes out of them: {0}" +
                           typed(" (headroom enter amend)") + ".",
                       {exact_amount(Dimension::count, estimates.own_runs_left_out)}));
        if (with_changes)
          for (auto& c : take_off_changes(estimates)) m.changes.push_back(std::move(c));
        if (with_changes)
          for (const FieldStrip& other : plan.day.field->strips) {
            if (other.name == plan.day.strip->name) continue;
            Day elsewhere = plan.day;
            elsewhere.strip = other;
            const auto there =
                take_off_margin(take_off_of({plan.state, elsewhere, plan.start, plan.landing, plan.now, plan.air}));
            if (there && there->margin.chance_short)
              m.changes.push_back({Sentence("The strip {0} instead.", {other.name}), there->margin.chance_short});
          }
        out.push_back(std::move(m));
        return;
      }
      m.why.push_back(Sentence("The take-off cannot be worked out: {0}.", {told.error().what}));
    }
  }
  m.state = MarginState::unknown;
  out.push_back(std::move(m));
}

}  // namespace headroom
