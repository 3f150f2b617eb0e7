#pragma once
// The table of routes. A file *_routes.cpp holds those of one subject; routes.cpp lists the files. A new route is a row in one of
// them and a path in docs/openapi.yaml, which a test holds against the running server.
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "adapters/http/message.h"
#include "adapters/http/site.h"

namespace headroom::http {

enum class Takes : std::uint8_t { nothing, json, bytes };  // what a body may be

struct Route {
  Method method = Method::get;
  std::string_view pattern;  // "/api/{book}/flights/{id}"
  Answer (*handle)(Site&, const Request&) = nullptr;
  Takes takes = Takes::nothing;
  bool open = false;  // may be asked by a phone that is not paired yet
};

// The route of a request, with what stood for its {names} in request.captured; null when there is none. `other_method` is set
// when the path is known for another method.
[[nodiscard]] const Route* find_route(Request& request, bool& other_method);
[[nodiscard]] const std::vector<Route>& all_routes();

// Guards, routes and answers one request. The body must have been read before.
[[nodiscard]] Answer answer_request(Site& site, Request& request, const GuardRules& rules);
// What answer_request will say before any route is asked; nothing when the request may go on.
[[nodiscard]] std::optional<Answer> turned_away(Site& site, const Request& request, const GuardRules& rules, const Route* route);

// The file of the page at a path, or "/" for any path that is a place of the page.
[[nodiscard]] Answer asset_answer(const Site& site, const Request& request);

// --- for the routes themselves
// Answers with `make` on the desk that the path names first; errors become answers.
[[nodiscard]] Answer at_desk(Site& site, const Request& request,
                             const std::function<Answer(Desk::Sitting&, const Session&)>& make);
// The same for a GET whose answer changes only with the book, the units and zone, and the owner's day or hour: 304 when the
// browser has it.
enum class KeptFor : std::uint8_t { day, hour };
[[nodiscard]] Answer at_desk_kept(Site& site, const Request& request,
                                  const std::function<Answer(Desk::Sitting&, const Session&)>& make,
                                  KeptFor kept_for = KeptFor::day);
// The members of a JSON body. bad_input when it is no object.
[[nodiscard]] Result<AnswerJson> body_of(const Request& request);
// A member that is a text, empty when it is not there or null; bad_input names it when it is something else or over-long.
[[nodiscard]] Result<std::string> text_of(const AnswerJson& body, const char* name, std::size_t most = 10000);
[[nodiscard]] Result<bool> flag_of(const AnswerJson& body, const char* name);
// A whole number of the query; `otherwise` when it is not said. bad_input names it when it is something else.
[[nodiscard]] Result<std::uint64_t> number_asked(const Request& request, const char* name, std::uint64_t otherwise);

[[nodiscard]] std::span<const Route> hello_routes();
[[nodiscard]] std::span<const Route> brief_routes();
[[nodiscard]] std::span<const Route> entry_routes();
[[nodiscard]] std::span<const Route> recording_routes();
[[nodiscard]] std::span<const Route> flight_routes();
[[nodiscard]] std::span<const Route> shed_routes();
[[nodiscard]] std::span<const Route> machine_routes();
[[nodiscard]] std::span<const Route> book_routes();
[[nodiscard]] std::span<const Route> map_routes();
[[nodiscard]] std::span<const Route> pairing_routes();
[[nodiscard]] std::span<const Route> season_routes();

}  // namespace headroom::http
