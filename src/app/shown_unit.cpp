#include "app/shown_unit.h"

#include <cmath>
#include <numbers>

namespace headroom {

double ShownUnit::rounded(double si, int more) const {
  const double scale = std::pow(10, decimals + more);
  const double out = std::round(shown(si) * scale) / scale;
  return out == 0 ? 0 : out;  // no -0
}

ShownUnit shown_unit(Dimension dimension, const UnitChoice& units, double about) {
  const auto of = [&](Measure measure) {
    const auto& unit = units.of(measure);
    return ShownUnit{std::string(unit.name), unit.factor, unit.offset, unit.decimals};
  };
  constexpr double kDegree = std::numbers::pi / 180;
  switch (dimension) {
    case Dimension::length:
      return of(std::abs(about) < 1000 ? Measure::height : Measure::distance);
    case Dimension::speed:
      return of(Measure::speed);
    case Dimension::climb:
      return of(Measure::climb);
    case Dimension::mass:
      return of(Measure::mass);
    case Dimension::volume:
      return of(Measure::volume);
    case Dimension::pressure:
      return of(Measure::pressure);
    case Dimension::temperature:
    case Dimension::temperature_difference: {
      auto unit = of(Measure::temperature);
      if (dimension == Dimension::temperature_difference) unit.offset = 0;
      unit.name = "°" + unit.name;
      return unit;
    }
    case Dimension::volume_flow: {
      auto unit = of(Measure::volume);
      unit.name += "/h";
      unit.factor /= 3600;
      return unit;
    }
    case Dimension::duration:
      if (std::abs(about) < 600) return {"s", 1, 0, 0};
      if (std::abs(about) < 36000) return {"min", 60, 0, 0};
      return {"h", 3600, 0, 1};
    case Dimension::calendar:
      return {"days", 86400, 0, 0};
    case Dimension::angle:
      return {"°", kDegree, 0, 0};
    case Dimension::turn_rate:
      return {"°/s", kDegree, 0, 0};
    case Dimension::count:
      return {"", 1, 0, 0};
    case Dimension::instant:
    case Dimension::ratio:
    case Dimension::none:
      break;
  }
  return {"", 1, 0, 1};
}

}  // namespace headroom
