#include "core/book/fold.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>
#include <unordered_map>

#include "core/book/resolve.h"
#include "core/book/same_flight.h"
#include "core/book/timeline.h"
#include "core/learn/priors.h"
#include "core/upkeep/service_list.h"

namespace headroom {

namespace {

constexpr UtcTime kEver = UtcTime::min(), kNever = UtcTime::max();

// Of these there is one at a time on a machine: fitting another takes the old one off. Reserves and kit may be several.
bool one_at_a_time(std::string_view role) {
  return role == "engine" || role == "drive" || role == "propeller" || role == "frame" || role == "harness" || role == "wing";
}

struct IdHash {
  std::size_t operator()(const EntryId& id) const {
    // Bytes 8 to 15 of a version 7 UUID are random.
    std::size_t h = 0;
    for (std::size_t i = 8; i < 16; ++i) h = h << 8 | id.bytes[i];
    return h;
  }
};

template <class T>
auto happened_before(const T& a, const T& b) {
  return std::tie(a.at, a.id) < std::tie(b.at, b.id);
}

struct MeterReading {
  EntryId entry;
  UtcTime at{};
  double value = 0;
};

// Hours or launches that a reading of one part found beyond the recorded ones, in [from, to).
struct PartExtra {
  std::uint32_t part = 0;
  Counter counter = Counter::running;
  UtcTime from{}, to{};
  double extra = 0, recorded = 0;
};

double counter_mid(const UseSum& sum, Counter counter) {
  switch (counter) {
    case Counter::running:
      return sum.running.mid;
    case Counter::air:
      return sum.air.mid;
    case Counter::ground_handling:
      return sum.ground_handling.mid;
    case Counter::launches:
      return sum.launches;
  }
  return 0;
}

Amount counter_amount(Counter counter, double value) {
  return exact_amount(counter == Counter::launches ? Dimension::count : Dimension::duration, value);
}

// Reads the standing entries once and sums them up.
class Reader {
 public:
  explicit Reader(Resolved resolved) : in_(std::move(resolved)) {}

  State run() {
    state_.entries = in_.entries;
    state_.corrections = std::move(in_.corrections);
    state_.warnings = std::move(in_.warnings);
    if (!in_.standing.empty()) {
      state_.first_at = in_.standing.front().at;
      state_.last_at = in_.standing.back().at;
    }
    for (const auto& s : in_.standing) register_subject(s);
    tell_same_flights();
    choose_machine_and_pilot();
    for (const auto& s : in_.standing) read(s);
    keep_measures();
    add_flights();
    for (auto& t : timelines_) t.sort();
    read_meters();
    for (auto& t : timelines_) t.seal();
    read_part_counters();
    sum_up();
    return std::move(state_);
  }

 private:
  void warn(StateWarning::Kind kind, const EntryId& id, Sentence text) { state_.warnings.push_back({kind, id, std::move(text)}); }

  // --- first pass: subjects, settings, flights

  void register_subject(const Standing& s) {
    const auto& id = s.header->id;
    if (const auto* m = std::get_if<MachineRegistered>(s.facts)) {
      machine_index_.emplace(id, static_cast<std::uint32_t>(state_.machines.size()));
      state_.machines.push_back({id, s.at, m->assumed, m->private_name});
    } else if (const auto* p = std::get_if<PilotRegistered>(s.facts)) {
      state_.pilots.push_back({id, s.at, p->assumed, p->mass, p->private_name});
    } else if (const auto* part = std::get_if<PartRegistered>(s.facts)) {
      part_index_.emplace(id, static_cast<std::uint32_t>(state_.parts.size()));
      PartState out;
      out.id = id;
      out.at = s.at;
      out.role = part->role;
      out.assumed = part->assumed;
      const auto* first = s.as_written == nullptr ? nullptr : std::get_if<PartRegistered>(s.as_written);
      if (first != nullptr && first->assumed) begun_assumed_.insert(id);
      out.name = part->private_name;
      out.made = part->made;
      out.bought = part->bought;
      if (!part->assumed) {
        out.running_before = part->running_before;
        out.air_before = part->air_before;
        out.ground_handling_before = part->ground_handling_before;
        out.launches_before = part->launches_before;
      }
      state_.parts.push_back(std::move(out));
    } else if (const auto* set = std::get_if<Setting>(s.facts)) {
      state_.settings[set->name] = {id, s.at, set->value};
    } else if (const auto* line = std::get_if<ServiceLineSet>(s.facts)) {
      state_.service_lines[line->line] = {id, *line};
    } else if (const auto* f = std::get_if<FlightEntry>(s.facts)) {
      register_flight(s, *f);
    }
  }

  void register_flight(const Standing& s, const FlightEntry& f) {
    FlightState out;
    out.id = s.header->id;
    out.machine = f.machine;
    out.pilot = f.pilot;
    out.recording = f.recording;
    out.launch = f.launch;
    out.landing = f.landing;
    out.written = s.header->written;
    out.offset_min = s.header->offset_min;
    out.air_time = f.air_time;
    out.launches = f.launches;
    out.analysis_version = f.analysis_version;
    out.track_length = f.summary.track_length;
    out.farthest_distance = f.summary.farthest_distance;
    out.highest = f.summary.highest;
    out.begins_in_air = f.begins_in_air;
    out.ends_in_air = f.ends_in_air;
    const double air = in_seconds(f.air_time);
    if (!std::isfinite(air) || air < 0 || f.landing < f.launch || f.launches < 0) {
      warn(StateWarning::Kind::flight_doubt, out.id,
           "The times of this flight do not fit together; its hours are not counted. Amend it.");
      out.air_time = {};
      out.launches = std::max(out.launches, 0);
    } else if (f.air_time > duration_between(f.launch, f.landing) + minutes(1)) {
      warn(StateWarning::Kind::flight_doubt, out.id,
           Sentence("The air time of this flight, {0}, is longer than from launch to landing; it is counted as it stands.",
                    {amount(exactly(f.air_time))}));
    }
    out.running_basis = f.running_time.basis.kind;
    if (f.running_time.known()) {
      out.running_low = f.running_time.low;
      out.running_mid = f.running_time.mid;
      out.running_high = f.running_time.high;
    }
    flights_.push_back({out, f.private_path, f.running_time.basis.n, !f.running_time.known(), &f.measures, f.analysis_version});
  }

  void tell_same_flights() {
    const auto running = prior_amount(prior::running_per_air, state_.setting("prior.running_per_air"));
    for (auto& f : flights_) {
      if (!f.by_prior) continue;
      f.state.running_basis = BasisKind::assumed;
      f.state.running_low = f.state.air_time * running.low;
      f.state.running_mid = f.state.air_time * running.mid;
      f.state.running_high = f.state.air_time * running.high;
    }
    const auto before = [](const FlightRead& a, const FlightRead& b) {
      return std::tie(a.state.launch, a.state.id) < std::tie(b.state.launch, b.state.id);
    };
    if (!std::is_sorted(flights_.begin(), flights_.end(), before)) std::sort(flights_.begin(), flights_.end(), before);
    std::vector<FlightSeen> seen;
    seen.reserve(flights_.size());
    for (const auto& f : flights_) seen.push_back({&f.state, f.path});
    const auto same = find_same_flights(seen);
    for (const auto& d : same.duplicates) {
      auto& second = flights_[d.second].state;
      const auto& first = flights_[d.first].state;
      second.counts = false;
      second.same_as = first.id;
      const char* how = d.basis == SameFlightBasis::recording ? "the same recording"
                        : d.basis == SameFlightBasis::path
                            ? "the two paths lie together"
                            : "the times nearly agree, for the same machine and pilot; the paths could not be compared";
      warn(StateWarning::Kind::same_flight, second.id,
           Sentence("The flight launched {0} is in the book twice ({1}): the one written first counts, both stay.",
                    {instant_amount(first.launch), std::string(how)}));
      if (second.air_time > first.air_time + minutes(5))
        warn(StateWarning::Kind::flight_doubt, first.id,
             Sentence("The other recording of this flight is longer: {0} against the {1} that count. Amend the flight if the "
                      "longer is right.",
                      {amount(exactly(second.air_time)), amount(exactly(first.air_time))}));
    }
    for (const auto& o : same.overlapping)
      warn(StateWarning::Kind::overlapping, flights_[o.second].state.id,
           Sentence("Two flights of one machine overlap, launched {0} and {1}; they could not be shown to be one and both count. "
                    "Void one if they are.",
                    {instant_amount(flights_[o.first].state.launch), instant_amount(flights_[o.second].state.launch)}));
    state_.flights.reserve(flights_.size());
    for (std::uint32_t i = 0; i < flights_.size(); ++i) {
      flight_index_.emplace_back(flights_[i].state.id, i);
      state_.flights.push_back(flights_[i].state);
    }
    std::sort(flight_index_.begin(), flight_index_.end());
  }

  template <class Subject>
  static std::optional<EntryId> newest_own(const std::vector<Subject>& all) {
    for (auto it = all.rbegin(); it != all.rend(); ++it)
      if (!it->assumed) return it->id;
    return all.empty() ? std::nullopt : std::optional(all.front().id);
  }

  // Of the latest flight; but an assumed one gives way to the owner's own as soon as that is registered.
  void choose_machine_and_pilot() {
    state_.machine = newest_own(state_.machines);
    state_.pilot = newest_own(state_.pilots);
    for (auto it = state_.flights.rbegin(); it != state_.flights.rend(); ++it) {
      if (!it->counts) continue;
      const auto* m = state_.find_machine(it->machine);
      const auto* p = state_.find_pilot(it->pilot);
      if (m && !m->assumed) state_.machine = m->id;
      if (p && !p->assumed) state_.pilot = p->id;
      break;
    }
    timelines_.resize(state_.machines.size());
  }

  // --- second pass: what happened

  void read(const Standing& s) {
    std::visit([&](const auto& facts) { take(s, facts); }, *s.facts);
  }

  template <class Other>
  void take(const Standing&, const Other&) {}  // subjects and flights, read in the first pass; what is only counted

  PartState* find_part(const Standing& s, const EntryId& id) {
    const auto it = part_index_.find(id);
    if (it != part_index_.end()) return &state_.parts[it->second];
    warn(StateWarning::Kind::missing_subject, s.header->id, "This entry names a part that is not registered in this book.");
    return nullptr;
  }

  void take(const Standing& s, const PartFitted& f) {
    auto* part = find_part(s, f.part);
    if (!part) return;
    if (!machine_index_.contains(f.machine)) {
      warn(StateWarning::Kind::missing_subject, s.header->id, "This entry names a machine that is not registered in this book.");
      return;
    }
    if (part->is_fitted()) {
      if (part->fitted.back().machine == f.machine) return;
      part->fitted.back().to = s.at;
    }
    for (auto& other : state_.parts)
      if (&other != part && other.role == part->role && other.is_fitted() && other.fitted.back().machine == f.machine &&
          (one_at_a_time(other.role) || other.assumed))
        other.fitted.back().to = s.at;
    // An assumed part was on the machine before the book began, and so is the owner's own that took its place in the book.
    const bool from_before = part->fitted.empty() && begun_assumed_.contains(part->id);
    part->fitted.push_back({f.machine, s.at, from_before, std::nullopt});
  }
  void take(const Standing& s, const PartRemoved& r) {
    auto* part = find_part(s, r.part);
    if (part && part->is_fitted()) part->fitted.back().to = s.at;
  }

  // The part of that role (or of the assembly it sits in) on the machine at `t`.
  const PartState* part_at(const PartRole& role, const EntryId& machine, UtcTime t) const {
    const auto on = [&](const PartState& p) {
      return std::any_of(p.fitted.begin(), p.fitted.end(), [&](const Fitted& f) {
        return f.machine == machine && (f.from_before || f.from <= t) && (!f.to || t < *f.to);
      });
    };
    for (const auto wanted : {std::string_view(role), assembly_of(role)})
      for (const auto& p : state_.parts)
        if (p.role == wanted && on(p)) return &p;
    return nullptr;
  }

  void take(const Standing& s, const ServiceDone& d) { services_done_.push_back({&s, &d}); }
  void take(const Standing& s, const CounterRead& c) { counters_read_.push_back({&s, &c}); }

  void take(const Standing& s, const Reading& r) {
    state_.readings[r.quantity].push_back({s.header->id, s.at, r.value, r.unit, r.part});
  }
  void take(const Standing& s, const PlugRead& p) { state_.plugs.push_back({s.header->id, s.at, p}); }
  void take(const Standing& s, const RecordingAttached& r) {
    state_.recordings.push_back({r.recording, s.header->id, r.format, r.private_file_name, r.bytes, r.fixes, r.simulated});
  }
  void take(const Standing& s, const Remeasured& r) {
    const auto it = std::lower_bound(flight_index_.begin(), flight_index_.end(), std::pair{r.flight, 0U});
    if (it == flight_index_.end() || it->first != r.flight) {
      warn(StateWarning::Kind::missing_subject, s.header->id, "This entry measures a flight again that is not in this book.");
      return;
    }
    auto& version = state_.flights[it->second].remeasured_version;
    version = std::max(version, r.analysis_version);
    auto& flight = flights_[it->second];
    if (r.measures.empty() || r.analysis_version < flight.measures_version) return;
    flight.measures = &r.measures;
    flight.measures_version = r.analysis_version;
  }

  static MeasureSample sample_of(const FlightMeasure& m, std::uint32_t flight) {
    MeasureSample s;
    s.flight = flight;
    s.kind = m.kind;
    s.learnable = m.learnable;
    s.low = static_cast<float>(m.as_flown.low);
    s.mid = static_cast<float>(m.as_flown.mid);
    s.high = static_cast<float>(m.as_flown.high);
    if (m.standard && m.standard->known()) {
      s.has_standard = true;
      s.standard_low = static_cast<float>(m.standard->low);
      s.standard_mid = static_cast<float>(m.standard->mid);
      s.standard_high = static_cast<float>(m.standard->high);
    }
    s.density_ratio = static_cast<float>(m.density_ratio);
    s.headwind_m_s = static_cast<float>(m.headwind_m_s);
    return s;
  }
  void keep_measures() {
    std::size_t many = 0;
    for (const auto& f : flights_) many += f.state.counts ? f.measures->size() : 0;
    state_.measures.reserve(many);
    for (std::uint32_t i = 0; i < flights_.size(); ++i) {
      if (!flights_[i].state.counts) continue;
      const auto begin = state_.measures.size();
      for (const auto& m : *flights_[i].measures)
        if (m.as_flown.known()) state_.measures.push_back(sample_of(m, i));
      const auto first = state_.measures.begin() + static_cast<std::ptrdiff_t>(begin);
      const auto by_kind = [](const MeasureSample& a, const MeasureSample& b) { return a.kind < b.kind; };
      if (!std::is_sorted(first, state_.measures.end(), by_kind)) std::stable_sort(first, state_.measures.end(), by_kind);
    }
  }

  Timeline* timeline(const Standing& s, const EntryId& machine) {
    const auto it = machine_index_.find(machine);
    if (it != machine_index_.end()) return &timelines_[it->second];
    warn(StateWarning::Kind::missing_subject, s.header->id,
         "This entry names a machine that is not registered in this book; its hours are counted on no part.");
    return nullptr;
  }
  static double error_of(const Prior& sigma) { return kNormal95 * sigma.mid * sigma.si_per_unit; }

  void take(const Standing& s, const EngineRun& e) {
    if (!usable(s, e.running)) return;
    if (auto* t = timeline(s, e.machine)) {
      Use use;
      use.at = s.at;
      use.running.add_measured(in_seconds(e.running), error_of(prior::meter_error));
      t->add(use);
    }
  }
  void take(const Standing& s, const GroundHandling& g) {
    if (!usable(s, g.duration)) return;
    if (auto* t = timeline(s, g.machine)) {
      Use use;
      use.at = s.at;
      use.ground_handling.add_measured(in_seconds(g.duration), 0.2 * in_seconds(g.duration));  // typed from memory
      t->add(use);
    }
  }
  bool usable(const Standing& s, Duration d) {
    if (std::isfinite(in_seconds(d)) && d >= Duration{}) return true;
    warn(StateWarning::Kind::flight_doubt, s.header->id, "A stretch of time cannot be negative; it is not counted. Amend it.");
    return false;
  }

  void take(const Standing& s, const FuelMixed& f) {
    FuelEvent e{FuelEvent::Kind::mixed, s.header->id, s.at, f.fuel, {}, f.ratio};
    if (!e.ratio && f.oil && *f.oil > Volume{} && f.fuel > Volume{}) e.ratio = f.fuel / *f.oil;
    state_.fuel.push_back(e);
  }
  void take(const Standing& s, const FuelFilled& f) {
    state_.fuel.push_back({FuelEvent::Kind::filled, s.header->id, s.at, f.added, f.in_tank_after, {}});
  }
  void take(const Standing& s, const FuelLeft& f) {
    state_.fuel.push_back({FuelEvent::Kind::left, s.header->id, s.at, f.left, {}, {}});
  }
  void take(const Standing& s, const Finding& f) {
    state_.findings.push_back({s.header->id, s.at, f.grounding, f.part, f.private_text, {}, {}});
  }
  void take(const Standing& s, const FindingClosed& c) { closings_.push_back({&s, &c}); }
  void take(const Standing& s, const Alteration& a) {
    state_.alterations.push_back({s.header->id, s.at, a.area, a.private_text, a.part});
  }
  void take(const Standing&, const MoneySpent& m) {
    state_.money_cents[m.private_currency] += m.private_cents;
    ++state_.money_entries;
  }
  void take(const Standing& s, const DrillPractised& d) { state_.drills.push_back({s.header->id, s.at, d.drill}); }
  void take(const Standing& s, const RunMeasured& r) {
    if (!machine_index_.contains(r.machine) || state_.find_pilot(r.pilot) == nullptr) {
      warn(StateWarning::Kind::missing_subject, s.header->id,
           "This run names a machine or a pilot that is not registered in this book; nothing is learned from it.");
      return;
    }
    state_.runs.push_back({s.header->id, s.at, r});
  }
  void take(const Standing& s, const CheckDone& c) { state_.checks[c.check] = {s.header->id, s.at, c.check, c.state}; }
  void take(const Standing& s, const FieldDescribed& f) {
    FieldState field{s.header->id,       s.at,     f.private_name,     f.private_text, f.height,
                     f.private_position, f.strips, f.private_landable, f.private_photo};
    if (f.same_as != EntryId{}) {
      field.id = f.same_as;
      for (auto& known : state_.fields)
        if (known.id == f.same_as) {
          known = field;
          return;
        }
    }
    state_.fields.push_back(std::move(field));
  }
  void take(const Standing&, const Note&) { ++state_.notes; }
  void take(const Standing&, const PhotoAttached&) { ++state_.photos; }

  // --- hours

  void add_flights() {
    for (std::size_t i = 0; i < flights_.size(); ++i) {
      const auto& f = flights_[i].state;
      if (!f.counts) continue;
      const auto it = machine_index_.find(f.machine);
      if (it == machine_index_.end()) {
        warn(StateWarning::Kind::missing_subject, f.id,
             "This flight names a machine that is not registered in this book; its hours are counted on no part.");
        continue;
      }
      Use use;
      use.at = f.launch;
      use.launches = f.launches;
      use.air.add_measured(in_seconds(f.air_time), error_of(prior::air_time_error));
      const double missing = prior::missing_end.mid * prior::missing_end.si_per_unit * (f.begins_in_air + f.ends_in_air);
      if (missing > 0) use.air.add_assumed(0, 0, missing);
      const double low = in_seconds(f.running_low), mid = in_seconds(f.running_mid), high = in_seconds(f.running_high);
      switch (f.running_basis) {
        case BasisKind::measured:
          use.running.add_measured(mid, std::max(high - mid, mid - low));
          break;
        case BasisKind::learned:
          use.running.add_learned(low, mid, high, flights_[i].learned_n);
          break;
        default:
          use.running.add_assumed(low, mid, high + missing);
      }
      timelines_[it->second].add(use);
    }
    flights_.clear();
  }

  const PartState* meter_engine(const Standing& s, const CounterRead& c) {
    if (c.part) {
      const auto* part = find_part(s, *c.part);
      return part;
    }
    const PartState* engine = state_.machine ? part_at("engine", *state_.machine, s.at) : nullptr;
    if (!engine)
      warn(StateWarning::Kind::counter_doubt, s.header->id, "No engine was fitted at this reading; it is kept and not used.");
    return engine;
  }

  void read_meters() {
    for (const auto& [s, c] : counters_read_) {
      const auto* part = meter_engine(*s, *c);
      if (!part) continue;
      const auto index = part_index_.at(part->id);
      if (!std::isfinite(c->value) || c->value < 0) {
        warn(StateWarning::Kind::counter_doubt, s->header->id,
             "A counter cannot be below zero; the reading is kept and not used.");
        continue;
      }
      const bool meter = part->role == "engine" && c->counter == Counter::running;
      readings_[{index, meter ? -1 : static_cast<int>(c->counter)}].push_back({s->header->id, s->at, c->value});
    }
    for (const auto& [key, list] : readings_)
      if (key.second < 0) read_counter(key.first, Counter::running, true, list);
  }
  void read_part_counters() {
    for (const auto& [key, list] : readings_)
      if (key.second >= 0) read_counter(key.first, static_cast<Counter>(key.second), false, list);
  }

  std::optional<double> life_before(const PartState& p, Counter counter) const {
    const auto in_s = [](const std::optional<Duration>& d) { return d ? std::optional(in_seconds(*d)) : std::nullopt; };
    switch (counter) {
      case Counter::running:
        return in_s(p.running_before);
      case Counter::air:
        return in_s(p.air_before);
      case Counter::ground_handling:
        return in_s(p.ground_handling_before);
      case Counter::launches:
        return p.launches_before ? std::optional<double>(*p.launches_before) : std::nullopt;
    }
    return std::nullopt;
  }

  // Recorded on a part before a reading's time, without spread.
  double recorded(const PartState& part, Counter counter, UtcTime from, UtcTime to, bool sealed) const {
    double total = 0;
    for_fitted(part, from, to, [&](const Timeline& t, UtcTime a, UtcTime b) {
      total += sealed ? counter_mid(t.sum(a, b), counter) : in_seconds(t.recorded_running(a, b));
    });
    return total;
  }

  // The readings of one counter of one part, in order of time. The stated life before the book is the first point.
  void read_counter(std::uint32_t index, Counter counter, bool meter, const std::vector<MeterReading>& list) {
    auto& part = state_.parts[index];
    std::optional<MeterReading> base, aside;
    bool stated = false;
    if (const auto before = life_before(part, counter)) {
      base = MeterReading{part.id, part.at, *before};
      stated = true;
    }
    for (const auto& r : list) {
      if (base && stated && r.at < base->at) {  // older than the stated life, which already holds it
        if (r.value <= base->value) earlier_.push_back({index, counter, r.at, r.at, base->value - r.value, 0});
        continue;
      }
      auto& begins = meter_begins_.try_emplace({index, static_cast<int>(counter)}, r.at).first->second;
      begins = std::min(begins, base ? std::min(base->at, r.at) : r.at);
      if (!base) {
        const double earlier = recorded(part, counter, kEver, r.at, !meter);
        if (r.value < earlier)
          warn(StateWarning::Kind::counter_doubt, r.entry,
               Sentence("The first reading, {0}, is less than the {1} recorded before it; the recorded hours are kept.",
                        {counter_amount(counter, r.value), counter_amount(counter, earlier)}));
        else
          inferred_[{index, static_cast<int>(counter)}] = r.value - earlier;
        base = r;
        continue;
      }
      double delta = r.value - base->value;
      if (delta < 0 && aside && r.value >= aside->value) {
        warn(StateWarning::Kind::counter_doubt, r.entry,
             Sentence(
                 "Two readings in a row lie below the {0} read before: the counter is taken as replaced or set back; what was "
                 "run between is counted from the flights alone.",
                 {counter_amount(counter, base->value)}));
        base = aside;
        delta = r.value - base->value;
      } else if (delta < 0) {
        warn(StateWarning::Kind::counter_doubt, r.entry,
             Sentence("The reading {0} is lower than the last one, {1}; it is kept and not used.",
                      {counter_amount(counter, r.value), counter_amount(counter, base->value)}));
        aside = r;
        continue;
      }
      aside.reset();
      stated = false;
      const double elapsed = in_seconds(duration_between(base->at, r.at));
      if (counter != Counter::launches && delta > elapsed + error_of(prior::meter_error)) {
        warn(StateWarning::Kind::counter_doubt, r.entry,
             Sentence("The reading is {0} above the last one, more than the time between them; it is kept and not used.",
                      {counter_amount(counter, delta)}));
        continue;
      }
      if (meter)
        correct_machine(part, *base, r, delta);
      else
        correct_part(index, counter, *base, r, delta);
      base = r;
    }
  }

  void correct_machine(const PartState& engine, const MeterReading& base, const MeterReading& r, double delta) {
    for (auto it = engine.fitted.rbegin(); it != engine.fitted.rend(); ++it) {
      if (!it->from_before && it->from > r.at) continue;
      const UtcTime from = it->from_before ? base.at : std::max(base.at, it->from);
      const UtcTime to = it->to ? std::min(r.at, *it->to) : r.at;
      const bool used = timelines_[machine_index_.at(it->machine)].correct(
          from, to, seconds(delta), seconds(error_of(prior::meter_error) * std::sqrt(2.0)));
      if (!used)
        warn(
            StateWarning::Kind::counter_doubt, r.entry,
            Sentence(
                "The hour meter counted {0} since the last reading, less than the flights recorded; the recorded hours are kept.",
                {counter_amount(Counter::running, delta)}));
      return;
    }
    warn(StateWarning::Kind::counter_doubt, r.entry, "The engine was on no machine at this reading; it is kept and not used.");
  }

  void correct_part(std::uint32_t index, Counter counter, const MeterReading& base, const MeterReading& r, double delta) {
    const double known = recorded(state_.parts[index], counter, base.at, r.at, true);
    if (delta < known) {
      const double allowed = counter == Counter::launches ? 0 : error_of(prior::meter_error);
      if (delta + allowed < known)
        warn(StateWarning::Kind::counter_doubt, r.entry,
             Sentence("The reading says {0} since the last one, less than the {1} recorded; the recorded ones are kept.",
                      {counter_amount(counter, delta), counter_amount(counter, known)}));
      return;
    }
    if (delta > known) extras_.push_back({index, counter, base.at, r.at, delta - known, known});
  }

  template <class Each>
  void for_fitted(const PartState& part, UtcTime from, UtcTime to, Each each) const {
    for (const auto& f : part.fitted) {
      const UtcTime a = f.from_before ? from : std::max(from, f.from);
      const UtcTime b = f.to ? std::min(to, *f.to) : to;
      if (a < b) each(timelines_[machine_index_.at(f.machine)], a, b);
    }
  }

  Counters counters(const PartState& part, UtcTime from, UtcTime to) const {
    UseSum sum;
    for_fitted(part, from, to, [&](const Timeline& t, UtcTime a, UtcTime b) { sum += t.sum(a, b); });
    double launches_high = sum.launches;
    const auto index = part_index_.at(part.id);
    for (const auto& x : extras_) {
      if (x.part != index || x.to <= from || x.from >= to) continue;
      const bool whole = from <= x.from && x.to <= to;
      double share = 1;
      if (!whole && x.recorded > 0)
        share = recorded(part, x.counter, std::max(from, x.from), std::min(to, x.to), true) / x.recorded;
      else if (!whole)
        share = to >= x.to ? 1 : 0;  // nothing recorded: all of it is put at the reading
      const double mine = x.extra * share, most = whole ? mine : x.extra;
      HourSum* hours = x.counter == Counter::running           ? &sum.running
                       : x.counter == Counter::air             ? &sum.air
                       : x.counter == Counter::ground_handling ? &sum.ground_handling
                                                               : nullptr;
      if (hours && whole) hours->add_measured(mine, error_of(prior::meter_error) * std::sqrt(2.0));
      if (hours && !whole) hours->add_assumed(0, mine, most);
      if (!hours) {
        sum.launches += mine;
        launches_high += most;
      }
    }
    Counters out{sum.running.estimate(), sum.air.estimate(), sum.ground_handling.estimate(), {}};
    const bool exact = launches_high <= sum.launches;
    out.launches = {counts(sum.launches),
                    counts(sum.launches),
                    counts(std::max(launches_high, sum.launches)),
                    exact ? measured() : assumed(),
                    {}};
    return out;
  }

  template <class Q>
  Estimate<Q> with_before(const Estimate<Q>& in_book, const std::optional<Q>& before, std::uint32_t index,
                          Counter counter) const {
    if (before) {
      auto out = in_book;
      out.low += *before;
      out.mid += *before;
      out.high += *before;
      return out;
    }
    const auto it = inferred_.find({index, static_cast<int>(counter)});
    if (it == inferred_.end()) return unknown_estimate<Q>("the life before this book is not known");
    const Q inferred = Q::from_si(it->second);
    return {in_book.low + inferred, in_book.mid + inferred, in_book.high + inferred, assumed(),
            "from the first reading of its counter, taken as counting from new"};
  }

  void sum_up() {
    for (std::uint32_t i = 0; i < state_.parts.size(); ++i) {
      auto& p = state_.parts[i];
      p.in_book = counters(p, kEver, kNever);
      p.life.running = with_before(p.in_book.running, p.running_before, i, Counter::running);
      p.life.air = with_before(p.in_book.air, p.air_before, i, Counter::air);
      p.life.ground_handling = with_before(p.in_book.ground_handling, p.ground_handling_before, i, Counter::ground_handling);
      const auto launches = p.launches_before ? std::optional(counts(*p.launches_before)) : std::nullopt;
      p.life.launches = with_before(p.in_book.launches, launches, i, Counter::launches);
    }
    sum_services();
    close_findings();
    sum_tank();
    std::sort(state_.warnings.begin(), state_.warnings.end(), [](const StateWarning& a, const StateWarning& b) {
      return std::tie(a.entry, a.kind, a.text.text) < std::tie(b.entry, b.kind, b.text.text);
    });
  }

  // The book counts what a part did from when it was fitted; a part that was there before the book began, from the first use or
  // reading in it.
  UtcTime counted_from(std::uint32_t index, Counter counter) const {
    const auto& part = state_.parts[index];
    if (part.fitted.empty()) return part.at;
    const auto& first = part.fitted.front();
    if (!first.from_before) return first.from;
    UtcTime from = timelines_[machine_index_.at(first.machine)].first_use();
    const auto take = [&](std::uint32_t i) {
      const auto it = meter_begins_.find({i, static_cast<int>(counter)});
      if (it != meter_begins_.end()) from = std::min(from, it->second);
    };
    take(index);
    // The engine's meter counts for all that runs with it.
    if (counter == Counter::running)
      for (std::uint32_t i = 0; i < state_.parts.size(); ++i)
        if (state_.parts[i].role == "engine" && !state_.parts[i].fitted.empty() &&
            state_.parts[i].fitted.front().machine == first.machine)
          take(i);
    return from;
  }

  // Since a service. One done before the book counts has no hours since, but for what a reading of that day tells.
  template <class Q>
  Estimate<Q> since_of(const Estimate<Q>& in_book, std::uint32_t index, Counter counter, UtcTime done) const {
    constexpr auto kThatDay = std::chrono::hours(24);
    if (counted_from(index, counter) <= done + kThatDay) return in_book;
    const PartExtra* nearest = nullptr;
    for (const auto& e : earlier_)
      if (e.part == index && e.counter == counter && std::chrono::abs(e.from - done) <= kThatDay &&
          (!nearest || std::chrono::abs(e.from - done) < std::chrono::abs(nearest->from - done)))
        nearest = &e;
    if (!nearest) return unknown_estimate<Q>("it was done before this book counts it");
    auto out = in_book;
    const Q more = Q::from_si(nearest->extra);
    out.low += more;
    out.mid += more;
    out.high += more;
    return out;
  }
  Counters since(const PartState& part, UtcTime done) const {
    const auto index = part_index_.at(part.id);
    auto out = counters(part, done, kNever);
    out.running = since_of(out.running, index, Counter::running, done);
    out.air = since_of(out.air, index, Counter::air, done);
    out.ground_handling = since_of(out.ground_handling, index, Counter::ground_handling, done);
    out.launches = since_of(out.launches, index, Counter::launches, done);
    return out;
  }

  void sum_services() {
    std::map<std::string, PartRole, std::less<>> roles;
    for (const auto& line : service_list(state_)) roles[line.line] = line.role;
    std::map<std::pair<std::string, EntryId>, ServiceState> last;
    for (const auto& [s, d] : services_done_) {
      EntryId part;
      if (d->part) {
        if (const auto* known = find_part(*s, *d->part)) part = known->id;
      } else if (state_.machine) {
        const auto role = roles.find(d->line);
        const auto* fitted = role == roles.end() ? nullptr : part_at(role->second, *state_.machine, s->at);
        if (fitted) part = fitted->id;
      }
      auto& service = last[{d->line, part}];
      service.line = d->line;
      service.part = part;
      service.entry = s->header->id;
      service.at = s->at;
      ++service.times;
    }
    for (auto& [key, service] : last) {
      const auto it = part_index_.find(service.part);
      if (it != part_index_.end()) service.since = since(state_.parts[it->second], service.at);
      state_.services.push_back(std::move(service));
    }
  }

  void close_findings() {
    for (const auto& [s, c] : closings_) {
      const auto it = std::find_if(state_.findings.begin(), state_.findings.end(),
                                   [&, wanted = c->finding](const FindingState& f) { return f.id == wanted; });
      if (it == state_.findings.end()) {
        warn(StateWarning::Kind::missing_subject, s->header->id, "This entry closes a finding that is not in this book.");
        continue;
      }
      it->closed = s->at;
      it->closed_by = s->header->id;
    }
  }

  void sum_tank() {
    auto& tank = state_.tank;
    for (const auto& e : state_.fuel) {
      if (e.kind == FuelEvent::Kind::mixed) continue;
      const std::optional<Volume> said = e.kind == FuelEvent::Kind::left ? std::optional(e.volume) : e.in_tank_after;
      if (said) {
        tank.known_at = e.at;
        tank.known = *said;
        tank.added_since = {};
        tank.from_fill_only = false;
      } else if (!tank.known_at) {
        tank.known_at = e.at;
        tank.known = e.volume;
        tank.from_fill_only = true;
      } else {
        tank.added_since += e.volume;
      }
    }
    UseSum since;
    if (tank.known_at && state_.machine) since = timelines_[machine_index_.at(*state_.machine)].sum(*tank.known_at, kNever);
    tank.running_since = since.running.estimate();
  }

  struct FlightRead {
    FlightState state;
    std::string_view path;
    int learned_n = 0;
    bool by_prior = false;
    const std::vector<FlightMeasure>* measures = nullptr;
    int measures_version = 0;  // of the analysis that made them
  };

  Resolved in_;
  State state_;
  std::unordered_map<EntryId, std::uint32_t, IdHash> machine_index_, part_index_;
  std::vector<std::pair<EntryId, std::uint32_t>> flight_index_;
  std::vector<FlightRead> flights_;
  std::vector<Timeline> timelines_;
  std::set<EntryId> begun_assumed_;  // parts first registered as assumed
  std::vector<std::pair<const Standing*, const ServiceDone*>> services_done_;
  std::vector<std::pair<const Standing*, const CounterRead*>> counters_read_;
  std::vector<std::pair<const Standing*, const FindingClosed*>> closings_;
  std::map<std::pair<std::uint32_t, int>, std::vector<MeterReading>> readings_;  // by part and counter; -1: hour meter
  std::map<std::pair<std::uint32_t, int>, double> inferred_;                     // life before the book, from a first reading
  std::vector<PartExtra> extras_;
  std::vector<PartExtra> earlier_;                                 // from a reading before the stated life to that life
  std::map<std::pair<std::uint32_t, int>, UtcTime> meter_begins_;  // the first reading of a counter
};

}  // namespace

State Folder::finish() {
  const std::vector<Entry> entries = std::move(entries_);
  entries_.clear();
  return Reader(resolve(entries)).run();
}

State fold(std::vector<Entry> entries) {
  return Reader(resolve(entries)).run();
}

}  // namespace headroom
