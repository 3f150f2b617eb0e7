#include "formats/detail_json.h"

#include <cmath>
#include <numbers>

#include "core/track/story.h"
#include "formats/say.h"

namespace headroom {
namespace {

double degrees_from(double east, double north) {
  const double from = std::atan2(-east, -north) * 180 / std::numbers::pi;
  return finite_number(from < 0 ? from + 360 : from);
}

void put_known(AnswerJson& into, const std::string& name, const Amount& a) {
  into[name + "_" + std::string(unit_suffix(a.dimension))] = amount_json(a);
}

AnswerJson wind_json(const FlightDetail& d) {
  AnswerJson out = {{"known", d.wind.known()}};
  if (!d.wind.known()) {
    out["why_unknown"] = d.wind.unknown;
    return out;
  }
  out["trim_airspeed_m_s"] = finite_number(d.wind.trim_airspeed_m_s);
  out["trim_airspeed_sd_m_s"] = finite_number(d.wind.trim_airspeed_sd_m_s);
  auto layers = AnswerJson::array();
  for (const WindLayer& l : d.layers)
    layers.push_back({{"bottom_m", finite_number(l.bottom_m)},
                      {"top_m", finite_number(l.top_m)},
                      {"flown_s", finite_number(l.seconds)},
                      {"wind_from_deg", degrees_from(l.east_m_s, l.north_m_s)},
                      {"wind_m_s", finite_number(std::hypot(l.east_m_s, l.north_m_s))},
                      {"wind_sd_m_s", finite_number(l.spread_m_s)}});
  out["layers"] = layers;
  out["notes"] = d.wind.notes;
  return out;
}

AnswerJson engine_json(const EngineSolution& e) {
  AnswerJson out = {{"known", e.known()}};
  if (!e.known()) {
    out["why_unknown"] = e.unknown;
    return out;
  }
  out["by"] = e.source == EngineSource::column ? "column" : e.source == EngineSource::motion ? "motion" : "nothing";
  out["column"] = e.column.empty() ? AnswerJson(nullptr) : AnswerJson(e.column);
  put_known(out, "powered_time", amount(e.powered_time));
  put_known(out, "running_time", amount(e.running_time));
  auto stretches = AnswerJson::array();
  for (const PowerStretch& s : e.stretches)
    stretches.push_back({{"power", power_name(s.power)},
                         {"begin", rfc3339(s.begin)},
                         {"end", rfc3339(s.end)},
                         {"certainty", finite_number(s.certainty)}});
  out["stretches"] = stretches;
  out["notes"] = e.notes;
  return out;
}

AnswerJson take_off_json(const TakeOffRun& run) {
  AnswerJson out = {{"seen", run.seen}};
  if (!run.seen) {
    out["why_not"] = run.why_not;
    return out;
  }
  out["begin"] = rfc3339(run.begin);
  out["lift_off"] = rfc3339(run.end);
  put_known(out, "room", amount(run.room));
  put_known(out, "time", amount(run.time));
  put_known(out, "lift_off_ground_speed", amount(run.lift_off_ground_speed));
  put_known(out, "headwind", amount(run.headwind));
  out["towards_deg"] = finite_number(run.towards_deg);
  return out;
}

}  // namespace

std::string_view phase_name(Phase phase) {
  switch (phase) {
    case Phase::on_foot:
      return "on_foot";
    case Phase::run:
      return "run";
    case Phase::initial_climb:
      return "initial_climb";
    case Phase::climb:
      return "climb";
    case Phase::level:
      return "level";
    case Phase::descent:
      return "descent";
    case Phase::airborne:
      return "airborne";
    case Phase::landing:
      return "landing";
  }
  return "on_foot";
}

std::string_view power_name(Power power) {
  switch (power) {
    case Power::ground:
      return "ground";
    case Power::ground_running:
      return "ground_running";
    case Power::under_power:
      return "under_power";
    case Power::idle_or_off:
      return "idle_or_off";
    case Power::off:
      return "off";
    case Power::engine_or_lift:
      return "engine_or_lift";
    case Power::winch:
      return "winch";
    case Power::tow:
      return "tow";
    case Power::powered_or_tow:
      return "powered_or_tow";
  }
  return "ground";
}

AnswerJson measure_json(const FlightMeasure& m) {
  AnswerJson out = {{"key", measure_key(m.kind)}};
  put_known(out, "as_flown", m.as_flown);
  if (m.standard) put_known(out, "standard", *m.standard);
  out["learnable"] = m.learnable;
  if (!m.remark.empty()) out["remark"] = m.remark;
  return out;
}

void put_detail(AnswerJson& into, const FlightDetail& d, const UnitChoice& units) {
  into["wind"] = wind_json(d);
  into["engine"] = engine_json(d.engine);
  into["take_off"] = take_off_json(d.phases.take_off);
  auto phases = AnswerJson::array();
  for (const PhaseStretch& s : d.phases.stretches) {
    AnswerJson one = {
        {"phase", phase_name(s.phase)},
        {"power", power_name(s.power)},
        {"begin", rfc3339(s.begin)},
        {"end", rfc3339(s.end)},
        {"height_change_m", s.height_change ? AnswerJson(finite_number(s.height_change->si())) : AnswerJson(nullptr)}};
    if (s.climb) put_known(one, "climb", amount(*s.climb));
    phases.push_back(one);
  }
  into["phases"] = phases;
  auto story = AnswerJson::array();
  for (const StoryLine& line : tell_story(d, 0))
    story.push_back({{"begin", rfc3339(line.begin)}, {"end", rfc3339(line.end)}, {"text", say_sentence(line.text, units)}});
  into["story"] = story;
}

}  // namespace headroom
