#include "core/upkeep/due.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/learn/priors.h"
#include "core/planning/draws.h"
#include "core/typed.h"

namespace headroom {

namespace {

constexpr double kDay = 86400.0;

double instant_of(UtcTime t) {
  return static_cast<double>(t.time_since_epoch().count()) * 1e-3;
}

// What a counter has used since the last service; unknown says why.
struct Used {
  DueCounter::Counts counts = DueCounter::Counts::running;
  Amount limit, used;
  Amount rate;       // a day
  double ahead = 0;  // exact share of the planned flight
  const Estimate<Duration>* ahead_running = nullptr;
};

const ServiceState* last_service(const State& state, const std::string& line, const EntryId& part) {
  for (const auto& s : state.services)
    if (s.line == line && s.part == part) return &s;
  return nullptr;
}

// Parts a line speaks of on this machine: those of its role, else the assembly the role sits in.
std::vector<const PartState*> parts_of(const State& state, const std::string& role) {
  std::vector<const PartState*> out;
  if (!state.machine) return out;
  const auto fitted = state.fitted_parts(*state.machine);
  for (const auto wanted : {std::string_view(role), assembly_of(role)}) {
    for (const auto* p : fitted)
      if (p->role == wanted) out.push_back(p);
    if (!out.empty()) break;
  }
  return out;
}

Amount days_since(UtcTime from, UtcTime now) {
  return exact_amount(Dimension::calendar, std::max(in_seconds(duration_between(from, now)), 0.0));
}

// Used since the last service, or since new when the book knows that the part's whole life lies within it. A life longer
// than the interval without a service entered leaves the last service unknown.
template <class Q>
Amount since_new(const Estimate<Q>& life, double limit) {
  if (!life.known())
    return unknown_amount(dimension_of<Q>, "the last time is not entered, nor the life of the part before this book");
  if (life.high.si() > limit)
    return unknown_amount(dimension_of<Q>, "the part has more than one interval on it and no last time is entered");
  return amount(life);
}

// Used since a service. One done before the book counts the part: at most the part's whole life, which stands for it where it is
// within the interval.
template <class Q>
Amount since_service(const Estimate<Q>& since, const Estimate<Q>& life, double limit) {
  if (since.known() || !life.known() || life.high.si() > limit) return amount(since);
  return amount(life);
}

void ask_for_last_time(DueLine& out, bool fitted, bool done) {
  std::string role = out.line.role;
  std::replace(role.begin(), role.end(), '_', ' ');
  if (!fitted)
    out.measure.push_back(
        Sentence("Enter the {0}, if the machine has one" + typed(": headroom enter part ROLE NAME") + ".", {role}));
  else if (out.line.from_made)
    out.measure.push_back(
        Sentence("Enter the date of manufacture of the {0}; it stands on its label.", {std::string(out.line.role)}));
  else if (done)
    out.measure.push_back(Sentence(out.line.air ? "Enter how many hours the wing had flown by {0}, when it was last done" +
                                                      typed(": headroom enter hours HOURS --part wing --at DAY") +
                                                      "; or do it and enter it."
                                                : "Enter what the hour meter showed on {0}, when it was last done" +
                                                      typed(": headroom enter hours HOURS --at DAY") + "; or do it and enter it.",
                                   {instant_amount(*out.last_done)}));
  else
    out.measure.push_back(
        Sentence("Enter when \"{0}\" was last done, by hours or by date, or do it and enter it.", {out.line.title}));
}

std::vector<Used> counters_of(const State& state, const ServiceLine& line, const PartState* part, UtcTime now,
                              const UseRate& rate, const PlannedUse* planned, DueLine& out) {
  const ServiceState* done = last_service(state, line.line, part ? part->id : EntryId{});
  std::optional<UtcTime> from;
  if (line.from_made) {
    if (part) from = part->made;
  } else if (done) {
    from = done->at;
  } else if (part && !part->assumed) {
    from = part->made ? part->made : part->bought;
  }
  out.last_done = line.from_made || done ? from : std::nullopt;
  std::vector<Used> counters;
  const auto add = [&](DueCounter::Counts counts, Dimension dimension, double limit, Amount used, Amount per_day, double ahead,
                       const Estimate<Duration>* running = nullptr) {
    used.dimension = dimension;
    counters.push_back({counts, exact_amount(dimension, limit), std::move(used), std::move(per_day), ahead, running});
  };
  if (line.running)
    add(DueCounter::Counts::running, Dimension::duration, line.running->si(),
        !part  ? unknown_amount(Dimension::duration, "no such part is fitted")
        : done ? since_service(done->since.running, part->life.running, line.running->si())
               : since_new(part->life.running, line.running->si()),
        amount(rate.running_per_day), 0, planned ? &planned->running : nullptr);
  if (line.air)
    add(DueCounter::Counts::air, Dimension::duration, line.air->si(),
        !part  ? unknown_amount(Dimension::duration, "no such part is fitted")
        : done ? since_service(done->since.air, part->life.air, line.air->si())
               : since_new(part->life.air, line.air->si()),
        amount(rate.air_per_day), planned ? planned->air.si() : 0);
  if (line.launches)
    add(DueCounter::Counts::launches, Dimension::count, *line.launches,
        !part  ? unknown_amount(Dimension::count, "no such part is fitted")
        : done ? since_service(done->since.launches, part->life.launches, *line.launches)
               : since_new(part->life.launches, *line.launches),
        amount(rate.launches_per_day), planned ? planned->launches : 0);
  if (line.calendar)
    add(DueCounter::Counts::calendar, Dimension::calendar, line.calendar->si(),
        from ? days_since(*from, now)
             : unknown_amount(Dimension::calendar,
                              line.from_made ? "the date of manufacture is not entered" : "the last time is not entered"),
        exact_amount(Dimension::calendar, kDay), planned ? planned->calendar.si() : 0);
  return counters;
}

double ahead_of(const Used& u, std::size_t i) {
  return u.ahead_running ? draw(amount(*u.ahead_running), Factor::running_share, i) : u.ahead;
}

DueLine assess(const State& state, const ServiceLine& line, const PartState* part, UtcTime now, const UseRate& rate, UtcTime by,
               const PlannedUse* planned) {
  DueLine out;
  out.line = line;
  out.by = by;
  out.date = unknown_amount(Dimension::instant, "the last time is not known");
  if (part) {
    out.part = part->id;
    out.part_name = part->name;
    out.assumed = part->assumed;
  }
  const auto counters = counters_of(state, line, part, now, rate, planned, out);
  bool all_known = !counters.empty(), passed = false;
  for (const auto& u : counters) all_known = all_known && u.used.known();

  // One pass over the shared draws: what is left of each counter now, at the end of the flight, and when it is reached.
  std::vector<double> least_now(kDraws, std::numeric_limits<double>::infinity()), least_after = least_now, first_date = least_now;
  struct Shown {
    DueCounter counter;
    Amount left_after;
    double share_after = 0;
  };
  std::vector<Shown> shown;
  std::vector<double> left(kDraws), after(kDraws), date(kDraws);
  for (const auto& u : counters) {
    Shown s;
    s.counter.counts = u.counts;
    s.counter.have = u.limit;
    s.counter.need = u.used;
    if (!u.used.known()) {
      s.counter.left = unknown_amount(u.limit.dimension, u.used.note);
      s.counter.date = unknown_amount(Dimension::instant, u.used.note);
      s.left_after = s.counter.left;
      s.share_after = -std::numeric_limits<double>::infinity();
      shown.push_back(std::move(s));
      continue;
    }
    for (std::size_t i = 0; i < kDraws; ++i) {
      left[i] = u.limit.mid - draw(u.used, Factor::hours_counted, i);
      after[i] = left[i] - ahead_of(u, i);
      const double per_day = draw(u.rate, Factor::use_rate, i);
      // A use that falls to nothing would never reach the limit: ten thousand days stands for never.
      const double in_days = per_day > 0 ? std::min(left[i] / per_day, 1e4) : (left[i] > 0 ? 1e4 : 0.0);
      date[i] = instant_of(now) + in_days * kDay;
      least_now[i] = std::min(least_now[i], left[i] / u.limit.mid);
      least_after[i] = std::min(least_after[i], after[i] / u.limit.mid);
      first_date[i] = std::min(first_date[i], date[i]);
    }
    const Basis basis = u.used.basis;
    const Basis date_basis = u.counts == DueCounter::Counts::calendar ? basis : u.rate.basis;
    s.counter.left = from_draws(left, u.limit.dimension, basis);
    s.left_after = from_draws(after, u.limit.dimension, planned && u.ahead_running ? planned->running.basis : basis);
    s.counter.date = from_draws(date, Dimension::instant, date_basis);
    s.share_after = s.left_after.mid / u.limit.mid;
    if (basis.kind == BasisKind::assumed) out.assumed = true;
    if (s.left_after.mid < 0) passed = true;
    shown.push_back(std::move(s));
  }
  std::stable_sort(shown.begin(), shown.end(), [](const Shown& a, const Shown& b) { return a.share_after < b.share_after; });
  if (all_known) {
    out.chance_now = share_below_zero(least_now);
    if (planned) out.chance_after = share_below_zero(least_after);
    const double limit = instant_of(by);
    const auto early = std::count_if(first_date.begin(), first_date.end(), [&](double d) { return d <= limit; });
    out.chance_by = static_cast<double>(early) / static_cast<double>(kDraws);
    out.date = from_draws(first_date, Dimension::instant, shown.front().counter.date.basis);
  } else {
    ask_for_last_time(out, part != nullptr, !line.from_made && out.last_done.has_value());
  }
  for (auto& s : shown) {
    if (s.counter.left.known()) {
      const char* now_and_then = "{0} of {1} used, {2} left.";
      if (s.counter.left.mid < 0)
        now_and_then = "{0} of {1} used: the limit is passed.";
      else if (planned && s.left_after.mid < 0)
        now_and_then = "{0} of {1} used, {2} left now: the planned flight passes the limit.";
      else if (planned)
        now_and_then = "{0} of {1} used, {2} left now.";
      out.why.push_back(Sentence(now_and_then, {s.counter.need, s.counter.have, s.counter.left}));
    } else {
      out.why.push_back(
          Sentence("Of the {0} allowed it is not known how much is used: {1}.", {s.counter.have, s.counter.left.note}));
    }
    out.counters.push_back(s.counter);
  }
  if (!shown.empty()) out.left_after = shown.front().left_after;
  if (!line.basis.empty()) out.why.push_back(Sentence("Interval: {0}.", {line.basis}));
  const MarginKind kind = line.reserve && !line.from_made ? MarginKind::reserve_repack
                          : line.from_made                ? MarginKind::part_age
                                                          : MarginKind::service;
  out.state = margin_state(kind, planned ? out.chance_after : out.chance_now, passed, false, out.assumed);
  return out;
}

}  // namespace

UseRate use_rate(const State& state, UtcTime now) {
  UseRate out;
  const UtcTime from = now - std::chrono::hours(24 * 365);
  double air = 0, launches = 0, low = 0, mid = 0, high = 0;
  UtcTime first = now;
  for (auto it = state.flights.rbegin(); it != state.flights.rend() && it->launch >= from; ++it) {
    if (!it->counts || it->launch > now) continue;
    air += it->air_time.si();
    launches += it->launches;
    low += it->running_low.si();
    mid += it->running_mid.si();
    high += it->running_high.si();
    first = it->launch;
    ++out.flights;
  }
  const double seen_days = in_days(duration_between(first, now));
  if (out.flights < 5 || seen_days < 30) {
    const auto year = prior_amount(prior::air_per_year, state.setting("prior.air_per_year"));
    const auto length = prior_amount(prior::flight_length, state.setting("prior.flight_length"));
    const auto share = prior_amount(prior::running_per_air, state.setting("prior.running_per_air"));
    const double d = 365.2425;
    out.air_per_day = {seconds(year.low / d), seconds(year.mid / d), seconds(year.high / d), assumed(), {}};
    out.running_per_day = {
        seconds(year.low / d * share.low), seconds(year.mid / d * share.mid), seconds(year.high / d * share.high), assumed(), {}};
    out.launches_per_day = {
        counts(year.low / d / length.high), counts(year.mid / d / length.mid), counts(year.high / d / length.low), assumed(), {}};
    out.ground_handling_per_day = unknown_estimate<Duration>("ground handling is not forecast");
    out.flights = 0;
    return out;
  }
  // Flights come by chance: of n seen, the true rate lies within about n +- 1.645 sqrt(n) (Poisson, normal approximation).
  const double n = out.flights, spread = kNormal95 / std::sqrt(n);
  const double less = std::max(1 - spread, 0.0), more = 1 + spread;
  const Basis basis = learned_from(out.flights);
  out.air_per_day = {seconds(air / seen_days * less), seconds(air / seen_days), seconds(air / seen_days * more), basis, {}};
  out.running_per_day = {seconds(low / seen_days * less), seconds(mid / seen_days), seconds(high / seen_days * more), basis, {}};
  out.launches_per_day = {
      counts(launches / seen_days * less), counts(launches / seen_days), counts(launches / seen_days * more), basis, {}};
  out.ground_handling_per_day = unknown_estimate<Duration>("ground handling is not forecast");
  return out;
}

std::vector<DueLine> due(const State& state, UtcTime now, const UseRate& rate, std::optional<UtcTime> by,
                         const PlannedUse* planned) {
  const UtcTime horizon = by.value_or(now + std::chrono::hours(24 * 30));
  std::vector<DueLine> out;
  for (const auto& line : service_list(state)) {
    const auto parts = parts_of(state, line.role);
    if (parts.empty()) {
      out.push_back(assess(state, line, nullptr, now, rate, horizon, planned));
      continue;
    }
    for (const auto* part : parts) {
      if (line.once && last_service(state, line.line, part->id)) continue;
      out.push_back(assess(state, line, part, now, rate, horizon, planned));
    }
  }
  const auto group = [](const DueLine& d) {
    return d.state == MarginState::short_of ? 0 : d.state == MarginState::unknown ? 1 : 2;
  };
  std::stable_sort(out.begin(), out.end(), [&](const DueLine& a, const DueLine& b) {
    if (group(a) != group(b)) return group(a) < group(b);
    return a.date.known() && b.date.known() && a.date.mid < b.date.mid;
  });
  return out;
}

}  // namespace headroom
