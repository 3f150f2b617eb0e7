#include "core/upkeep/service_list.h"

#include <algorithm>

namespace headroom {

namespace {

ServiceLine line_of(std::string key, std::string title, PartRole role) {
  ServiceLine line;
  line.line = std::move(key);
  line.title = std::move(title);
  line.role = std::move(role);
  return line;
}

// Where makers give a span, the early end stands here: an interval too short costs a look, one too long an engine.
std::vector<ServiceLine> make_list() {
  constexpr Duration month = days(30.436875), year = days(365.2425);
  std::vector<ServiceLine> out;
  const auto add = [&](ServiceLine line) { out.push_back(std::move(line)); };
  const auto by_running = [&](const char* key, const char* title, const char* role, double h,
                              std::optional<Duration> calendar = std::nullopt) {
    auto line = line_of(key, title, role);
    line.running = hours(h);
    line.calendar = calendar;
    add(std::move(line));
  };
  const auto by_calendar = [&](const char* key, const char* title, const char* role, Duration calendar) {
    auto line = line_of(key, title, role);
    line.calendar = calendar;
    add(std::move(line));
  };
  auto first = line_of("first_torque", "Fasteners after the first hours: torque again", "engine");
  first.running = hours(5);
  first.once = true;
  add(std::move(first));
  by_running("plug", "Spark plug: renew", "ignition", 25);
  by_running("carburettor_kit", "Carburettor diaphragm kit: renew", "carburettor", 50, year);
  auto belt_first = line_of("belt_first", "New belt: tension again", "drive");
  belt_first.running = hours(1);
  belt_first.once = true;
  add(std::move(belt_first));
  by_running("belt", "Belt: tension", "drive", 50);
  by_running("reeds", "Reeds: look and renew as needed", "engine", 100);
  by_running("decarbonise", "Decarbonise", "engine", 100);
  by_running("piston_check", "Piston and rings: check", "engine", 100);
  by_running("piston", "Piston and rings: renew", "engine", 150);
  by_running("crank", "Crank and bearings: renew", "engine", 300);
  by_calendar("starter_cord", "Starter cord: renew", "engine", year);
  by_running("rubber_mounts", "Rubber mounts: renew", "frame", 50);
  by_calendar("fuel_hose", "Fuel hose: renew", "fuel_system", year);
  auto wing = line_of("wing_check", "Wing: check by a workshop", "wing");
  wing.air = hours(100);
  wing.calendar = month * 24;
  add(std::move(wing));
  auto repack = line_of("reserve_repack", "Reserve: repack", "reserve");
  repack.calendar = month * 6;
  repack.reserve = true;
  add(std::move(repack));
  auto life = line_of("reserve_life", "Reserve: end of life", "reserve");
  life.calendar = year * 10;
  life.reserve = true;
  life.from_made = true;
  add(std::move(life));
  by_calendar("carabiners", "Carabiners: renew", "harness", year * 3);
  by_calendar("harness_check", "Harness: inspect", "harness", year);
  return out;
}

ServiceLine from_entry(const ServiceLineSet& set, const ServiceLine* known) {
  ServiceLine line = known ? *known : ServiceLine{};
  line.line = set.line;
  if (!set.title.empty()) line.title = set.title;
  if (line.title.empty()) line.title = set.line;
  if (!set.role.empty()) line.role = set.role;
  line.running = set.running;
  line.air = set.air;
  line.calendar = set.calendar;
  line.launches = set.launches;
  line.reserve = set.reserve || line.reserve;
  line.own = true;
  line.basis = set.basis.empty() ? "set by the owner" : set.basis;
  return line;
}

}  // namespace

std::string_view assembly_of(std::string_view role) {
  if (role == "carburettor" || role == "exhaust" || role == "ignition" || role == "fuel_system") return "engine";
  if (role == "instrument" || role == "cart") return "frame";
  return role;
}

const std::vector<ServiceLine>& default_service_list() {
  static const std::vector<ServiceLine> list = make_list();
  return list;
}

const std::vector<CheckItem>& each_flight_checks() {
  static const std::vector<CheckItem> list = {
      {"fasteners", "Fasteners tight"}, {"springs", "Exhaust springs in place and secured"},
      {"mounts", "Mounts whole"},       {"welds", "Welds and frame whole"},
      {"net", "Cage net whole"},        {"propeller", "Propeller whole, its bolts tight"},
  };
  return list;
}

const std::vector<CheckItem>& arriving_checks() {
  static const std::vector<CheckItem> list = {
      {"ground_allowed", "Whose ground it is, and that it may be used today"},
      {"strip_looked_at", "Strip and its far end looked at on foot: holes, wires, fences, crop"},
      {"wind_watched", "Wind watched for some minutes: where from, how steady, what it does behind trees"},
      {"sky_looked_at", "Sky looked at all round, and the last report read"},
      {"people_animals", "People and animals away from propeller and strip"},
      {"well_and_rested", "Well, rested, sober, and not pressed for time"},
  };
  return list;
}

std::vector<ServiceLine> service_list(const State& state) {
  std::vector<ServiceLine> out;
  for (const auto& line : default_service_list()) {
    const auto own = state.service_lines.find(line.line);
    if (own == state.service_lines.end())
      out.push_back(line);
    else if (!own->second.set.dropped)
      out.push_back(from_entry(own->second.set, &line));
  }
  for (const auto& [key, own] : state.service_lines) {
    const bool known = std::any_of(default_service_list().begin(), default_service_list().end(),
                                   [&, &wanted = key](const ServiceLine& line) { return line.line == wanted; });
    if (!known && !own.set.dropped) out.push_back(from_entry(own.set, nullptr));
  }
  return out;
}

}  // namespace headroom
