#include "app/flight_list.h"

#include "app/head_history.h"
#include "formats/say.h"

namespace headroom {

std::string flight_text(const FlightState& f, const UnitChoice& units) {
  auto text = say_duration(f.air_time);
  if (f.track_length > Length{}) text += ", " + say_distance(f.track_length, units);
  if (f.highest) text += ", " + say_height(*f.highest - AltitudeMsl{}, units) + " at the highest";
  if (f.launches > 1) text += ", " + std::to_string(f.launches) + " launches";
  return text;
}

AnswerJson flight_list_json(const FlightListRequest& request, const Session& session, Clock& clock) {
  const auto& state = session.state;
  std::vector<bool> unusual(state.flights.size(), false);
  for (const auto& head : head_history(state))
    if (head.unusual && head.flight < unusual.size()) unusual[head.flight] = true;
  std::size_t total = 0;
  bool several = false;
  for (const auto& f : state.flights) {
    if (f.counts || request.all) ++total;
    several = several || f.pilot != state.flights.front().pilot;
  }
  auto list = AnswerJson::array();
  std::size_t place = 0;
  for (std::size_t i = state.flights.size(); i-- > 0 && list.size() < request.most;) {
    const auto& f = state.flights[i];
    if (!f.counts && !request.all) continue;
    if (place++ < request.skip) continue;
    const auto offset = clock.offset_minutes(f.launch, session.zone);
    const auto* pilot = several ? state.find_pilot(f.pilot) : nullptr;
    list.push_back({{"id", f.id.text()},
                    {"launch", rfc3339(f.launch)},
                    {"landing", rfc3339(f.landing)},
                    {"offset_min", offset ? *offset : f.offset_min},
                    {"text", flight_text(f, session.units)},
                    {"pilot", pilot == nullptr ? AnswerJson(nullptr) : AnswerJson(pilot->name)},
                    {"unusual", static_cast<bool>(unusual[i])},
                    {"by_hand", f.recording == Hash{}},
                    {"counts", f.counts}});
  }
  return {{"total", total}, {"flights", list}};
}

}  // namespace headroom
