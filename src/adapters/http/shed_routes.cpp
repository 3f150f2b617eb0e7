// The shed: the machine over time, and the arithmetic of the field.
#include <algorithm>
#include <array>
#include <initializer_list>

#include "adapters/http/routes.h"
#include "app/metar_words.h"
#include "app/said_air.h"
#include "app/said_load.h"
#include "app/said_sun.h"
#include "app/said_take_off.h"
#include "app/said_turn_back.h"
#include "app/shed.h"
#include "formats/metar.h"

namespace headroom::http {

namespace {

Answer shed(Site& site, const Request& request) {
  return at_desk_kept(
      site, request,
      [&](Desk::Sitting& sitting, const Session& session) { return json_answer(shed_json(session, sitting.ports().clock)); },
      KeptFor::hour);
}

// The boxes of a question, as the page names them, into what is said.
template <class Said>
using Boxes = std::initializer_list<std::pair<const char*, std::string Said::*>>;
template <class Said>
void take_boxes(const Request& request, Boxes<Said> boxes, Said& said) {
  for (const auto& [name, into] : boxes) said.*into = request.asked(name);
}
SaidAir asked_air(const Request& request) {
  SaidAir said;
  take_boxes(request,
             {{"height", &SaidAir::height},
              {"qnh", &SaidAir::qnh},
              {"pressure", &SaidAir::pressure},
              {"pressure_altitude", &SaidAir::pressure_altitude},
              {"temperature", &SaidAir::temperature},
              {"dew_point", &SaidAir::dew_point},
              {"humidity", &SaidAir::humidity}},
             said);
  return said;
}

Answer calc_air(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting&, const Session& session) {
    const auto in = air_input(asked_air(request), session.units);
    if (!in) return error_answer(in.error());
    const auto air = air_report(*in);
    if (!air) return error_answer(air.error());
    return json_answer(calc_words_json(air_words(*in, *air, session.units)));
  });
}

Answer calc_load(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting&, const Session& session) {
    SaidLoad said;
    said.air = asked_air(request);
    take_boxes(request,
               {{"mass", &SaidLoad::mass},
                {"wing_mass", &SaidLoad::wing_mass},
                {"wing_area", &SaidLoad::wing_area},
                {"wing_least", &SaidLoad::wing_least},
                {"wing_most", &SaidLoad::wing_most},
                {"reserve", &SaidLoad::reserve},
                {"harness", &SaidLoad::harness},
                {"carabiners", &SaidLoad::carabiners},
                {"before", &SaidLoad::before}},
               said);
    const auto answer = answer_load(said, session.units);
    if (!answer) return error_answer(answer.error());
    auto out = calc_words_json(load_words(*answer, session.units));
    out["short"] = answer->is_short();
    return json_answer(out);
  });
}

// Several obstacles in one box: "230m/12m; 300m/20m".
std::vector<std::string> asked_obstacles(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const auto end = std::min(text.find(';'), text.size());
    auto one = text.substr(0, end);
    while (!one.empty() && one.front() == ' ') one.remove_prefix(1);
    if (!one.empty()) out.emplace_back(one);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

Answer calc_run(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting&, const Session& session) {
    using S = SaidTakeOff;
    S said;
    said.air = asked_air(request);
    take_boxes<S>(request,
                  {{"mass", &S::mass},
                   {"wing_area", &S::wing_area},
                   {"thrust", &S::thrust},
                   {"propeller", &S::diameter},
                   {"headwind", &S::headwind},
                   {"tailwind", &S::tailwind},
                   {"slope", &S::slope},
                   {"surface", &S::surface},
                   {"strip", &S::strip},
                   {"fastest_run", &S::fastest_run},
                   {"inflation", &S::inflation},
                   {"run_factor", &S::run_factor}},
                  said);
    said.obstacles = asked_obstacles(request.asked("obstacle"));
    said.wheels = request.asked("wheels") == "1";
    const auto asked = run_asked(said, session.units);
    if (!asked) return error_answer(asked.error());
    const auto told = take_off(asked->in);
    if (!told) return error_answer(told.error());
    auto out = calc_words_json(run_words(*asked, *told, session.units));
    out["short"] = !told->clears();
    return json_answer(out);
  });
}

Answer calc_sun(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    SaidSun said;
    take_boxes(request, {{"latitude", &SaidSun::latitude}, {"longitude", &SaidSun::longitude}, {"date", &SaidSun::date}}, said);
    auto& clock = sitting.ports().clock;
    const auto answer = answer_sun(said, clock, session.zone);
    if (!answer) return error_answer(answer.error());
    return json_answer(calc_words_json(sun_words(*answer, clock, session.zone)));
  });
}

Answer calc_turn_back(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting&, const Session& session) {
    SaidTurnBack said;
    take_boxes(request,
               {{"track", &SaidTurnBack::track},
                {"airspeed", &SaidTurnBack::airspeed},
                {"wind", &SaidTurnBack::wind},
                {"endurance", &SaidTurnBack::endurance},
                {"distance", &SaidTurnBack::distance}},
               said);
    const auto answer = answer_turn_back(said, session.units);
    if (!answer) return error_answer(answer.error());
    return json_answer(calc_words_json(turn_back_words(*answer, session.units)));
  });
}

Answer calc_metar(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session&) {
    const auto report = read_metar(request.asked("text"), sitting.ports().clock.now());
    if (!report) {
      auto error = report.error();
      error.where = "text";  // the one box there is
      return error_answer(error);
    }
    return json_answer(calc_words_json(metar_words(*report)));
  });
}

constexpr std::array kShedRoutes = {
    Route{Method::get, "/api/{book}/shed", shed},
    Route{Method::get, "/api/{book}/calc/air", calc_air},
    Route{Method::get, "/api/{book}/calc/metar", calc_metar},
    Route{Method::get, "/api/{book}/calc/load", calc_load},
    Route{Method::get, "/api/{book}/calc/run", calc_run},
    Route{Method::get, "/api/{book}/calc/sun", calc_sun},
    Route{Method::get, "/api/{book}/calc/turn-back", calc_turn_back},
};

}  // namespace

std::span<const Route> shed_routes() {
  return kShedRoutes;
}

}  // namespace headroom::http
