#include "core/track/story.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom {
namespace {

Amount plain(Dimension dimension, double si) {
  return exact_amount(dimension, si);
}

struct Told {
  PhaseStretch stretch;
  double seconds = 0;
  bool mixed = false;  // of stretches with different names
};

// Slower than this on the whole is level.
constexpr double kOnTheWhole_m_s = 0.3;

bool is_air(Phase phase) {
  return phase != Phase::on_foot && phase != Phase::run;
}

// Heights add; one that is not known leaves the sum unknown. Merged stretches of several names have the engine of most of their
// time, and the name that their height gives them: one that is called a glide has not gone up.
void merge_into(Told& keep, const Told& other) {
  PhaseStretch& k = keep.stretch;
  const PhaseStretch& o = other.stretch;
  keep.mixed = keep.mixed || other.mixed || k.phase != o.phase || k.power != o.power;
  if (other.seconds > keep.seconds) {
    k.phase = o.phase;
    k.power = o.power;
  }
  k.begin = std::min(k.begin, o.begin);
  k.end = std::max(k.end, o.end);
  k.first = std::min(k.first, o.first);
  k.last = std::max(k.last, o.last);
  if (k.height_change && o.height_change)
    k.height_change = *k.height_change + *o.height_change;
  else
    k.height_change.reset();
  if (k.climb && o.climb && keep.seconds + other.seconds > 0) {
    const double a = keep.seconds / (keep.seconds + other.seconds), b = 1 - a;
    k.climb->low = Speed::from_si(a * k.climb->low.si() + b * o.climb->low.si());
    k.climb->mid = Speed::from_si(a * k.climb->mid.si() + b * o.climb->mid.si());
    k.climb->high = Speed::from_si(a * k.climb->high.si() + b * o.climb->high.si());
  } else {
    k.climb.reset();
  }
  keep.seconds += other.seconds;
  if (keep.mixed && is_air(k.phase) && !k.height_change) {
    k.phase = Phase::airborne;
  } else if (keep.mixed && is_air(k.phase) && keep.seconds > 0) {
    const double rate = k.height_change->si() / keep.seconds;
    k.phase = rate > kOnTheWhole_m_s ? Phase::climb : rate < -kOnTheWhole_m_s ? Phase::descent : Phase::level;
  }
}

std::vector<Told> thinned(const std::vector<PhaseStretch>& stretches, std::size_t most) {
  std::vector<Told> told;
  for (const PhaseStretch& s : stretches) {
    Told next{s, duration_between(s.begin, s.end).si()};
    if (!told.empty() && told.back().stretch.phase == s.phase && told.back().stretch.power == s.power)
      merge_into(told.back(), next);
    else
      told.push_back(next);
  }
  while (most > 0 && told.size() > most) {
    // The shortest stretch in the air goes to its longer neighbour in the air.
    std::size_t least = told.size();
    for (std::size_t i = 0; i < told.size(); ++i) {
      const Phase p = told[i].stretch.phase;
      if (!is_air(p) || p == Phase::landing || p == Phase::initial_climb) continue;
      if (least == told.size() || told[i].seconds < told[least].seconds) least = i;
    }
    if (least == told.size()) break;
    const auto can = [&](std::size_t i) {
      return i < told.size() && is_air(told[i].stretch.phase) && told[i].stretch.phase != Phase::landing &&
             told[i].stretch.phase != Phase::initial_climb;
    };
    const std::size_t before = least - 1, after = least + 1;  // before wraps round when least is 0: then it is no neighbour
    if (!can(before) && !can(after)) break;
    const std::size_t into = !can(before)                                  ? after
                             : !can(after)                                 ? before
                             : told[before].seconds >= told[after].seconds ? before
                                                                           : after;
    merge_into(told[into], told[least]);
    told.erase(told.begin() + static_cast<std::ptrdiff_t>(least));
    for (std::size_t i = 0; i + 1 < told.size();) {
      if (told[i].stretch.phase == told[i + 1].stretch.phase && told[i].stretch.power == told[i + 1].stretch.power) {
        merge_into(told[i], told[i + 1]);
        told.erase(told.begin() + static_cast<std::ptrdiff_t>(i) + 1);
      } else {
        ++i;
      }
    }
  }
  return told;
}

const char* engine_words(Power power, bool engine_seen) {
  switch (power) {
    case Power::under_power:
      return " under power";
    case Power::idle_or_off:
      return engine_seen ? ", engine idle or off" : "";
    case Power::off:
      return engine_seen ? ", engine off" : "";
    case Power::engine_or_lift:
      return ", by engine or by rising air";
    case Power::winch:
      return " on a winch";
    case Power::tow:
      return " behind a tug";
    case Power::powered_or_tow:
      return ", under power or in tow";
    case Power::ground_running:
      return ", engine running";
    case Power::ground:
      break;
  }
  return "";
}

std::string opening(const PhaseStretch& s, bool mixed, bool engine_seen) {
  const std::string engine = (mixed ? " on the whole" : "") + std::string(engine_words(s.power, engine_seen));
  switch (s.phase) {
    case Phase::on_foot:
      return "On the ground" + engine;
    case Phase::run:
      return "Take-off run";
    case Phase::initial_climb:
      return "First climb" + engine;
    case Phase::climb:
      return "Climbing" + engine;
    case Phase::level:
      return "Level" + engine;
    case Phase::descent:
      return s.power == Power::under_power ? "Descending" + engine : "Gliding down" + engine;
    case Phase::airborne:
      return *engine_words(s.power, engine_seen) ? "In the air" + engine : "In the air";
    case Phase::landing:
      return "Landing";
  }
  return "";
}

bool saw_engine(const EngineSolution& engine) {
  if (engine.source == EngineSource::column) return true;
  return std::any_of(engine.stretches.begin(), engine.stretches.end(),
                     [](const PowerStretch& s) { return s.power == Power::under_power || s.power == Power::ground_running; });
}

Amount angle_from(double east, double north) {  // direction the wind comes from
  double from = std::atan2(-east, -north);
  if (from < 0) from += 2 * std::numbers::pi;
  return plain(Dimension::angle, from);
}

}  // namespace

std::vector<StoryLine> tell_story(const FlightDetail& detail, std::size_t most) {
  std::vector<StoryLine> out;
  const bool engine = saw_engine(detail.engine);
  for (const Told& t : thinned(detail.phases.stretches, most)) {
    const PhaseStretch& s = t.stretch;
    StoryLine line{s.begin, s.end, s.phase, s.power, {}};
    const Amount lasted = plain(Dimension::duration, t.seconds);
    if (s.phase == Phase::run && detail.phases.take_off.seen) {
      const TakeOffRun& run = detail.phases.take_off;
      line.text =
          Sentence("Take-off run of {0} ({1} to {2}) in {3}, lifting off at {4} over the ground",
                   {amount(run.room), exact_amount(Dimension::length, run.room.low.si()),
                    exact_amount(Dimension::length, run.room.high.si()), amount(run.time), amount(run.lift_off_ground_speed)});
      if (run.headwind.known()) {
        const bool tail = run.headwind.mid.si() < 0;
        const std::size_t n = line.text.parts.size();
        line.text.text += tail ? ", with {" + std::to_string(n) + "} of tail wind" : " into {" + std::to_string(n) + "} of wind";
        line.text.parts.emplace_back(plain(Dimension::speed, std::abs(run.headwind.mid.si())));
      }
      line.text.text += ".";
    } else if (!is_air(s.phase) || s.phase == Phase::landing) {
      line.text = Sentence(opening(s, t.mixed, engine) + ", {0}.", {lasted});
    } else {
      const double rise = s.height_change ? s.height_change->si() : 0;
      std::string text = opening(s, t.mixed, engine) + ", {0}";
      if (!s.height_change) text += "; heights not known";
      std::vector<Sentence::Part> parts{lasted};
      if (std::abs(rise) >= 3) {
        text += rise > 0 ? ": {1} up" : ": {1} down";
        parts.emplace_back(plain(Dimension::length, std::abs(rise)));
        if (s.climb && s.climb->known() && !t.mixed) {
          const double sign = rise > 0 ? 1 : -1;
          const double a = sign * s.climb->low.si(), b = sign * s.climb->high.si();
          // A spread finer than what is shown of it says nothing.
          const bool spread = std::abs(b - a) >= 0.15;
          text += spread ? ", {2} ({3} to {4})" : ", {2}";
          parts.emplace_back(plain(Dimension::climb, sign * s.climb->mid.si()));
          parts.emplace_back(plain(Dimension::climb, std::min(a, b)));
          parts.emplace_back(plain(Dimension::climb, std::max(a, b)));
        }
      }
      line.text = Sentence(text + ".", std::move(parts));
    }
    out.push_back(std::move(line));
  }
  return out;
}

Sentence wind_sentence(const FlightDetail& detail) {
  const WindSolution& wind = detail.wind;
  if (!wind.known()) return Sentence("Wind not known: {0}.", {wind.unknown});
  const double east = static_cast<double>(wind.mean.east_m_s), north = static_cast<double>(wind.mean.north_m_s);
  const double speed = wind.mean.speed_m_s(), spread = wind.mean.spread_m_s();
  const Amount give = plain(Dimension::speed, spread);
  // Beyond this the direction is not told by the flight: an arc of winds fits it.
  if (spread > std::max(speed, 3.0))
    return Sentence("Wind hardly told by this flight: some {0}, give or take {1}; a full circle flown would tell it.",
                    {plain(Dimension::speed, speed), give});
  return Sentence("Wind in the mean from {0}, {1}, give or take {2}; trim airspeed {3}, give or take {4}.",
                  {angle_from(east, north), plain(Dimension::speed, speed), give, plain(Dimension::speed, wind.trim_airspeed_m_s),
                   plain(Dimension::speed, wind.trim_airspeed_sd_m_s)});
}

std::vector<Sentence> engine_sentences(const FlightDetail& detail) {
  std::vector<Sentence> out;
  const EngineSolution& e = detail.engine;
  if (!e.known()) {
    out.push_back(Sentence("Engine not known: {0}.", {e.unknown}));
    return out;
  }
  const auto spread = [](const Estimate<Duration>& d) {
    return std::vector<Sentence::Part>{amount(d), plain(Dimension::duration, d.low.si()),
                                       plain(Dimension::duration, d.high.si())};
  };
  if (e.powered_time.known() && e.powered_time.high > seconds(1) && !(e.powered_time.mid > seconds(1))) {
    out.push_back(
        Sentence("Under power in the air for {0} at most; of this aircraft the book does not know that it has an engine.",
                 {plain(Dimension::duration, e.powered_time.high.si())}));
  } else if (e.powered_time.known() && e.powered_time.high > seconds(1)) {
    auto parts = spread(e.powered_time);
    if (e.source == EngineSource::column) {
      parts.emplace_back(e.column);
      out.push_back(Sentence("Under power in the air for {0} ({1} to {2}), by the column {3}.", std::move(parts)));
    } else {
      out.push_back(Sentence("Under power in the air for {0} ({1} to {2}), by the height gained.", std::move(parts)));
    }
  }
  if (e.running_time.known() && e.running_time.mid > seconds(1)) {
    const char* words =
        e.source == EngineSource::column
            ? "Engine running for {0} ({1} to {2}), idle and ground included."
            : "Engine running for {0} ({1} to {2}), idle and ground included: positions do not tell idle from off, "
              "the hour meter does.";
    out.push_back(Sentence(words, spread(e.running_time)));
  }
  for (const std::string& note : e.notes) out.push_back(Sentence("{0}", {note}));
  return out;
}

std::vector<Sentence> layer_sentences(const FlightDetail& detail) {
  std::vector<Sentence> out;
  for (const WindLayer& l : detail.layers)
    out.push_back(
        Sentence("{0} to {1}: from {2}, {3}, give or take {4}.",
                 {plain(Dimension::length, l.bottom_m), plain(Dimension::length, l.top_m), angle_from(l.east_m_s, l.north_m_s),
                  plain(Dimension::speed, std::hypot(l.east_m_s, l.north_m_s)), plain(Dimension::speed, l.spread_m_s)}));
  return out;
}

}  // namespace headroom
