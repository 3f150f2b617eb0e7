#include "core/planning/load.h"

#include <algorithm>
#include <cmath>

#include "core/planning/draws.h"

namespace headroom {

namespace {

constexpr double kLoadGravity = 9.80665, kLoadStandardDensity = 1.225;

bool load_mass_ok(Mass m) {
  return m.si() >= 20 && m.si() <= 450;
}
bool load_density_ok(Density d) {
  return d.si() >= 0.5 && d.si() <= 1.6;
}
tl::unexpected<Error> load_mass_bad() {
  return fail(ErrorKind::out_of_range, "a hanging mass must be 20 to 450 kg");
}
tl::unexpected<Error> load_density_bad() {
  return fail(ErrorKind::out_of_range, "the density of the air must be 0.5 to 1.6 kg/m3");
}

}  // namespace

Result<Estimate<Mass>> all_up_mass(const std::vector<KitItem>& kit) {
  if (kit.empty()) return unknown_estimate<Mass>("no item has been entered");
  double mid = 0, low_sum = 0, high_sum = 0, low_square = 0, high_square = 0;
  bool any_assumed = false, all_weighed = true;
  int n = 0;
  for (const auto& item : kit) {
    const auto& m = item.mass;
    if (!m.known()) return unknown_estimate<Mass>("the mass of \"" + item.name + "\" was never entered");
    if (!(m.low.si() >= 0 && m.low <= m.mid && m.mid <= m.high && m.high.si() <= 300))
      return fail(ErrorKind::out_of_range, "a mass of the kit must be 0 to 300 kg", item.name);
    mid += m.mid.si();
    const double down = (m.mid - m.low).si(), up = (m.high - m.mid).si();
    if (m.basis.kind == BasisKind::assumed) {
      any_assumed = true;
      low_sum += down;
      high_sum += up;
    } else {
      low_square += down * down;
      high_square += up * up;
    }
    if (m.basis.kind != BasisKind::measured) all_weighed = false;
    if (m.basis.kind == BasisKind::learned) n = n == 0 ? m.basis.n : std::min(n, m.basis.n);
  }
  const Basis basis = any_assumed ? assumed() : all_weighed ? measured() : learned_from(n);
  return make_estimate(kilograms(mid - low_sum - std::sqrt(low_square)), kilograms(mid),
                       kilograms(mid + high_sum + std::sqrt(high_square)), basis);
}

Result<Pressure> wing_loading(Mass mass, Area area) {
  if (!load_mass_ok(mass)) return load_mass_bad();
  if (!(area.si() >= 8 && area.si() <= 60)) return fail(ErrorKind::out_of_range, "the flat area of the wing must be 8 to 60 m2");
  return pascals(mass.si() * kLoadGravity / area.si());
}

Result<LoadEffect> load_effect(Mass before, Mass after, Density air1, Density air2) {
  if (!load_mass_ok(before) || !load_mass_ok(after)) return load_mass_bad();
  if (!load_density_ok(air1) || !load_density_ok(air2)) return load_density_bad();
  const double m = after / before, r = air1 / air2;
  return LoadEffect{std::sqrt(m * r), m * m * r, m * m * r * r};
}

Result<Speed> reserve_sink(Mass load, Density density, Area drag_area) {
  if (!load_mass_ok(load)) return load_mass_bad();
  if (!load_density_ok(density)) return load_density_bad();
  if (!(drag_area.si() >= 5 && drag_area.si() <= 120))
    return fail(ErrorKind::out_of_range, "a reserve's drag area must be 5 to 120 m2");
  return metres_per_second(std::sqrt(2 * load.si() * kLoadGravity / (density.si() * drag_area.si())));
}

Result<Speed> rated_reserve_sink(Mass load, Mass rated, Density density) {
  if (!load_mass_ok(load) || !load_mass_ok(rated)) return load_mass_bad();
  if (!load_density_ok(density)) return load_density_bad();
  return kReserveSink * std::sqrt((load / rated) * (kLoadStandardDensity / density.si()));
}

Result<Mass> reserve_load_at(Mass rated, Density density) {
  if (!load_mass_ok(rated)) return load_mass_bad();
  if (!load_density_ok(density)) return load_density_bad();
  return rated * std::min(density.si() / kLoadStandardDensity, 1.0);
}

Length drop_height(Speed speed) {
  return metres(speed.si() * speed.si() / (2 * kLoadGravity));
}

Result<Force> line_strength_asked(Mass load) {
  if (!load_mass_ok(load)) return load_mass_bad();
  return newtons(std::max(14 * 9.81 * load.si(), 14000.0));
}

Result<std::vector<Margin>> load_margins(const LoadQuestion& q) {
  for (const auto& limit :
       {q.limits.wing_least, q.limits.wing_most, q.limits.reserve_most, q.limits.harness_most, q.limits.carabiners_most})
    // A pair of carabiners is rated for tonnes.
    if (limit && !(limit->si() >= 20 && limit->si() <= 5000))
      return fail(ErrorKind::out_of_range, "a rated load must be 20 to 5000 kg");
  for (const auto* m : {&q.all_up, &q.hanging})
    if (m->known() && !(load_mass_ok(m->low) && load_mass_ok(m->high))) return load_mass_bad();
  if (q.density.known() &&
      !(load_density_ok(Density::from_si(q.density.low)) && load_density_ok(Density::from_si(q.density.high))))
    return load_density_bad();

  std::vector<Margin> out;
  const auto add = [&](MarginKind kind, const char* id, const char* title, const std::optional<Mass>& limit,
                       const Estimate<Mass>& load, bool in_air, const char* measure) {
    Margin m;
    m.kind = kind;
    m.id = id;
    m.title = title;
    const Amount need = amount(load);
    m.assumed = need.basis.kind == BasisKind::assumed || (in_air && q.density.basis.kind == BasisKind::assumed);
    m.need = need;
    if (!limit) m.measure.push_back(measure);
    if (!need.known()) m.measure.push_back("Weigh pilot, machine, wing and kit, and enter the masses.");
    if (in_air && !q.density.known()) m.measure.push_back("Enter pressure and temperature, or a weather report.");
    if (!m.measure.empty()) {
      m.have = limit ? exact_amount(Dimension::mass, limit->si()) : unknown_amount(Dimension::mass, "never entered");
      m.left = unknown_amount(Dimension::mass, "an input is missing");
      m.state = margin_state(kind, std::nullopt, false, false, m.assumed);
      out.push_back(std::move(m));
      return;
    }
    std::vector<double> have(kDraws), left(kDraws);
    for (std::size_t i = 0; i < kDraws; ++i) {
      have[i] = limit->si();
      if (in_air) have[i] *= std::min(draw(q.density, Factor::air_density, i) / kLoadStandardDensity, 1.0);
      left[i] = have[i] - draw(need, Factor::mass, i);
    }
    m.chance_short = share_below_zero(left);
    m.have = from_draws(have, Dimension::mass, in_air ? q.density.basis : measured());
    m.left = from_draws(left, Dimension::mass, m.assumed ? assumed() : need.basis);
    const auto rated = exact_amount(Dimension::mass, limit->si());
    if (in_air) {
      const double sink = kReserveSink.si() * std::sqrt(need.mid / limit->si() * kLoadStandardDensity / q.density.mid);
      m.why.push_back(
          Sentence("{0} under a reserve rated for {1} would sink at about {2} in this air; EN 12491 asks for less than {3} "
                   "in standard air at sea level.",
                   {need, rated, exact_amount(Dimension::speed, sink, assumed()), exact_amount(Dimension::speed, 5.5)}));
      m.why.push_back(Sentence("In this air {0} sink at that speed.", {m.have}));
    } else {
      m.why.push_back(Sentence("{0} hang on what is rated for {1}.", {need, rated}));
    }
    m.state = margin_state(kind, m.chance_short, m.left.mid < 0, false, m.assumed);
    out.push_back(std::move(m));
  };
  add(MarginKind::load_on_wing, "load_on_wing", "Load on the wing", q.limits.wing_most, q.all_up, false,
      "Enter the wing's certified range of all-up mass.");
  if (auto& wing = out.back(); q.limits.wing_least && wing.need.known() && wing.need.low < q.limits.wing_least->si()) {
    wing.why.push_back(
        Sentence("{0} may be under the least of the wing's range, {1}: slower to reopen after a collapse (common practice).",
                 {wing.need, exact_amount(Dimension::mass, q.limits.wing_least->si())}));
    if (wing.state == MarginState::ample) wing.state = MarginState::thin;
  }
  add(MarginKind::load_on_reserve, "load_on_reserve", "Load on the reserve", q.limits.reserve_most, q.all_up, true,
      "Enter the load the reserve is rated for.");
  add(MarginKind::other, "load_on_harness", "Load on the harness", q.limits.harness_most, q.hanging, false,
      "Enter the load the harness is rated for.");
  add(MarginKind::other, "load_on_carabiners", "Load on the carabiners", q.limits.carabiners_most, q.hanging, false,
      "Enter the load the carabiners are rated for, both together.");
  return out;
}

}  // namespace headroom
