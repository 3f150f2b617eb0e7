#include "core/track/measures.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "core/air/standard_atmosphere.h"
#include "core/track/measure_parts.h"
#include "core/track/standard.h"

namespace headroom {
namespace {

struct MeasureName {
  std::string_view key, words;
  Dimension dimension;
};
constexpr std::array<MeasureName, kMeasureKinds> kMeasureNames{{
    {"room_used", "room used", Dimension::length},
    {"run_time", "time of the run", Dimension::duration},
    {"run_headwind", "headwind in the run", Dimension::speed},
    {"lift_off_ground_speed", "lift-off ground speed", Dimension::speed},
    {"climb_rate", "climb rate under power", Dimension::climb},
    {"level_speed", "airspeed in level flight", Dimension::speed},
    {"trim_airspeed", "trim airspeed", Dimension::speed},
    {"sink_rate", "sink rate", Dimension::climb},
    {"glide", "glide through the air", Dimension::none},
    {"steepest_bank", "steepest bank", Dimension::angle},
    {"fastest_turn", "fastest turn", Dimension::turn_rate},
    {"roughness", "roughness of the air", Dimension::climb},
    {"powered_time", "time under power", Dimension::duration},
    {"running_time", "running time", Dimension::duration},
    {"wind_speed", "wind", Dimension::speed},
    {"lowest_above_ground", "lowest height above ground", Dimension::length},
}};

// Judged, none from a publication; see docs/analysis/measures.md.
constexpr double kShortest_s = 60;      // flights under this show nothing beyond the run
constexpr double kSlowestClimb_s = 10;  // fixes further apart than this hide what the stretches were
constexpr double kBlock_s = 20;         // of climb and sink
constexpr double kLeast_s = 40, kLearn_s = 60;
constexpr double kNearLevel_deg = 12;   // wings near level
constexpr double kAfterChange_s = 8;    // the wing settles after the throttle moves
constexpr double kBeforeGround_s = 12;  // a flare is no glide
constexpr double kCalm_m_s = 0.25, kEased = 0.6;
constexpr double kZoom = 0.2;        // of a glide: height won from speed and from idle thrust
constexpr double kPartPower = 0.45;  // share of the air's deviation for power that was not all there
constexpr double kAfterLiftOff_s = 40, kFirstClimb_s = 200,
                 kFirstRough_s = 75;         // the climb after lift-off begins and ends by then
constexpr double kFastestBelieved_m_s = 80;  // airspeed; faster is no aircraft this tool serves
constexpr double kClimbBelieved_m_s = 15;
constexpr double kWarmer_K = 8;         // spread of the air's temperature about the standard one
constexpr double kGlideUsual = 5.5;     // of a powered paraglider, power off, where none was measured
constexpr double kHeld_s = 5;           // bank and turn
constexpr double kLaunchHeight_s = 20;  // a height this soon after launch is still the launch's
constexpr double kSlowestTurn_s = 6;
constexpr double kRoughLeast_s = 60, kRoughLearn_s = 300;
constexpr double kVelocity_m_s = 0.3;  // error of a smoothed velocity
constexpr double kStandardGravity = 9.80665;
constexpr double kTellsNoWind_m_s = 3;  // spread beyond which the mean wind is not told

Amount normal_amount(Dimension dimension, double mid, double sd, double least = -1e9) {
  Amount a{dimension, mid - kNormal95 * sd, mid, mid + kNormal95 * sd, measured(), {}};
  a.mid = std::max(a.mid, least);
  a.low = std::max(a.low, least);
  a.high = std::max(a.high, a.mid);
  return a;
}

class Measurer {
 public:
  Measurer(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight, const WindSolution& wind,
           const EngineSolution& engine, const FlightPhases& phases, const MeasureOptions& options)
      : track_(track),
        flight_(flight),
        wind_(wind),
        engine_(engine),
        phases_(phases),
        series_(flight_series(track, smoothed, flight, wind)) {
    if (series_.size() > 1) length_s_ = series_.time_s.back() - series_.time_s.front();
    turn_ = turn_rates(series_, kHeld_s);
    if (options.all_up && options.reference && options.all_up->si() > 0 && options.reference->si() > 0) {
      k_ = options.reference->si() / options.all_up->si();
      mass_known_ = true;
    }
    set_density();
    if (series_.size() > 1 && series_.heights)
      air_m_s_ = vertical_air(
          climb_blocks(series_, straight_in([](Power p) { return p != Power::ground && p != Power::ground_running; }), kBlock_s));
  }

  std::vector<FlightMeasure> all() {
    take_off();
    glide_first();  // the climb's standard figure wants the glide
    climb_rate();
    level_speed();
    trim();
    out_.push_back(std::move(sink_));
    out_.push_back(std::move(glide_));
    turning();
    rough();
    engine_times();
    mean_wind();
    add(MeasureKind::lowest_above_ground, unknown(MeasureKind::lowest_above_ground, "terrain is not known yet"));
    return std::move(out_);
  }

 private:
  FlightMeasure& add(MeasureKind kind, Amount amount, bool learnable = false, std::string remark = {}) {
    FlightMeasure m;
    m.kind = kind;
    m.as_flown = std::move(amount);
    m.learnable = learnable && m.as_flown.known();
    m.remark = std::move(remark);
    m.density_ratio = sigma_;
    out_.push_back(std::move(m));
    return out_.back();
  }
  static Amount unknown(MeasureKind kind, std::string why) { return unknown_amount(measure_dimension(kind), std::move(why)); }

  // Densities at the flight's mean pressure height and at that of its launch, at the standard temperature there: the air's own
  // is not recorded.
  void set_density() {
    double sum = 0, count = 0;
    std::optional<double> launch;
    for (std::size_t i = 0; i < series_.size(); ++i) {
      if (!series_.has_height(i)) continue;
      if (!launch && series_.time_s[i] - series_.time_s.front() <= kLaunchHeight_s) launch = series_.height_m[i];
      sum += series_.height_m[i], count += 1;
    }
    if (count < 1) return;
    if (const auto air = standard_air(GeopotentialHeight::from_si(sum / count))) {
      sigma_ = air->density.si() / 1.225;
      sigma_share_ = kWarmer_K / air->temperature.si();
    }
    if (!launch || flight_.begins_in_air) return;
    if (const auto air = standard_air(GeopotentialHeight::from_si(*launch))) launch_sigma_ = air->density.si() / 1.225;
  }
  [[nodiscard]] std::string standard_remark(std::string before = {}) const {
    if (sigma_ <= 0 || mass_known_) return before;
    if (!before.empty()) before += ' ';
    return before + "The standard figure is for density alone: mass is not known.";
  }
  // A speed at standard density and reference mass; the density's own spread added.
  [[nodiscard]] std::optional<Amount> standard_of(const Amount& a, bool equivalent = false) const {
    const double sigma = equivalent ? 1 : sigma_;
    if (!a.known() || sigma <= 0 || (equivalent && !mass_known_)) return std::nullopt;
    const double sd = (a.high - a.low) / (2 * kNormal95);
    const double mid = standard_speed(a.mid, sigma, k_), share = equivalent ? 0 : 0.5 * sigma_share_;
    return normal_amount(a.dimension, mid, std::hypot(standard_speed(sd, sigma, k_), mid * share), a.low >= 0 ? 0 : -1e9);
  }

  // Why nothing of the flight itself can be told; empty when it can.
  [[nodiscard]] std::string no_flight() const {
    if (series_.size() < 10 || length_s_ < kShortest_s) return "the flight is too short";
    return {};
  }
  [[nodiscard]] std::string no_climbs() const {
    if (auto why = no_flight(); !why.empty()) return why;
    if (!series_.heights) return "no heights were recorded";
    if (track_.interval.si() > kSlowestClimb_s) return "its fixes are too far apart";
    return {};
  }
  [[nodiscard]] std::string no_air() const {
    if (auto why = no_flight(); !why.empty()) return why;
    if (!wind_.known()) return "the wind is not known: " + wind_.unknown;
    for (const double v : series_.airspeed_m_s)
      if (!(v < kFastestBelieved_m_s)) return "its speeds are not believed";
    return {};
  }

  // Fixes in stretches of one power for which `keep` holds, not turning, away from changes of throttle and from the ground.
  template <class Keep>
  [[nodiscard]] std::vector<char> straight_in(Keep keep) const {
    std::vector<char> chosen(series_.size(), 0);
    const double speed = 10, most = std::tan(kNearLevel_deg * std::numbers::pi / 180) * kStandardGravity / speed;
    for (const PowerStretch& p : engine_.stretches) {
      if (!keep(p.power)) continue;
      const std::size_t a = std::max(p.first, series_.first), b = std::min(p.last, series_.first + series_.size() - 1);
      for (std::size_t i = a; i <= b && i >= a; ++i) {
        const std::size_t k = i - series_.first;
        const double since = series_.time_s[k] - series_.time_s[a - series_.first];
        const double left = series_.time_s[b - series_.first] - series_.time_s[k];
        const double fastest = series_.wind ? most * speed / std::max(5.0, series_.airspeed_m_s[k]) : most;
        if (since >= kAfterChange_s && left >= 2 && std::abs(turn_[k]) <= fastest &&
            series_.time_s.back() - series_.time_s[k] >= kBeforeGround_s)
          chosen[k] = 1;
      }
    }
    return chosen;
  }

  void take_off() {
    const TakeOffRun& run = phases_.take_off;
    const double headwind = run.headwind.known() ? run.headwind.mid.si() : 0;
    const auto put = [&](MeasureKind kind, Amount a) {
      FlightMeasure& m = add(kind, std::move(a), run.learnable, run.seen ? sentence(run.not_learned) : std::string());
      m.headwind_m_s = headwind;
      m.density_ratio = launch_sigma_;
    };
    put(MeasureKind::room_used, amount(run.room));
    put(MeasureKind::run_time, amount(run.time));
    put(MeasureKind::run_headwind, amount(run.headwind));
    put(MeasureKind::lift_off_ground_speed, amount(run.lift_off_ground_speed));
  }
  static std::string sentence(std::string why) {
    if (why.empty()) return why;
    why.front() = static_cast<char>(why.front() >= 'a' && why.front() <= 'z' ? why.front() - 'a' + 'A' : why.front());
    return why + '.';
  }

  void climb_rate() {
    const MeasureKind kind = MeasureKind::climb_rate;
    std::string why = no_climbs();
    if (why.empty() && !engine_.known()) why = "the engine is not known: " + engine_.unknown;
    std::vector<char> chosen;
    std::vector<ClimbBlock> blocks;
    if (why.empty()) {
      chosen = straight_in([](Power p) { return p == Power::under_power; });
      keep_phases(chosen, {Phase::initial_climb, Phase::climb});
      blocks = climb_blocks(series_, chosen, kBlock_s);
      keep_full_power(blocks);
    }
    BlockMean mean = mean_of_blocks(blocks, series_.by_pressure, air_m_s_);
    mean.sd = std::hypot(mean.sd, kPartPower * air_m_s_);
    if (why.empty() && mean.seconds < kLeast_s)
      why = has(Power::engine_or_lift) || has(Power::powered_or_tow) ? "what lifted it is not known: engine, tow or rising air"
                                                                     : "no steady climb under power is seen";
    if (why.empty() && !(std::abs(mean.mean) < kClimbBelieved_m_s)) why = "its climb is not believed";
    if (!why.empty()) {
      add(kind, unknown(kind, why));
      return;
    }
    FlightMeasure& m =
        add(kind, normal_amount(Dimension::climb, mean.mean, mean.sd), mean.seconds >= kLearn_s && series_.by_pressure,
            standard_remark(series_.by_pressure ? "" : "Only GNSS heights were recorded."));
    double speed = 0, seconds = 0;
    for (const ClimbBlock& b : blocks) speed += b.seconds * b.airspeed_m_s, seconds += b.seconds;
    speed /= seconds;
    if (sigma_ > 0 && speed > 3) {
      const auto at = [&](double w, double e, double s) { return standard_climb(w, speed, e, s, k_); };
      const double mid = at(mean.mean, glide_ratio_, sigma_);
      const double by_climb = at(mean.mean + mean.sd, glide_ratio_, sigma_) - mid;
      const double by_glide = at(mean.mean, glide_ratio_ + glide_sd_, sigma_) - mid;
      const double by_air = at(mean.mean, glide_ratio_, sigma_ * (1 + sigma_share_)) - mid;
      m.standard = normal_amount(Dimension::climb, mid, std::hypot(by_climb, by_glide, by_air));
      if (!glide_measured_) m.remark += std::string(m.remark.empty() ? "" : " ") + "A usual glide ratio is assumed for it.";
    }
  }
  [[nodiscard]] bool has(Power power) const {
    return std::any_of(engine_.stretches.begin(), engine_.stretches.end(),
                       [&](const PowerStretch& s) { return s.power == power; });
  }
  // Of the chosen fixes, those in one of these phases.
  void keep_phases(std::vector<char>& chosen, std::initializer_list<Phase> kept) const {
    std::size_t k = 0;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      while (k < phases_.stretches.size() && phases_.stretches[k].last < series_.first + i) ++k;
      if (k == phases_.stretches.size() || std::find(kept.begin(), kept.end(), phases_.stretches[k].phase) == kept.end())
        chosen[i] = 0;
    }
  }
  // Full power is surest in the climb after lift-off: what climbs as well belongs to it, what climbs less is flown at part power.
  // Without that climb the best third stands for it, so that one gust decides nothing.
  void keep_full_power(std::vector<ClimbBlock>& blocks) const {
    if (blocks.empty()) return;
    double sum = 0, seconds = 0, last = series_.time_s.front() + kAfterLiftOff_s;
    if (!flight_.begins_in_air)
      for (const ClimbBlock& b : blocks) {
        if (b.begin_s > last + 1 || seconds > (air_m_s_ > kCalm_m_s ? kFirstRough_s : kFirstClimb_s)) break;
        if (seconds >= kLeast_s && b.climb_m_s * seconds < kEased * sum) break;  // eased off towards level flight
        sum += b.seconds * b.climb_m_s, seconds += b.seconds, last = b.begin_s + b.seconds;
      }
    double full = 0;
    if (seconds >= kLeast_s) {
      full = sum / seconds;
    } else {
      std::vector<double> rates;
      for (const ClimbBlock& b : blocks) rates.push_back(b.climb_m_s);
      const auto third = rates.begin() + static_cast<std::ptrdiff_t>(rates.size() * 2 / 3);
      std::nth_element(rates.begin(), third, rates.end());
      full = *third;
    }
    // In rough air a block does not show its own power: then the climb after lift-off stands alone.
    const double off = seconds < kLeast_s ? std::max(0.3, 1.5 * air_m_s_) : air_m_s_ > kCalm_m_s ? 0 : 0.3;
    std::erase_if(blocks, [&](const ClimbBlock& b) { return b.begin_s >= last && std::abs(b.climb_m_s - full) > off; });
  }

  void glide_first() {
    sink_.kind = MeasureKind::sink_rate;
    glide_.kind = MeasureKind::glide;
    sink_.density_ratio = glide_.density_ratio = sigma_;
    std::string why = no_climbs();
    if (why.empty() && !engine_.known()) why = "the engine is not known: " + engine_.unknown;
    bool off = true;
    std::vector<ClimbBlock> blocks;
    if (why.empty()) {
      blocks = climb_blocks(series_, straight_in([](Power p) { return p == Power::off; }), kBlock_s);
      if (seconds_of(blocks) < kLeast_s) {
        off = false;
        blocks = climb_blocks(series_, straight_in([](Power p) { return p == Power::off || p == Power::idle_or_off; }), kBlock_s);
      }
    }
    BlockMean mean = mean_of_blocks(blocks, series_.by_pressure, air_m_s_);
    mean.sd = std::hypot(mean.sd, kZoom * air_m_s_);
    if (why.empty() && mean.seconds < kLeast_s) why = "no long enough straight glide is seen";
    if (why.empty() && !(std::abs(mean.mean) < kClimbBelieved_m_s)) why = "its sink is not believed";
    if (!why.empty()) {
      sink_.as_flown = unknown(sink_.kind, why);
      glide_.as_flown = unknown(glide_.kind, why);
      return;
    }
    const std::string remark = off ? "Engine off." : "Idle or off: idle thrust makes the glide look better than it is.";
    sink_.as_flown = normal_amount(Dimension::climb, -mean.mean, mean.sd);
    sink_.standard = standard_of(sink_.as_flown);
    // Idle thrust makes the sink look less than it is: learned from only with the engine off.
    sink_.learnable = off && mean.seconds >= kLearn_s && series_.by_pressure;
    sink_.remark = standard_remark(remark);
    if (auto no = no_air(); !no.empty()) {
      glide_.as_flown = unknown(glide_.kind, no);
      return;
    }
    double speed = 0, variance = 0;
    for (const ClimbBlock& b : blocks) speed += b.seconds * b.airspeed_m_s, variance += b.seconds * b.airspeed_var;
    speed /= mean.seconds;
    const double speed_sd = std::sqrt(variance / mean.seconds), sink = -mean.mean;
    if (sink < 2.5 * mean.sd || sink < 0.2) {
      glide_.as_flown = unknown(glide_.kind, "the air held it up");
      return;
    }
    // A quotient: its quantiles from those of the sink, widened by the airspeed's share.
    const double ratio = speed / sink, share = kNormal95 * std::hypot(mean.sd / sink, speed_sd / speed);
    glide_.as_flown = {Dimension::none, ratio / (1 + share), ratio, ratio * (1 + share), measured(), {}};
    glide_.learnable = sink_.learnable;
    glide_.remark = remark;
    glide_ratio_ = ratio;
    glide_sd_ = ratio * share / kNormal95;
    glide_measured_ = true;
  }
  static double seconds_of(const std::vector<ClimbBlock>& blocks) {
    double sum = 0;
    for (const ClimbBlock& b : blocks) sum += b.seconds;
    return sum;
  }

  void level_speed() {
    const MeasureKind kind = MeasureKind::level_speed;
    std::string why = no_air();
    if (why.empty() && !series_.heights) why = "no heights were recorded";
    if (why.empty() && !engine_.known()) why = "the engine is not known: " + engine_.unknown;
    double sum = 0, sum2 = 0, variance = 0, seconds = 0;
    if (why.empty()) {
      auto chosen = straight_in([](Power p) { return p == Power::under_power; });
      keep_phases(chosen, {Phase::level});
      for (std::size_t i = 1; i < chosen.size(); ++i) {
        if (!chosen[i]) continue;
        const double dt = std::min(series_.time_s[i] - series_.time_s[i - 1], 20.0), v = series_.airspeed_m_s[i];
        seconds += dt, sum += dt * v, sum2 += dt * v * v, variance += dt * series_.airspeed_var[i];
      }
      if (seconds < kLeast_s) why = "no level flight under power is seen";
    }
    if (!why.empty()) {
      add(kind, unknown(kind, why));
      return;
    }
    const double mean = sum / seconds, scatter = std::max(0.0, sum2 / seconds - mean * mean);
    // The wind's error is the same throughout; trimmers and air change within about a minute.
    const double sd = std::sqrt(variance / seconds + scatter / std::max(1.0, seconds / 60));
    FlightMeasure& m =
        add(kind, normal_amount(Dimension::speed, mean, sd, 0), seconds >= kLearn_s && sd <= 1.5, standard_remark());
    m.standard = standard_of(m.as_flown);
  }

  void trim() {
    const MeasureKind kind = MeasureKind::trim_airspeed;
    if (auto why = no_air(); !why.empty()) {
      add(kind, unknown(kind, why));
      return;
    }
    const double sd = wind_.trim_airspeed_sd_m_s;
    FlightMeasure& m = add(kind, normal_amount(Dimension::speed, wind_.trim_airspeed_m_s, sd, 0), sd <= 1.5,
                           mass_known_ ? "" : "At standard density; not brought to a mass, which is not known.");
    m.standard = standard_of(m.as_flown, true);
  }

  void turning() {
    std::string why = no_air();
    if (why.empty() && track_.interval.si() > kSlowestTurn_s) why = "its fixes are too far apart to see a turn";
    if (!why.empty()) {
      add(MeasureKind::steepest_bank, unknown(MeasureKind::steepest_bank, why));
      add(MeasureKind::fastest_turn, unknown(MeasureKind::fastest_turn, why));
      return;
    }
    // The run bends as it likes; the flight is from lift-off to touchdown, and so is all that a turn rate is taken over.
    const TakeOffRun& run = phases_.take_off;
    const std::size_t off = run.seen && run.lift_off > series_.first ? run.lift_off - series_.first : 0;
    std::size_t first = std::min(off, series_.size() - 1), end = series_.size();
    const double from = series_.time_s[first] + kHeld_s, to = series_.time_s.back() - kHeld_s;
    while (first < end && series_.time_s[first] < from) ++first;
    while (end > first && series_.time_s[end - 1] > to) --end;
    if (first == end) {
      add(MeasureKind::steepest_bank, unknown(MeasureKind::steepest_bank, "the flight is too short"));
      add(MeasureKind::fastest_turn, unknown(MeasureKind::fastest_turn, "the flight is too short"));
      return;
    }
    std::size_t steepest = first, fastest = first;
    const auto pull = [&](std::size_t i) { return std::abs(turn_[i]) * series_.airspeed_m_s[i]; };
    for (std::size_t i = first; i < end; ++i) {
      if (pull(i) > pull(steepest)) steepest = i;
      if (std::abs(turn_[i]) > std::abs(turn_[fastest])) fastest = i;
    }
    // The heading at either end from a velocity known to some tenths: over 5 s; the greatest of many is too great by about one
    // such.
    const auto rate_sd = [&](std::size_t i) {
      return std::numbers::sqrt2 * kVelocity_m_s / std::max(3.0, series_.airspeed_m_s[i]) /
             std::max(kHeld_s, track_.interval.si());
    };
    const double v = series_.airspeed_m_s[steepest];
    const double w = std::max(0.0, std::abs(turn_[steepest]) - rate_sd(steepest));
    const auto bank = [](double speed, double rate) { return std::atan(speed * rate / kStandardGravity); };
    const double share = std::hypot(std::sqrt(series_.airspeed_var[steepest]) / v, rate_sd(steepest) / std::max(w, 1e-3));
    const double mid = bank(v, w), sd = std::min(0.5 * std::sin(2 * mid) * share, 0.4);
    add(MeasureKind::steepest_bank, normal_amount(Dimension::angle, mid, sd, 0));
    const double turn = std::max(0.0, std::abs(turn_[fastest]) - rate_sd(fastest));
    // An error of the wind turns the heading unevenly: faster here, slower there.
    const double uneven = turn * std::sqrt(series_.airspeed_var[fastest]) / series_.airspeed_m_s[fastest];
    if (std::hypot(rate_sd(fastest), uneven) > 0.5 * turn) {
      add(MeasureKind::fastest_turn,
          unknown(MeasureKind::fastest_turn, "the wind is not known well enough where it turned fastest"));
      return;
    }
    add(MeasureKind::fastest_turn, normal_amount(Dimension::turn_rate, turn, std::hypot(rate_sd(fastest), uneven), 0));
  }

  void rough() {
    const MeasureKind kind = MeasureKind::roughness;
    std::string why = no_climbs();
    if (why.empty() && track_.interval.si() > 1.5) why = "heights are needed once a second";
    Roughness r;
    if (why.empty()) {
      std::vector<char> chosen(series_.size(), 1);
      for (std::size_t i = 0; i < chosen.size(); ++i)
        if (series_.time_s[i] - series_.time_s.front() < 10 || series_.time_s.back() - series_.time_s[i] < kBeforeGround_s)
          chosen[i] = 0;
      r = roughness_of(series_, chosen);
      if (r.seconds < kRoughLeast_s) why = "too little of the flight has heights once a second";
    }
    if (!why.empty()) {
      add(kind, unknown(kind, why));
      return;
    }
    add(kind, normal_amount(Dimension::climb, r.sd_m_s, r.error_m_s, 0), r.seconds >= kRoughLearn_s && series_.by_pressure,
        series_.by_pressure ? "" : "Only GNSS heights were recorded.");
  }

  void engine_times() {
    const auto put = [&](MeasureKind kind, const Estimate<Duration>& e) {
      const bool known = engine_.known() && e.known();
      add(kind, known ? amount(e) : unknown(kind, engine_.known() ? e.note : "the engine is not known: " + engine_.unknown),
          known);
    };
    put(MeasureKind::powered_time, engine_.powered_time);
    put(MeasureKind::running_time, engine_.running_time);
  }

  void mean_wind() {
    const MeasureKind kind = MeasureKind::wind_speed;
    if (auto why = no_air(); !why.empty()) {
      add(kind, unknown(kind, why));
      return;
    }
    const WindState& w = wind_.mean;
    const double e = static_cast<double>(w.east_m_s), n = static_cast<double>(w.north_m_s), speed = w.speed_m_s();
    const double ee = static_cast<double>(w.var_east), en = static_cast<double>(w.cov_east_north),
                 nn = static_cast<double>(w.var_north), spread = w.spread_m_s();
    if (spread > std::max(speed, kTellsNoWind_m_s)) {
      add(kind, unknown(kind, "the flight hardly tells the wind: it did not turn through a full circle"));
      return;
    }
    // The error across the wind lengthens it: taken off the middle.
    const double ue = speed > 1e-6 ? e / speed : 1, un = speed > 1e-6 ? n / speed : 0;
    const double along = ue * ue * ee + 2 * ue * un * en + un * un * nn, across = ee + nn - along;
    const double mid = std::sqrt(std::max(0.0, speed * speed - across));
    Amount a = normal_amount(Dimension::speed, mid, std::sqrt(along), 0);
    a.high = std::max(a.high, speed);
    add(kind, std::move(a), spread <= 1.5);
  }

  const Track& track_;
  const FoundFlight& flight_;
  const WindSolution& wind_;
  const EngineSolution& engine_;
  const FlightPhases& phases_;
  FlightSeries series_;
  std::vector<double> turn_;
  double length_s_ = 0;
  double sigma_ = 0, sigma_share_ = 0;  // density ratio, its deviation as a share; 0: not known
  double launch_sigma_ = 0;             // the same at launch
  double k_ = 1;                        // reference over all-up mass
  bool mass_known_ = false;
  double air_m_s_ = 0.3;  // what the air does to a block's mean climb
  FlightMeasure sink_, glide_;
  double glide_ratio_ = kGlideUsual, glide_sd_ = 1.0;
  bool glide_measured_ = false;
  std::vector<FlightMeasure> out_;
};
}  // namespace

std::string_view measure_key(MeasureKind kind) {
  return kMeasureNames[static_cast<std::size_t>(kind)].key;
}
std::string_view measure_words(MeasureKind kind) {
  return kMeasureNames[static_cast<std::size_t>(kind)].words;
}
Dimension measure_dimension(MeasureKind kind) {
  return kMeasureNames[static_cast<std::size_t>(kind)].dimension;
}
std::optional<MeasureKind> measure_of_key(std::string_view key) {
  for (std::size_t i = 0; i < kMeasureKinds; ++i)
    if (kMeasureNames[i].key == key) return static_cast<MeasureKind>(i);
  return std::nullopt;
}

std::string aircraft_doubt(const std::vector<FlightMeasure>& measures) {
  constexpr double kFastest_m_s = 20;
  for (const auto& m : measures)
    if (m.kind == MeasureKind::trim_airspeed && m.as_flown.known() && m.as_flown.low > kFastest_m_s)
      return "it went faster through the air than a paraglider does; if it was another aircraft, take it out of the book";
  return {};
}

std::vector<FlightMeasure> measure_flight(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                          const WindSolution& wind, const EngineSolution& engine, const FlightPhases& phases,
                                          const MeasureOptions& options) {
  return Measurer(track, smoothed, flight, wind, engine, phases, options).all();
}

}  // namespace headroom
