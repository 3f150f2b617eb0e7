#include "cli/calc_parts.h"

#include "cli/text.h"

namespace headroom {

std::string rows_text(const Rows& rows, std::size_t width, std::size_t column) {
  constexpr std::size_t kNarrow = 60;
  std::string out;
  for (const auto& [label, value] : rows) {
    if (width < kNarrow || shown_width(label) >= column) {
      out += wrapped(label, width) + wrapped(value, width, 4);
    } else {
      std::string lines = wrapped(value, width, column);
      out += lines.replace(0, shown_width(label), label);
    }
  }
  return out;
}

void add_air_options(CLI::App& command, AirArguments& a) {
  command.add_option("--height", a.height, "Height of the field above sea level (-500 to 6000 m)")->type_name("HEIGHT");
  command.add_option("--qnh", a.qnh, "Altimeter setting (850 to 1100 hPa); needs --height")->type_name("PRESSURE");
  command.add_option("--pressure", a.pressure, "Or pressure at the field itself (300 to 1100 hPa)")->type_name("PRESSURE");
  command.add_option("--pressure-altitude", a.pressure_altitude, "Or what an altimeter set to 1013.25 hPa shows")
      ->type_name("HEIGHT");
  command.add_option("--temperature", a.temperature, "Of the air in the shade (-40 to 50 C)")->type_name("TEMPERATURE");
  command.add_option("--dew-point", a.dew_point, "As stations report it (-45 C to the temperature)")->type_name("TEMPERATURE");
  command.add_option("--humidity", a.humidity, "Or relative humidity in percent")->type_name("PERCENT");
}

}  // namespace headroom
