#include "core/machine/figures.h"

#include <array>

namespace headroom {
namespace {

constexpr std::array kMachineFigures{figure::machine_mass,       figure::wing_mass,        figure::wing_area,
                                     figure::wing_least,         figure::wing_most,        figure::reserve_most,
                                     figure::harness_most,       figure::carabiners_most,  figure::static_thrust,
                                     figure::propeller_diameter, figure::tank_holds,       figure::unusable_fuel,
                                     figure::step_length,        figure::limit_wind,       figure::limit_gust_spread,
                                     figure::limit_crosswind,    figure::limit_head,       figure::light_before_sunrise,
                                     figure::light_after_sunset, figure::least_visibility, figure::least_cloud_base};

}  // namespace

std::span<const MachineFigure> machine_figures() {
  return kMachineFigures;
}
const MachineFigure* find_figure(std::string_view key) {
  key = key.substr(0, key.find('@'));
  for (const auto& f : kMachineFigures)
    if (f.key == key) return &f;
  return nullptr;
}
std::string figure_key(const MachineFigure& figure, const std::optional<EntryId>& other_pilot) {
  return std::string(figure.key) + (other_pilot ? "@" + other_pilot->text() : "");
}
std::optional<EntryId> owner_of(const State& state) {
  for (const PilotState& p : state.pilots)
    if (!p.assumed) return p.id;
  return std::nullopt;
}
std::optional<double> figure_of(const State& state, const MachineFigure& figure) {
  std::optional<EntryId> other;
  if (figure.of_pilot && state.pilot) {
    const auto* pilot = state.find_pilot(*state.pilot);
    if (const auto owner = owner_of(state); owner && pilot != nullptr && !pilot->assumed && *state.pilot != *owner)
      other = state.pilot;
  }
  const auto it = state.readings.find(figure_key(figure, other));
  if (it == state.readings.end() || it->second.empty()) return std::nullopt;
  return it->second.back().value;
}

std::vector<KitPiece> kit_of(const State& state) {
  std::vector<KitPiece> kit;
  constexpr std::string_view kPrefix = "kit.";
  for (const auto& [quantity, samples] : state.readings) {
    if (!quantity.starts_with(kPrefix) || samples.empty() || !(samples.back().value > 0)) continue;
    std::string name = quantity.substr(kPrefix.size()), place;
    if (const auto dot = name.find('.'); dot != std::string::npos) {
      place = name.substr(dot + 1);
      name.resize(dot);
    }
    kit.push_back({std::move(name), std::move(place), kilograms(samples.back().value)});
  }
  return kit;
}

}  // namespace headroom
