#pragma once
#include "app/ports.h"

namespace headroom {

class SystemClock final : public Clock {
 public:
  [[nodiscard]] UtcTime now() override;
  [[nodiscard]] Result<int> offset_minutes(UtcTime t, std::string_view zone) override;
};

}  // namespace headroom
