#include "app/part_history.h"

#include <algorithm>

#include "core/upkeep/service_list.h"

namespace headroom {

namespace {

bool fitted_at(const PartState& part, UtcTime t) {
  return std::any_of(part.fitted.begin(), part.fitted.end(),
                     [&](const Fitted& f) { return (f.from_before || f.from <= t) && (!f.to || t < *f.to); });
}

bool stands_for(const PartState& part, std::string_view role) {
  return part.role == role || part.role == assembly_of(role);
}

struct Speaks {
  const BookEntry& entry;
  const PartState& part;
  const State& state;

  bool named(const std::optional<EntryId>& id, std::string_view role_if_not) const {
    if (id) return *id == part.id;
    return !role_if_not.empty() && stands_for(part, role_if_not) && fitted_at(part, entry.at);
  }
  bool operator()(const PartRegistered&) const { return entry.entry->header.id == part.id; }
  bool operator()(const PartFitted& f) const { return f.part == part.id; }
  bool operator()(const PartRemoved& f) const { return f.part == part.id; }
  bool operator()(const ServiceDone& f) const {
    std::string role;
    for (const auto& line : service_list(state))
      if (line.line == f.line) role = line.role;
    return named(f.part, role);
  }
  bool operator()(const CounterRead& f) const { return named(f.part, f.counter == Counter::running ? "engine" : "wing"); }
  bool operator()(const Reading& f) const {
    return named(f.part, f.quantity == kHeadMaximum ? "engine" : f.quantity == kPorosity ? "wing" : "");
  }
  bool operator()(const PlugRead&) const { return named(std::nullopt, "engine"); }
  bool operator()(const EngineRun&) const { return named(std::nullopt, "engine"); }
  bool operator()(const GroundHandling&) const { return named(std::nullopt, "wing"); }
  bool operator()(const Finding& f) const { return f.part == part.id; }
  bool operator()(const FindingClosed& f) const {
    return std::any_of(state.findings.begin(), state.findings.end(),
                       [&](const FindingState& open) { return open.id == f.finding && open.part == part.id; });
  }
  bool operator()(const Alteration& f) const {
    std::string role = f.area;
    if (f.area == "lines") role = "wing";
    if (f.area == "jet" || f.area == "plug" || f.area == "oil") role = "engine";
    if (f.area == "undercarriage") role = "cart";
    if (f.area == "seats") role = "harness";
    return named(f.part, role);
  }
  bool operator()(const DrillPractised& f) const { return f.drill == "reserve" && named(std::nullopt, "reserve"); }
  template <class Other>
  bool operator()(const Other&) const {
    return false;
  }
};

}  // namespace

bool speaks_of_part(const BookEntry& entry, const PartState& part, const State& state) {
  const auto* facts = entry.facts;
  if (facts == nullptr) facts = std::get_if<PlainFacts>(&entry.entry->facts);  // voided: what it said
  return facts != nullptr && std::visit(Speaks{entry, part, state}, *facts);
}

PartFlights flights_with(const PartState& part, const State& state) {
  PartFlights out;
  for (const auto& f : state.flights) {
    if (!f.counts) continue;
    const bool carried = std::any_of(part.fitted.begin(), part.fitted.end(), [&](const Fitted& on) {
      return on.machine == f.machine && (on.from_before || on.from <= f.launch) && (!on.to || f.launch < *on.to);
    });
    if (!carried) continue;
    ++out.flights;
    out.air_time = out.air_time + f.air_time;
    if (!out.first) out.first = f.launch;
    out.last = f.launch;
  }
  return out;
}

}  // namespace headroom
