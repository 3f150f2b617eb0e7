#include "app/said_load.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/said_figure.h"
#include "formats/say.h"

namespace headroom {

bool LoadAnswer::is_short() const {
  return std::any_of(margins.begin(), margins.end(), [](const Margin& m) { return m.state == MarginState::short_of; });
}

Result<LoadAnswer> answer_load(const SaidLoad& a, const UnitChoice& units) {
  std::optional<Mass> mass, wing_mass, before;
  LoadLimits limits;
  for (const auto& taken : {take_figure("--mass", a.mass, Measure::mass, units, mass),
                            take_figure("--wing-mass", a.wing_mass, Measure::mass, units, wing_mass),
                            take_figure("--wing-least", a.wing_least, Measure::mass, units, limits.wing_least),
                            take_figure("--wing-most", a.wing_most, Measure::mass, units, limits.wing_most),
                            take_figure("--reserve", a.reserve, Measure::mass, units, limits.reserve_most),
                            take_figure("--harness", a.harness, Measure::mass, units, limits.harness_most),
                            take_figure("--carabiners", a.carabiners, Measure::mass, units, limits.carabiners_most),
                            take_figure("--before", a.before, Measure::mass, units, before)})
    if (!taken) return tl::unexpected<Error>(taken.error());
  const auto area = take_number("--wing-area", a.wing_area, area_units(), "an area in m2 or ft2");
  if (!area) return tl::unexpected<Error>(area.error());
  if (!mass) return fail(ErrorKind::bad_input, "an all-up mass is needed: 121 kg", "--mass");
  if (!(mass->si() >= 40 && mass->si() <= 450)) return fail(ErrorKind::out_of_range, "an all-up mass is 40 to 450 kg", "--mass");
  if (wing_mass && !(wing_mass->si() >= 1 && wing_mass->si() <= 20))
    return fail(ErrorKind::out_of_range, "a wing weighs 1 to 20 kg", "--wing-mass");
  if (limits.wing_least && limits.wing_most && *limits.wing_least >= *limits.wing_most)
    return fail(ErrorKind::out_of_range, "the least mass of a wing's range is below its most", "--wing-least");
  auto air = air_input(a.air, units);
  if (!air) return tl::unexpected<Error>(air.error());
  if (!air->elevation && !air->station_pressure && !air->pressure_altitude && !air->qnh) air->elevation = AltitudeMsl{};
  const auto told = air_report(*air);
  if (!told) return tl::unexpected<Error>(told.error());

  LoadQuestion q;
  // Weighed to a kilogram, as a mass typed for a brief: just at a limit nothing is left for sure.
  const auto weighed = [](Mass m) { return Estimate<Mass>{m - kilograms(1), m, m + kilograms(1), measured(), {}}; };
  q.all_up = weighed(*mass);
  q.hanging = weighed(*mass - wing_mass.value_or(kilograms(0)));
  q.density = exact_amount(Dimension::none, told->density.si());
  q.limits = limits;
  auto margins = load_margins(q);
  if (!margins) return tl::unexpected<Error>(margins.error());
  // Only what was asked: a limit that was not given is no question here.
  const auto asked = [&](const Margin& m) {
    return (m.id == "load_on_wing" && (limits.wing_most || limits.wing_least)) ||
           (m.id == "load_on_reserve" && limits.reserve_most) || (m.id == "load_on_harness" && limits.harness_most) ||
           (m.id == "load_on_carabiners" && limits.carabiners_most);
  };
  std::erase_if(*margins, [&](const Margin& m) { return !asked(m); });
  std::optional<Pressure> loading;
  std::optional<Force> lines;
  std::optional<Speed> reserve_speed;
  std::optional<LoadEffect> effect;
  if (*area) {
    const auto l = wing_loading(*mass, Area::from_si(**area));
    if (!l) return tl::unexpected<Error>(l.error());
    loading = *l;
  }
  if (limits.reserve_most) {
    const auto v = rated_reserve_sink(*mass, *limits.reserve_most, told->density);
    if (!v) return tl::unexpected<Error>(v.error());
    reserve_speed = *v;
  }
  if (before) {
    const auto e = load_effect(*before, *mass, told->density, told->density);
    if (!e) return tl::unexpected<Error>(e.error());
    effect = *e;
  }
  LoadAnswer out{*mass, told->density, std::move(*margins), *area, loading, reserve_speed, before, effect, {}};
  out.assumed.emplace_back("The mass is taken as weighed to a kilogram either way.");
  out.assumed.insert(out.assumed.end(), told->assumed.begin(), told->assumed.end());
  return out;
}

CalcWords load_words(const LoadAnswer& answer, const UnitChoice& units) {
  CalcWords out;
  for (const Margin& m : answer.margins)
    out.sentences.push_back(m.title + ": " + std::string(state_word(m.state)) + ". " + say_left(m, units));
  out.rows = {{"All-up mass", say_mass(answer.mass, units)}, {"Density of the air", say_density(answer.density, units)}};
  if (answer.loading)
    out.rows.emplace_back("Wing loading",
                          fmt::format("{:.1f} N/m² ({:.2f} kg/m²)", answer.loading->si(), answer.mass.si() / *answer.area_m2));
  if (answer.reserve_speed)
    out.rows.emplace_back("Under the reserve",
                          say_climb(*answer.reserve_speed, units) + " down, as from a jump of " +
                              say_measure(Measure::height, drop_height(*answer.reserve_speed).si(), units, 1));
  if (answer.effect) {
    const auto more = [](double times) {
      return fmt::format("{:.0f} % {}", 100 * std::abs(times - 1), times < 1 ? "less" : "more");
    };
    out.rows.emplace_back("Against " + say_mass(*answer.before, units), "trim, stall and sink " + more(answer.effect->speeds) +
                                                                            ", run " + more(answer.effect->run_same_thrust));
  }
  for (const Sentence& s : answer.assumed) out.assumed.push_back(say_sentence(s, units));
  out.caution = kCaution;
  return out;
}

}  // namespace headroom
