#include "core/planning/light.h"

#include <cmath>

namespace headroom {
namespace {

Light light_between(const SunPassage& passage, Duration before, Duration after) {
  Light light;
  if (passage.kind == SunPassage::Kind::stays_above) light.kind = Light::Kind::all_day;
  if (passage.kind == SunPassage::Kind::stays_below) light.kind = Light::Kind::none;
  if (passage.up) light.first = shifted(*passage.up, -before);
  if (passage.down) light.last = shifted(*passage.down, after);
  if (light.first && light.last && *light.last <= *light.first) {
    light = {};
    light.kind = Light::Kind::none;
  }
  return light;
}

}  // namespace

Result<Light> light_of_day(const SunDay& day, LightRule rule, OwnLight own) {
  if (!(std::abs(in_hours(own.before_sunrise)) <= 3 && std::abs(in_hours(own.after_sunset)) <= 3))
    return fail(ErrorKind::out_of_range, "own minutes around sunrise and sunset are at most 180");
  Light light;
  switch (rule) {
    case LightRule::sunset:
      light = light_between(day.sun, {}, {});
      break;
    case LightRule::lit_beacon:
      light = light_between(day.sun, minutes(30), minutes(30));
      light.cautions.emplace_back(
          "with an anti-collision light seen from 3 statute miles, and outside controlled airspace (14 CFR 103.11)");
      break;
    case LightRule::civil_twilight:
      light = light_between(day.civil, {}, {});
      break;
    case LightRule::own:
      light = light_between(day.sun, own.before_sunrise, own.after_sunset);
      break;
  }
  light.cautions.emplace_back("Local law decides until when you may fly; hills, trees and cloud bring the dark earlier.");
  return light;
}

}  // namespace headroom
