// What the page asks first: whether there is a book and whose, and what the owner calls things.
#include <algorithm>
#include <array>

#include "adapters/http/routes.h"
#include "app/entry_words.h"
#include "app/head_history.h"
#include "app/next_entry.h"
#include "app/said_time.h"
#include "core/learn/learned.h"
#include "core/machine/figures.h"
#include "core/planning/brief.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom::http {

namespace {

bool invented(const State& state) {
  return state.setting("book_is") == "simulated";
}

Answer hello(Site& site, const Request& request) {
  AnswerJson own = {{"there", false}, {"entries", 0}, {"invented", false}};
  const bool here = is_loopback(request.peer);
  const bool paired = here || site.paired(request);
  // Who is not paired learns nothing of the book.
  if (paired)
    if (const auto desk = site.desk("own")) {
      auto sitting = (*desk)->sit();
      if (const auto session = sitting.session())
        own = {{"there", (*session)->state.entries > 0},
               {"entries", (*session)->state.entries},
               {"invented", invented((*session)->state)}};
      else
        own["error"] = error_json(session.error());
    }
  return json_answer({{"version", site.options().version},
                      {"share", site.options().share},
                      {"paired", paired},
                      {"here", here},
                      {"own", own},
                      {"season", {{"made", paired && site.season_made()}}},
                      {"map", !site.options().map_file.empty()},
                      {"caution", kCaution}});
}

AnswerJson units_json(const UnitChoice& units) {
  AnswerJson out;
  for (int i = 0; i < kMeasures; ++i) {
    const auto measure = static_cast<Measure>(i);
    const auto& unit = units.of(measure);
    out[std::string(measure_name(measure))] = {
        {"unit", unit.name}, {"factor", unit.factor}, {"offset", unit.offset}, {"decimals", unit.decimals}};
  }
  return out;
}

AnswerJson unit_choices_json() {
  AnswerJson out;
  for (int i = 0; i < kMeasures; ++i) {
    const auto measure = static_cast<Measure>(i);
    auto list = AnswerJson::array();
    const auto all = units_of(measure);
    for (std::string_view rest = all; !rest.empty();) {
      const auto end = std::min(rest.find(", "), rest.size());
      list.push_back(rest.substr(0, end));
      rest.remove_prefix(std::min(end + 2, rest.size()));
    }
    out[std::string(measure_name(measure))] = std::move(list);
  }
  return out;
}

// One sentence on the one thing whose entering would tell most.
std::string next_text(const NextEntry& next) {
  using What = NextEntry::What;
  switch (next.what) {
    case What::first_recording:
      return "A recording of a flight, or the hours on the meter.";
    case What::close_finding:
      return "What was done about \"" + next.title + "\", which grounds the machine, once it is put right.";
    case What::hours:
      return "The hours on the meter, which services by running hours count from.";
    case What::fuel_left:
      return "What is in the tank; without it no brief can say whether it is enough.";
    case What::fuel_mixed:
      return "What was mixed last, and with how much oil; without it the age and oil of the fuel are not known.";
    case What::part_made:
      return "When the reserve was made, which its life counts from.";
    case What::service:
      return "When \"" + next.title + "\" was last done.";
    case What::use_since:
      return (next.of_wing ? "How many hours the wing had flown when \"" : "What the hour meter showed when \"") + next.title +
             "\" was last done: it was before this book counts.";
    case What::drill:
      return "When you last practised reaching for the reserve's handle, hanging on the ground.";
    case What::flights:
      return "Your last flights, from a recording or by hand.";
    case What::machine:
      return "Your machine in place of the assumed one.";
    case What::pilot:
      return "Yourself in place of the assumed pilot.";
    case What::nothing:
      return "Nothing is missing that a brief asks for; the next flight, when it is flown.";
  }
  return {};
}

constexpr std::array kNextWords = {"first_recording", "close_finding", "hours",     "fuel_left", "fuel_mixed",
                                   "part_made",       "service",       "use_since", "drill",     "flights",
                                   "machine",         "pilot",         "nothing"};

// The last of each thing read after a flight, to stand under its box.
AnswerJson last_json(const Session& session) {
  const auto& state = session.state;
  AnswerJson out = {{"hours", nullptr}, {"head", nullptr}, {"left", nullptr}, {"plug", nullptr}};
  for (const auto* part : state.machine ? state.fitted_parts(*state.machine) : std::vector<const PartState*>())
    if (part->role == "engine" && part->life.running.known())
      out["hours"] = {{"text", say_duration(part->life.running.mid)},
                      {"value_s", finite_number(in_seconds(part->life.running.mid))}};
  if (const auto found = state.readings.find(std::string(kHeadMaximum));
      found != state.readings.end() && !found->second.empty()) {
    const auto& last = found->second.back();
    AnswerJson head = {{"text", say_temperature(kelvins(last.value), session.units)},
                       {"value_K", finite_number(last.value)},
                       {"at", rfc3339(last.at)},
                       {"usual_low_K", nullptr},
                       {"usual_high_K", nullptr}};
    if (const auto usual = usual_head(state)) {
      head["usual_low_K"] = finite_number(usual->low.si());
      head["usual_high_K"] = finite_number(usual->high.si());
    }
    out["head"] = head;
  }
  for (auto it = state.fuel.rbegin(); it != state.fuel.rend(); ++it)
    if (it->kind == FuelEvent::Kind::left) {
      out["left"] = {
          {"text", say_volume(it->volume, session.units)}, {"value_m3", finite_number(it->volume.si())}, {"at", rfc3339(it->at)}};
      break;
    }
  if (!state.plugs.empty()) {
    constexpr std::array kColours = {"white", "pale", "tan", "dark", "black"};
    const auto& p = state.plugs.back();
    out["plug"] = {{"text", facts_sentence(PlainFacts(p.read), state, session.units)},
                   {"colour", kColours[static_cast<std::size_t>(p.read.colour)]},
                   {"wet", p.read.wet},
                   {"at", rfc3339(p.at)}};
  }
  return out;
}

Answer now(Site& site, const Request& request) {
  return at_desk_kept(
      site, request,
      [&](Desk::Sitting& sitting, const Session& session) {
        const auto& state = session.state;
        auto& clock = sitting.ports().clock;
        const auto offset = clock.offset_minutes(clock.now(), session.zone);
        if (!offset) return error_answer(offset.error());
        AnswerJson out = {{"book", request.captured.front()},
                          {"entries", state.entries},
                          {"invented", invented(state)},
                          {"empty", state.entries == 0},
                          {"zone", session.zone.empty() ? AnswerJson(nullptr) : AnswerJson(session.zone)},
                          {"offset_min", *offset},
                          {"units", units_json(session.units)},
                          {"unit_choices", unit_choices_json()}};
        const auto* machine = state.machine ? state.find_machine(*state.machine) : nullptr;
        out["machine"] = machine == nullptr
                             ? AnswerJson(nullptr)
                             : AnswerJson{{"id", machine->id.text()}, {"name", machine->name}, {"assumed", machine->assumed}};
        auto pilots = AnswerJson::array();
        for (const auto& p : state.pilots)
          pilots.push_back({{"id", p.id.text()},
                            {"name", p.name},
                            {"assumed", p.assumed},
                            {"mass_kg", p.mass ? AnswerJson(finite_number(p.mass->si())) : AnswerJson(nullptr)},
                            {"flies", state.pilot == p.id}});
        out["pilots"] = pilots;
        auto fields = AnswerJson::array();
        for (const auto& f : state.fields) {
          auto strips = AnswerJson::array();
          for (const auto& s : f.strips) strips.push_back({{"name", s.name}});
          fields.push_back({{"id", f.id.text()}, {"name", f.name}, {"strips", strips}});
        }
        out["fields"] = fields;
        auto parts = AnswerJson::array();
        for (const auto& p : state.parts)
          if (p.is_fitted()) parts.push_back({{"id", p.id.text()}, {"role", p.role}, {"name", p.name}});
        out["parts"] = parts;
        auto lines = AnswerJson::array();
        for (const auto& l : service_list(state))
          lines.push_back({{"line", l.line}, {"title", l.title}, {"by_running", l.running.has_value()}});
        out["service_lines"] = lines;
        auto figures = AnswerJson::array();
        for (const auto& f : machine_figures()) figures.push_back({{"key", f.key}, {"words", f.words}});
        out["figures"] = figures;
        auto findings = AnswerJson::array();
        for (const auto& f : state.findings)
          if (!f.closed)
            findings.push_back({{"id", f.id.text()}, {"text", f.text}, {"grounding", f.grounding}, {"at", rfc3339(f.at)}});
        out["findings"] = findings;
        BriefRequest asked;
        asked.now = clock.now();
        asked.with_changes = false;
        const auto next = next_entry(state, make_brief(state, asked));
        out["next"] = {{"what", kNextWords[static_cast<std::size_t>(next.what)]},
                       {"text", next_text(next)},
                       {"at", next.at ? AnswerJson(rfc3339(*next.at)) : AnswerJson(nullptr)},
                       {"part", next.of_wing ? AnswerJson("wing") : AnswerJson(nullptr)},
                       {"line", next.what == NextEntry::What::service ? AnswerJson(next.word) : AnswerJson(nullptr)}};
        const FlightState* last = nullptr;
        for (const auto& f : state.flights)
          if (f.counts) last = &f;
        out["last_flight"] =
            last == nullptr
                ? AnswerJson(nullptr)
                : AnswerJson{{"id", last->id.text()},
                             {"launch", rfc3339(last->launch)},
                             {"landing", rfc3339(last->landing)},
                             {"text", local_text(last->launch, clock, session.zone) + ", " + say_duration(last->air_time)}};
        out["last"] = last_json(session);
        auto kit = AnswerJson::array();
        for (const auto& k : kit_of(state))
          kit.push_back({{"name", k.name},
                         {"place", k.place},
                         {"mass_kg", finite_number(k.mass.si())},
                         {"mass_text", say_mass(k.mass, session.units)}});
        out["kit"] = kit;
        out["caution"] = kCaution;
        return json_answer(out);
      },
      KeptFor::hour);
}

constexpr std::array kHelloRoutes = {
    Route{Method::get, "/api/hello", hello, Takes::nothing, true},
    Route{Method::get, "/api/{book}/now", now},
};

}  // namespace

std::span<const Route> hello_routes() {
  return kHelloRoutes;
}

}  // namespace headroom::http
