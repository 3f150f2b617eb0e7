#pragma once
// A request and its answer, as the routes see them: no route knows the library that carries them.
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "formats/answer_json.h"

namespace headroom::http {

enum class Method : std::uint8_t { get, head, post, remove, other };

struct Request {
  Method method = Method::get;
  std::string path;                                         // decoded, without the query: "/api/own/now"
  std::map<std::string, std::string, std::less<>> query;    // decoded; of several of one name the last
  std::map<std::string, std::string, std::less<>> headers;  // names in small letters; of those that are read at all
  std::string peer;                                         // address of the other end: "127.0.0.1"
  std::string body;                                         // of a route that takes JSON
  std::string body_file;                                    // where the body was streamed to, of a route that takes bytes
  std::uint64_t body_bytes = 0;
  std::shared_ptr<void> hold;         // keeps body_file on the disk for as long as somebody holds it: a job
  std::vector<std::string> captured;  // what stood for each {name} of the route's pattern, in order
  [[nodiscard]] std::string_view header(std::string_view name) const;
  [[nodiscard]] std::string_view asked(std::string_view name) const;  // of the query; empty if it is not there
};

// Writes one piece of a stream; false: the other end is gone, or the server stops.
using StreamWrite = std::function<bool(std::string_view)>;

struct Answer {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::string_view still;  // in place of `body`: bytes that outlive the server, an asset
  std::vector<std::pair<std::string, std::string>> headers;
  std::function<void(const StreamWrite&)> stream;  // in place of a body: called once, writes until it returns
};

// An answer for the page: sentences without how a thing is typed on the command line.
[[nodiscard]] Answer json_answer(const AnswerJson& answer, int status = 200);
// {"error": {"kind", "what", "where"}} with the status that fits: 400 bad_input and out_of_range, 404 not_found, 409 conflict
// and refused, 503 locked, 500 the rest. "--wind-aloft" as a place becomes the name of the box, "wind_aloft".
[[nodiscard]] Answer error_answer(const Error& error);
[[nodiscard]] AnswerJson error_json(const Error& error);

}  // namespace headroom::http
