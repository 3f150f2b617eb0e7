#pragma once
// All that the routes share: the owner's book, the invented season when there is one, jobs, pairing, the page's files.
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "adapters/http/asset.h"
#include "adapters/http/desk.h"
#include "adapters/http/guard.h"
#include "adapters/http/jobs.h"
#include "adapters/http/pairing.h"

namespace headroom::http {

struct SiteOptions {
  std::string version;
  std::string book;           // place of the owner's book; empty: the default one
  std::string season_folder;  // where an invented season is made and removed
  std::string upload_folder;  // where bodies of bytes are streamed to
  std::string phones_file;    // of Pairing
  std::string map_file;       // the owner's PMTiles file; empty: none
  SessionChoice choice;
  bool share = false;
  std::string address;  // where a phone finds it: "http://192.168.1.20:8093"
  std::span<const Asset> assets;
  MakePorts make_ports;
};

class Site {
 public:
  explicit Site(SiteOptions options);

  [[nodiscard]] const SiteOptions& options() const { return options_; }
  // "own" or "season"; not_found for anything else, and for a season that is not made.
  [[nodiscard]] Result<std::shared_ptr<Desk>> desk(std::string_view name);
  [[nodiscard]] bool season_made();
  // The season has been made or removed: its desk is opened anew.
  void season_changed();
  [[nodiscard]] std::string season_book() const { return options_.season_folder + "/book.db"; }
  [[nodiscard]] Jobs& jobs() { return jobs_; }
  [[nodiscard]] Pairing& pairing() { return pairing_; }
  [[nodiscard]] UtcTime now();
  void set_address(std::string address) { options_.address = std::move(address); }
  [[nodiscard]] bool paired(const Request& request);

 private:
  SiteOptions options_;
  OwnPorts own_;  // for what belongs to no book: clock, chance, files
  Pairing pairing_;
  std::mutex mutex_;
  std::shared_ptr<Desk> own_desk_, season_desk_;
  std::optional<bool> season_made_;  // as last looked at
  [[nodiscard]] bool look_for_season();
  Jobs jobs_;  // last: its thread ends before what its jobs use
};

inline constexpr std::string_view kCookie = "headroom_phone";

}  // namespace headroom::http
