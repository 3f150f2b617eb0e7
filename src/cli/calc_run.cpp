// headroom calc run: one take-off from single figures.
#include <memory>

#include "app/said_take_off.h"
#include "cli/calc_parts.h"
#include "cli/command_calc.h"
#include "cli/display.h"
#include "cli/text.h"

namespace headroom {

namespace {

using RunArguments = SaidTakeOff;

AnswerJson run_json(const TakeOffInputs& in, const TakeOffResult& r, const std::vector<Sentence>& assumed,
                    const UnitChoice& units) {
  static constexpr const char* kWhy[] = {"none", "legs", "thrust", "climb"};
  auto clearances = AnswerJson::array();
  for (const Clearance& c : r.clearances)
    clearances.push_back(
        {{"name", c.name},
         {"have_m", finite_number(c.have.si())},
         {"need_m", c.clears_ever ? AnswerJson(finite_number(c.need.si())) : AnswerJson(nullptr)},
         {"left_m", c.clears_ever ? AnswerJson(finite_number(c.left.si())) : AnswerJson(nullptr)},
         {"height_left_m", c.clears_ever ? AnswerJson(finite_number(c.height_left.si())) : AnswerJson(nullptr)}});
  return {{"impossible", kWhy[static_cast<int>(r.impossible)]},
          {"density_kg_m3", finite_number(in.density.si())},
          {"lift_off_m_s", finite_number(r.lift_off.si())},
          {"counted_headwind_m_s", finite_number(r.counted_headwind.si())},
          {"ground_speed_at_lift_off_m_s", finite_number(r.ground_speed_at_lift_off.si())},
          {"missing_m_s", finite_number(r.missing.si())},
          {"run_m", finite_number(r.run.si())},
          {"to_lift_off_m", finite_number(r.to_lift_off.si())},
          {"published_factor", finite_number(r.factor)},
          {"published_factor_holds", r.floor_holds},
          {"climb_m_s", finite_number(r.climb.si())},
          {"gradient", finite_number(r.gradient)},
          {"clearances", clearances},
          {"abort_point_m", si_or_null(r.abort_point)},
          {"stopping_m", finite_number(r.stopping.si())},
          {"clears", r.clears()},
          {"assumed", sentences_json(assumed, units)},
          {"caution", kCaution}};
}

int run_calc_run(World& world, const RunArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto& units = session->units;
  const auto asked = run_asked(a, units);
  if (!asked) return report(world, asked.error());
  const auto told = take_off(asked->in);
  if (!told) return report(world, told.error());
  const TakeOffResult& r = *told;
  const int code = r.clears() ? kDone : kShort;
  if (world.shared.json) {
    print(answer_text(run_json(asked->in, r, asked->assumed, units)));
    return code;
  }
  const auto width = world.shared.width;
  const auto words = run_words(*asked, r, units);
  std::string out;
  for (const auto& sentence : words.sentences) out += wrapped(sentence, width);
  out += "\n" + rows_text(words.rows, width) + "\n";
  for (const auto& sentence : words.assumed) out += wrapped(sentence, width);
  print(out + wrapped(words.caution, width));
  return code;
}

}  // namespace

void add_calc_run(CommandTree& tree, CLI::App& calc) {
  auto* command = calc.add_subcommand("run", "A take-off: run, climb over obstacles, where to stop");
  auto a = std::make_shared<RunArguments>();
  command->add_option("--mass", a->mass, "All-up (40 to 450 kg)")->type_name("MASS")->required();
  command->add_option("--wing-area", a->wing_area, "Flat, in m2 or ft2, m2 when not said (8 to 60 m2)")
      ->type_name("AREA")
      ->required();
  command->add_option("--thrust", a->thrust, "Standing still, in N, kgf or lbf (50 to 2500 N)")->type_name("FORCE")->required();
  command->add_option("--strip", a->strip, "Length one can run and still stop on")->type_name("LENGTH")->required();
  command->add_option("--propeller", a->diameter, "Its diameter: the thrust then falls by momentum theory")->type_name("LENGTH");
  command->add_option("--headwind", a->headwind, "Along the strip, the whole of it; half is counted")->type_name("SPEED");
  command->add_option("--tailwind", a->tailwind, "Or from behind; one and a half times is counted")->type_name("SPEED");
  command->add_option("--surface", a->surface, "Today: firm, dry grass, wet grass, soft or snow")->type_name("GROUND");
  command->add_option("--slope", a->slope, "Percent, uphill positive (-30 to 30)")->type_name("PERCENT");
  command->add_option("--obstacle", a->obstacles, "Distance from the start and height: 230m/12m; may be given again")
      ->type_name("DISTANCE/HEIGHT");
  command->add_option("--fastest-run", a->fastest_run, "The highest ground speed at which you still run")->type_name("SPEED");
  command->add_option("--inflation", a->inflation, "From the start until the wing is overhead")->type_name("LENGTH");
  command->add_option("--run-factor", a->run_factor, "Your runs against the force balance: 1.2")->type_name("FACTOR");
  command->add_flag("--wheels", a->wheels, "From wheels, not on foot");
  command->add_flag("--without-published-factors", a->without_published, "The force balance alone, as after ten own runs");
  add_air_options(*command, a->air);
  command->footer(
      "Examples:\n"
      "  headroom calc run --mass 121 --wing-area 26 --thrust 57kgf --strip 180 --headwind 8km/h --surface \"wet grass\" "
      "--obstacle 230/12 --height 420 --temperature 24\n"
      "Ends with 3 when it does not clear. Without air it is the standard's at sea level.");
  command->callback([&tree, a] { tree.action = [a](World& world) { return run_calc_run(world, *a); }; });
}

}  // namespace headroom
