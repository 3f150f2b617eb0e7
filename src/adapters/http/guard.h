#pragma once
// Who may ask what: the checks that stand before every route. Pure: the machine's own names, the paired phones and the clock
// are arguments.
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "adapters/http/message.h"

namespace headroom::http {

struct GuardRules {
  std::set<std::string, std::less<>> hosts;  // Host headers that are ours, in small letters, with the port: "127.0.0.1:8093"
  bool share = false;                        // other machines may ask, once paired
};

// An address of the machine that serves.
[[nodiscard]] bool is_loopback(std::string_view address);

// Asked by a browser on this machine itself. What a forwarder here passes on for others comes from loopback too, but says so:
// Forwarded (RFC 7239), Via (RFC 9110, section 7.6.3), X-Forwarded-For and X-Real-IP (common practice).
[[nodiscard]] bool is_here(const Request& request);

enum class Verdict : std::uint8_t {
  allowed,
  wrong_host,      // the name asked for is not ours: somebody else's page behind a name that points here
  foreign_origin,  // a change asked for by another page
  wrong_type,      // a change whose body a foreign form could send
  not_paired,
};

// RFC 9110 section 7.2 (Host), RFC 6454 section 7 (Origin), Fetch Metadata (Sec-Fetch-Site) where the browser sends it.
// `paired`: the request carries the token of a paired phone; `open_to_all`: the route may be asked without (assets, pairing).
[[nodiscard]] Verdict judge(const Request& request, const GuardRules& rules, bool paired, bool open_to_all);
[[nodiscard]] Answer refusal(Verdict verdict);

// The value of one cookie of a Cookie header (RFC 6265 section 4.2); empty if it is not there.
[[nodiscard]] std::string_view cookie_value(std::string_view header, std::string_view name);

}  // namespace headroom::http
