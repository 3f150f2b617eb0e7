#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "core/book/recent.h"
#include "core/learn/learned.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/draws.h"
#include "core/typed.h"

namespace headroom {
namespace {

const std::optional<DayWind>& route_wind(const Day& day) {
  return day.aloft ? day.aloft : day.wind;
}

RoutePlan route_plan(const Day& day, UtcTime start, double airspeed, Speed wind) {
  RoutePlan route;
  route.points = day.route;
  route.airspeed = metres_per_second(airspeed);
  route.winds = {Wind{*route_wind(day)->from, wind}};
  route.start = start;
  route.burn = litres_per_hour(4);  // only times are wanted of it
  route.fuel = litres(200);
  return route;
}

// Where on the way the least is left.
void say_thinnest(Margin& m, const Route& route) {
  const Leg *fuel = nullptr, *light = nullptr, *slow = nullptr;
  const auto home = [](const Leg& l) { return l.fuel_left_home ? std::min(*l.fuel_left_home, l.fuel_left) : l.fuel_left; };
  const auto dark = [](const Leg& l) { return l.light_left_home ? std::min(*l.light_left_home, *l.light_left) : *l.light_left; };
  for (const Leg& l : route.legs) {
    if (fuel == nullptr || home(l) < home(*fuel)) fuel = &l;
    if (l.light_left && (light == nullptr || dark(l) < dark(*light))) light = &l;
    if (l.triangle && (slow == nullptr || l.triangle->ground_speed < slow->triangle->ground_speed)) slow = &l;
  }
  if (fuel == nullptr || route.legs.size() < 2) return;
  std::string text = "Thinnest: fuel at {0} ({1} once home from there)";
  std::vector<Sentence::Part> parts{fuel->to, exact_amount(Dimension::volume, home(*fuel).si())};
  if (light != nullptr) {
    text += ", light at {2} ({3})";
    parts.emplace_back(light->to);
    parts.emplace_back(exact_amount(Dimension::duration, dark(*light).si()));
  }
  if (slow != nullptr) {
    text += ", ground speed towards {" + std::to_string(parts.size()) + "} ({" + std::to_string(parts.size() + 1) + "})";
    parts.emplace_back(slow->to);
    parts.emplace_back(exact_amount(Dimension::speed, slow->triangle->ground_speed.si()));
  }
  m.why.push_back(Sentence(text + ".", std::move(parts)));
}

}  // namespace

RouteTimes route_times(const State& state, const Day& day, UtcTime start) {
  RouteTimes out;
  out.time = unknown_amount(Dimension::duration, "no route");
  out.asked = day.route.size() >= 2;
  if (!out.asked) return out;
  const auto& wind = route_wind(day);
  if (!wind || (!wind->from && wind->mean.high.si() > 1)) {
    out.missing = "the wind along the route is not said, with where it comes from" + typed(": --wind-aloft 250/25kt");
    return out;
  }
  Day from_north = day;  // a calm comes from nowhere
  if (!wind->from) (from_north.aloft ? from_north.aloft : from_north.wind)->from = wind_from_degrees(0);
  const Amount trim = trim_speed_of(state, day);
  double least = 1e300, most = 0;
  out.surely = true;
  for (const double airspeed : {trim.low, trim.mid, trim.high})
    for (const Speed blows : {wind->mean.low, wind->mean.mid, wind->mean.high}) {
      const auto told = plan_route(route_plan(from_north, start, airspeed, blows));
      const bool middle = airspeed == trim.mid && blows == wind->mean.mid;
      if (!told || !told->flyable) {
        if (!told && middle) out.missing = told.error().what;
        out.surely = false;
        continue;
      }
      least = std::min(least, told->time.si());
      most = std::max(most, told->time.si());
      if (!middle) continue;
      out.flyable = true;
      out.time = exact_amount(Dimension::duration, told->time.si(), assumed());
    }
  if (!out.flyable) return out;
  out.time.low = least;
  // Where the dear end cannot be flown at all there is no longest time: three times the middle stands for it.
  out.time.high = out.surely ? most : std::max(most, 3 * out.time.mid);
  return out;
}

void add_route(std::vector<Margin>& out, const DayPlan& plan) {
  const Day& day = plan.day;
  if (!plan.route.asked) return;
  Margin m;
  m.kind = MarginKind::fuel;
  m.id = "route";
  m.title = "Fuel at the end of the route";
  m.assumed = true;
  m.have = m.need = m.left = unknown_amount(Dimension::volume, "not known");
  if (!plan.route.missing.empty()) m.measure.push_back(Sentence("Not known: {0}.", {plan.route.missing}));
  const FlightBurn burn = flight_burn(plan.state);
  std::vector<double> usable(kDraws);
  if (!tank_draws(plan, burn.usual, usable)) m.measure.push_back("Say what is in the tank" + typed(": --tank \"9 L\"") + ".");
  if (!m.measure.empty()) {
    m.why.push_back("Without it the way home cannot be worked out.");
    out.push_back(std::move(m));
    return;
  }
  const auto& wind = *route_wind(day);
  if (!plan.route.flyable) {
    m.chance_short = 1;
    m.state = MarginState::short_of;
    m.why.push_back(
        Sentence("A leg cannot be flown in {0} of wind: it blows faster than the wing flies along it.", {amount(wind.mean)}));
    out.push_back(std::move(m));
    return;
  }
  const auto held = prior_of(plan.state, prior::held_back);
  std::vector<double> need(kDraws), left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) {
    const double per_second = burn.of_flight(i) * std::max(draw(plan.running_share, Factor::running_share, i), 0.0);
    usable[i] -= held.mid * per_second;
    need[i] = draw(plan.route.time, Factor::wind, i) * per_second;
    left[i] = usable[i] - need[i];
  }
  m.chance_short = share_below_zero(left);
  m.have = from_draws(usable, Dimension::volume, day.in_tank ? measured() : assumed());
  m.need = from_draws(need, Dimension::volume, assumed());
  m.left = from_draws(left, Dimension::volume, assumed());
  m.state = margin_state(m.kind, m.chance_short, m.left.mid < 0, false, true);

  const double airspeed = trim_speed_of(plan.state, day).mid;
  RoutePlan route = route_plan(day, plan.start, airspeed, wind.mean.mid);
  if (!wind.from) route.winds = {Wind{wind_from_degrees(0), wind.mean.mid}};
  // What one flies home with: the low end of what can be drawn, at a burn that includes climbs; all else in the middle.
  route.burn = VolumeFlow::from_si(burn.usual.mid * plan.running_share.mid);
  route.fuel = Volume::from_si(std::max(m.have.low, 0.0));
  route.down_by = last_light(plan);
  const auto told = plan_route(route);
  if (!plan.route.surely) m.why.push_back("With the wind at its worst or the wing at its slowest a leg cannot be flown.");
  if (told) {
    m.why.push_back(Sentence(
        "{0} in {1} ({2} to {3}) at an airspeed of {4} with {5} of wind; {6} can be flown with once what is held back is kept.",
        {exact_amount(Dimension::length, told->distance.si()), plan.route.time,
         exact_amount(Dimension::duration, plan.route.time.low), exact_amount(Dimension::duration, plan.route.time.high),
         exact_amount(Dimension::speed, airspeed), amount(wind.mean), m.have}));
    for (const Leg& leg : told->legs) {
      std::string text = "{0} to {1}: {2} in {3}, {4} over the ground, {5} of fuel left then";
      std::vector<Sentence::Part> parts{leg.from,
                                        leg.to,
                                        exact_amount(Dimension::length, leg.distance.si()),
                                        exact_amount(Dimension::duration, leg.time.si()),
                                        exact_amount(Dimension::speed, leg.triangle ? leg.triangle->ground_speed.si() : 0),
                                        exact_amount(Dimension::volume, leg.fuel_left.si())};
      if (leg.fuel_left_home) {
        text += "; straight home from there leaves {6}";
        parts.emplace_back(exact_amount(Dimension::volume, leg.fuel_left_home->si()));
      }
      if (leg.light_left) {
        text += leg.light_left->si() < 0 ? "; the light has gone {" : "; {";
        text += std::to_string(parts.size()) + "}" + (leg.light_left->si() < 0 ? " before" : " of light left");
        parts.emplace_back(exact_amount(Dimension::duration, std::abs(leg.light_left->si())));
      }
      m.why.push_back(Sentence(text + ".", std::move(parts)));
    }
    say_thinnest(m, *told);
    m.why.push_back(
        "Fuel in these legs counts from the low end of what is in the tank, at the middle of burn, wind and airspeed.");
  }
  // The latest time to turn is asked for at the dear end of everything: it is the one figure here that is acted on in the air.
  RoutePlan dear = route_plan(day, plan.start, trim_speed_of(plan.state, day).low, wind.mean.high);
  if (!wind.from) dear.winds = {Wind{wind_from_degrees(0), wind.mean.high}};
  dear.burn = VolumeFlow::from_si(burn.usual.high * plan.running_share.high);
  dear.fuel = route.fuel;
  dear.down_by = route.down_by;
  const auto dearest = plan_route(dear);
  if (!dearest || !dearest->flyable)
    m.why.push_back(
        "With the strongest wind and the slowest wing thought likely there is no time to turn that brings you home for sure.");
  else if (dearest->turn_back_after)
    m.why.push_back(Sentence(dearest->turn_back_for_light ? "Turn for home {0} after the start at the latest, with wind, wing "
                                                            "and burn at their dear ends: later, the light does "
                                                            "not last to bring you straight back."
                                                          : "Turn for home {0} after the start at the latest, with wind, wing "
                                                            "and burn at their dear ends: later, fuel does not "
                                                            "bring you straight back.",
                             {exact_amount(Dimension::duration, dearest->turn_back_after->si())}));
  if (m.state != MarginState::ample) m.changes.push_back({"A shorter route, the upwind leg first, or more fuel.", std::nullopt});
  out.push_back(std::move(m));
}

void add_airspace(std::vector<Margin>& out, const DayPlan& plan) {
  const Day& day = plan.day;
  if (day.airspace.empty() && day.airspace_warnings.empty()) return;
  Margin m;
  m.kind = MarginKind::other;
  m.id = "airspace";
  m.title = "Areas of your own map";
  m.have = m.need = m.left = unknown_amount(Dimension::none, "names, not figures");
  for (const auto& warning : day.airspace_warnings) m.why.push_back(Sentence("{0}.", {warning}));
  if (day.route.size() < 2) m.measure.push_back("Not looked at: say the route" + typed(", --route") + ".");
  if (!day.route_height) m.measure.push_back("Not looked at: say how high" + typed(", --route-height") + ".");
  if (m.measure.empty()) {
    std::set<std::size_t> met;
    for (std::size_t i = 0; i + 1 < day.route.size(); ++i) {
      const auto touched = areas_touched(
          {day.route[i].position, day.route[i + 1].position, *day.route_height, metres(500), metres(100), metres(100)},
          day.airspace);
      if (!touched) {
        m.measure.push_back(
            Sentence("Not looked at from {0} to {1}: {2}.", {day.route[i].name, day.route[i + 1].name, touched.error().what}));
        continue;
      }
      for (const Touch& t : *touched) met.insert(t.area);
    }
    std::string names;
    for (const std::size_t area : met) names += (names.empty() ? "" : ", ") + day.airspace[area].name;
    if (!met.empty()) {
      m.state = MarginState::thin;
      m.why.insert(
          m.why.begin(),
          Sentence("Met within 500 m along the route and 100 m in height: {0}. Whether they are in force is not known here.",
                   {names}));
    } else if (m.measure.empty() && day.airspace_warnings.empty()) {
      m.state = MarginState::ample;
      m.chance_short = 0;
      m.why.push_back(
          "None is met within 500 m along the route and 100 m in height; whether the map is whole and of today is not known "
          "here.");
    }
  }
  out.push_back(std::move(m));
}

Amount trim_speed_of(const State& state, const Day& day) {
  if (!day.borrower && state.machine && state.pilot) {
    const auto learned = learned_now(state, LearnedKind::trim_airspeed, *state.machine, *state.pilot);
    if (learned) return learned->value;
  }
  return prior_of(state, prior::trim_airspeed);
}

double FlightBurn::of_flight(std::size_t i) const {
  return std::max(draw(usual, Factor::burn, i), 0.0) * std::max(1 + scatter * normal_draw(Factor::flight_scatter, i), 0.0);
}

FlightBurn flight_burn(const State& state) {
  if (!state.fuel.empty()) {
    const auto learned = burn_of(state);
    if (learned.usual.basis.kind == BasisKind::learned) return {amount(learned.usual), learned.scatter};
  }
  // The assumed burn is of any flight of any machine: its spread holds the scatter.
  return {prior_of(state, prior::burn), 0};
}

bool tank_draws(const DayPlan& plan, const Amount& usual_burn, std::vector<double>& usable) {
  const auto& tank = plan.state.tank;
  const double unusable = figure_of(plan.state, figure::unusable_fuel).value_or(0);
  const auto running_since = amount(tank.running_since);
  const double known = (tank.known + tank.added_since).si();
  if (!plan.day.in_tank && !tank.known_at) return false;
  for (std::size_t i = 0; i < kDraws; ++i)
    usable[i] = plan.day.in_tank ? draw(amount(*plan.day.in_tank), Factor::fuel_known, i) - unusable
                                 : known - unusable -
                                       std::max(draw(running_since, Factor::hours_counted, i), 0.0) *
                                           std::max(draw(usual_burn, Factor::burn, i), 0.0);
  return true;
}

std::vector<BurnSpan> burn_spans(const State& state) {
  std::vector<BurnSpan> spans;
  std::optional<UtcTime> since;
  double level = 0, added = 0;
  const auto close = [&](UtcTime at, double now) {
    if (since) {
      BurnSpan span;
      span.from = *since;
      span.to = at;
      auto& k = span.interval;
      k.burnt = Volume::from_si(level + added - now);
      k.flights = 0;
      double running = 0, air = 0, wide = 0;
      for (const FlightState& f : state.flights) {
        if (!f.counts || f.launch < *since || f.launch >= at) continue;
        ++k.flights;
        air += f.air_time.si();
        running += f.running_mid.si();
        wide += (f.running_high - f.running_low).si() / 3.29;
      }
      if (k.flights > 0 && running > 0) {
        // Of a flight's running time an eighth is taken for climbing, with half of that as its spread: the book keeps no phases
        // of flights by hand. What is run beyond the air time was run on the ground.
        const double ground = std::max(running - air, 0.02 * running), flown = running - ground;
        k.time = {seconds(ground), seconds(0.125 * flown), seconds(0.875 * flown)};
        k.time_sd = {seconds(0.5 * ground), seconds(0.06 * flown), seconds(0.06 * flown + wide)};
        k.flights = std::min(k.flights, 100);
        span.running = seconds(running);
        span.running_sd = seconds(wide);
        if (in_litres(k.burnt) >= 0.05 && in_litres(k.burnt) <= 300 && in_hours(seconds(running)) <= 100) spans.push_back(span);
      }
    }
    since = at;
    level = now;
    added = 0;
  };
  // No older than a state that is cut to the recent flights: an engine of more than a year ago was another.
  const auto oldest = state.last_at.value_or(UtcTime{}) - std::chrono::days(kRecentDays);
  for (const FuelEvent& e : state.fuel) {
    if (e.at < oldest) continue;
    if (e.kind == FuelEvent::Kind::left) {
      close(e.at, e.volume.si());
    } else if (e.kind == FuelEvent::Kind::filled) {
      if (e.in_tank_after) {
        close(e.at, e.in_tank_after->si() - e.volume.si());
        level = e.in_tank_after->si();
      } else {
        added += e.volume.si();
      }
    }
  }
  return spans;
}

BurnPosterior burn_of(const State& state) {
  std::vector<RefuelInterval> intervals;
  for (const BurnSpan& span : burn_spans(state)) intervals.push_back(span.interval);
  if (auto learned = learn_burn(intervals)) return *learned;
  return *learn_burn({});
}

}  // namespace headroom
