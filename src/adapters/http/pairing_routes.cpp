// Pairing a phone, and the phones that are paired.
#include <array>

#include "adapters/http/qr.h"
#include "adapters/http/routes.h"

namespace headroom::http {

namespace {

Answer pair(Site& site, const Request& request) {
  if (!site.options().share) return error_answer({ErrorKind::refused, "the program was not started for other devices", ""});
  const auto body = body_of(request);
  if (!body) return error_answer(body.error());
  const auto code = text_of(*body, "code", 40);
  if (!code) return error_answer(code.error());
  const auto token = site.pairing().redeem(*code, site.now());
  // Where the phones are kept is nobody's business.
  if (!token) return error_answer({token.error().kind, token.error().what, ""});
  if (!*token)
    return error_answer(
        {ErrorKind::bad_input, "this code is not the one that is good now; each is good once, for ten minutes", "code"});
  Answer out;
  out.status = 204;
  constexpr auto kLasts_s = std::chrono::seconds(kTokenLasts).count();
  out.headers.emplace_back("Set-Cookie", std::string(kCookie) + "=" + **token +
                                             "; Path=/; HttpOnly; SameSite=Strict; Max-Age=" + std::to_string(kLasts_s));
  return out;
}

// Only who sits at the machine itself may see codes: a paired phone cannot let others in.
std::optional<Answer> elsewhere(const Request& request) {
  if (is_here(request)) return std::nullopt;
  return error_answer({ErrorKind::refused, "pairing is done on the computer that holds the book", ""});
}

Answer pairing_answer(Site& site, const std::string& code) {
  AnswerJson out = {{"share", site.options().share}};
  if (site.options().share) {
    const auto address = site.options().address;
    const auto qr = qr_code(address + "/#/book/" + code);
    out["code"] = code.substr(0, 4) + " " + code.substr(4);
    out["address"] = address;
    out["qr_svg_path"] = qr.svg_path();
    out["qr_size"] = qr.size;
  }
  auto phones = AnswerJson::array();
  for (const auto& p : site.pairing().phones(site.now())) phones.push_back({{"mark", p.mark}, {"since", rfc3339(p.since)}});
  out["phones"] = phones;
  return json_answer(out);
}

Answer show_pairing(Site& site, const Request& request) {
  if (auto no = elsewhere(request)) return *no;
  return pairing_answer(site, site.options().share ? site.pairing().code(site.now()) : std::string());
}

Answer new_pairing(Site& site, const Request& request) {
  if (auto no = elsewhere(request)) return *no;
  return pairing_answer(site, site.options().share ? site.pairing().new_code(site.now()) : std::string());
}

Answer forget_phone(Site& site, const Request& request) {
  if (auto no = elsewhere(request)) return *no;
  if (auto gone = site.pairing().forget(request.captured.front()); !gone) return error_answer(gone.error());
  Answer out;
  out.status = 204;
  return out;
}

constexpr std::array kPairingRoutes = {
    Route{Method::post, "/api/pair", pair, Takes::json, true},
    Route{Method::get, "/api/pairing", show_pairing},
    Route{Method::post, "/api/pairing", new_pairing, Takes::json},
    Route{Method::remove, "/api/pairing/{mark}", forget_phone},
};

}  // namespace

std::span<const Route> pairing_routes() {
  return kPairingRoutes;
}

}  // namespace headroom::http
