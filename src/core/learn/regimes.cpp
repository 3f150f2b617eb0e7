#include "core/learn/regimes.h"

#include <algorithm>
#include <iterator>
#include <optional>

namespace headroom {

namespace {

bool regime_fitted(const PartState& part, const EntryId& machine, UtcTime at) {
  return std::any_of(part.fitted.begin(), part.fitted.end(), [&](const Fitted& f) {
    return f.machine == machine && (f.from_before || f.from <= at) && (!f.to || at < *f.to);
  });
}
// The machine an alteration without a part was made to.
std::optional<EntryId> regime_machine(const State& state, UtcTime at) {
  const auto& all = state.flights;
  const auto after = std::upper_bound(all.begin(), all.end(), at, [](UtcTime t, const FlightState& f) { return t < f.launch; });
  const auto counts = [](const FlightState& f) { return f.counts; };
  const auto before = std::find_if(std::make_reverse_iterator(after), all.rend(), counts);
  if (before != all.rend()) return before->machine;
  const auto next = std::find_if(after, all.end(), counts);
  return next != all.end() ? next->machine : state.machine;
}
std::string_view regime_role(std::string_view area) {
  if (area == "wing" || area == "lines") return "wing";
  if (area == "propeller") return "propeller";
  return {};
}

}  // namespace

bool touches(std::string_view area, LearnedKind kind) {
  const RegimeRow* row =
      std::find_if(std::begin(kRegimeTable), std::end(kRegimeTable) - 1, [&](const RegimeRow& r) { return r.area == area; });
  return row->touches[static_cast<std::size_t>(kind)];
}

Configuration configuration(const State& state, LearnedKind kind, const EntryId& machine, UtcTime at) {
  Configuration out;
  for (const auto& part : state.parts)
    if ((part.role == "wing" || part.role == "propeller") && touches(part.role, kind) && regime_fitted(part, machine, at))
      out.ids.push_back(part.id);
  for (const auto& change : state.alterations) {
    if (change.at > at || !touches(change.area, kind)) continue;
    bool in_force = false;
    if (change.part) {
      const auto* part = state.part(*change.part);
      in_force = part && regime_fitted(*part, machine, at);
    } else if (regime_machine(state, change.at) == machine) {
      const auto role = regime_role(change.area);
      const auto of = std::find_if(state.parts.begin(), state.parts.end(),
                                   [&](const PartState& p) { return p.role == role && regime_fitted(p, machine, change.at); });
      in_force = role.empty() || of == state.parts.end() || regime_fitted(*of, machine, at);
    }
    if (in_force) out.ids.push_back(change.id);
  }
  std::sort(out.ids.begin(), out.ids.end());
  return out;
}

}  // namespace headroom
