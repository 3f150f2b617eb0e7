#pragma once
#include <map>
#include <string>

#include "adapters/system/zone.h"
#include "app/ports.h"

namespace headroom {

class SystemClock final : public Clock {
 public:
  [[nodiscard]] UtcTime now() override;
  // not_found for a zone that the system does not have.
  [[nodiscard]] Result<int> offset_minutes(UtcTime t, std::string_view zone) override;

 private:
  std::map<std::string, Zone, std::less<>> zones_;  // loaded when first asked for
};

}  // namespace headroom
