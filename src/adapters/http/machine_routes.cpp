// The machine: its parts and what they have been through, its kit and figures, and the fields it is flown from.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "adapters/http/routes.h"
#include "app/field_json.h"
#include "app/part_history.h"
#include "app/said_time.h"
#include "core/machine/figures.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom::http {

namespace {

AnswerJson counter_json(const char* name, const Amount& life, const Amount& in_book, const UnitChoice& units) {
  std::string text = say_amount(life, units, false);
  // What it went through before the book is not known: what it did since then still is.
  if (!life.known() && in_book.known()) text += " in all; " + say_amount(in_book, units, false) + " since this book began";
  return {{"name", name}, {"text", text}, {"value", amount_json(life)}};
}

AnswerJson counters_json(const PartState& part, const UnitChoice& units) {
  auto out = AnswerJson::array();
  out.push_back(counter_json("running", amount(part.life.running), amount(part.in_book.running), units));
  out.push_back(counter_json("in the air", amount(part.life.air), amount(part.in_book.air), units));
  out.push_back(counter_json("launches", amount(part.life.launches), amount(part.in_book.launches), units));
  out.push_back(counter_json("ground handling", amount(part.life.ground_handling), amount(part.in_book.ground_handling), units));
  return out;
}

std::string day_text(UtcTime t, Desk::Sitting& sitting, const Session& session) {
  return local_text(t, sitting.ports().clock, session.zone, false);
}

std::string fitted_text(const PartState& part, Desk::Sitting& sitting, const Session& session) {
  if (part.fitted.empty()) return "never fitted";
  const auto& last = part.fitted.back();
  std::string out;
  const auto* on = session.state.find_machine(last.machine);
  if (last.to) {
    out = "removed " + day_text(*last.to, sitting, session);
  } else {
    out = last.from_before ? "fitted since before this book began" : "fitted since " + day_text(last.from, sitting, session);
  }
  if (on != nullptr && session.state.machine && on->id != *session.state.machine && !on->name.empty())
    out += (last.to ? " from \"" : " to \"") + on->name + "\"";
  return out;
}

std::string part_text(const PartState& part, Desk::Sitting& sitting, const Session& session) {
  std::string out = fitted_text(part, sitting, session);
  out[0] = static_cast<char>(out[0] >= 'a' && out[0] <= 'z' ? out[0] - 32 : out[0]);
  if (part.made) out += ", made " + rfc3339(*part.made).substr(0, 10);
  if (part.assumed) out += ", assumed";
  const auto flown = flights_with(part, session.state);
  if (flown.flights > 0)
    out += fmt::format("; {} in this book, {} in the air",
                       flown.flights == 1 ? std::string("1 flight") : fmt::format("{} flights", flown.flights),
                       say_duration(flown.air_time));
  return out + ".";
}

std::string service_title_of(const std::string& line, const std::vector<ServiceLine>& list, const State& state) {
  for (const auto& l : list)
    if (l.line == line) return l.title;
  if (const auto own = state.service_lines.find(line); own != state.service_lines.end() && !own->second.set.title.empty())
    return own->second.set.title;
  std::string words = line;
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

AnswerJson service_done_json(const ServiceState& s, const std::vector<ServiceLine>& list, Desk::Sitting& sitting,
                             const Session& session) {
  const auto& u = session.units;
  std::string text = "Last done " + day_text(s.at, sitting, session);
  if (s.times > 1) text += fmt::format(", {} times in all", s.times);
  std::string since;
  const auto add = [&](const Amount& a, const char* what) {
    if (a.known() && a.mid > 0) since += (since.empty() ? "" : ", ") + say_amount(a, u, false) + what;
  };
  add(amount(s.since.running), " running");
  add(amount(s.since.air), " in the air");
  const auto launches = amount(s.since.launches);
  add(launches, launches.known() && launches.mid == 1 ? " launch" : " launches");
  if (!since.empty()) text += "; since then " + since;
  return {{"line", s.line},      {"title", service_title_of(s.line, list, session.state)},
          {"at", rfc3339(s.at)}, {"entry", s.entry.text()},
          {"times", s.times},    {"text", text + "."}};
}

AnswerJson parts_json(Desk::Sitting& sitting, const Session& session) {
  const auto list = service_list(session.state);
  auto out = AnswerJson::array();
  const auto add = [&](const PartState& part) {
    auto services = AnswerJson::array();
    for (const auto& s : session.state.services)
      if (s.part == part.id) services.push_back(service_done_json(s, list, sitting, session));
    out.push_back({{"id", part.id.text()},
                   {"role", part.role},
                   {"name", part.name},
                   {"assumed", part.assumed},
                   {"fitted", part.is_fitted()},
                   {"made", part.made ? AnswerJson(rfc3339(*part.made)) : AnswerJson(nullptr)},
                   {"text", part_text(part, sitting, session)},
                   {"counters", counters_json(part, session.units)},
                   {"services", services}});
  };
  // What is on the machine first.
  for (const auto& part : session.state.parts)
    if (part.is_fitted()) add(part);
  for (const auto& part : session.state.parts)
    if (!part.is_fitted()) add(part);
  return out;
}

// A figure as it was weighed or measured: finer than a brief tells it, since it is read to be checked.
std::string figure_text(const MachineFigure& figure, double si, const UnitChoice& units) {
  if (figure.unit == "m2") return say_area(square_metres(si), units);
  if (figure.unit == "N") return fmt::format("{:.0f} N", si);
  if (figure.dimension == Dimension::duration) return (si < 0 ? "-" : "") + say_duration(seconds(std::abs(si)));
  if (figure.dimension == Dimension::mass) return say_measure(Measure::mass, si, units);
  constexpr double kShort_m = 10;
  if (figure.dimension == Dimension::length && si < kShort_m) return say_measure(Measure::height, si, units, 2);
  return say_amount(exact_amount(figure.dimension, si), units, false);
}

AnswerJson masses_json(const Session& session) {
  auto out = AnswerJson::array();
  for (const auto& figure : machine_figures()) {
    const auto value = figure_of(session.state, figure);
    out.push_back({{"key", figure.key},
                   {"words", figure.words},
                   {"of_pilot", figure.of_pilot},
                   {"unit", figure.unit},
                   {"value", value ? AnswerJson(finite_number(*value)) : AnswerJson(nullptr)},
                   {"text", value ? AnswerJson(figure_text(figure, *value, session.units)) : AnswerJson(nullptr)}});
  }
  return out;
}

AnswerJson fields_json(Desk::Sitting& sitting, const Session& session) {
  auto out = AnswerJson::array();
  for (const auto& field : session.state.fields) {
    auto row = field_json(field);
    row["text"] = field_title(field, session) + ".";
    for (std::size_t i = 0; i < field.strips.size(); ++i)
      row["strips"][i]["text"] = strip_sentence(field.strips[i], session, sitting.ports().clock);
    out.push_back(std::move(row));
  }
  return out;
}

Answer machine(Site& site, const Request& request) {
  return at_desk_kept(site, request, [](Desk::Sitting& sitting, const Session& session) {
    const auto& state = session.state;
    const auto* in_use = state.machine ? state.find_machine(*state.machine) : nullptr;
    AnswerJson out;
    out["machine"] = in_use == nullptr
                         ? AnswerJson(nullptr)
                         : AnswerJson{{"id", in_use->id.text()}, {"name", in_use->name}, {"assumed", in_use->assumed}};
    auto machines = AnswerJson::array();
    for (const auto& m : state.machines)
      machines.push_back({{"id", m.id.text()}, {"name", m.name}, {"assumed", m.assumed}, {"in_use", &m == in_use}});
    out["machines"] = machines;
    out["parts"] = parts_json(sitting, session);
    auto alterations = AnswerJson::array();
    for (auto it = state.alterations.rbegin(); it != state.alterations.rend(); ++it) {
      const auto* part = it->part ? state.part(*it->part) : nullptr;
      alterations.push_back({{"id", it->id.text()},
                             {"at", rfc3339(it->at)},
                             {"at_text", day_text(it->at, sitting, session)},
                             {"area", it->area},
                             {"part", part == nullptr ? AnswerJson(nullptr) : AnswerJson(part->role)},
                             {"text", it->text}});
    }
    out["alterations"] = alterations;
    auto kit = AnswerJson::array();
    for (const auto& k : kit_of(state))
      kit.push_back({{"name", k.name},
                     {"place", k.place},
                     {"mass_kg", finite_number(k.mass.si())},
                     {"mass_text", say_measure(Measure::mass, k.mass.si(), session.units, 1)}});
    out["kit"] = kit;
    out["masses"] = masses_json(session);
    out["fields"] = fields_json(sitting, session);
    return json_answer(out);
  });
}

constexpr std::array kMachineRoutes = {
    Route{Method::get, "/api/{book}/machine", machine},
};

}  // namespace

std::span<const Route> machine_routes() {
  return kMachineRoutes;
}

}  // namespace headroom::http
