#include "app/said_air.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/said_figure.h"
#include "formats/say.h"

namespace headroom {

namespace {

// "44" or "44 %"; a fraction would be read as nearly dry air, so what is below 1 and not 0 is refused.
Result<void> take_humidity(const std::string& text, std::optional<RelativeHumidity>& into) {
  if (text.empty()) return {};
  auto number = text;
  while (!number.empty() && (number.back() == '%' || number.back() == ' ')) number.pop_back();
  // A bare number in m comes back as it is.
  const auto percent = parse_measure(Measure::height, number, UnitChoice());
  if (!percent || number.find_first_not_of("0123456789.,") != std::string::npos)
    return fail(ErrorKind::bad_input, "'" + text + "' is no relative humidity; write it in percent: 44", "--humidity");
  if (*percent > 100) return fail(ErrorKind::out_of_range, "relative humidity lies between 0 and 100 %", "--humidity");
  if (*percent > 0 && *percent < 1)
    return fail(ErrorKind::out_of_range, "relative humidity is given in percent, 0 or 1 to 100: 44, not 0.44", "--humidity");
  into = RelativeHumidity::from_percent(*percent);
  return {};
}

// What the air does, in sentences: these are read, the rows are looked up.
std::vector<std::string> air_sentences(const AirReport& air, const UnitChoice& units) {
  std::vector<std::string> out = {"The air here is as dense as the standard's at " +
                                  say_height(metres(air.density_altitude.si()), units) + "."};
  const double faster = 100 * (air.airspeed_factor - 1);
  if (std::abs(faster) < 0.5) {
    out.emplace_back("A wing takes the same speed as in the standard air at sea level, within half a percent.");
    return out;
  }
  // Speed for the same lift goes with 1/sqrt(density), the way to reach it at the same acceleration with its square.
  const double longer = 100 * (1 / air.density_ratio - 1);
  if (faster > 0)
    out.push_back(fmt::format(
        "A wing must move {:.0f} % faster for the same lift than in the standard air at sea level, at lift-off as at "
        "landing. The run is longer by {:.0f} % from that alone, and by more with an engine that has less air to burn.",
        faster, longer));
  else
    out.push_back(
        fmt::format("A wing may move {:.0f} % slower for the same lift than in the standard air at sea level.", -faster));
  return out;
}

std::vector<std::pair<std::string, std::string>> air_rows(const AirInput& in, const AirReport& air, const UnitChoice& units) {
  std::vector<std::pair<std::string, std::string>> rows;
  const auto add = [&](std::string label, std::string value) { rows.emplace_back(std::move(label), std::move(value)); };
  const auto pressure = [&](Pressure p) {
    // An altimeter is set to whole hPa or hundredths of an inch; the other units are coarse as they stand.
    const auto unit = units.of(Measure::pressure).name;
    return say_measure(Measure::pressure, p.si(), units, unit == "inHg" ? 0 : unit == "bar" ? 2 : 1);
  };
  const auto warm = [&](Temperature t) { return say_measure(Measure::temperature, t.si(), units, 1); };
  const auto high = [&](double m) { return say_height(metres(m), units); };

  if (in.elevation) add("Height above sea level", high(in.elevation->si()));
  add("Pressure here (QFE)", pressure(air.pressure));
  if (air.qnh) add("QNH", pressure(*air.qnh));
  add("Pressure altitude", high(air.pressure_altitude.si()));
  add("Temperature", warm(air.temperature));
  const auto warmer = air.warmer_than_standard;
  const auto difference = say_temperature_difference(warmer.si() < 0 ? -warmer : warmer, units, 1);
  add("Standard's temperature",
      warm(air.standard_temperature) +
          (std::abs(warmer.si()) < 0.05 ? " (as here)" : " (here " + difference + (warmer.si() < 0 ? " colder)" : " warmer)")));
  if (air.dew_point)
    add("Humidity", fmt::format("{:.0f} %, dew point {}", air.humidity.percent(), warm(*air.dew_point)));
  else
    add("Humidity", fmt::format("{:.0f} %", air.humidity.percent()));
  add("Density (CIPM-2007)", say_density(air.density, units));
  add("  by virtual temperature", say_density(air.virtual_temperature_density, units) + " at " + warm(air.virtual_temperature));
  add("Density ratio, sigma", fmt::format("{:.4f}", air.density_ratio));
  add("Density altitude", high(air.density_altitude.si()));
  if (air.nws_density_altitude) add("  rounded formula (NWS)", high(air.nws_density_altitude->si()));
  add("Speed of sound, dry air", say_speed(air.speed_of_sound, units));

  return rows;
}

}  // namespace

Result<AirInput> air_input(const SaidAir& a, const UnitChoice& units) {
  AirInput in;
  for (const auto& taken : {take_figure("--height", a.height, Measure::height, units, in.elevation),
                            take_figure("--qnh", a.qnh, Measure::pressure, units, in.qnh),
                            take_figure("--pressure", a.pressure, Measure::pressure, units, in.station_pressure),
                            take_figure("--pressure-altitude", a.pressure_altitude, Measure::height, units, in.pressure_altitude),
                            take_figure("--temperature", a.temperature, Measure::temperature, units, in.temperature),
                            take_figure("--dew-point", a.dew_point, Measure::temperature, units, in.dew_point),
                            take_humidity(a.humidity, in.humidity)})
    if (!taken) return tl::unexpected<Error>(taken.error());
  return in;
}

CalcWords air_words(const AirInput& in, const AirReport& air, const UnitChoice& units) {
  CalcWords out{air_sentences(air, units), air_rows(in, air, units), {}, std::string(kCaution)};
  for (const auto& sentence : air.assumed) out.assumed.push_back(say_sentence(sentence, units));
  return out;
}

AnswerJson calc_words_json(const CalcWords& words) {
  auto rows = AnswerJson::array();
  // Labels are set in beneath one another on a terminal.
  for (const auto& [label, value] : words.rows)
    rows.push_back({{"label", label.substr(std::min(label.find_first_not_of(' '), label.size()))}, {"value", value}});
  return {{"sentences", words.sentences}, {"rows", rows}, {"assumed", words.assumed}, {"caution", words.caution}};
}

}  // namespace headroom
