// headroom calc metar: what a METAR says, group by group, and what could not be read.
#include <fmt/format.h>

#include <memory>
#include <numbers>

#include "app/metar_words.h"
#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/day_options.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/metar.h"

namespace headroom {

namespace {

struct MetarArguments {
  std::vector<std::string> text;
};

const char* fate_name(ReadGroup::Fate fate) {
  switch (fate) {
    case ReadGroup::Fate::read:
      return "read";
    case ReadGroup::Fate::not_read:
      return "not_read";
    case ReadGroup::Fate::left_out:
      break;
  }
  return "left_out";
}

AnswerJson weather_json(const std::vector<WeatherCode>& codes) {
  static constexpr const char* kStrengths[] = {"light", "moderate", "heavy"};
  auto out = AnswerJson::array();
  for (const WeatherCode& w : codes)
    out.push_back({{"strength", kStrengths[static_cast<int>(w.strength)]},
                   {"vicinity", w.vicinity},
                   {"descriptor", w.descriptor},
                   {"kinds", w.kinds}});
  return out;
}

AnswerJson metar_json(const WeatherReport& r) {
  const Conditions& c = r.conditions;
  const auto deg = [](const std::optional<WindFrom>& from) {
    return from ? AnswerJson(finite_number(from->radians() * 180 / std::numbers::pi)) : AnswerJson(nullptr);
  };
  AnswerJson wind = nullptr;
  if (c.wind)
    wind = {{"from_deg", deg(c.wind->from)},
            {"variable", c.wind->variable},
            {"mean_m_s", finite_number(c.wind->mean.si())},
            {"mean_at_least", c.wind->mean_at_least},
            {"gust_m_s", si_or_null(c.wind->gust)},
            {"gust_at_least", c.wind->gust_at_least},
            {"between_from_deg", deg(c.wind->between_from)},
            {"between_to_deg", deg(c.wind->between_to)}};
  AnswerJson visibility = nullptr;
  if (c.visibility) {
    static constexpr const char* kBounds[] = {"exactly", "less_than", "at_least"};
    visibility = {{"bound", kBounds[static_cast<int>(c.visibility->bound)]},
                  {"distance_m", finite_number(c.visibility->distance.si())},
                  {"least_m", si_or_null(c.visibility->least)}};
  }
  const AnswerJson weather = c.weather ? weather_json(*c.weather) : AnswerJson(nullptr);
  AnswerJson clouds = nullptr;
  if (c.sky) {
    clouds = AnswerJson::array();
    static constexpr const char* kAmounts[] = {"few", "scattered", "broken", "overcast", "hidden", "not_measured"};
    static constexpr const char* kConvective[] = {"none", "towering_cumulus", "cumulonimbus", "not_measured"};
    for (const CloudLayer& layer : c.sky->layers)
      clouds.push_back({{"amount", kAmounts[static_cast<int>(layer.amount)]},
                        {"base_m", si_or_null(layer.base)},
                        {"convective", kConvective[static_cast<int>(layer.convective)]}});
  }
  auto unread = AnswerJson::array();
  const std::pair<const char*, bool> pieces[] = {
      {"wind", c.unreadable.wind},  {"visibility", c.unreadable.visibility},   {"weather", c.unreadable.weather},
      {"clouds", c.unreadable.sky}, {"temperature", c.unreadable.temperature}, {"pressure", c.unreadable.pressure}};
  for (const auto& [name, is] : pieces)
    if (is) unread.push_back(name);
  auto groups = AnswerJson::array();
  for (const ReadGroup& g : r.groups) groups.push_back({{"text", g.text}, {"fate", fate_name(g.fate)}, {"read_as", g.read_as}});
  return {{"station", r.station},
          {"issued", r.issued ? AnswerJson(rfc3339(*r.issued)) : AnswerJson(nullptr)},
          {"wind", wind},
          {"visibility", visibility},
          {"weather", weather},
          {"clouds", clouds},
          {"temperature_K", si_or_null(r.temperature)},
          {"dew_point_K", si_or_null(r.dew_point)},
          {"qnh_Pa", si_or_null(r.qnh)},
          {"trend", r.trend},
          {"recent", weather_json(r.recent)},
          {"wind_shear", r.wind_shear},
          {"unreadable", unread},
          {"groups", groups}};
}

int run_calc_metar(World& world, const MetarArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  std::string text;
  for (const std::string& word : a.text) text += (text.empty() ? "" : " ") + word;
  const auto report_text = text_or_file(text, world);
  if (!report_text) return report(world, report_text.error());
  const auto metar = read_metar(*report_text, world.ports.clock.now());
  if (!metar) return report(world, metar.error());
  if (world.shared.json) {
    print(answer_text(metar_json(*metar)));
    return kDone;
  }
  const auto width = world.shared.width;
  const auto words = metar_words(*metar);
  std::string out = rows_text(words.rows, width, 18);
  for (const auto& sentence : words.sentences) out += "\n" + wrapped(sentence, width);
  print(out + "\n" + wrapped(words.caution, width));
  return kDone;
}

}  // namespace

void add_calc_metar(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("metar", "What a METAR says, group by group");
  auto a = std::make_shared<MetarArguments>();
  command->add_option("text", a->text, "The report, pasted, or a file holding one")->type_name("TEXT")->required();
  command->footer(
      "Examples:\n"
      "  headroom calc metar \"METAR EGXX 201150Z 24015G27KT 8000 -RA BKN012 16/14 Q1009\"\n"
      "  headroom calc metar report.txt\n"
      "WMO FM 15 and the forms of the United States. The day of the month is the nearest one to today.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_metar(world, *a); }; });
}

}  // namespace headroom
