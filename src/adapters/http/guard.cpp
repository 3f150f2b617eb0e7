#include "adapters/http/guard.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace headroom::http {

namespace {

std::string small_letters(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return out;
}

bool changes_something(Method method) {
  return method != Method::get && method != Method::head;
}

constexpr std::array<std::string_view, 4> kForwarderHeaders = {"forwarded", "via", "x-forwarded-for", "x-real-ip"};

bool own_origin(std::string_view origin, std::string_view host) {
  constexpr std::string_view kScheme = "http://";
  return origin.starts_with(kScheme) && small_letters(origin.substr(kScheme.size())) == small_letters(host);
}

}  // namespace

bool is_loopback(std::string_view address) {
  return address.starts_with("127.") || address == "::1" || address.starts_with("::ffff:127.");
}

bool is_here(const Request& request) {
  return is_loopback(request.peer) && std::none_of(kForwarderHeaders.begin(), kForwarderHeaders.end(),
                                                   [&](std::string_view name) { return request.headers.contains(name); });
}

Verdict judge(const Request& request, const GuardRules& rules, bool paired, bool open_to_all) {
  const auto host = request.header("host");
  if (!rules.hosts.contains(small_letters(host))) return Verdict::wrong_host;
  if (changes_something(request.method)) {
    // Every browser sends Origin with a change; what sends none is a program on this machine, which could read the book itself.
    const auto origin = request.header("origin");
    const auto site = request.header("sec-fetch-site");
    if (!origin.empty() && !own_origin(origin, host)) return Verdict::foreign_origin;
    if (!site.empty() && site != "same-origin") return Verdict::foreign_origin;
    if (origin.empty() && !is_here(request)) return Verdict::foreign_origin;
    // A foreign page can send forms and plain text without asking first, but none of these types.
    const auto type = request.header("content-type");
    const auto bare = type.substr(0, type.find(';'));
    if (request.method == Method::post && bare != "application/json" && bare != "application/octet-stream")
      return Verdict::wrong_type;
  }
  // A page elsewhere may link to this one, but not make it fetch or count for it.
  if (const auto site = request.header("sec-fetch-site");
      request.path.starts_with("/api/") && !site.empty() && site != "same-origin" && site != "none")
    return Verdict::foreign_origin;
  if (is_here(request) || open_to_all) return Verdict::allowed;
  if (!rules.share || !paired) return Verdict::not_paired;
  return Verdict::allowed;
}

Answer refusal(Verdict verdict) {
  Answer out;
  const auto say = [&](int status, const char* kind, const char* what) {
    out = json_answer({{"error", {{"kind", kind}, {"what", what}, {"where", ""}}}}, status);
  };
  switch (verdict) {
    case Verdict::allowed:
      break;
    case Verdict::wrong_host:
      say(421, "refused", "This address is not one that the program answers to; open the one it printed when it started.");
      break;
    case Verdict::foreign_origin:
      say(403, "refused", "The request came from another page; nothing was changed.");
      break;
    case Verdict::wrong_type:
      say(415, "refused", "The request is of a type that is not taken here; nothing was changed.");
      break;
    case Verdict::not_paired:
      say(401, "not_paired", "This device is not paired with the book.");
      break;
  }
  return out;
}

std::string_view cookie_value(std::string_view header, std::string_view name) {
  while (!header.empty()) {
    const auto end = std::min(header.find(';'), header.size());
    auto pair = header.substr(0, end);
    while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
    if (const auto is = pair.find('='); is != std::string_view::npos && pair.substr(0, is) == name) return pair.substr(is + 1);
    header.remove_prefix(std::min(end + 1, header.size()));
  }
  return {};
}

}  // namespace headroom::http
