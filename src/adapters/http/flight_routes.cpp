// The flights: a list, one as a page, and what its charts are drawn from.
#include <array>
#include <charconv>

#include "adapters/http/routes.h"
#include "app/flight_list.h"
#include "app/flight_page.h"
#include "app/flight_told.h"

namespace headroom::http {

namespace {

// A whole number of the query; `otherwise` when it is not there.
Result<std::size_t> count_of(const Request& request, const char* name, std::size_t otherwise) {
  const auto text = request.asked(name);
  if (text.empty()) return otherwise;
  std::size_t out = 0;
  const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), out);
  if (wrong != std::errc() || end != text.data() + text.size())
    return fail(ErrorKind::bad_input, "a whole number was expected", name);
  return out;
}

Answer list_flights(Site& site, const Request& request) {
  return at_desk_kept(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    FlightListRequest asked;
    const auto skip = count_of(request, "skip", 0), most = count_of(request, "most", asked.most);
    if (!skip) return error_answer(skip.error());
    if (!most) return error_answer(most.error());
    asked.skip = *skip;
    asked.most = *most;
    asked.all = request.asked("all") == "1";
    return json_answer(flight_list_json(asked, session, sitting.ports().clock));
  });
}

Answer one_flight(Site& site, const Request& request) {
  return at_desk_kept(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto flight = find_flight(session.state, request.captured[1]);
    if (!flight) return error_answer(flight.error());
    const auto page = flight_page_json(*flight, session, sitting.ports());
    if (!page) return error_answer(page.error());
    return json_answer(*page);
  });
}

Answer flight_chart(Site& site, const Request& request) {
  return at_desk_kept(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto flight = find_flight(session.state, request.captured[1]);
    if (!flight) return error_answer(flight.error());
    auto series = flight_series(session.state.flights[*flight], session, sitting.ports());
    if (!series) return error_answer(series.error());
    Answer out;
    out.body = std::move(*series);
    return out;
  });
}

constexpr std::array kFlightRoutes = {
    Route{Method::get, "/api/{book}/flights", list_flights},
    Route{Method::get, "/api/{book}/flights/{id}", one_flight},
    Route{Method::get, "/api/{book}/flights/{id}/series", flight_chart},
};

}  // namespace

std::span<const Route> flight_routes() {
  return kFlightRoutes;
}

}  // namespace headroom::http
