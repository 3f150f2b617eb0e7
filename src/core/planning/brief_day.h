#pragma once
// The margins of the day: take-off room, wind, light, load, sky, route, and the checks before launch.
#include <vector>

#include "core/book/state.h"
#include "core/learn/burn.h"
#include "core/learn/priors.h"
#include "core/learn/run_factor.h"
#include "core/margin.h"
#include "core/planning/day.h"
#include "core/planning/take_off.h"

namespace headroom {

// How long the route takes: with the wind and the airspeed at their dear and their kind ends.
struct RouteTimes {
  bool asked = false;    // there is a route
  std::string missing;   // what is not said, as a sentence; then nothing else
  bool flyable = false;  // each leg, with wind and airspeed in the middle
  bool surely = false;   // the same at the dear end
  Amount time;           // seconds, when flyable
};
[[nodiscard]] RouteTimes route_times(const State& state, const Day& day, UtcTime start);

struct DayPlan {
  const State& state;
  const Day& day;
  UtcTime start{}, landing{}, now{};
  Duration air;               // as planned, or the route's when that is longer
  Amount planned = {};        // the same with its spread [s]
  Amount running_share = {};  // engine time for each second in the air
  RouteTimes route = {};
};

[[nodiscard]] Amount prior_of(const State& state, const Prior& prior);

// What an hour of the planned flight burns. `usual` is the mean of the flights between the fills, learned or assumed [m3/s]; one
// flight burns more or less than another like it.
struct FlightBurn {
  Amount usual;
  double scatter = 0;  // one standard deviation of a flight about the usual, as a share
  // On the shared draws (factors burn and flight_scatter) [m3/s], not below zero.
  [[nodiscard]] double of_flight(std::size_t i) const;
};
[[nodiscard]] FlightBurn flight_burn(const State& state);
// What is in the tank and can be drawn, on the shared draws [m3]: as looked at, or what the book has less what was burnt since.
// False when nobody ever said.
[[nodiscard]] bool tank_draws(const DayPlan& plan, const Amount& usual_burn, std::vector<double>& usable);
// The end of the light by the rule of the day; nothing where the place is not known, or where it does not end on that day.
[[nodiscard]] std::optional<UtcTime> last_light(const DayPlan& plan);

// What hangs on the wing: pilot, machine, wing, kit and fuel, or what was typed. Unknown names what is missing.
[[nodiscard]] Estimate<Mass> all_up_of(const DayPlan& plan);
// Air density where the field is [kg/m3]; assumed standard temperature and pressure are said in the note and spread.
[[nodiscard]] Amount density_of(const DayPlan& plan);
// What this pilot's own runs with this machine say, those entered by hand and those a recorder saw; a launch that has both counts
// once, as entered. The priors with none or for a borrower. A run by hand counts when wind and density are told or its recording
// has them, and on foot or on wheels as the day is.
struct OwnRuns {
  RunFactor factor;
  int by_hand = 0;   // of factor.runs
  int left_out = 0;  // entered by hand, but what they were met with is not known
};
[[nodiscard]] OwnRuns own_runs_of(const DayPlan& plan);
[[nodiscard]] Estimate<Speed> fastest_run_of(const DayPlan& plan);
[[nodiscard]] TakeOffEstimates take_off_of(const DayPlan& plan);
// Learned from recordings; the prior before that, and for a borrower, who weighs something else.
[[nodiscard]] Amount trim_speed_of(const State& state, const Day& day);
// What was burnt between two moments at which the tank was known, and how long the engine ran in between, the deviations of the
// flights' running times added up. In order of time, of the last year of the book.
struct BurnSpan {
  UtcTime from{}, to{};
  RefuelInterval interval;
  Duration running, running_sd;
};
[[nodiscard]] std::vector<BurnSpan> burn_spans(const State& state);
// Burn from the fills and levels in the book.
[[nodiscard]] BurnPosterior burn_of(const State& state);

// Directions a wind may come from [rad], some seven degrees apart: 15 degrees either way of what was told, for it is told to ten
// and is never steady, and all of a reported arc. Empty: from all sides.
[[nodiscard]] std::vector<double> wind_directions(const DayWind& wind);

void add_take_off(std::vector<Margin>& out, const DayPlan& plan, bool with_changes);
void add_wind(std::vector<Margin>& out, const DayPlan& plan);
void add_light(std::vector<Margin>& out, const DayPlan& plan);
void add_load(std::vector<Margin>& out, const DayPlan& plan);
void add_sky(std::vector<Margin>& out, const DayPlan& plan);
void add_route(std::vector<Margin>& out, const DayPlan& plan);
void add_airspace(std::vector<Margin>& out, const DayPlan& plan);

// What to look at last, before launch: key and words; the state is the book's ("done", "not_done", "not_applicable") when it was
// said for this flight (check_for).
struct LaunchCheck {
  std::string key, words, state;
  std::optional<UtcTime> from = {};  // of "who_knows": overdue from then on
};
[[nodiscard]] std::vector<LaunchCheck> launch_checks(const DayPlan& plan);
// What the book says of a check for a flight that begins at `start`: said within the twelve hours before, and after the landing
// of the last flight, whose own check it would be else. Null when nothing.
[[nodiscard]] const CheckState* check_for(const State& state, const std::string& key, UtcTime start);

}  // namespace headroom
