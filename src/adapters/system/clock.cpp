#include "adapters/system/clock.h"

#include <ctime>

namespace headroom {

UtcTime SystemClock::now() {
  return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

Result<int> SystemClock::offset_minutes(UtcTime t, std::string_view) {
  const std::time_t seconds = std::chrono::system_clock::to_time_t(t);
  std::tm local{};
  if (localtime_r(&seconds, &local) == nullptr) return fail(ErrorKind::out_of_range, "that time has no local form");
  return static_cast<int>(local.tm_gmtoff / 60);
}

}  // namespace headroom
