#include "core/planning/brief.h"

#include <algorithm>
#include <cmath>

#include "core/learn/priors.h"
#include "core/machine/figures.h"
#include "core/planning/draws.h"
#include "core/typed.h"
#include "core/upkeep/due.h"

namespace headroom {

namespace {

constexpr std::string_view kAreas = "glide to a landable place";

Margin margin_of(MarginKind kind, std::string id, std::string title) {
  Margin m;
  m.kind = kind;
  m.id = std::move(id);
  m.title = std::move(title);
  return m;
}

void set_state(Margin& m, bool limit_passed = false) {
  m.state = margin_state(m.kind, m.chance_short, limit_passed, m.grounding, m.assumed);
}

struct Plan {
  const State& state;
  const Day& day;
  UtcTime now, start, end;
  Amount planned, running_share;
  PlannedUse use;
  RouteTimes route;
  bool by_route = false;  // the planned time is the route's
  [[nodiscard]] DayPlan of_day() const { return {state, day, start, end, now, use.air, planned, running_share, route}; }
};

Plan make_plan(const State& state, const BriefRequest& request) {
  const UtcTime start = std::max(request.planned_start.value_or(request.now), request.now);
  // A route that takes longer than was planned is what fuel, light and hours have to last for.
  const RouteTimes route = route_times(state, request.day, start);
  const double said = in_seconds(request.planned.value_or(hours(1)));
  Amount planned = exact_amount(Dimension::duration, said, request.planned ? measured() : assumed());
  const bool by_route = route.flyable && (route.time.mid > said || !request.planned);
  if (by_route) planned = route.time;
  const Duration air = seconds(planned.mid);
  Plan plan{state, request.day, request.now, start, shifted(start, air), planned, prior_of(state, prior::running_per_air),
            {},    route,       by_route};
  const auto& share = plan.running_share;
  plan.use.running = {air * share.low, air * share.mid, air * share.high, assumed(), {}};
  plan.use.air = air;
  plan.use.calendar = duration_between(plan.now, plan.end);
  plan.use.launches = 1;
  return plan;
}

// --- services and ages

void add_services(std::vector<Margin>& out, const Plan& plan) {
  for (auto& d : due(plan.state, plan.now, use_rate(plan.state, plan.now), plan.end, &plan.use)) {
    const auto kind = d.line.from_made ? MarginKind::part_age : d.line.reserve ? MarginKind::reserve_repack : MarginKind::service;
    auto m = margin_of(kind, "service:" + d.line.line, d.line.title);
    // The part is named only where one line stands for several parts.
    if (std::any_of(out.begin(), out.end(), [&](const Margin& other) { return other.id == m.id; })) {
      m.id += ":" + d.part.text();
      if (!d.part_name.empty()) m.title += " (" + d.part_name + ")";
    }
    if (!d.counters.empty()) {
      m.have = d.counters.front().have;
      m.need = d.counters.front().need;
      m.left = d.left_after;
    }
    m.chance_short = d.chance_after;
    m.state = d.state;
    m.assumed = d.assumed;
    m.why = std::move(d.why);
    m.measure = std::move(d.measure);
    if (m.state == MarginState::short_of || m.state == MarginState::thin)
      m.changes.push_back({Sentence("Doing it before the flight: \"{0}\".", {d.line.title}), std::nullopt});
    out.push_back(std::move(m));
  }
}

// --- findings

void add_findings(std::vector<Margin>& out, const Plan& plan) {
  for (const auto& f : plan.state.findings) {
    if (f.closed) continue;
    auto m = margin_of(MarginKind::finding, "finding:" + f.id.text(), f.grounding ? "Finding, grounding" : "Finding, deferred");
    m.grounding = f.grounding;
    std::string text = f.text.empty() ? "(no words)" : f.text;
    while (text.ends_with('.')) text.pop_back();  // the sentence around it brings its own
    if (f.grounding) {
      m.why.push_back(
          Sentence("Seen {0} and not closed: {1}. It grounds the machine until it is closed.", {instant_amount(f.at), text}));
      m.changes.push_back({"Putting it right and closing the finding.", std::nullopt});
      set_state(m);
    } else {
      // A deferred finding has no limit to compute against; it is never more than thin while it is open.
      m.why.push_back(Sentence("Seen {0}, deferred and not closed: {1}.", {instant_amount(f.at), text}));
      m.state = MarginState::thin;
    }
    out.push_back(std::move(m));
  }
}

// --- fuel

// Burn by phase, once the flights differed enough for it to be told.
void say_phases(Margin& m, const Plan& plan) {
  if (plan.state.fuel.empty()) return;
  const auto burn = burn_of(plan.state);
  if (burn.intervals == 0) return;
  static constexpr const char* kPhases[] = {"on the ground", "climbing", "level"};
  std::string assumed_ones;
  for (std::size_t i = 0; i < kBurnPhases; ++i) {
    if (burn.burn[i].basis.kind == BasisKind::learned) {
      const auto one = amount(burn.burn[i]);
      m.why.push_back(
          Sentence("Learned {0}: {1} ({2} to {3}).", {std::string(kPhases[i]), one, exact_amount(Dimension::volume_flow, one.low),
                                                      exact_amount(Dimension::volume_flow, one.high)}));
    } else {
      assumed_ones += (assumed_ones.empty() ? "" : ", ") + std::string(kPhases[i]);
    }
  }
  if (!assumed_ones.empty())
    m.why.push_back(
        Sentence("By phase ({0}) the burn stays assumed: your flights do not differ enough to tell.", {assumed_ones}));
}

// How long and how far the tank as it is lasts, once what is held back is kept: straight on before and against the wind, and out
// and home along the wind. `lasts`: draws of that time [s].
void say_reach(Margin& m, const Plan& plan, const Amount& held, std::vector<double>& lasts) {
  const Amount endurance = from_draws(lasts, Dimension::duration, m.left.basis);
  m.why.push_back(Sentence(
      "With {0} held back the tank lasts {1} in the air ({2} to {3}).",
      {held, endurance, exact_amount(Dimension::duration, endurance.low), exact_amount(Dimension::duration, endurance.high)}));
  const auto& wind = plan.day.aloft ? plan.day.aloft : plan.day.wind;
  if (!wind || endurance.low < 60) return;
  const Amount trim = trim_speed_of(plan.state, plan.day);
  // The cautious end of each: the shortest endurance, the strongest wind, the slowest wing.
  const Speed airspeed = metres_per_second(trim.low), blows = wind->mean.high;
  const auto reach = out_and_home(track_towards_degrees(0), airspeed, {wind_from_degrees(0), blows}, seconds(endurance.low));
  if (!reach) {
    m.why.push_back(Sentence("Against {0} of wind a wing of {1} does not come home: do not go down wind.",
                             {exact_amount(Dimension::speed, blows.si()), exact_amount(Dimension::speed, airspeed.si())}));
    return;
  }
  const auto down = out_and_home(track_towards_degrees(180), airspeed, {wind_from_degrees(0), blows}, seconds(endurance.low));
  m.why.push_back(
      Sentence("At the low end of all of it, {0} of endurance, {1} of airspeed, {2} of wind: {3} straight against the wind or "
               "{4} before it; out "
               "and home {5} at most, turning after {6} if it goes down wind first.",
               {exact_amount(Dimension::duration, endurance.low), exact_amount(Dimension::speed, airspeed.si()),
                exact_amount(Dimension::speed, blows.si()), exact_amount(Dimension::length, reach->reach_one_way.si()),
                exact_amount(Dimension::length, down ? down->reach_one_way.si() : 0),
                exact_amount(Dimension::length, reach->turn.distance.si()),
                exact_amount(Dimension::duration, down ? down->turn.after.si() : 0)}));
}

void add_fuel(std::vector<Margin>& out, const Plan& plan) {
  auto m = margin_of(MarginKind::fuel, "fuel", "Fuel for the planned flight");
  m.assumed = true;
  const auto& tank = plan.state.tank;
  const auto held = prior_of(plan.state, prior::held_back);
  const FlightBurn flight = flight_burn(plan.state);
  const Amount& burn = flight.usual;
  const bool burn_learned = burn.basis.kind == BasisKind::learned, looked = plan.day.in_tank.has_value();
  const double unusable = figure_of(plan.state, figure::unusable_fuel).value_or(0);
  const auto running_since = amount(tank.running_since);
  std::vector<double> have(kDraws), need(kDraws), left(kDraws);
  const bool known = tank_draws(plan.of_day(), burn, have);
  for (std::size_t i = 0; i < kDraws; ++i) {
    // The same engine burns what is gone and what is to come; the planned time and what is held back are of one flight, with its
    // own burn about the usual and its running share.
    const double per_second = flight.of_flight(i);
    const double share = std::max(draw(plan.running_share, Factor::running_share, i), 0.0);
    need[i] = (draw(plan.planned, Factor::planned, i) + draw(held, Factor::planned, i)) * share * per_second;
    left[i] = have[i] - need[i];
  }
  // Before anything is put in order: what has and needs share is in their pairing.
  std::vector<double> lasts(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) {
    const double per_second =
        std::max(flight.of_flight(i), 1e-9) * std::max(draw(plan.running_share, Factor::running_share, i), 0.05);
    lasts[i] = std::max(have[i] / per_second - draw(held, Factor::planned, i), 0.0);
  }
  const auto changed = [&](const char* words, double litres_more, double time_factor) {
    std::size_t below = 0;
    for (std::size_t i = 0; i < kDraws; ++i)
      if (have[i] + litres_more * 1e-3 - need[i] * time_factor < 0) ++below;
    m.changes.push_back({words, static_cast<double>(below) / static_cast<double>(kDraws)});
  };
  if (known) {
    changed("One litre more in the tank.", 1, 1);
    changed("A fifth less of planned time.", 0, 0.8);
  }
  m.need = from_draws(need, Dimension::volume, assumed());
  // Ample asks for 1 in 100 while anything is assumed (docs/architecture.md); `need` is in order now.
  const double take = need[burn_learned ? kDraws * 95 / 100 : kDraws * 99 / 100] + unusable;
  m.why.push_back(Sentence(
      burn_learned ? "The planned {0} and {1} held back, at the burn of {2} learned from your fills, ask for {3}, up to {4}."
                   : "The planned {0} and {1} held back, at an assumed burn of {2}, ask for {3}, up to {4}.",
      {plan.planned, held, burn, m.need, exact_amount(Dimension::volume, m.need.high, assumed())}));
  if (plan.by_route) m.why.push_back("The planned time is that of the route.");
  say_phases(m, plan);
  m.why.push_back(
      Sentence(burn_learned ? "To be short 1 in 20 times at most, take {0}, {1}{2}."
                            : "To be short 1 in 100 times at most, take {0}, {1}{2}.",
               {exact_amount(Dimension::volume, std::ceil(take * 1e4) / 1e4),
                exact_amount(Dimension::mass, take * prior_of(plan.state, prior::petrol_density).mid),
                unusable > 0 ? ", what cannot be drawn included"
                             : "; what your tank cannot give is not known" + typed(" (headroom enter figure unusable_fuel)")}));
  if (looked) {
    m.chance_short = share_below_zero(left);
    m.have = from_draws(have, Dimension::volume, measured());
    m.left = from_draws(left, Dimension::volume, burn_learned ? burn.basis : assumed());
    m.why.push_back(Sentence("In the tank: {0}, as looked at for this brief.", {amount(*plan.day.in_tank)}));
    set_state(m, m.left.mid < 0);
    say_reach(m, plan, held, lasts);
  } else if (tank.known_at) {
    m.chance_short = share_below_zero(left);
    const bool used_some = tank.running_since.mid > Duration{};
    m.have = from_draws(have, Dimension::volume, used_some ? assumed() : measured());
    m.left = from_draws(left, Dimension::volume, assumed());
    if (tank.from_fill_only)
      m.why.push_back("Nobody said what was in the tank before the first fill: only what was filled is counted.");
    const bool filled = tank.added_since > Volume{};
    m.why.push_back(Sentence(std::string("In the tank by the book: {0}, from {1} known {2}") +
                                 (filled && used_some ? ", {3} filled since and {4} run since."
                                  : filled            ? ", {3} filled since."
                                  : used_some         ? ", {4} run since."
                                                      : "."),
                             {m.have, exact_amount(Dimension::volume, tank.known.si()), instant_amount(*tank.known_at),
                              exact_amount(Dimension::volume, tank.added_since.si()), running_since}));
    m.why.push_back("Look into the tank: a figure from the book is no look.");
    set_state(m, m.left.mid < 0);
    say_reach(m, plan, held, lasts);
  } else {
    m.have = unknown_amount(Dimension::volume, "never entered");
    m.left = m.have;
    m.measure.push_back("Enter how many litres are in the tank, and when they were mixed.");
    set_state(m);
  }
  out.push_back(std::move(m));
}

// The mix that is in the tank: the last one mixed before the last fill, else the last one.
const FuelEvent* mix_in_tank(const State& state) {
  const FuelEvent *last = nullptr, *at_fill = nullptr;
  for (const auto& e : state.fuel) {
    if (e.kind == FuelEvent::Kind::mixed) last = &e;
    if (e.kind == FuelEvent::Kind::filled) at_fill = last;
  }
  return at_fill ? at_fill : last;
}

void add_fuel_mix(std::vector<Margin>& out, const Plan& plan) {
  auto m = margin_of(MarginKind::fuel_mix, "fuel_mix", "Fuel mix: age and oil");
  m.assumed = true;
  const auto keeps = prior_of(plan.state, prior::mix_keeps), ratios = prior_of(plan.state, prior::mix_ratio);
  const FuelEvent* mix = mix_in_tank(plan.state);
  if (!mix || !mix->ratio) {
    m.have = unknown_amount(Dimension::calendar, mix ? "the ratio was not entered" : "no mix was entered");
    m.left = m.have;
    m.measure.push_back("Enter how many litres were mixed, when, and with how much oil.");
    m.why.push_back(mix ? Sentence("Mixed {0}, with an amount of oil that was not entered.", {instant_amount(mix->at)})
                        : Sentence("When the fuel was mixed, and with how much oil, is not in the book."));
    set_state(m);
    out.push_back(std::move(m));
    return;
  }
  const double age = std::max(in_seconds(duration_between(mix->at, plan.end)), 0.0);
  std::vector<double> left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(keeps, Factor::mix, i) - age;
  m.chance_short = share_below_zero(left);
  m.have = keeps;
  m.need = exact_amount(Dimension::calendar, age);
  m.left = from_draws(left, Dimension::calendar, assumed());
  const bool less_oil = !(*mix->ratio <= ratios.high), more_oil = !(*mix->ratio >= ratios.low);
  const auto ratio = exact_amount(Dimension::ratio, *mix->ratio), most = exact_amount(Dimension::ratio, ratios.high, assumed());
  m.why.push_back(Sentence("Mixed {0} at {1}; kept {2} at the end of the flight, where {3} is usual.",
                           {instant_amount(mix->at), ratio, m.need, keeps}));
  if (less_oil)
    m.why.insert(
        m.why.begin(),
        Sentence("{0} is less oil than the {1} in use on such engines: too little oil seizes an engine. Your manual comes first.",
                 {ratio, most}));
  if (more_oil)
    m.why.insert(
        m.why.begin(),
        Sentence(
            "{0} is more oil than the {1} in use on such engines: it leans the petrol of the charge. Your manual comes first.",
            {ratio, exact_amount(Dimension::ratio, ratios.low, assumed())}));
  set_state(m, less_oil);
  if (more_oil && m.state == MarginState::ample) m.state = MarginState::thin;
  if (m.state != MarginState::ample) m.changes.push_back({"Fresh fuel of a known mix.", std::nullopt});
  out.push_back(std::move(m));
}

// --- practice

void add_drill(std::vector<Margin>& out, const Plan& plan, std::string_view word, const char* id, const char* title,
               const Sentence& ask) {
  auto drill = margin_of(MarginKind::drill, id, title);
  const auto every = prior_of(plan.state, prior::drill_every);
  drill.assumed = true;
  drill.have = every;
  std::optional<UtcTime> practised;
  // A drill in the book names nobody: it is the owner's.
  const auto owner = owner_of(plan.state);
  const bool another = plan.day.borrower || (owner && plan.state.pilot && *plan.state.pilot != *owner);
  for (const auto& d : plan.state.drills)
    if (!another && d.drill == word && d.at <= plan.start) practised = d.at;
  if (practised) {
    const double age = in_seconds(duration_between(*practised, plan.start));
    std::vector<double> left(kDraws);
    for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(every, Factor::practice, i) - age;
    drill.need = exact_amount(Dimension::calendar, age);
    drill.chance_short = share_below_zero(left);
    drill.left = from_draws(left, Dimension::calendar, assumed());
    drill.why.push_back(Sentence("{0} since the last drill, of {1} (common practice).", {drill.need, every}));
  } else {
    drill.need = drill.left = unknown_amount(Dimension::calendar, "none in the book");
    drill.why.push_back(plan.day.borrower ? "Nothing is known here of who borrows the machine."
                        : another         ? "The drills in the book are the owner's; nothing is known of this pilot's."
                                          : "None is in the book.");
    drill.measure.push_back(ask);
  }
  set_state(drill);
  out.push_back(std::move(drill));
}

void add_practice(std::vector<Margin>& out, const Plan& plan) {
  std::optional<UtcTime> last;
  int launches = 0;
  const UtcTime from = plan.start - std::chrono::hours(24 * 90);
  for (const auto& f : plan.state.flights) {
    if (plan.day.borrower || !f.counts || f.launch > plan.start || (plan.state.pilot && f.pilot != *plan.state.pilot)) continue;
    last = std::max(last.value_or(f.launch), f.launch);
    if (f.launch >= from) launches += f.launches;
  }
  auto idle = margin_of(MarginKind::recent_practice, "days_since_last_flight", "Days since the last flight");
  const auto limit = prior_of(plan.state, prior::idle_days);
  idle.assumed = true;
  idle.have = limit;
  if (last) {
    const double age = in_seconds(duration_between(*last, plan.start));
    std::vector<double> left(kDraws);
    for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(limit, Factor::practice, i) - age;
    idle.need = exact_amount(Dimension::calendar, age);
    idle.chance_short = share_below_zero(left);
    idle.left = from_draws(left, Dimension::calendar, assumed());
    idle.why.push_back(
        Sentence("{0} since the last flight in the book; {1} is where practice is thought to fade (common practice).",
                 {idle.need, limit}));
    set_state(idle);
  } else {
    idle.need = idle.left = unknown_amount(Dimension::calendar, "no flight in the book");
    idle.why.push_back(plan.day.borrower ? "Nothing is known here of who borrows the machine."
                                         : "No flight of this pilot is in the book.");
    idle.measure.push_back("Debrief or enter your last flights.");
    set_state(idle);
  }
  out.push_back(std::move(idle));

  auto recent = margin_of(MarginKind::recent_practice, "launches_in_90_days", "Launches in 90 days");
  const auto wanted = prior_of(plan.state, prior::launches_in_90_days);
  recent.assumed = true;
  recent.have = exact_amount(Dimension::count, launches);
  recent.need = wanted;
  recent.left = exact_amount(Dimension::count, launches - wanted.mid, assumed());
  if (last) recent.chance_short = launches >= wanted.mid ? 0.0 : 1.0;
  recent.why.push_back(Sentence("{0} launches in the 90 days before the flight; {1} is the figure taken over from 14 CFR 61.57.",
                                {recent.have, wanted}));
  if (!last) recent.measure.push_back("Debrief or enter your last flights.");
  set_state(recent);
  out.push_back(std::move(recent));

  add_drill(out, plan, "reserve", "reserve_drill", "Reserve drill",
            "Practise reaching for the handle, hanging on the ground, and enter the drill.");
  add_drill(
      out, plan, "engine_off_landing", "engine_off_landing", "Landing with the engine off",
      "Practise one over a field that is large enough, and enter it" + typed(": headroom enter drill engine-off-landing") + ".");
}

// --- usual or unusual

double median_of(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  const std::size_t n = v.size();
  return n % 2 == 1 ? v[n / 2] : 0.5 * (v[n / 2 - 1] + v[n / 2]);
}

// What this machine's own past lets expect, against the owner's limit.
void add_head_limit(std::vector<Margin>& out, const State& state, const std::vector<Sample>& samples) {
  const auto limit = figure_of(state, figure::limit_head);
  if (!limit) return;
  auto m = margin_of(MarginKind::head_temperature, "head_limit", "Head temperature against your limit");
  m.have = exact_amount(Dimension::temperature, *limit);
  std::vector<double> values;
  for (const auto& s : samples) values.push_back(s.value);
  if (values.size() < static_cast<std::size_t>(kUsualNeeds)) {
    m.need = m.left = unknown_amount(Dimension::temperature, "fewer than five readings");
    m.why.push_back("Fewer than five head maxima are in the book: what to expect is not known.");
    m.measure.push_back("Enter the head maximum after each flight" + typed(": headroom enter head 198C") + ".");
    out.push_back(std::move(m));
    return;
  }
  const double mid = median_of(values);
  std::vector<double> off;
  for (const double v : values) off.push_back(std::abs(v - mid));
  const double spread = kNormal95 * std::max(1.4826 * median_of(off), kUsualLeastSpreadKelvin);
  m.need = {Dimension::temperature, mid - spread, mid, mid + spread, learned_from(static_cast<int>(values.size())), {}};
  std::vector<double> left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) left[i] = *limit - draw(m.need, Factor::rating, i);
  m.chance_short = share_below_zero(left);
  m.left = from_draws(left, Dimension::temperature_difference, m.need.basis);
  m.why.push_back(
      Sentence("{0} ({1} to {2}) is usual for this machine, by {3} flights, whatever the air of the day. It says nothing of the "
               "mixture; a seizure "
               "can start inside this band, within one flight.",
               {m.need, exact_amount(Dimension::temperature, m.need.low), exact_amount(Dimension::temperature, m.need.high),
                exact_amount(Dimension::count, static_cast<double>(values.size()))}));
  set_state(m, m.left.mid < 0);
  out.push_back(std::move(m));
}

void observe_head(Brief& brief, const State& state) {
  const auto it = state.readings.find(std::string(kHeadMaximum));
  if (it == state.readings.end() || it->second.empty()) return;
  const auto& samples = it->second;
  const auto& last = samples.back();
  const auto now = exact_amount(Dimension::temperature, last.value);
  add_head_limit(brief.margins, state, samples);
  Observation o;
  o.id = kHeadMaximum;
  std::vector<double> past;
  for (std::size_t i = 0; i + 1 < samples.size(); ++i) past.push_back(samples[i].value);
  const auto n = exact_amount(Dimension::count, static_cast<double>(past.size()));
  if (past.size() < static_cast<std::size_t>(kUsualNeeds)) {
    o.text = Sentence(
        "The last head maximum was {0}; with {1} earlier values, fewer than five, it cannot be told whether that is usual.",
        {now, n});
    brief.observations.push_back(std::move(o));
    return;
  }
  o.enough = true;
  const double mid = median_of(past);
  std::vector<double> off;
  for (const double v : past) off.push_back(std::abs(v - mid));
  const double width = kUsualWidth * std::max(1.4826 * median_of(off), kUsualLeastSpreadKelvin);
  o.unusual = !(std::abs(last.value - mid) <= width);
  const auto middle = exact_amount(Dimension::temperature, mid, learned_from(static_cast<int>(past.size())));
  const char* text =
      !o.unusual ? "The last head maximum, {0}, is usual for this machine: the middle of {2} earlier ones is {1}."
      : last.value > mid
          ? "The last head maximum, {0}, is unusual for this machine: the middle of {2} earlier ones is {1}. It is higher."
          : "The last head maximum, {0}, is unusual for this machine: the middle of {2} earlier ones is {1}. It is lower.";
  o.text = Sentence(text, {now, middle, n});
  o.has_margin = o.unusual;
  if (o.unusual) {
    auto m = margin_of(MarginKind::head_temperature, "head_maximum", "Head temperature, unusual");
    m.why.push_back(o.text);
    m.measure.push_back("Look for the cause (mixture, cooling, gauge) before the flight.");
    m.state = MarginState::thin;  // a change nobody has explained: no limit to compute against, and never ample
    brief.margins.push_back(std::move(m));
  }
  brief.observations.push_back(std::move(o));
}

std::string plug_words(const PlugRead& p) {
  static constexpr const char* kColours[] = {"white", "pale", "tan", "dark", "black"};
  const auto i = static_cast<std::size_t>(p.colour);
  return std::string(i < 5 ? kColours[i] : "unsaid") + (p.wet ? ", wet" : ", dry");
}

void observe_plug(Brief& brief, const State& state) {
  if (state.plugs.empty()) return;
  const auto& last = state.plugs.back();
  Observation o;
  o.id = "plug";
  const auto past = state.plugs.size() - 1;
  const auto n = exact_amount(Dimension::count, static_cast<double>(past));
  if (past < static_cast<std::size_t>(kUsualNeeds)) {
    o.text =
        Sentence("The last plug was {0}; with {1} earlier readings, fewer than five, it cannot be told whether that is usual.",
                 {plug_words(last.read), n});
  } else {
    // Colour words are ordered: usual is within one word of the middle one, and as wet or dry as at least one in five before.
    std::vector<double> colours;
    std::size_t as_wet = 0;
    for (std::size_t i = 0; i < past; ++i) {
      colours.push_back(static_cast<double>(state.plugs[i].read.colour));
      if (state.plugs[i].read.wet == last.read.wet) ++as_wet;
    }
    o.enough = true;
    o.unusual = std::abs(static_cast<double>(last.read.colour) - median_of(colours)) > 1 || as_wet * 5 < past;
    o.text = Sentence(o.unusual ? "The last plug was {0}: unusual for this machine, by {1} earlier readings."
                                : "The last plug was {0}: no more than a word from the middle of {1} earlier readings.",
                      {plug_words(last.read), n});
  }
  const bool lean = last.read.mixture == PlugMixture::lean || last.read.colour == PlugColour::white;
  o.has_margin = o.unusual || lean;
  if (o.has_margin) {
    auto m = margin_of(MarginKind::plug, "plug_word", lean ? "Plug: read as lean" : "Plug, unusual");
    if (lean)
      m.why.push_back(
          Sentence(last.read.mixture == PlugMixture::lean
                       ? "The last plug was {0} and was read as lean: a lean engine can seize (common practice)."
                       : "The last plug was {0}: white is commonly read as lean, and a lean engine can seize (common practice).",
                   {plug_words(last.read)}));
    m.why.push_back(o.text);
    m.measure.push_back(
        "Find the cause (mixture, air leak, fuel flow) before the flight. A plug is read again as your manual says: machine held "
        "fast, nobody near the propeller, and no look at a screen.");
    m.state = MarginState::thin;
    brief.margins.push_back(std::move(m));
  }
  brief.observations.push_back(std::move(o));
}

// --- what stands first

void add_headlines(Brief& brief) {
  const auto list = [&](const char* words, auto belongs) {
    std::string titles;
    for (const auto& m : brief.margins)
      if (belongs(m)) titles += (titles.empty() ? "" : "; ") + m.title;
    if (!titles.empty()) brief.headlines.push_back(Sentence(std::string(words) + ": {0}.", {titles}));
  };
  list("The machine is grounded until this is closed", [](const Margin& m) { return m.grounding; });
  list("Not known, and it can hurt", [](const Margin& m) { return m.state == MarginState::unknown && is_deadly(m.kind); });
  list("Short", [](const Margin& m) { return m.state == MarginState::short_of && !m.grounding; });
  const auto count = [&](MarginState s) {
    return exact_amount(Dimension::count, static_cast<double>(std::count_if(brief.margins.begin(), brief.margins.end(),
                                                                            [&](const Margin& m) { return m.state == s; })));
  };
  std::string words;
  std::vector<Sentence::Part> counted;
  for (const auto state : {MarginState::short_of, MarginState::thin, MarginState::unknown, MarginState::ample}) {
    const auto n = count(state);
    if (!(n.mid > 0)) continue;
    words += (counted.empty() ? "{" : ", {") + std::to_string(counted.size()) + "} " + std::string(state_word(state));
    counted.emplace_back(n);
  }
  brief.headlines.push_back(Sentence("Of the margins known to this book: " + words + ".", std::move(counted)));
}

int weight(const Margin& m) {
  switch (m.state) {
    case MarginState::short_of:
      return m.grounding ? 4 : 3;
    case MarginState::unknown:
      return 2;
    case MarginState::thin:
      return 1;
    case MarginState::ample:
      break;
  }
  return 0;
}

// A change that a report foretells, or what it has just seen, is not worked out; what it may touch is no better than thin.
void count_reported_changes(std::vector<Margin>& margins, const Day& day) {
  const auto touch = [&](std::initializer_list<std::string_view> ids, const Sentence& why) {
    for (Margin& m : margins)
      if (std::find(ids.begin(), ids.end(), m.id) != ids.end()) {
        if (m.state == MarginState::ample) m.state = MarginState::thin;
        m.why.push_back(why);
      }
  };
  if (!day.trend.empty())
    touch({"wind_mean", "gust_spread", "crosswind", "visibility", "cloud_base", "thunderstorm"},
          Sentence("The report foretells a change within two hours, which is not counted here: \"{0}\".", {day.trend}));
  if (!day.recent.empty()) touch({"thunderstorm"}, Sentence("Since the report before there was {0}.", {day.recent}));
  if (day.shear_reported)
    touch({"wind_mean", "gust_spread", "wind_aloft"},
          "Wind shear is reported at the station: expect rough air on the way up and down.");
}

}  // namespace

UtcTime planned_landing(const State& state, const BriefRequest& request) {
  return make_plan(state, request).end;
}

Brief make_brief(const State& state, const BriefRequest& request) {
  Brief brief;
  const auto plan = make_plan(state, request);
  brief.now = plan.now;
  brief.start = plan.start;
  brief.planned = plan.use.air;
  brief.planned_assumed = !request.planned && !plan.by_route;
  add_findings(brief.margins, plan);
  add_fuel(brief.margins, plan);
  add_fuel_mix(brief.margins, plan);
  const DayPlan day = plan.of_day();
  add_take_off(brief.margins, day, request.with_changes);
  add_wind(brief.margins, day);
  add_light(brief.margins, day);
  add_load(brief.margins, day);
  add_sky(brief.margins, day);
  add_route(brief.margins, day);
  add_airspace(brief.margins, day);
  count_reported_changes(brief.margins, day.day);
  brief.checks = launch_checks(day);
  add_services(brief.margins, plan);
  add_practice(brief.margins, plan);
  observe_head(brief, state);
  observe_plug(brief, state);
  std::stable_sort(brief.margins.begin(), brief.margins.end(), thinner);
  add_headlines(brief);
  for (const auto& w : state.warnings)
    if (w.kind != StateWarning::Kind::same_flight) brief.warnings.push_back(w.text);
  for (const auto& group : request.day.unread) brief.warnings.push_back(Sentence("{0}.", {group}));
  brief.not_covered = Sentence("This brief does not look at {0}: nothing said of it here does not mean that there is enough.",
                               {std::string(kAreas)});
  brief.caution = kCaution;
  return brief;
}

std::vector<Margin> newly_thin(const Brief& before, const Brief& after) {
  std::vector<Margin> out;
  for (const auto& m : after.margins) {
    if (m.state == MarginState::ample) continue;
    const auto old = std::find_if(before.margins.begin(), before.margins.end(), [&](const Margin& b) { return b.id == m.id; });
    if (old == before.margins.end() || weight(*old) < weight(m)) out.push_back(m);
  }
  return out;
}

}  // namespace headroom
