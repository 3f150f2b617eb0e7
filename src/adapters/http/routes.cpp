#include "adapters/http/routes.h"

#include <algorithm>
#include <charconv>
#include <chrono>

#include "formats/hash.h"

namespace headroom::http {

namespace {

bool fits(std::string_view pattern, std::string_view path, std::vector<std::string>& captured) {
  captured.clear();
  while (!pattern.empty() && !path.empty()) {
    if (pattern.front() == '{') {
      const auto end = std::min(path.find('/'), path.size());
      if (end == 0) return false;
      captured.emplace_back(path.substr(0, end));
      path.remove_prefix(end);
      pattern.remove_prefix(pattern.find('}') + 1);
      continue;
    }
    if (pattern.front() != path.front()) return false;
    pattern.remove_prefix(1);
    path.remove_prefix(1);
  }
  return pattern.empty() && path.empty();
}

// "GET, HEAD, POST"
std::string methods_at(std::string_view path) {
  std::string out;
  std::vector<std::string> ignored;
  for (const auto& [method, name] :
       {std::pair{Method::get, "GET, HEAD"}, std::pair{Method::post, "POST"}, std::pair{Method::remove, "DELETE"}})
    for (const auto& route : all_routes())
      if (route.method == method && fits(route.pattern, path, ignored)) {
        out += (out.empty() ? "" : ", ") + std::string(name);
        break;
      }
  return out;
}

Answer not_there(const char* what, int status = 404) {
  return json_answer({{"error", {{"kind", "not_found"}, {"what", what}, {"where", ""}}}}, status);
}

}  // namespace

const std::vector<Route>& all_routes() {
  static const std::vector<Route> routes = [] {
    std::vector<Route> all;
    for (const auto part : {hello_routes(), brief_routes(), entry_routes(), recording_routes(), flight_routes(), shed_routes(),
                            machine_routes(), book_routes(), map_routes(), pairing_routes(), season_routes()})
      all.insert(all.end(), part.begin(), part.end());
    return all;
  }();
  return routes;
}

const Route* find_route(Request& request, bool& other_method) {
  other_method = false;
  const auto method = request.method == Method::head ? Method::get : request.method;
  for (const auto& route : all_routes()) {
    if (!fits(route.pattern, request.path, request.captured)) continue;
    if (route.method == method) return &route;
    other_method = true;
  }
  return nullptr;
}

std::optional<Answer> turned_away(Site& site, const Request& request, const GuardRules& rules, const Route* route) {
  const bool asset = !request.path.starts_with("/api/");
  const auto verdict = judge(request, rules, site.paired(request), asset || (route != nullptr && route->open));
  if (verdict != Verdict::allowed) return refusal(verdict);
  return std::nullopt;
}

Answer answer_request(Site& site, Request& request, const GuardRules& rules) {
  bool other_method = false;
  const auto* route = find_route(request, other_method);
  if (auto refused = turned_away(site, request, rules, route)) return *refused;
  if (route != nullptr) return route->handle(site, request);
  if (other_method) {
    auto out = not_there("that cannot be done here", 405);
    out.headers.emplace_back("Allow", methods_at(request.path));  // RFC 9110, section 15.5.6
    return out;
  }
  if (request.path.starts_with("/api/")) return not_there("there is nothing of that name");
  if (request.method != Method::get && request.method != Method::head) {
    auto out = not_there("that cannot be done here", 405);
    out.headers.emplace_back("Allow", "GET, HEAD");
    return out;
  }
  return asset_answer(site, request);
}

Answer asset_answer(const Site& site, const Request& request) {
  const auto& assets = site.options().assets;
  const std::string_view path = request.path == "/" ? "/index.html" : std::string_view(request.path);
  const auto found = std::find_if(assets.begin(), assets.end(), [&](const Asset& a) { return a.path == path; });
  if (found == assets.end()) return not_there("there is no such page");
  Answer out;
  out.type = found->type;
  // The version and the place of the bytes: another build has other ones.
  const std::string tag = "\"" + site.options().version + "-" + std::to_string(found->bytes.size()) + "\"";
  out.headers.emplace_back("Cache-Control", found->hashed ? "public, max-age=31536000, immutable" : "no-cache");
  if (found->gzipped) out.headers.emplace_back("Content-Encoding", "gzip");
  out.still = found->bytes;
  if (found->hashed) {
    out.headers.emplace_back("ETag", tag);
    if (request.header("if-none-match") == tag) {
      out.status = 304;
      out.still = {};
    }
  }
  return out;
}

Answer at_desk(Site& site, const Request& request, const std::function<Answer(Desk::Sitting&, const Session&)>& make) {
  const auto desk = site.desk(request.captured.front());
  if (!desk) return error_answer(desk.error());
  auto sitting = (*desk)->sit();
  const bool may_write = request.method != Method::get && request.method != Method::head;
  // What is written must be written to the book as it is.
  if (may_write) sitting.forget();
  const auto session = sitting.session();
  if (!session) return error_answer(session.error());
  auto answer = make(sitting, **session);
  if (may_write) sitting.forget();
  return answer;
}

Answer at_desk_kept(Site& site, const Request& request, const std::function<Answer(Desk::Sitting&, const Session&)>& make,
                    KeptFor kept_for) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    auto& clock = sitting.ports().clock;
    const auto now = clock.now();
    const auto offset = clock.offset_minutes(now, session.zone);
    if (!offset) return error_answer(offset.error());
    const auto local = (now + std::chrono::minutes(*offset)).time_since_epoch();
    const auto until = kept_for == KeptFor::hour ? std::chrono::floor<std::chrono::hours>(local).count()
                                                 : std::chrono::floor<std::chrono::days>(local).count();
    // What is chosen at start is not in the book. Hashed, since a tag may not hold every character (RFC 9110, section 8.8.3).
    const auto& choice = site.options().choice;
    const auto all = sha256(sitting.folded_from().text() + "\n" + std::to_string(until) + "\n" + std::to_string(*offset) + "\n" +
                            choice.units + "\n" + choice.zone + "\n" + site.options().version);
    const std::string tag = "W/\"" + all.text().substr(0, 32) + "\"";
    if (request.header("if-none-match") == tag) {
      Answer same;
      same.status = 304;
      same.headers.emplace_back("ETag", tag);
      return same;
    }
    auto answer = make(sitting, session);
    if (answer.status == 200) answer.headers.emplace_back("ETag", tag);
    return answer;
  });
}

Result<AnswerJson> body_of(const Request& request) {
  auto body = AnswerJson::parse(request.body, nullptr, false);
  if (body.is_discarded() || !body.is_object()) return fail(ErrorKind::bad_input, "the request holds no JSON object");
  return body;
}

Result<std::string> text_of(const AnswerJson& body, const char* name, std::size_t most) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return std::string();
  if (!found->is_string()) return fail(ErrorKind::bad_input, "a text was expected", name);
  auto text = found->get<std::string>();
  if (text.size() > most) return fail(ErrorKind::out_of_range, "that is too long", name);
  return text;
}

Result<bool> flag_of(const AnswerJson& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return false;
  if (!found->is_boolean()) return fail(ErrorKind::bad_input, "yes or no was expected", name);
  return found->get<bool>();
}

Result<std::uint64_t> number_asked(const Request& request, const char* name, std::uint64_t otherwise) {
  const auto text = request.asked(name);
  if (text.empty()) return otherwise;
  std::uint64_t n = 0;
  const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), n);
  if (wrong != std::errc() || end != text.data() + text.size())
    return fail(ErrorKind::bad_input, "a whole number was expected", name);
  return n;
}

}  // namespace headroom::http
