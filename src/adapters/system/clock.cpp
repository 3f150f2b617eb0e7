#include "adapters/system/clock.h"

#include <ctime>

namespace headroom {

UtcTime SystemClock::now() {
  return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

Result<int> SystemClock::offset_minutes(UtcTime t, std::string_view zone) {
  const auto unix_seconds = std::chrono::floor<std::chrono::seconds>(t).time_since_epoch().count();
  if (zone.empty()) {
    const std::time_t seconds = unix_seconds;
    std::tm local{};
    if (localtime_r(&seconds, &local) == nullptr) return fail(ErrorKind::out_of_range, "that time has no local form");
    return static_cast<int>(local.tm_gmtoff / 60);
  }
  auto known = zones_.find(zone);
  if (known == zones_.end()) {
    auto loaded = Zone::load(std::string(zone));
    if (!loaded) return tl::unexpected(loaded.error());
    known = zones_.emplace(zone, std::move(*loaded)).first;
  }
  return static_cast<int>(known->second.offset_seconds(unix_seconds) / 60);
}

}  // namespace headroom
