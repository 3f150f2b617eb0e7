#include "formats/answer_json.h"

#include <cassert>
#include <cmath>

#include "core/typed.h"
#include "formats/say.h"

namespace headroom {

double finite_number(double value) {
  assert(std::isfinite(value));
  return value;
}

std::string_view unit_suffix(Dimension dimension) {
  switch (dimension) {
    case Dimension::none:
      return "1";
    case Dimension::length:
      return "m";
    case Dimension::speed:
      return "m_s";
    case Dimension::duration:
      return "s";
    case Dimension::temperature:
      return "K";
    case Dimension::temperature_difference:
      return "K";
    case Dimension::mass:
      return "kg";
    case Dimension::volume:
      return "m3";
    case Dimension::volume_flow:
      return "m3_s";
    case Dimension::pressure:
      return "Pa";
    case Dimension::count:
      return "count";
    case Dimension::calendar:
      return "s";
    case Dimension::instant:
      return "unix_s";
    case Dimension::ratio:
      return "1";
    case Dimension::climb:
      return "m_s";
    case Dimension::angle:
      return "rad";
    case Dimension::turn_rate:
      return "rad_s";
  }
  return "1";
}

std::string basis_text(const Basis& basis) {
  switch (basis.kind) {
    case BasisKind::unknown:
      return "unknown";
    case BasisKind::assumed:
      return "assumed";
    case BasisKind::learned:
      return "learned from " + std::to_string(basis.n);
    case BasisKind::measured:
      return "measured";
  }
  return "unknown";
}

AnswerJson amount_json(const Amount& amount) {
  if (!amount.known()) return {{"basis", "unknown"}, {"note", amount.note}};
  AnswerJson out = {{"low", finite_number(amount.low)},
                    {"mid", finite_number(amount.mid)},
                    {"high", finite_number(amount.high)},
                    {"basis", amount.basis.kind == BasisKind::learned ? "learned" : basis_text(amount.basis)}};
  if (amount.basis.kind == BasisKind::learned) out["n"] = amount.basis.n;
  if (!amount.note.empty()) out["note"] = amount.note;
  return out;
}

AnswerJson warnings_json(const std::vector<Warning>& warnings) {
  auto out = AnswerJson::array();
  for (const auto& w : warnings) out.push_back({{"number", static_cast<int>(w.code)}, {"line", w.line}, {"text", w.text}});
  return out;
}

AnswerJson account_json(const LineAccount& account) {
  AnswerJson dropped = AnswerJson::array();
  for (const auto& r : account.dropped_by) dropped.push_back({{"number", static_cast<int>(r.code)}, {"count", r.count}});
  return {{"lines", account.lines},
          {"fixes", account.fixes},
          {"other", account.other},
          {"dropped", account.dropped},
          {"dropped_by", dropped}};
}

namespace {

AnswerJson position_json(const GeoPosition& p) {
  return {{"latitude", finite_number(p.latitude_deg)}, {"longitude", finite_number(p.longitude_deg)}};
}

template <class Height>
AnswerJson height_or_null(const std::optional<Height>& h) {
  return h ? AnswerJson(finite_number(h->si())) : AnswerJson(nullptr);
}

}  // namespace

AnswerJson flight_json(const Flight& f) {
  const auto& s = f.summary;
  AnswerJson out = {{"launch", rfc3339(f.launch)},
                    {"landing", rfc3339(f.landing)},
                    {"air_time_s", finite_number(in_seconds(s.air_time))},
                    {"begins_in_air", f.begins_in_air},
                    {"ends_in_air", f.ends_in_air},
                    {"launch_sd_s", finite_number(in_seconds(f.launch_uncertainty))},
                    {"landing_sd_s", finite_number(in_seconds(f.landing_uncertainty))},
                    {"launch_position", position_json(f.launch_position)},
                    {"landing_position", position_json(f.landing_position)},
                    {"track_length_m", finite_number(in_metres(s.track_length))},
                    {"farthest_m", finite_number(in_metres(s.farthest_distance))},
                    {"farthest_position", position_json(s.farthest_point)},
                    {"launch_height_m", height_or_null(s.launch_height)},
                    {"landing_height_m", height_or_null(s.landing_height)},
                    {"highest_m", height_or_null(s.highest)},
                    {"lowest_m", height_or_null(s.lowest)},
                    {"highest_pressure_altitude_m", height_or_null(s.highest_pressure)},
                    {"lowest_pressure_altitude_m", height_or_null(s.lowest_pressure)},
                    {"height_gained_m", finite_number(in_metres(s.height_gained))},
                    {"climb_5_m_s", finite_number(in_metres_per_second(s.climb_5))},
                    {"climb_50_m_s", finite_number(in_metres_per_second(s.climb_50))},
                    {"climb_95_m_s", finite_number(in_metres_per_second(s.climb_95))},
                    {"ground_speed_50_m_s", finite_number(in_metres_per_second(s.ground_speed_50))},
                    {"ground_speed_95_m_s", finite_number(in_metres_per_second(s.ground_speed_95))},
                    {"ground_speed_highest_m_s", finite_number(in_metres_per_second(s.ground_speed_highest))}};
  auto doubts = AnswerJson::array();
  for (const auto& d : f.doubts) doubts.push_back(d);
  out["doubts"] = doubts;
  return out;
}

namespace {

AnswerJson chance_json(const std::optional<double>& chance) {
  return chance ? AnswerJson(finite_number(*chance)) : AnswerJson(nullptr);
}

void put_amount(AnswerJson& into, const char* name, const Amount& amount) {
  if (amount.known() && amount.dimension == Dimension::instant) {
    const auto t = [](double s) { return rfc3339(shifted(UtcTime{}, seconds(std::floor(s)))); };
    into[name] = {{"low", t(amount.low)}, {"mid", t(amount.mid)}, {"high", t(amount.high)}, {"basis", basis_text(amount.basis)}};
    return;
  }
  into[amount.known() ? std::string(name) + "_" + std::string(unit_suffix(amount.dimension)) : std::string(name)] =
      amount_json(amount);
}

}  // namespace

AnswerJson sentences_json(const std::vector<Sentence>& sentences, const UnitChoice& units) {
  auto out = AnswerJson::array();
  for (const auto& s : sentences) out.push_back(say_sentence(s, units));
  return out;
}

AnswerJson margin_json(const Margin& m, const UnitChoice& units) {
  AnswerJson out = {{"id", m.id}, {"title", m.title}, {"state", state_word(m.state)}, {"deadly", is_deadly(m.kind)}};
  put_amount(out, "have", m.have);
  put_amount(out, "need", m.need);
  put_amount(out, "left", m.left);
  out["chance_short"] = chance_json(m.chance_short);
  out["assumed"] = m.assumed;
  out["grounding"] = m.grounding;
  out["why"] = sentences_json(m.why, units);
  auto changes = AnswerJson::array();
  for (const auto& c : m.changes)
    changes.push_back({{"what", say_sentence(c.what, units)}, {"chance_short", chance_json(c.chance_short)}});
  out["changes"] = changes;
  out["measure"] = sentences_json(m.measure, units);
  return out;
}

AnswerJson brief_json(const Brief& b, const UnitChoice& units) {
  AnswerJson out = {{"now", rfc3339(b.now)},
                    {"start", rfc3339(b.start)},
                    {"planned_s", finite_number(in_seconds(b.planned))},
                    {"planned_assumed", b.planned_assumed},
                    {"headlines", sentences_json(b.headlines, units)}};
  auto margins = AnswerJson::array();
  for (const auto& m : b.margins) margins.push_back(margin_json(m, units));
  out["margins"] = margins;
  auto observations = AnswerJson::array();
  for (const auto& o : b.observations)
    observations.push_back({{"id", o.id}, {"text", say_sentence(o.text, units)}, {"unusual", o.unusual}, {"enough", o.enough}});
  out["observations"] = observations;
  auto checks = AnswerJson::array();
  for (const auto& c : b.checks)
    checks.push_back({{"key", c.key},
                      {"words", c.words},
                      {"state", c.state.empty() ? AnswerJson(nullptr) : AnswerJson(c.state)},
                      {"from", c.from ? AnswerJson(rfc3339(*c.from)) : AnswerJson(nullptr)}});
  out["checks"] = checks;
  out["warnings"] = sentences_json(b.warnings, units);
  out["not_covered"] = say_sentence(b.not_covered, units);
  out["caution"] = b.caution;
  return out;
}

AnswerJson due_json(const std::vector<DueLine>& lines, const UseRate& rate, UtcTime now, const UnitChoice& units) {
  AnswerJson out = {{"now", rfc3339(now)}, {"flights_in_rate", rate.flights}, {"basis", kServiceBasis}, {"caution", kCaution}};
  constexpr const char* kCounts[] = {"running", "air", "launches", "calendar"};
  auto list = AnswerJson::array();
  for (const auto& line : lines) {
    AnswerJson one = {{"line", line.line.line},
                      {"title", line.line.title},
                      {"role", line.line.role},
                      {"part", line.part_name},
                      {"state", state_word(line.state)},
                      {"last_done", line.last_done ? AnswerJson(rfc3339(*line.last_done)) : AnswerJson(nullptr)}};
    put_amount(one, "date", line.date);
    one["chance_now"] = chance_json(line.chance_now);
    one["by"] = rfc3339(line.by);
    one["chance_by"] = chance_json(line.chance_by);
    one["assumed"] = line.assumed;
    auto counters = AnswerJson::array();
    for (const auto& c : line.counters) {
      AnswerJson counter = {{"counts", kCounts[static_cast<int>(c.counts)]}};
      put_amount(counter, "have", c.have);
      put_amount(counter, "need", c.need);
      put_amount(counter, "left", c.left);
      put_amount(counter, "date", c.date);
      counters.push_back(counter);
    }
    one["counters"] = counters;
    one["why"] = sentences_json(line.why, units);
    one["measure"] = sentences_json(line.measure, units);
    list.push_back(one);
  }
  out["lines"] = list;
  return out;
}

namespace {

void leave_out_typed(AnswerJson& answer) {
  if (answer.is_string())
    answer = without_typed(answer.get_ref<const std::string&>());
  else if (answer.is_structured())
    for (auto& one : answer) leave_out_typed(one);
}

}  // namespace

std::string answer_text(const AnswerJson& answer) {
  // The marks are written as they are, never as an escape: they can be dropped from the text as a whole.
  return with_typed(answer.dump(2, ' ', false, AnswerJson::error_handler_t::replace)) + "\n";
}

std::string answer_text_for_page(AnswerJson answer) {
  leave_out_typed(answer);
  return answer.dump(-1, ' ', false, AnswerJson::error_handler_t::replace);
}

}  // namespace headroom
