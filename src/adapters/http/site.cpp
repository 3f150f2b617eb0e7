#include "adapters/http/site.h"

namespace headroom::http {

Site::Site(SiteOptions options)
    : options_(std::move(options)),
      own_(options_.make_ports(options_.book)),
      pairing_(options_.phones_file, *own_.files, *own_.random),
      own_desk_(std::make_shared<Desk>(options_.book, options_.make_ports, options_.choice)) {}

bool Site::season_made() {
  const std::lock_guard lock(mutex_);
  if (!season_made_) season_made_ = look_for_season();
  return *season_made_;
}

bool Site::look_for_season() {
  // The truth is written last: a season that was broken off is none.
  std::string start;
  return own_.files->read_start(options_.season_folder + "/truth-simulated.csv", start, 1).has_value() &&
         own_.files->read_start(season_book(), start, 1).has_value();
}

Result<std::shared_ptr<Desk>> Site::desk(std::string_view name) {
  const std::lock_guard lock(mutex_);
  if (name == "own") return own_desk_;
  if (name != "season") return fail(ErrorKind::not_found, "there are two books here: own and season");
  if (!season_desk_) {
    if (!look_for_season()) return fail(ErrorKind::not_found, "the invented season is not made yet");
    season_desk_ = std::make_shared<Desk>(season_book(), options_.make_ports, options_.choice);
  }
  return season_desk_;
}

void Site::season_changed() {
  const std::lock_guard lock(mutex_);
  season_desk_.reset();
  season_made_.reset();
}

UtcTime Site::now() {
  const std::lock_guard lock(mutex_);
  return own_.clock->now();
}

bool Site::paired(const Request& request) {
  return pairing_.knows(cookie_value(request.header("cookie"), kCookie), now());
}

}  // namespace headroom::http
