#pragma once
// The service list: a default for a small two-stroke machine, every line the owner's to change.
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/book/state.h"

namespace headroom {

inline constexpr std::string_view kServiceBasis = "common practice; your manual comes first";

struct ServiceLine {
  std::string line;   // stable key
  std::string title;  // "Spark plug: renew"
  PartRole role;
  std::optional<Duration> running, air, calendar;
  std::optional<int> launches;
  bool reserve = false;    // reserve repack or life
  bool from_made = false;  // a life: counted from manufacture, not from the last service
  bool once = false;       // only in the first hours of a part's life: done once, never due again
  bool own = false;        // set or changed by the owner
  std::string basis = std::string(kServiceBasis);
};

// Looked at before each flight; not due lines.
struct CheckItem {
  std::string_view check;  // stable key
  std::string_view title;
};

// The assembly whose counters stand in for a part that is not registered on its own: the engine for a carburettor, the
// frame for an instrument. The role itself when it is an assembly.
[[nodiscard]] std::string_view assembly_of(std::string_view role);

[[nodiscard]] const std::vector<ServiceLine>& default_service_list();
[[nodiscard]] const std::vector<CheckItem>& each_flight_checks();
// Looked at on arriving at the field, before anything is laid out. Common practice, no source.
[[nodiscard]] const std::vector<CheckItem>& arriving_checks();
// The default list with the owner's `service_line_set` entries applied: a line is replaced whole, dropped or added.
[[nodiscard]] std::vector<ServiceLine> service_list(const State& state);

}  // namespace headroom
