#include "app/said_figure.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

namespace headroom {

Result<std::optional<double>> take_number(const char* option, const std::string& text, const std::vector<UnitFactor>& factors,
                                          const char* form) {
  if (text.empty()) return std::optional<double>{};
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  std::string_view unit(end);
  while (!unit.empty() && unit.front() == ' ') unit.remove_prefix(1);
  // strtod also reads hexadecimal, which no figure here is written in.
  if (end != text.c_str() && std::isfinite(value) && text.find_first_of("xX") == std::string::npos) {
    if (unit.empty()) return std::optional<double>(value);
    for (const UnitFactor& f : factors)
      if (f.unit == unit) return std::optional<double>(value * f.to_si);
  }
  return fail(ErrorKind::bad_input, fmt::format("'{}' is not understood; write {}", text, form), option);
}

const std::vector<UnitFactor>& force_units() {
  // Exact: the kilogram-force is 9.80665 N, the pound 0.45359237 kg.
  static const std::vector<UnitFactor> units{{"N", 1}, {"kgf", 9.80665}, {"lbf", 0.45359237 * 9.80665}};
  return units;
}
const std::vector<UnitFactor>& area_units() {
  static const std::vector<UnitFactor> units{{"m2", 1}, {"ft2", 0.3048 * 0.3048}};
  return units;
}

}  // namespace headroom
