#pragma once
#include "app/ports.h"

namespace headroom {

// A clock that stands still until it is set; one zone offset for all.
class FakeClock final : public Clock {
 public:
  explicit FakeClock(UtcTime t = utc(2026, 5, 2, 7, 10), int offset = 120) : time(t), offset_min(offset) {}
  UtcTime now() override { return time; }
  Result<int> offset_minutes(UtcTime, std::string_view zone) override {
    if (zone == "Nowhere/Unknown") return fail(ErrorKind::not_found, "no such zone", std::string(zone));
    return offset_min;
  }
  UtcTime time;
  int offset_min;
};

}  // namespace headroom
