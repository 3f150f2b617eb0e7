// headroom calc air: pressure, density and what they do to a wing, from what is known at a field.
#include <memory>

#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

AnswerJson air_json(const AirInput& in, const AirReport& air, const UnitChoice& units) {
  return {{"height_m", si_or_null(in.elevation)},
          {"pressure_Pa", finite_number(air.pressure.si())},
          {"qnh_Pa", si_or_null(air.qnh)},
          {"pressure_altitude_m", finite_number(air.pressure_altitude.si())},
          {"temperature_K", finite_number(air.temperature.si())},
          {"standard_temperature_K", finite_number(air.standard_temperature.si())},
          {"warmer_than_standard_K", finite_number(air.warmer_than_standard.si())},
          {"humidity_1", finite_number(air.humidity.fraction())},
          {"dew_point_K", si_or_null(air.dew_point)},
          {"density_kg_m3", finite_number(air.density.si())},
          {"virtual_temperature_density_kg_m3", finite_number(air.virtual_temperature_density.si())},
          {"virtual_temperature_K", finite_number(air.virtual_temperature.si())},
          {"density_ratio_1", finite_number(air.density_ratio)},
          {"airspeed_factor_1", finite_number(air.airspeed_factor)},
          {"density_altitude_m", finite_number(air.density_altitude.si())},
          {"nws_density_altitude_m", si_or_null(air.nws_density_altitude)},
          {"speed_of_sound_m_s", finite_number(air.speed_of_sound.si())},
          {"assumed", sentences_json(air.assumed, units)},
          {"caution", kCaution}};
}

int run_calc_air(World& world, const AirArguments& arguments) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto& units = session->units;
  const auto in = air_input(arguments, units);
  if (!in) return report(world, in.error());
  const auto air = air_report(*in);
  if (!air) return report(world, air.error());
  if (world.shared.json) {
    print(answer_text(air_json(*in, *air, units)));
    return kDone;
  }
  const auto width = world.shared.width;
  const auto words = air_words(*in, *air, units);
  std::string out;
  for (const auto& sentence : words.sentences) out += wrapped(sentence, width);
  out += "\n" + rows_text(words.rows, width);
  if (!words.assumed.empty()) out += "\n";
  for (const auto& sentence : words.assumed) out += wrapped(sentence, width);
  print(out + "\n" + wrapped(words.caution, width));
  return kDone;
}

}  // namespace

void add_calc_air(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("air", "Pressure and density altitude at a field, and what they do to a wing");
  auto a = std::make_shared<AirArguments>();
  add_air_options(*command, *a);
  command->footer(
      "Examples:\n"
      "  headroom calc air --height 620 --qnh 1019 --temperature 27 --dew-point 14\n"
      "  headroom calc air --height 5883ft --qnh 30.10inHg --temperature 70F\n"
      "  headroom calc air --pressure 948 --temperature -3\n"
      "What is not given is assumed as in the standard atmosphere (ISO 2533), in dry air, and it is said. "
      "Density is by the CIPM-2007 formula; beside it stands the form by virtual temperature, which is a little lower.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_air(world, *a); }; });
}

}  // namespace headroom
