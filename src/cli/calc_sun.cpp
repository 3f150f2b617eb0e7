// headroom calc sun: sunrise, sunset and twilight of one place and day.
#include <memory>

#include "app/said_sun.h"
#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/display.h"
#include "cli/text.h"

namespace headroom {

namespace {

using SunArguments = SaidSun;

AnswerJson passage_json(const SunPassage& p) {
  static constexpr const char* kKinds[] = {"passes", "stays_above", "stays_below"};
  const auto time = [](const std::optional<UtcTime>& t) { return t ? AnswerJson(rfc3339(*t)) : AnswerJson(nullptr); };
  return {{"kind", kKinds[static_cast<int>(p.kind)]}, {"up", time(p.up)}, {"down", time(p.down)}};
}

int run_calc_sun(World& world, const SunArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  Clock& clock = world.ports.clock;
  const auto answer = answer_sun(a, clock, session->zone);
  if (!answer) return report(world, answer.error());
  const auto words = sun_words(*answer, clock, session->zone);
  const auto& day = answer->day;
  if (world.shared.json) {
    print(answer_text(
        {{"date", answer->date_text},
         {"utc_offset_min", answer->offset_min},
         {"position",
          {{"latitude", finite_number(answer->place.latitude_deg)}, {"longitude", finite_number(answer->place.longitude_deg)}}},
         {"sun", passage_json(day.sun)},
         {"civil", passage_json(day.civil)},
         {"nautical", passage_json(day.nautical)},
         {"noon", rfc3339(day.noon)},
         {"noon_elevation_deg", finite_number(day.noon_elevation_deg)},
         {"caution", words.caution}}));
    return kDone;
  }
  const auto width = world.shared.width;
  std::string out;
  for (const auto& sentence : words.sentences) out += wrapped(sentence, width);
  print(out + "\n" + rows_text(words.rows, width) + "\n" + wrapped(words.caution, width));
  return kDone;
}

}  // namespace

void add_calc_sun(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("sun", "Sunrise, sunset and civil twilight of a place and a day");
  auto a = std::make_shared<SunArguments>();
  command->add_option("--latitude", a->latitude, "Degrees north: 52.31, or 33.9S")->type_name("DEG")->required();
  command->add_option("--longitude", a->longitude, "Degrees east: 0.42, or 71.2W")->type_name("DEG")->required();
  command->add_option("--date", a->date, "2026-05-02; today when it is not said")->type_name("DATE");
  command->footer(
      "Examples:\n"
      "  headroom calc sun --latitude 52.31 --longitude 0.42\n"
      "  headroom calc sun --latitude 69.6 --longitude 18.9 --date 2026-06-21 --zone Europe/Oslo\n"
      "Times are the owner's zone's; --zone, which stands with every command, names another.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_sun(world, *a); }; });
}

}  // namespace headroom
