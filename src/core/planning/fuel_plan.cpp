#include "core/planning/fuel_plan.h"

#include <algorithm>
#include <cmath>

#include "core/planning/draws.h"

namespace headroom {

namespace {

bool fuel_within(double x, double low, double high) {
  return x >= low && x <= high;
}
Estimate<Volume> volume_of(std::vector<double>& draws, Basis basis) {
  const auto a = from_draws(draws, Dimension::volume, basis);
  return {Volume::from_si(a.low), Volume::from_si(a.mid), Volume::from_si(a.high), basis, {}};
}

}  // namespace

Result<FuelPlan> fuel_plan(const FuelQuestion& q) {
  const auto bad = [](const char* what) { return fail(ErrorKind::out_of_range, what); };
  double planned_h = 0;
  bool any_assumed = q.burn.usual.basis.kind != BasisKind::learned;
  for (const auto& t : q.planned) {
    if (!t.known()) return bad("the planned time of each phase is needed, 0 to 24 h");
    if (!fuel_within(in_hours(t.low), 0, 24) || !(t.low <= t.mid && t.mid <= t.high) || !fuel_within(in_hours(t.high), 0, 24))
      return bad("the planned time of a phase must be 0 to 24 h");
    planned_h += in_hours(t.mid);
    any_assumed = any_assumed || t.basis.kind == BasisKind::assumed;
  }
  if (!(planned_h > 0)) return bad("a planned flight has some time in one phase");
  if (!fuel_within(in_hours(q.held_back_time), 0, 12)) return bad("the time held back must be 0 to 12 h");
  if (!fuel_within(in_litres(q.held_back_volume), 0, 100)) return bad("the fuel held back must be 0 to 100 L");
  if (q.unusable.known() && !(in_litres(q.unusable.low) >= 0 && in_litres(q.unusable.high) <= 20))
    return bad("unusable fuel must be 0 to 20 L");
  if (q.in_tank && q.in_tank->known() && !(in_litres(q.in_tank->low) >= -0.01 && in_litres(q.in_tank->high) <= 200))
    return bad("the fuel in the tank must be 0 to 200 L");
  if (q.tank_holds && !fuel_within(in_litres(*q.tank_holds), 1, 200)) return bad("a tank must hold 1 to 200 L");
  if (!fuel_within(q.petrol_density.low, 600, 900) || !fuel_within(q.petrol_density.high, 600, 900))
    return bad("petrol must have 600 to 900 kg/m3");

  const bool tank_known = q.in_tank && q.in_tank->known();
  if (tank_known && q.in_tank->basis.kind == BasisKind::assumed) any_assumed = true;
  if (!q.unusable.known() || q.unusable.basis.kind == BasisKind::assumed) any_assumed = true;
  const Basis basis = any_assumed ? assumed() : q.burn.usual.basis;

  FuelPlan out;
  std::vector<double> need(kDraws), left(kDraws), have(kDraws), flight(kDraws), held(kDraws), endurance(kDraws);
  std::array<std::vector<double>, kBurnPhases> phase;
  for (auto& p : phase) p.resize(kDraws);
  const std::array<Amount, kBurnPhases> times{amount(q.planned[0]), amount(q.planned[1]), amount(q.planned[2])};
  const Amount unusable = amount(q.unusable);
  const Amount tank = tank_known ? amount(*q.in_tank) : Amount{};
  for (std::size_t i = 0; i < kDraws; ++i) {
    const auto b = draw_burn(q.burn, i);
    const double x = draw_flight_scatter(q.burn, i);
    std::array<double, kBurnPhases> t{};
    for (std::size_t j = 0; j < kBurnPhases; ++j) {
      t[j] = std::max(draw(times[j], Factor::planned, i), 0.0);
      phase[j][i] = b[j] * t[j] * x;
    }
    flight[i] = phase[0][i] + phase[1][i] + phase[2][i];
    held[i] = b[2] * q.held_back_time.si() + q.held_back_volume.si();
    // What stays in the tank was measured by somebody, like a field: its own draw, apart from the tank's level.
    const double dead = q.unusable.known() ? std::max(draw(unusable, Factor::survey, i), 0.0) : 0.0;
    need[i] = flight[i] + held[i] + dead;
    if (!tank_known) continue;
    have[i] = std::max(draw(tank, Factor::fuel_known, i), 0.0);
    left[i] = have[i] - need[i];
    const double to_level = have[i] - dead - held[i] - phase[0][i] - phase[1][i];
    endurance[i] = to_level > 0 ? t[0] + t[1] + to_level / std::max(b[2] * x, 1e-12)
                                // It runs out before the level part: what it lasts at the burn of the parts before.
                                : std::max(have[i] - dead - held[i], 0.0) /
                                      std::max((phase[0][i] + phase[1][i]) / std::max(t[0] + t[1], 1.0), 1e-12);
  }
  out.take_chance_short = any_assumed ? 0.01 : 0.05;
  std::vector<double> sorted = need;
  std::sort(sorted.begin(), sorted.end());
  const auto at = static_cast<std::size_t>(std::ceil((1 - out.take_chance_short) * static_cast<double>(kDraws)));
  out.take = litres(std::ceil(sorted[std::min(at, kDraws - 1)] * 1e4 - 1e-9) / 10);
  out.take_mass = kilograms(out.take.si() * q.petrol_density.high);
  out.more_than_tank = q.tank_holds && out.take > *q.tank_holds;
  out.burnt_in_flight = volume_of(flight, basis);
  out.held_back = volume_of(held, basis);
  for (std::size_t j = 0; j < kBurnPhases; ++j) out.by_phase[j] = volume_of(phase[j], q.burn.burn[j].basis);

  auto& m = out.margin;
  m.kind = MarginKind::fuel;
  m.id = "fuel";
  m.title = "Fuel for the planned flight";
  m.assumed = any_assumed;
  if (tank_known) m.chance_short = share_below_zero(left);
  m.need = from_draws(need, Dimension::volume, basis);
  m.why.push_back(Sentence("The flight burns {0}; {1} are held back.", {amount(out.burnt_in_flight), amount(out.held_back)}));
  if (q.unusable.known())
    m.why.push_back(Sentence("{0} stay in the tank and cannot be used.", {unusable}));
  else
    m.why.push_back("How much stays in the tank and cannot be used was never measured: none is subtracted.");
  m.why.push_back(q.burn.usual.basis.kind == BasisKind::learned
                      ? Sentence("Burn of your usual flight: {0}.", {amount(q.burn.usual)})
                      : Sentence("The burn, {0}, is assumed: there are too few refuels to tell.", {amount(q.burn.usual)}));
  if (tank_known) {
    m.have = from_draws(have, Dimension::volume, q.in_tank->basis);
    m.left = from_draws(left, Dimension::volume, basis);
    const auto e = from_draws(endurance, Dimension::duration, basis);
    out.endurance = {seconds(e.low), seconds(e.mid), seconds(e.high), basis, {}};
    m.state = margin_state(m.kind, m.chance_short, m.left.mid < 0, false, m.assumed);
  } else {
    m.have = m.left = unknown_amount(Dimension::volume, "never entered");
    out.endurance = unknown_estimate<Duration>("the fuel in the tank was never entered");
    m.measure.push_back("Enter how many litres are in the tank.");
    m.state = margin_state(m.kind, std::nullopt, false, false, m.assumed);
  }
  return out;
}

}  // namespace headroom
