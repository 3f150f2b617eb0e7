#pragma once
// What hangs where: all-up mass, wing loading, reserve, harness and carabiners, and what more mass or thinner air does.
#include <optional>
#include <string>
#include <vector>

#include "core/estimate.h"
#include "core/margin.h"
#include "core/result.h"
#include "core/units.h"

namespace headroom {

struct KitItem {
  std::string name;
  Estimate<Mass> mass;  // 0 to 300 kg
};
// The sum. Spreads of weighed and learned items add in quadrature, those of assumed ones straight, as each side of the median
// has them. The basis is the weakest: an item without a mass makes the whole unknown, naming it.
// Errors: out_of_range for a mass beyond 0 to 300 kg.
[[nodiscard]] Result<Estimate<Mass>> all_up_mass(const std::vector<KitItem>& kit);

// Weight over flat area [N/m2], rho free. Range: mass 20 to 450 kg, area 8 to 60 m2.
[[nodiscard]] Result<Pressure> wing_loading(Mass mass, Area area);

// What speeds become: V2 = V1 sqrt((m2/m1)(rho1/rho2)), for trim, stall and sink alike (steady flight at one lift coefficient
// and glide). The run at one thrust: m V^2/(2 T), so (m2/m1)^2 rho1/rho2; a thrust that falls with density makes it
// (m2/m1)^2 (rho1/rho2)^2. Range: masses 20 to 450 kg, densities 0.5 to 1.6 kg/m3.
struct LoadEffect {
  double speeds = 1;              // trim, stall, sink: times
  double run_same_thrust = 1;     // run: times, thrust unchanged
  double run_falling_thrust = 1;  // run: times, thrust with density
};
[[nodiscard]] Result<LoadEffect> load_effect(Mass before, Mass after, Density before_air, Density after_air);

// Sink under a reserve of drag area S C_D: v = sqrt(2 m g/(rho S C_D)). Range: mass 20 to 450 kg, 0.5 to 1.6 kg/m3, 5 to 120 m2.
[[nodiscard]] Result<Speed> reserve_sink(Mass load, Density density, Area drag_area);
// The same from its rating: v = 5.5 m/s sqrt((m/m_rated)(1.225/rho)). EN 12491:2015, 4.3.1: mean sink, corrected to the standard
// atmosphere, below 5.5 m/s at the highest load; the rating is credited with just that.
inline constexpr Speed kReserveSink = metres_per_second(5.5);
[[nodiscard]] Result<Speed> rated_reserve_sink(Mass load, Mass rated, Density density);
// The load that sinks at 5.5 m/s in this air: m_rated rho/1.225, and no more than the rating.
[[nodiscard]] Result<Mass> reserve_load_at(Mass rated, Density density);
// The fall from which one arrives at a speed: v^2/(2 g).
[[nodiscard]] Length drop_height(Speed speed);
// Sum of the strengths of the first-level lines after bending that EN 926-1 asks for: the greater of 14 g m and 14000 N, g
// 9.81 m/s2 (by a retailer's summary; the standard was not read). Range: 20 to 450 kg.
[[nodiscard]] Result<Force> line_strength_asked(Mass load);

struct LoadLimits {
  std::optional<Mass> wing_least, wing_most;  // certified all-up range
  std::optional<Mass> reserve_most;           // rated load
  std::optional<Mass> harness_most, carabiners_most;
};
// Margins in kilograms: "load_on_wing", "load_on_reserve" (deadly kinds), "load_on_harness", "load_on_carabiners" (others). Have
// is the limit, need the mass that hangs on it. A limit that was never entered makes its margin unknown. A mass under the wing's
// least is said in the reasons and never ample. The wing does not hang on the reserve's bridle in still air but is carried down
// with it: the whole all-up mass counts on it; for harness and carabiners `hanging`, which is without the wing. Density [kg/m3]
// as an amount with its spread; unknown: the reserve's margin is unknown.
struct LoadQuestion {
  Estimate<Mass> all_up, hanging;
  Amount density;
  LoadLimits limits;
};
[[nodiscard]] Result<std::vector<Margin>> load_margins(const LoadQuestion& question);

}  // namespace headroom
