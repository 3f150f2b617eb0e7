#include "core/planning/brief.h"

#include <algorithm>
#include <cmath>

#include "core/learn/priors.h"
#include "core/planning/draws.h"
#include "core/upkeep/due.h"

namespace headroom {

namespace {

constexpr std::string_view kAreas = "take-off room, wind, light, load and glide";

Amount prior_of(const State& state, const Prior& p) {
  return prior_amount(p, state.setting("prior." + std::string(p.key)));
}

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
  UtcTime now, start, end;
  Amount planned, running_share;
  PlannedUse use;
};

Plan make_plan(const State& state, const BriefRequest& request) {
  const Duration air = request.planned.value_or(hours(1));
  const UtcTime start = std::max(request.planned_start.value_or(request.now), request.now);
  Plan plan{state,
            request.now,
            start,
            shifted(start, air),
            amount(exactly(air, request.planned ? measured() : assumed())),
            prior_of(state, prior::running_per_air),
            {}};
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

void add_fuel(std::vector<Margin>& out, const Plan& plan) {
  auto m = margin_of(MarginKind::fuel, "fuel", "Fuel for the planned flight");
  m.assumed = true;
  const auto& tank = plan.state.tank;
  const auto burn = prior_of(plan.state, prior::burn), held = prior_of(plan.state, prior::held_back);
  std::vector<double> have(kDraws), need(kDraws), left(kDraws);
  const auto running_since = amount(tank.running_since);
  const double known = (tank.known + tank.added_since).si();
  for (std::size_t i = 0; i < kDraws; ++i) {
    // The same engine burns what is gone and what is to come; the planned time and what is held back share its running share.
    const double per_second = std::max(draw(burn, Factor::burn, i), 0.0);
    const double share = std::max(draw(plan.running_share, Factor::running_share, i), 0.0);
    need[i] = (draw(plan.planned, Factor::planned, i) + draw(held, Factor::planned, i)) * share * per_second;
    if (!tank.known_at) continue;
    have[i] = known - std::max(draw(running_since, Factor::hours_counted, i), 0.0) * per_second;
    left[i] = have[i] - need[i];
  }
  m.need = from_draws(need, Dimension::volume, assumed());
  m.why.push_back(Sentence("The planned {0} and {1} held back, at an assumed burn of {2}, ask for {3}, up to {4}.",
                           {plan.planned, held, burn, m.need, exact_amount(Dimension::volume, m.need.high, assumed())}));
  if (tank.known_at) {
    m.chance_short = share_below_zero(left);
    const bool used_some = tank.running_since.mid > Duration{};
    m.have = from_draws(have, Dimension::volume, used_some ? assumed() : measured());
    m.left = from_draws(left, Dimension::volume, assumed());
    if (tank.from_fill_only)
      m.why.push_back("Nobody said what was in the tank before the first fill: only what was filled is counted.");
    m.why.push_back(Sentence("In the tank by the book: {0}, from {1} known {2}, {3} filled since and {4} run since.",
                             {m.have, exact_amount(Dimension::volume, tank.known.si()), instant_amount(*tank.known_at),
                              exact_amount(Dimension::volume, tank.added_since.si()), running_since}));
    m.why.push_back("Look into the tank: a figure from the book is no look.");
    m.changes.push_back({"Filling more, or planning a shorter flight.", std::nullopt});
    set_state(m, m.left.mid < 0);
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

void add_practice(std::vector<Margin>& out, const Plan& plan) {
  std::optional<UtcTime> last;
  int launches = 0;
  const UtcTime from = plan.start - std::chrono::hours(24 * 90);
  for (const auto& f : plan.state.flights) {
    if (!f.counts || f.launch > plan.start || (plan.state.pilot && f.pilot != *plan.state.pilot)) continue;
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
    idle.why.push_back("No flight of this pilot is in the book.");
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

  auto drill = margin_of(MarginKind::drill, "reserve_drill", "Reserve drill");
  const auto every = prior_of(plan.state, prior::drill_every);
  drill.assumed = true;
  drill.have = every;
  std::optional<UtcTime> practised;
  for (const auto& d : plan.state.drills)
    if (d.drill == "reserve" && d.at <= plan.start) practised = d.at;
  if (practised) {
    const double age = in_seconds(duration_between(*practised, plan.start));
    std::vector<double> left(kDraws);
    for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(every, Factor::practice, i) - age;
    drill.need = exact_amount(Dimension::calendar, age);
    drill.chance_short = share_below_zero(left);
    drill.left = from_draws(left, Dimension::calendar, assumed());
    drill.why.push_back(Sentence("{0} since the last drill, of {1} (common practice).", {drill.need, every}));
  } else {
    drill.need = drill.left = unknown_amount(Dimension::calendar, "no drill in the book");
    drill.why.push_back("No reserve drill is in the book.");
    drill.measure.push_back("Practise reaching for the handle, hanging on the ground, and enter the drill.");
  }
  set_state(drill);
  out.push_back(std::move(drill));
}

// --- usual or unusual

double median_of(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  const std::size_t n = v.size();
  return n % 2 == 1 ? v[n / 2] : 0.5 * (v[n / 2 - 1] + v[n / 2]);
}

void observe_head(Brief& brief, const State& state) {
  const auto it = state.readings.find(std::string(kHeadMaximum));
  if (it == state.readings.end() || it->second.empty()) return;
  const auto& samples = it->second;
  const auto& last = samples.back();
  const auto now = exact_amount(Dimension::temperature, last.value);
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
    m.measure.push_back("Read the plug again after full throttle, and find the cause before the flight.");
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
  brief.headlines.push_back(
      Sentence("Of the margins known to this book {0} are short, {1} thin, {2} unknown, {3} ample.",
               {count(MarginState::short_of), count(MarginState::thin), count(MarginState::unknown), count(MarginState::ample)}));
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

}  // namespace

Brief make_brief(const State& state, const BriefRequest& request) {
  Brief brief;
  const auto plan = make_plan(state, request);
  brief.now = plan.now;
  brief.start = plan.start;
  brief.planned = plan.use.air;
  brief.planned_assumed = !request.planned;
  add_findings(brief.margins, plan);
  add_fuel(brief.margins, plan);
  add_fuel_mix(brief.margins, plan);
  add_services(brief.margins, plan);
  add_practice(brief.margins, plan);
  observe_head(brief, state);
  observe_plug(brief, state);
  std::stable_sort(brief.margins.begin(), brief.margins.end(), thinner);
  add_headlines(brief);
  for (const auto& w : state.warnings)
    if (w.kind != StateWarning::Kind::same_flight) brief.warnings.push_back(w.text);
  brief.not_covered =
      Sentence("This brief does not look at {0} yet: nothing said of them here does not mean that there is enough.",
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
