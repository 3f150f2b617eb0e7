#include "app/said_turn_back.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "app/said_day.h"
#include "app/said_figure.h"
#include "core/margin.h"
#include "formats/say.h"

namespace headroom {

namespace {

double whole_degrees(double radians) {
  const double d = std::round(radians * 180 / std::numbers::pi);
  return d >= 360 ? d - 360 : d;
}

}  // namespace

Result<TurnBackAnswer> answer_turn_back(const SaidTurnBack& a, const UnitChoice& units) {
  const auto track = take_number("--track", a.track, {}, "true degrees, 0 to 360");
  if (!track) return tl::unexpected<Error>(track.error());
  if (!*track || !(**track >= 0 && **track <= 360))
    return fail(ErrorKind::out_of_range, "a track is 0 to 360 degrees, true", "--track");
  std::optional<Speed> airspeed;
  if (auto taken = take_figure("--airspeed", a.airspeed, Measure::speed, units, airspeed); !taken)
    return tl::unexpected<Error>(taken.error());
  if (!airspeed || !(airspeed->si() >= 3 && airspeed->si() <= 40))
    return fail(ErrorKind::out_of_range, "an airspeed is 3 to 40 m/s (11 to 144 km/h)", "--airspeed");
  const auto wind = parse_wind("--wind", a.wind, units);
  if (!wind) return tl::unexpected<Error>(wind.error());
  if (!wind->from && wind->mean.mid.si() > 0)
    return fail(ErrorKind::bad_input, "a wind from all sides has no way home: say where it blows from", "--wind");
  const auto endurance = parse_duration(a.endurance);
  if (!endurance) return fail(endurance.error().kind, endurance.error().what, "--endurance");
  if (!(endurance->si() > 0 && endurance->si() <= 24 * 3600))
    return fail(ErrorKind::out_of_range, "usable endurance is more than 0 and at most 24 h", "--endurance");
  std::optional<Length> distance;
  if (auto taken = take_figure("--distance", a.distance, Measure::distance, units, distance); !taken)
    return tl::unexpected<Error>(taken.error());
  if (distance && !(distance->si() >= 100 && distance->si() <= 1e6))
    return fail(ErrorKind::out_of_range, "a goal is 0.1 to 1000 km away", "--distance");
  const Wind blows{wind->from.value_or(wind_from_degrees(0)), wind->mean.mid};
  const auto told = out_and_home(track_towards_degrees(**track), *airspeed, blows, *endurance);
  if (!told) return tl::unexpected<Error>(told.error());
  TurnBackAnswer answer{*told, *endurance, distance, {}, wind->gust.has_value()};
  if (distance) {
    const auto point = equal_time_point(*distance, told->out.ground_speed, told->home.ground_speed);
    if (!point) return tl::unexpected<Error>(point.error());
    answer.equal_time = *point;
  }
  return answer;
}

CalcWords turn_back_words(const TurnBackAnswer& a, const UnitChoice& units) {
  CalcWords out;
  out.sentences.push_back(
      fmt::format("Turn for home after {} at the latest, {} out: from there the endurance of {} is used up on arriving.",
                  say_duration(a.told.turn.after), say_distance(a.told.turn.distance, units), say_duration(a.endurance)));
  const auto way = [&](const char* label, const WindTriangle& t) {
    out.rows.emplace_back(label, fmt::format("{} over the ground, heading {:.0f}° true", say_speed(t.ground_speed, units),
                                             whole_degrees(t.heading.radians())));
  };
  way("Out", a.told.out);
  way("Home", a.told.home);
  out.rows.emplace_back("Straight on, one way", say_distance(a.told.reach_one_way, units));
  if (a.equal_time && *a.equal_time <= *a.distance)
    out.rows.emplace_back("As long on as back",
                          say_distance(*a.equal_time, units) + " out, of " + say_distance(*a.distance, units));
  if (a.gusty) out.rows.emplace_back("Wind", "the mean of it counts, not the gusts");
  out.caution =
      "Endurance is what is left after what you hold back; the wind is one wind all the way. Turn earlier than this: a "
      "stronger wind home moves it nearer. " +
      std::string(kCaution);
  return out;
}

}  // namespace headroom
