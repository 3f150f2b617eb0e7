#pragma once
// Figures as the owner says them: a number with its unit, or in the owner's own.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/unit_choice.h"

namespace headroom {

// One option to its place, if it was given; the error names the option.
template <class Q>
Result<void> take_figure(const char* option, const std::string& text, Measure measure, const UnitChoice& units,
                         std::optional<Q>& into) {
  if (text.empty()) return {};
  const auto si = parse_measure(measure, text, units);
  if (!si) return fail(si.error().kind, si.error().what, option);
  into = Q::from_si(*si);
  return {};
}
// A number, with one of the units of `factors` behind it or none; absent when `text` is empty.
struct UnitFactor {
  std::string_view unit;
  double to_si = 1;
};
[[nodiscard]] Result<std::optional<double>> take_number(const char* option, const std::string& text,
                                                        const std::vector<UnitFactor>& factors, const char* form);
// A thrust in N, kgf or lbf; an area in m2 or ft2.
[[nodiscard]] const std::vector<UnitFactor>& force_units();
[[nodiscard]] const std::vector<UnitFactor>& area_units();

}  // namespace headroom
