#include "app/said_take_off.h"

#include <fmt/format.h>

#include <cmath>

#include "app/said_day.h"
#include "app/said_figure.h"
#include "core/learn/priors.h"
#include "core/margin.h"
#include "formats/say.h"

namespace headroom {

Result<RunAsked> run_asked(const SaidTakeOff& a, const UnitChoice& units) {
  RunAsked q;
  TakeOffInputs& in = q.in;
  std::optional<Mass> mass;
  std::optional<Speed> headwind, tailwind, fastest;
  std::optional<Length> strip, inflation, diameter;
  for (const auto& taken : {take_figure("--mass", a.mass, Measure::mass, units, mass),
                            take_figure("--headwind", a.headwind, Measure::speed, units, headwind),
                            take_figure("--tailwind", a.tailwind, Measure::speed, units, tailwind),
                            take_figure("--fastest-run", a.fastest_run, Measure::speed, units, fastest),
                            take_figure("--strip", a.strip, Measure::height, units, strip),
                            take_figure("--inflation", a.inflation, Measure::height, units, inflation),
                            take_figure("--propeller", a.diameter, Measure::height, units, diameter)})
    if (!taken) return tl::unexpected<Error>(taken.error());
  if (!mass) return fail(ErrorKind::bad_input, "an all-up mass is needed: 121 kg", "--mass");
  if (!strip) return fail(ErrorKind::bad_input, "the length of the strip is needed: 180 m", "--strip");
  if (a.wing_area.empty()) return fail(ErrorKind::bad_input, "the flat area of the wing is needed: 26", "--wing-area");
  if (a.thrust.empty()) return fail(ErrorKind::bad_input, "the thrust standing still is needed: 57kgf", "--thrust");
  if (headwind && tailwind) return fail(ErrorKind::bad_input, "a wind along the strip is one of the two", "--tailwind");
  const auto area = take_number("--wing-area", a.wing_area, area_units(), "an area in m2 or ft2");
  if (!area) return tl::unexpected<Error>(area.error());
  const auto thrust = take_number("--thrust", a.thrust, force_units(), "a thrust in N, kgf or lbf");
  if (!thrust) return tl::unexpected<Error>(thrust.error());
  // A bare number is as likely a pull in kilograms or pounds.
  if (a.thrust.find_first_not_of("0123456789., ") == std::string::npos)
    return fail(ErrorKind::bad_input, "a thrust needs its unit: 57kgf, 125lbf, 560N", "--thrust");
  const auto slope = take_number("--slope", a.slope, {{"%", 1}}, "a slope in percent, uphill positive");
  if (!slope) return tl::unexpected<Error>(slope.error());
  const auto factor = take_number("--run-factor", a.run_factor, {}, "a factor: 1.2");
  if (!factor) return tl::unexpected<Error>(factor.error());
  if (!a.surface.empty()) {
    const auto surface = surface_today(a.surface);
    if (!surface) return fail(surface.error().kind, surface.error().what, "--surface");
    in.surface = *surface;
  } else {
    q.assumed.push_back("The ground is taken for firm and dry.");
  }
  auto air = air_input(a.air, units);
  if (!air) return tl::unexpected<Error>(air.error());
  if (!air->elevation && !air->station_pressure && !air->pressure_altitude && !air->qnh) air->elevation = AltitudeMsl{};
  const auto told = air_report(*air);
  if (!told) return tl::unexpected<Error>(told.error());
  for (const Sentence& s : told->assumed) q.assumed.push_back(s);
  in.density = told->density;
  in.mass = *mass;
  in.wing_area = Area::from_si(area->value_or(0));
  in.thrust.stationary = Force::from_si(thrust->value_or(0));
  in.thrust.diameter = diameter;
  in.slope = slope->value_or(0) / 100;
  in.headwind = headwind ? *headwind : tailwind ? -*tailwind : Speed{};
  if (!headwind && !tailwind) q.assumed.push_back("No wind along the strip is counted.");
  in.strip = *strip;
  in.inflation = inflation.value_or(metres(prior::inflation.mid));
  if (!inflation)
    q.assumed.push_back(Sentence("Inflation is assumed to take {0}.", {exact_amount(Dimension::length, in.inflation.si())}));
  in.fastest_run = fastest.value_or(metres_per_second(prior::fastest_run.mid));
  if (!fastest && !a.wheels)
    q.assumed.push_back(Sentence("You are assumed to run {0} at most.", {exact_amount(Dimension::speed, in.fastest_run.si())}));
  in.wheels = a.wheels;
  in.run_factor = factor->value_or(1);
  in.published = !a.without_published;
  for (const std::string& text : a.obstacles) {
    const auto slash = text.find('/');
    std::optional<Length> distance, height;
    if (slash != std::string::npos) {
      if (auto taken = take_figure("--obstacle", text.substr(0, slash), Measure::height, units, distance); !taken)
        return tl::unexpected<Error>(taken.error());
      if (auto taken = take_figure("--obstacle", text.substr(slash + 1), Measure::height, units, height); !taken)
        return tl::unexpected<Error>(taken.error());
    }
    if (!distance || !height)
      return fail(ErrorKind::bad_input, "an obstacle is its distance from the start and its height: 230m/12m", "--obstacle");
    in.obstacles.push_back({fmt::format("obstacle of {}", say_height(*height, units)), *distance, *height});
  }
  return q;
}

namespace {

std::string run_verdict(const TakeOffResult& r, const UnitChoice& units) {
  switch (r.impossible) {
    case NoTakeOff::legs:
      return fmt::format("No take-off: it lifts off at {} over the ground, {} beyond what you run. A longer strip does not help.",
                         say_speed(r.ground_speed_at_lift_off, units), say_speed(r.missing, units));
    case NoTakeOff::thrust:
      return "No take-off: the force along the run does not bring it to lift-off.";
    case NoTakeOff::climb:
      return "No take-off: it lifts off and does not climb.";
    case NoTakeOff::none:
      break;
  }
  const Clearance* nearest = nullptr;
  for (const Clearance& c : r.clearances)
    if (nearest == nullptr || c.left < nearest->left) nearest = &c;
  if (nearest == nullptr) return {};
  const std::string what = nearest->name.empty() ? "the end of the strip" : "the " + nearest->name;
  return nearest->clears() ? fmt::format("{} left before {}.", say_distance(nearest->left, units), what)
                           : fmt::format("{} short before {}.", say_distance(-nearest->left, units), what);
}

}  // namespace

CalcWords run_words(const RunAsked& asked, const TakeOffResult& r, const UnitChoice& units) {
  CalcWords out;
  out.sentences.push_back(run_verdict(r, units));
  const auto add = [&](const char* label, std::string value) { out.rows.emplace_back(label, std::move(value)); };
  add("Density of the air", say_density(asked.in.density, units));
  add("Lift-off airspeed", say_speed(r.lift_off, units));
  add(r.counted_headwind.si() < 0 ? "Tail wind counted" : "Headwind counted",
      say_speed(r.counted_headwind.si() < 0 ? -r.counted_headwind : r.counted_headwind, units) +
          (asked.in.headwind.si() > 0   ? ", half of it"
           : asked.in.headwind.si() < 0 ? ", one and a half times"
                                        : ""));
  add("Lift-off over the ground", say_speed(r.ground_speed_at_lift_off, units));
  if (r.impossible != NoTakeOff::thrust) {
    add("Inflation", say_distance(asked.in.inflation, units));
    add("Run", say_distance(r.run, units));
    add("From start to lift-off",
        say_distance(r.to_lift_off, units) +
            (r.floor_holds ? fmt::format(" (published factors, {:.2f}, on the force balance)", r.factor) : ""));
    add("Climb", say_climb(r.climb, units) + fmt::format(", {:.1f} % over the ground", 100 * r.gradient));
    for (const Clearance& c : r.clearances) {
      std::string text = "cannot be cleared";
      if (c.clears_ever) {
        text = say_distance(c.have, units) + " there, " + say_distance(c.need, units) + " needed";
        if (!c.name.empty())
          text += ", " + say_height(c.height_left.si() < 0 ? -c.height_left : c.height_left, units) +
                  (c.height_left.si() < 0 ? " below its top" : " above its top");
      }
      out.rows.emplace_back(c.name.empty() ? "End of the strip" : "To the " + c.name, text);
    }
    add("Stopping takes", say_distance(r.stopping, units));
    if (r.impossible == NoTakeOff::none)
      add("Stop by", r.abort_point ? say_distance(*r.abort_point, units) + " from the start, if you are not lifting"
                                   : "no such point: too short to stop on");
  }
  for (const Sentence& s : asked.assumed) out.assumed.push_back(say_sentence(s, units));
  out.assumed.emplace_back(
      "One answer from single figures, without their spread: the brief adds that. At most half of a headwind and one and a half "
      "times a tail wind count (UK CAA Safety Sense 09).");
  out.caution = kCaution;
  return out;
}

}  // namespace headroom
