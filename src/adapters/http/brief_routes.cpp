// The brief: what is said of the day in, every margin out.
#include <algorithm>
#include <array>

#include "adapters/http/routes.h"
#include "app/day_words.h"
#include "app/enter.h"
#include "app/limit_scale.h"
#include "app/said_day.h"
#include "app/said_time.h"
#include "core/machine/figures.h"
#include "formats/say.h"

namespace headroom::http {

namespace {

Result<SaidDay> said_day_of(const AnswerJson& body) {
  SaidDay said;
  const std::pair<const char*, std::string SaidDay::*> texts[] = {{"field", &SaidDay::field},
                                                                  {"strip", &SaidDay::strip},
                                                                  {"ground", &SaidDay::ground},
                                                                  {"wind", &SaidDay::wind},
                                                                  {"windsock", &SaidDay::windsock},
                                                                  {"wind_aloft", &SaidDay::aloft},
                                                                  {"temperature", &SaidDay::temperature},
                                                                  {"dew_point", &SaidDay::dew_point},
                                                                  {"qnh", &SaidDay::qnh},
                                                                  {"visibility", &SaidDay::visibility},
                                                                  {"cloud_base", &SaidDay::cloud_base},
                                                                  {"tank", &SaidDay::tank},
                                                                  {"all_up", &SaidDay::all_up},
                                                                  {"pilot_mass", &SaidDay::pilot_mass},
                                                                  {"passenger", &SaidDay::passenger},
                                                                  {"light", &SaidDay::light},
                                                                  {"who_knows", &SaidDay::who},
                                                                  {"overdue", &SaidDay::overdue},
                                                                  {"route_height", &SaidDay::height},
                                                                  {"station", &SaidDay::station},
                                                                  {"metar", &SaidDay::metar},
                                                                  {"taf", &SaidDay::taf}};
  for (const auto& [name, into] : texts) {
    auto text = text_of(body, name);
    if (!text) return tl::unexpected<Error>(text.error());
    said.*into = std::move(*text);
  }
  constexpr std::size_t kMostFile = 1U << 20;
  for (const auto& [name, into] : {std::pair{"route_text", &SaidDay::route}, std::pair{"airspace_text", &SaidDay::airspace}}) {
    auto text = text_of(body, name, kMostFile);
    if (!text) return tl::unexpected<Error>(text.error());
    said.*into = std::move(*text);
  }
  for (const auto& [name, into] :
       {std::pair{"wheels", &SaidDay::wheels}, std::pair{"borrower", &SaidDay::borrower},
        std::pair{"over_water", &SaidDay::over_water}, std::pair{"hills", &SaidDay::hills}, std::pair{"mown", &SaidDay::mown}}) {
    const auto flag = flag_of(body, name);
    if (!flag) return tl::unexpected<Error>(flag.error());
    said.*into = *flag;
  }
  if (const auto sky = body.find("sky"); sky != body.end() && !sky->is_null()) {
    if (!sky->is_array()) return fail(ErrorKind::bad_input, "a list of words was expected", "sky");
    for (const auto& word : *sky) {
      if (!word.is_string()) return fail(ErrorKind::bad_input, "a list of words was expected", "sky");
      said.sky.push_back(word.get<std::string>());
    }
  }
  return said;
}

AnswerJson line_json(const Margin& m) {
  const auto line = limit_scale(m);
  if (!line) return nullptr;
  return {{"low", finite_number(line->low)}, {"mid", finite_number(line->mid)}, {"high", finite_number(line->high)}};
}

constexpr std::array kCheckTimes = {"arriving", "before_start", "before_launch"};

// The day is typed box by box; an error of a report names its box as an option does.
Error in_box(Error error, const char* box) {
  if (error.where.empty()) error.where = box;
  return error;
}

Answer brief(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& kept) {
    const auto body = body_of(request);
    if (!body) return error_answer(body.error());
    const auto said = said_day_of(*body);
    if (!said) return error_answer(said.error());
    const auto planned_text = text_of(*body, "planned"), start_text = text_of(*body, "start"), pilot = text_of(*body, "pilot");
    for (const auto* text : {&planned_text, &start_text, &pilot})
      if (!*text) return error_answer(text->error());
    auto& ports = sitting.ports();
    // Who flies is another one than the book has: a copy of the state, for this brief alone.
    std::optional<Session> other;
    if (!pilot->empty()) {
      const auto chosen = Subjects(kept.state).pilot(*pilot);
      if (!chosen) return error_answer(in_box(chosen.error(), "pilot"));
      if (kept.state.pilot != *chosen) {
        other = kept;
        other->state.pilot = *chosen;
      }
    }
    const Session& session = other ? *other : kept;
    BriefRequest asked;
    asked.now = ports.clock.now();
    if (!planned_text->empty()) {
      const auto planned = parse_planned(*planned_text);
      if (!planned) return error_answer(planned.error());
      asked.planned = *planned;
    }
    if (!start_text->empty()) {
      const auto start = parse_when_to_come(*start_text, ports.clock, session.zone);
      if (!start) return error_answer(in_box(start.error(), "start"));
      asked.planned_start = *start;
    }
    const auto start = std::max(asked.planned_start.value_or(asked.now), asked.now);
    auto day = day_of(*said, session, ports, start);
    if (!day) return error_answer(day.error());
    asked.day = std::move(*day);
    if (auto taken = add_forecast(asked, *said, session); !taken) return error_answer(in_box(taken.error(), "taf"));
    const auto made = make_brief(session.state, asked);

    auto out = brief_json(made, session.units);
    out["start_text"] = local_text(made.start, ports.clock, session.zone);
    out["planned_text"] = say_duration(made.planned);
    out["today"] = day_sentence(asked.day, session);
    for (std::size_t i = 0; i < made.margins.size(); ++i) {
      const auto& m = made.margins[i];
      auto& row = out["margins"][i];
      row["state_text"] = std::string(state_word(m.state)) + (m.assumed ? ", assumed" : "");
      row["left_text"] = m.state == MarginState::unknown ? std::string() : say_left(m, session.units);
      row["chance_text"] = m.chance_short ? AnswerJson(say_chance(*m.chance_short)) : AnswerJson(nullptr);
      row["line"] = line_json(m);
      for (std::size_t k = 0; k < m.changes.size(); ++k)
        row["changes"][k]["chance_text"] =
            m.changes[k].chance_short ? AnswerJson(say_chance(*m.changes[k].chance_short)) : AnswerJson(nullptr);
    }
    auto checks = AnswerJson::array();
    for (const auto& c : day_checks(session.state, made))
      checks.push_back(
          {{"when", kCheckTimes[static_cast<std::size_t>(c.when)]},
           {"key", c.key},
           {"words", c.words},
           {"state", c.state.empty() ? AnswerJson(nullptr) : AnswerJson(c.state)},
           {"at", c.at ? AnswerJson(rfc3339(*c.at)) : AnswerJson(nullptr)},
           {"from_text", c.from ? AnswerJson(local_text(*c.from, ports.clock, session.zone)) : AnswerJson(nullptr)}});
    out["checks"] = checks;
    auto packing = AnswerJson::array();
    for (const auto& k : kit_of(session.state))
      packing.push_back({{"name", k.name}, {"place", k.place}, {"mass_text", say_mass(k.mass, session.units)}});
    out["packing"] = packing;
    out["card"] = {{"lines", emergency_card(session, asked, made, ports.clock)}};
    return json_answer(out);
  });
}

constexpr std::array kBriefRoutes = {
    Route{Method::post, "/api/{book}/brief", brief, Takes::json},
};

}  // namespace

std::span<const Route> brief_routes() {
  return kBriefRoutes;
}

}  // namespace headroom::http
