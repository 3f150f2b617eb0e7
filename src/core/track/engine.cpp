#include "core/track/engine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

#include "core/track/engine_parts.h"

namespace headroom {
namespace engine_parts {
namespace {

constexpr double kLift_m_s = 0.5;            // energy above the glide that a loud stretch must show to be an engine
constexpr double kLoudGround_s = 60;         // loud for this long on the ground is an engine even if none is heard in the air
constexpr double kShortestEngineRun_s = 45;  // in the air of an unknown aircraft: shorter loud stretches are other noises
constexpr double kTugQuiet_s = 25;           // pulled on for this long while quiet: not pulled by what was heard
constexpr float kSelfOrTug = 0.5F;           // beforehand an unknown aircraft on wheels launches either way
constexpr float kEngineOrLift = 0.1F;        // beforehand, energy gained in the air by an unknown aircraft is the engine's

double seconds_between(const Track& track, std::size_t a, std::size_t b) {
  return duration_between(track.fixes[a].time, track.fixes[b].time).si();
}

// Ground around the flight: as far as neither a gap, nor another flight, nor another place is met.
struct Range {
  std::size_t first, last;
};
Range around(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight) {
  const auto still_here = [&](std::size_t i, std::size_t next, std::size_t from) {
    const SmoothedFix& s = smoothed.fixes[next];
    const SmoothedFix& f = smoothed.fixes[from];
    if (seconds_between(track, std::min(i, next), std::max(i, next)) > kSmoothGap_s) return false;
    if (seconds_between(track, std::min(from, next), std::max(from, next)) > kGroundReach_s) return false;
    if (s.pressure.known && f.pressure.known && std::abs(s.pressure.height_m - f.pressure.height_m) > 40) return false;
    return std::hypot(s.east_m_s, s.north_m_s) < 35;
  };
  Range r{flight.first, flight.last};
  if (!flight.begins_in_air)
    while (r.first > 0 && still_here(r.first, r.first - 1, flight.first)) --r.first;
  if (!flight.ends_in_air)
    while (r.last + 1 < track.fixes.size() && still_here(r.last, r.last + 1, flight.last)) ++r.last;
  return r;
}

std::string duration_text(double seconds) {
  if (seconds < 90) return std::to_string(std::lround(seconds)) + " s";
  const long minutes = std::lround(seconds / 60);
  if (minutes < 60) return std::to_string(minutes) + " min";
  const std::string hours = std::to_string(minutes / 60) + " h";
  return minutes % 60 == 0 ? hours : hours + " " + std::to_string(minutes % 60) + " min";
}

// Labels and probabilities while they are being made, one a fix of [range.first, range.last].
struct Labels {
  const Track& track;
  const FoundFlight& flight;
  Range range;
  std::vector<Power> power;
  std::vector<float> on, sure;

  Labels(const Track& t, const FoundFlight& f, Range r)
      : track(t),
        flight(f),
        range(r),
        power(r.last - r.first + 1, Power::ground),
        on(power.size(), 0.0F),
        sure(power.size(), 1.0F) {}
  void set(std::size_t fix, Power p, float probability_on, float certain) {
    const std::size_t k = fix - range.first;
    power[k] = p, on[k] = probability_on, sure[k] = certain;
  }
  [[nodiscard]] bool airborne(std::size_t fix) const { return fix >= flight.first && fix <= flight.last; }
  // Runs in the air shorter than this take the label of the longer neighbour in the air.
  void merge_short(double shortest_s) {
    struct Run {
      std::size_t first, last;
    };
    std::vector<Run> runs;
    for (std::size_t i = flight.first; i <= flight.last;) {
      std::size_t j = i;
      while (j < flight.last && power[j + 1 - range.first] == power[i - range.first]) ++j;
      runs.push_back({i, j});
      i = j + 1;
    }
    for (std::size_t k = 0; k < runs.size(); ++k) {
      const double length = seconds_between(track, runs[k].first, std::min(runs[k].last + 1, flight.last));
      if (length >= shortest_s || runs.size() == 1) continue;
      const auto span = [&](std::size_t q) { return seconds_between(track, runs[q].first, runs[q].last); };
      const bool left = k > 0 && (k + 1 == runs.size() || span(k - 1) >= span(k + 1));
      const std::size_t from = left ? k - 1 : k + 1;
      const Power p = power[runs[from].first - range.first];
      for (std::size_t i = runs[k].first; i <= runs[k].last; ++i) {
        float& s = sure[i - range.first];
        if (power[i - range.first] != p) s = 1 - s;
        power[i - range.first] = p;
      }
      // The merged run counts as long from here on.
      if (left) runs[k].first = runs[from].first;
    }
  }
  void stretches(std::vector<PowerStretch>& out) const {
    for (std::size_t i = 0; i < power.size();) {
      std::size_t j = i;
      double sum = sure[i];
      while (j + 1 < power.size() && power[j + 1] == power[i] && airborne(range.first + j + 1) == airborne(range.first + i))
        sum += static_cast<double>(sure[++j]);
      out.push_back({power[i], range.first + i, range.first + j, track.fixes[range.first + i].time,
                     track.fixes[range.first + j].time, std::clamp(sum / static_cast<double>(j - i + 1), 0.0, 1.0)});
      i = j + 1;
    }
  }
  // Seconds in the air with any of these labels; a fix stands for the time to the next.
  [[nodiscard]] double airborne_seconds(std::initializer_list<Power> which) const {
    double sum = 0;
    for (std::size_t i = flight.first; i < flight.last; ++i)
      if (std::find(which.begin(), which.end(), power[i - range.first]) != which.end()) sum += seconds_between(track, i, i + 1);
    return sum;
  }
  [[nodiscard]] double ground_seconds(bool running) const {
    double sum = 0;
    for (std::size_t i = range.first; i < range.last; ++i)
      if (!airborne(i) && (power[i - range.first] == Power::ground_running) == running) sum += seconds_between(track, i, i + 1);
    return sum;
  }
};

// Values low and high around mid, brought into order and into [0, most].
Estimate<Duration> time_estimate(double low, double mid, double high, double most, Basis basis, std::string note = {}) {
  low = std::clamp(low, 0.0, most), high = std::clamp(high, low, most), mid = std::clamp(mid, low, high);
  auto e = make_estimate(seconds(low), seconds(mid), seconds(high), basis, std::move(note));
  return e ? *std::move(e) : unknown_estimate<Duration>(e.error().what);
}

class Finder {
 public:
  Finder(const Recording& recording, const Track& track, const FoundFlight& flight, const EngineOptions& options,
         const EnergySeries& energy, Range range, EngineSolution& out)
      : recording_(recording),
        track_(track),
        flight_(flight),
        options_(options),
        energy_(energy),
        out_(out),
        labels_(track, flight, range) {}

  void run() {
    air_s_ = seconds_between(track_, flight_.first, flight_.last);
    pull_ = options_.aircraft == AircraftKnown::unknown ? find_pull(energy_, flight_) : Pull{};
    const SinkPrior sink = sink_prior(energy_, options_.aircraft);
    if (options_.use_columns)
      column_ =
          read_column(recording_, track_, labels_.range.first, labels_.range.last, flight_, energy_, owned() ? &sink : nullptr);
    out_.notes.insert(out_.notes.end(), column_.notes.begin(), column_.notes.end());
    if (column_.quiet_throughout)
      note(
          "Column " + column_.code +
          " is quiet throughout. It need not hear an electric, muffled or shielded engine: the motion says how long one may have "
          "run at most.");
    if (column_.code.empty() || column_.quiet_throughout)
      by_motion();
    else
      by_column();
    out_.first = labels_.range.first;
    out_.on = std::move(labels_.on);
    labels_.stretches(out_.stretches);
  }

 private:
  // Time in which the column has no values; and of it, for how long the motion allows for power.
  struct Silence {
    double seconds = 0, gained_s = 0;
  };

  [[nodiscard]] std::size_t pull_end_fix() const { return pull_.end == 0 ? flight_.first : energy_.steps[pull_.end - 1].to; }
  void note(std::string text) { out_.notes.push_back(std::move(text)); }

  [[nodiscard]] bool owned() const { return options_.aircraft == AircraftKnown::powered_paraglider; }
  [[nodiscard]] GainSolution gain() const {
    return find_gain(energy_, sink_prior(energy_, options_.aircraft), !flight_.begins_in_air, owned());
  }
  // 95 % of a normal distribution lie below its mean and this. The chain believes its own model; gusts and throttles are not of
  // it. Both terms are set on simulated flights.
  [[nodiscard]] double half_width(const GainSolution& g) const {
    return kNormal95 * (std::hypot(1.1 * g.seconds_sd, 0.045 * g.roughness_m_s * air_s_) + 0.004 * air_s_ + 3);
  }
  // Labels the fixes in the air that `takes` by what moved them; returns the seconds in which they are likely to have gained.
  template <class Takes>
  double label_by_motion(const GainSolution& g, const Takes& takes) {
    const std::size_t pulled_to = pull_end_fix();
    double gained_s = 0;
    for (std::size_t k = 0; k < energy_.steps.size(); ++k) {
      const EnergyStep& e = energy_.steps[k];
      const float p = g.gain[k];
      for (std::size_t i = e.from; i < (k + 1 == energy_.steps.size() ? e.to + 1 : e.to); ++i) {
        if (!takes(i)) continue;
        if (i < flight_.last) gained_s += static_cast<double>(p) * seconds_between(track_, i, i + 1);
        if (pull_.end > 0 && i <= pulled_to)
          labels_.set(i, pull_.winch ? Power::winch : Power::powered_or_tow, pull_.winch ? 0.02F : kSelfOrTug * std::max(p, 0.8F),
                      std::max(p, 0.8F));
        else if (owned())
          labels_.set(i, p >= 0.5F ? Power::under_power : Power::idle_or_off, p, std::max(p, 1 - p));
        else
          labels_.set(i, p >= 0.5F ? Power::engine_or_lift : Power::idle_or_off, kEngineOrLift * p, std::max(p, 1 - p));
      }
    }
    return gained_s;
  }

  void by_motion() {
    out_.source = EngineSource::motion;
    const GainSolution g = gain();
    label_by_motion(g, [](std::size_t) { return true; });
    const double seen_s = labels_.airborne_seconds({Power::engine_or_lift});
    labels_.merge_short(kShortestStretch_s);
    const double gain_s = labels_.airborne_seconds({Power::engine_or_lift}),
                 pulled_s = labels_.airborne_seconds({Power::powered_or_tow});
    if (owned()) {
      const double half = half_width(g);
      out_.powered_time = time_estimate(
          column_.quiet_throughout ? 0 : g.seconds_mean - half, g.seconds_mean, g.seconds_mean + half, air_s_, measured(),
          "From motion alone. Lift and sink of the air are taken for thrust, or thrust for lift, where they last.");
    } else if (pulled_s > 0 && !column_.quiet_throughout) {
      out_.powered_time = unknown_estimate<Duration>("A launch by its own engine and one behind a tug move alike.");
    } else {
      out_.powered_time = time_estimate(0, 0, pulled_s + std::max(seen_s, gain_s), air_s_, measured(),
                                        "Energy gained in the air may be lift or an engine.");
    }
    running_without_column();
    say_launch(pull_.winch ? Power::winch : Power::powered_or_tow);
    if (gain_s > 0)
      note("Energy was gained in the air for " + duration_text(gain_s) +
           "; lift or engine, not to be told for an unknown aircraft.");
    note("Idle cannot be told from off by motion.");
  }

  void running_without_column() {
    if (!out_.powered_time.known()) {
      out_.running_time = unknown_estimate<Duration>(out_.powered_time.note);
      return;
    }
    const double low = out_.powered_time.low.si(), mid = out_.powered_time.mid.si(), ground = labels_.ground_seconds(false);
    // Beforehand a machine idles between launch preparations and after landing; how long is not in the positions.
    const double high = owned() ? air_s_ + std::max(ground, 600.0) : out_.powered_time.high.si();
    const double middle = owned() ? 0.5 * (mid + air_s_) + std::min(ground, 180.0) : mid;
    out_.running_time =
        time_estimate(low, middle, high, high, assumed(), "Idle in the air and running on the ground do not show in positions.");
  }

  void say_launch(Power pull) {
    if (pull_.end == 0) return;
    if (pull == Power::winch)
      note("Launched by a winch: energy rose by " + std::to_string(static_cast<int>(std::lround(pull_.rate_m_s))) + " m/s for " +
           duration_text(pull_.seconds) + ".");
    else if (pull == Power::tow)
      note("Pulled up for " + duration_text(pull_.seconds) + " after launch while its own engine was not heard: a tow.");
    else if (pull == Power::powered_or_tow)
      note("Pulled up for " + duration_text(pull_.seconds) + " after launch, by its own engine or behind a tug.");
  }

  // Loud in the air: the engine if energy came in, else the air rushing past.
  [[nodiscard]] bool engine_heard(std::size_t first, std::size_t last) const {
    if (column_.revolutions || owned()) return true;
    const MeanEnergy m = mean_energy(energy_, first, last);
    if (m.seconds < kShortestEngineRun_s) return false;
    return m.rate_m_s + sink_prior(energy_, options_.aircraft).mean * m.polar > kLift_m_s;
  }

  [[nodiscard]] Heard heard(std::size_t fix) const { return column_.heard[fix - labels_.range.first]; }

  // Was the aircraft pulled on while the column was quiet? Then what was heard before was not what pulled.
  [[nodiscard]] bool pulled_while_quiet() const {
    if (pull_.end == 0 || pull_.winch) return false;
    double quiet = 0, gained = 0, longest = 0;
    for (std::size_t k = 0; k < pull_.end; ++k) {
      const EnergyStep& e = energy_.steps[k];
      const auto tells = [&](std::size_t fix) { return heard(fix) == Heard::quiet || heard(fix) == Heard::middling; };
      if (!tells(e.from) || !tells(e.to)) {
        quiet = gained = 0;
        continue;
      }
      quiet += static_cast<double>(e.dt_s), gained += static_cast<double>(e.dt_s * e.rate_m_s);
      if (gained > 0.4 * pull_.rate_m_s * quiet) longest = std::max(longest, quiet);
    }
    return longest >= kTugQuiet_s;
  }

  void by_column() {
    out_.source = EngineSource::column;
    out_.column = column_.code;
    const bool tow = pulled_while_quiet();
    const std::size_t pulled_to = pull_end_fix();
    const Power pull = pull_.winch ? Power::winch : tow ? Power::tow : Power::under_power;
    const auto by_the_pull = [&](std::size_t i) { return (tow || pull_.winch) && labels_.airborne(i) && i < pulled_to; };
    bool engine_in_air = false;
    double air_noise_s = 0;
    // In the air, run by run.
    for (std::size_t i = flight_.first; i <= flight_.last;) {
      std::size_t j = i;
      const bool pulled = by_the_pull(i);
      while (j < flight_.last && heard(j + 1) == heard(i) && by_the_pull(j + 1) == pulled) ++j;
      Power p = column_.revolutions || options_.aircraft == AircraftKnown::unknown ? Power::off : Power::idle_or_off;
      float on = 0.01F, sure = 0.97F;
      if (pulled) {
        p = pull, on = 0.03F, sure = 0.9F;
      } else if (heard(i) == Heard::loud) {
        if (column_.has_loud && engine_heard(i, j)) {
          p = Power::under_power, on = 0.97F, engine_in_air = true;
        } else {
          p = Power::idle_or_off, on = 0.05F, sure = 0.9F;
          air_noise_s += seconds_between(track_, i, j);
        }
      } else if (heard(i) == Heard::middling) {
        p = Power::idle_or_off, on = 0.05F, sure = 0.85F;
      }
      for (std::size_t k = i; k <= j; ++k) labels_.set(k, p, on, sure);
      i = j + 1;
    }
    // On the ground.
    for (std::size_t i = labels_.range.first; i <= labels_.range.last;) {
      if (i == flight_.first) {
        i = flight_.last + 1;
        continue;
      }
      std::size_t j = i;
      while (j < labels_.range.last && j + 1 != flight_.first && heard(j + 1) == heard(i)) ++j;
      const bool turning = column_.revolutions && (heard(i) == Heard::middling || heard(i) == Heard::loud);
      const bool loud =
          heard(i) == Heard::loud && column_.has_loud && (engine_in_air || seconds_between(track_, i, j) >= kLoudGround_s);
      // With an engine known to be there, what is neither quiet nor loud on the ground is idle.
      const bool idle = heard(i) == Heard::middling && engine_in_air;
      for (std::size_t k = i; k <= j; ++k) {
        const bool running = (turning || loud || idle) && !tow;
        labels_.set(k, running ? Power::ground_running : Power::ground, 0.0F, running ? 0.95F : 0.9F);
      }
      i = j + 1;
    }
    const double heard_s = labels_.airborne_seconds({Power::under_power});
    // Where it has no values the motion stands in: for the owner's machine as the answer, for another as what may have been.
    const auto silent = [&](std::size_t i) { return heard(i) == Heard::silent && !by_the_pull(i); };
    Silence air, ground_silence;
    for (std::size_t i = labels_.range.first; i < labels_.range.last; ++i)
      if (silent(i))
        (labels_.airborne(i) && i != flight_.last ? air : ground_silence).seconds += seconds_between(track_, i, i + 1);
    if (air.seconds > 0) {
      const GainSolution g = gain();
      air.gained_s = std::min(air.seconds, label_by_motion(g, silent) + half_width(g));
    }
    labels_.merge_short(kShortestHeard_s);
    const double powered = labels_.airborne_seconds({Power::under_power}), step = track_.interval.si();
    // Edges are known to a fix or two, and to the column's own lag.
    const double half = engine_in_air ? 4 + 1.5 * step + 0.01 * powered : 0;
    // A powered paraglider's noise at idle is near that of low power.
    const bool two_stroke = !column_.revolutions && owned();
    const double doubt = two_stroke ? 0.15 * powered : 0;
    // Stretches too short to be printed count with their neighbours; the spread reaches what was heard.
    const double low = std::min(powered, heard_s) - half,
                 high = std::max(powered, heard_s + air.gained_s) + half + (engine_in_air ? column_.just_below_s : 0);
    out_.powered_time = time_estimate(low - doubt - (engine_in_air ? column_.just_above_s : 0), powered, high, air_s_, measured(),
                                      air.seconds > 0 ? "The column has no values for a part of the flight." : "");
    double silent_idle_s = 0;
    for (std::size_t i = flight_.first; i < flight_.last; ++i)
      if (silent(i) && labels_.power[i - labels_.range.first] == Power::idle_or_off)
        silent_idle_s += seconds_between(track_, i, i + 1);
    const double ground = labels_.ground_seconds(true),
                 idle_s = std::max(
                     0.0, labels_.airborne_seconds({Power::idle_or_off}) - air_noise_s - (two_stroke ? 0 : silent_idle_s));
    // Silent in the air it may have run all along, and on the ground.
    const double unheard_s = air.seconds + ground_silence.seconds, most = std::max(powered, heard_s) + ground + half + unheard_s;
    if (column_.revolutions)
      out_.running_time = time_estimate(low + ground + idle_s, powered + ground + idle_s, most + idle_s, 1e9, measured());
    else
      out_.running_time = time_estimate(low + ground, powered + ground + 0.3 * idle_s,
                                        two_stroke ? air_s_ + ground + labels_.ground_seconds(false) : most + idle_s, 1e9,
                                        measured(), engine_in_air ? "Idle is hard to hear." : "");
    std::array<char, 160> text{};
    (void)std::snprintf(text.data(), text.size(),
                        "Column %s is used: quiet near %.0f, loud from %.0f on, learned from this recording.",
                        column_.code.c_str(), column_.quiet, column_.threshold);
    note(text.data());
    if (unheard_s >= 10)
      note("Column " + column_.code + " has no values for " + duration_text(unheard_s) + "; " +
           (air.seconds < 10 ? "running there is not known."
            : owned()        ? "in the air the motion stands in."
                             : "what is not known of it widens the spread."));
    if (air_noise_s >= 12)
      note("Column " + column_.code + " was loud for " + duration_text(air_noise_s) +
           " in the air without any energy coming in: air rushing past, not the engine.");
    if (tow && column_.has_loud)
      note("The climb after launch went on while column " + column_.code + " was quiet: what it heard was not what pulled.");
    if (pull != Power::under_power) say_launch(pull);
    if (!engine_in_air) note("No engine was heard in the air.");
  }

  const Recording& recording_;
  const Track& track_;
  const FoundFlight& flight_;
  const EngineOptions& options_;
  const EnergySeries& energy_;
  EngineSolution& out_;
  Labels labels_;
  Pull pull_;
  ColumnSolution column_;
  double air_s_ = 0;
};

}  // namespace
}  // namespace engine_parts

EngineSolution find_engine(const Recording& recording, const Track& track, const SmoothedTrack& smoothed,
                           const FoundFlight& flight, const WindSolution& wind, const EngineOptions& options) {
  EngineSolution s;
  s.first = flight.first;
  const engine_parts::EnergySeries energy = engine_parts::energy_of(track, smoothed, flight, wind);
  if (!energy.unknown.empty()) {
    s.unknown = energy.unknown;
    s.powered_time = unknown_estimate<Duration>(s.unknown);
    s.running_time = unknown_estimate<Duration>(s.unknown);
    return s;
  }
  if (!wind.known()) s.notes.push_back("The wind is not known; ground speed stands in for airspeed.");
  engine_parts::Finder(recording, track, flight, options, energy, engine_parts::around(track, smoothed, flight), s).run();
  return s;
}

}  // namespace headroom
