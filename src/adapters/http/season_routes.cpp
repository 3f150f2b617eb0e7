// The invented season: made to look around in, and removed again.
#include <array>
#include <filesystem>

#include "adapters/http/routes.h"
#include "app/demo.h"

namespace headroom::http {

namespace {

void remove_season(const Site& site) {
  std::error_code ignored;
  std::filesystem::remove_all(site.options().season_folder, ignored);
}

Answer make_season(Site& site, const Request&) {
  const auto job = site.jobs().start([&site](Progress& progress) -> Result<AnswerJson> {
    if (site.season_made()) return AnswerJson{{"made", true}};
    remove_season(site);
    auto own = site.options().make_ports(site.season_book());
    Ports ports{*own.book, *own.cache, *own.clock, *own.random, *own.files, progress};
    const auto made = make_demo({site.options().season_folder, std::nullopt}, ports);
    if (!made) {
      remove_season(site);
      return tl::unexpected<Error>(made.error());
    }
    site.season_changed();
    return AnswerJson{{"made", true}, {"flown", made->flown}};
  });
  if (!job) return error_answer(job.error());
  return json_answer({{"job", *job}}, 202);
}

Answer leave_season(Site& site, const Request&) {
  site.season_changed();
  remove_season(site);
  site.season_changed();
  Answer out;
  out.status = 204;
  return out;
}

constexpr std::array kSeasonRoutes = {
    Route{Method::post, "/api/season", make_season, Takes::json},
    Route{Method::remove, "/api/season", leave_season},
};

}  // namespace

std::span<const Route> season_routes() {
  return kSeasonRoutes;
}

}  // namespace headroom::http
