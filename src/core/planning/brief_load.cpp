#include <cmath>

#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/load.h"

namespace headroom {

void add_load(std::vector<Margin>& out, const DayPlan& plan) {
  LoadQuestion q;
  q.all_up = all_up_of(plan);
  q.hanging = q.all_up;
  const auto mass_of = [&](const MachineFigure& f) {
    const auto kg = figure_of(plan.state, f);
    return kg ? std::optional<Mass>(kilograms(*kg)) : std::nullopt;
  };
  if (const auto wing = figure_of(plan.state, figure::wing_mass); wing && q.hanging.known()) {
    q.hanging.low = q.hanging.low - kilograms(*wing);
    q.hanging.mid = q.hanging.mid - kilograms(*wing);
    q.hanging.high = q.hanging.high - kilograms(*wing);
  }
  q.density = density_of(plan);
  q.limits = {mass_of(figure::wing_least), mass_of(figure::wing_most), mass_of(figure::reserve_most),
              mass_of(figure::harness_most), mass_of(figure::carabiners_most)};
  auto margins = load_margins(q);
  if (!margins) {
    struct Row {
      MarginKind kind;
      const char *id, *title;
    };
    for (const Row& row : {Row{MarginKind::load_on_wing, "load_on_wing", "Load on the wing"},
                           Row{MarginKind::load_on_reserve, "load_on_reserve", "Load on the reserve"},
                           Row{MarginKind::other, "load_on_harness", "Load on the harness"},
                           Row{MarginKind::other, "load_on_carabiners", "Load on the carabiners"}}) {
      Margin m;
      m.kind = row.kind;
      m.id = row.id;
      m.title = row.title;
      m.have = m.need = m.left = unknown_amount(Dimension::mass, margins.error().what);
      m.why.push_back(Sentence("It cannot be worked out: {0}.", {margins.error().what}));
      m.measure.push_back("Look at the masses and ratings that were entered.");
      out.push_back(std::move(m));
    }
    return;
  }
  constexpr double kMore_kg = 5;
  for (auto& m : *margins) {
    if (m.id == "load_on_wing" && q.all_up.known()) {
      const Density air = Density::from_si(q.density.known() ? q.density.mid : 1.225);
      if (const auto effect = load_effect(q.all_up.mid, q.all_up.mid + kilograms(kMore_kg), air, air))
        m.why.push_back(Sentence(
            "{0} more: trim, stall and sink {1} % faster, the run some {2} % longer.",
            {exact_amount(Dimension::mass, kMore_kg), exact_amount(Dimension::count, std::round(100 * (effect->speeds - 1))),
             exact_amount(Dimension::count, std::round(100 * (effect->run_same_thrust - 1)))}));
    }
    out.push_back(std::move(m));
  }
}

}  // namespace headroom
