#pragma once
// Figures of a machine and of its owner's rules that a brief computes with: weighed, measured or read off a plate once, entered
// by hand, the latest counting. They are kept as readings under these keys.
#include <optional>
#include <span>
#include <string_view>

#include "core/book/state.h"
#include "core/estimate.h"

namespace headroom {

struct MachineFigure {
  std::string_view key;    // as in the book: "wing_area"
  std::string_view words;  // as shown: "flat wing area"
  Dimension dimension = Dimension::none;
  std::string_view unit;  // SI, as kept: "kg", "m", "m/s", "m3", "m2", "N", "K"
  double low = 0, high = 0;
  bool of_pilot = false;  // belongs to who flies, not to the machine
};

namespace figure {
inline constexpr MachineFigure machine_mass{
    "machine_mass", "mass of the machine with an empty tank, harness and reserve in it", Dimension::mass, "kg", 5, 200};
inline constexpr MachineFigure wing_mass{"wing_mass", "mass of the wing", Dimension::mass, "kg", 1, 20};
inline constexpr MachineFigure wing_area{"wing_area", "flat wing area", Dimension::none, "m2", 8, 60};
inline constexpr MachineFigure wing_least{"wing_least", "least all-up mass of the wing", Dimension::mass, "kg", 30, 400};
inline constexpr MachineFigure wing_most{"wing_most", "most all-up mass of the wing", Dimension::mass, "kg", 40, 450};
inline constexpr MachineFigure reserve_most{"reserve_most", "rated load of the reserve", Dimension::mass, "kg", 40, 450};
inline constexpr MachineFigure harness_most{"harness_most", "rated load of the harness", Dimension::mass, "kg", 40, 450};
inline constexpr MachineFigure carabiners_most{
    "carabiners_most", "rated load of the carabiners", Dimension::mass, "kg", 40, 5000};
inline constexpr MachineFigure static_thrust{"static_thrust", "thrust standing still", Dimension::none, "N", 50, 2500};
inline constexpr MachineFigure propeller_diameter{
    "propeller_diameter", "diameter of the propeller", Dimension::length, "m", 0.5, 2.5};
inline constexpr MachineFigure tank_holds{"tank_holds", "what the tank holds", Dimension::volume, "m3", 0.001, 0.1};
inline constexpr MachineFigure unusable_fuel{
    "unusable_fuel", "fuel that the engine cannot draw", Dimension::volume, "m3", 0, 0.02};
inline constexpr MachineFigure step_length{"step_length", "one step", Dimension::length, "m", 0.3, 1.5, true};
inline constexpr MachineFigure limit_wind{"limit_wind", "own limit of the mean wind", Dimension::speed, "m/s", 1, 15, true};
inline constexpr MachineFigure limit_gust_spread{
    "limit_gust_spread", "own limit of gust above mean", Dimension::speed, "m/s", 0.5, 10, true};
inline constexpr MachineFigure limit_crosswind{
    "limit_crosswind", "own limit of the wind across the strip", Dimension::speed, "m/s", 0.5, 10, true};
inline constexpr MachineFigure limit_head{"limit_head", "own limit of the head temperature", Dimension::temperature, "K", 353,
                                          573};
// The owner's own rules of the sky, in place of 14 CFR 103.23.
inline constexpr MachineFigure least_visibility{
    "least_visibility", "least visibility to fly in", Dimension::length, "m", 100, 50000, true};
inline constexpr MachineFigure least_cloud_base{
    "least_cloud_base", "least height of the cloud base above the field", Dimension::length, "m", 30, 5000, true};
// The owner's own light rule, in place of sunset: how long before sunrise and after sunset; negative keeps away from them.
inline constexpr MachineFigure light_before_sunrise{
    "light_before_sunrise", "light counted before sunrise", Dimension::duration, "s", -10800, 10800, true};
inline constexpr MachineFigure light_after_sunset{
    "light_after_sunset", "light counted after sunset", Dimension::duration, "s", -10800, 10800, true};
}  // namespace figure

[[nodiscard]] std::span<const MachineFigure> machine_figures();
[[nodiscard]] const MachineFigure* find_figure(std::string_view key);
// What a figure is kept under: its own key, and for a pilot other than the owner "limit_wind@ID".
[[nodiscard]] std::string figure_key(const MachineFigure& figure, const std::optional<EntryId>& other_pilot);
// Whose figures stand under the plain keys: the first pilot who was registered, and not assumed.
[[nodiscard]] std::optional<EntryId> owner_of(const State& state);
// The latest value entered, measured, of the machine or of the pilot who flies (state.pilot); nothing when there is none.
[[nodiscard]] std::optional<double> figure_of(const State& state, const MachineFigure& figure);

// One piece of kit: its last mass, and where on the machine it goes. Kept as a reading "kit.NAME" or "kit.NAME.PLACE" [kg]; a
// mass of nothing takes it off the list.
struct KitPiece {
  std::string name, place;
  Mass mass;
};
[[nodiscard]] std::vector<KitPiece> kit_of(const State& state);

}  // namespace headroom
