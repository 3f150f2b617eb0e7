#include "accuracy/report_brief.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "accuracy/owners.h"
#include "accuracy/targets.h"
#include "core/air/report.h"
#include "core/earth/sun.h"
#include "core/learn/learned.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/draws.h"
#include "core/planning/fuel_plan.h"
#include "support/book_builder.h"
#include "support/sun_tables.h"

namespace headroom::accuracy {
namespace {

constexpr std::array kStages{0, 5, 10, 20};  // flights in the book
constexpr int kNextDays = 4, kNextFlights = 6;
constexpr double kBriefZ95 = 1.6448536269514722;

double brief_median(std::vector<double> x) {
  if (x.empty()) return 0;
  std::nth_element(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2), x.end());
  return x[x.size() / 2];
}

// Lower end of the frequency of `k` in `n`: one-sided 90 %, Wilson score. Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927)
// 209.
double wilson_lower(int k, int n) {
  if (n == 0) return 0;
  constexpr double z = 1.2815515655446004;
  const double f = static_cast<double>(k) / n, m = n;
  return (f + z * z / (2 * m) - z * std::sqrt(f * (1 - f) / m + z * z / (4 * m * m))) / (1 + z * z / m);
}

struct IntervalTally {
  int n = 0, in = 0, above = 0;  // above: the truth lies over the 95 % end
  double square = 0, plain_square = 0;
  std::vector<double> width;  // relative to the middle
  void judge(double low, double mid, double high, double truth, double plain) {
    ++n;
    in += low <= truth && truth <= high ? 1 : 0;
    above += truth > high ? 1 : 0;
    width.push_back((high - low) / mid);
    const double off = std::log(mid / truth), plain_off = std::log(plain / truth);
    square += off * off;
    plain_square += plain_off * plain_off;
  }
  [[nodiscard]] double cover() const { return n > 0 ? 100.0 * in / n : 0; }
  [[nodiscard]] double rms() const { return n > 0 ? 100 * std::sqrt(square / n) : 0; }
  [[nodiscard]] double plain_rms() const { return n > 0 ? 100 * std::sqrt(plain_square / n) : 0; }
};
void print_interval(const char* what, int flights, const IntervalTally& t) {
  std::printf("  %-34s %3d %5d %7.1f %7.1f %8.0f %8.1f %8.1f\n", what, flights, t.n, t.cover(),
              t.n > 0 ? 100.0 * t.above / t.n : 0.0, 100 * brief_median(t.width), t.rms(), t.plain_rms());
}

// --- A book written by an owner

// What is to be flown next, by truth.
struct OwnersBook {
  owners::Owner owner;
  std::array<State, kStages.size()> after;
  double burn_mean = 0;                             // of the owner's flights in the long run, L/h of running
  std::array<double, kStages.size()> plain_burn{};  // litres filled over hours in the air, so far
  std::array<double, kStages.size()> plain_room{};  // mean of the rooms so far over the rule's
};

FlightMeasure measure_of_run(MeasureKind kind, double low, double mid, double high, double density, double headwind) {
  FlightMeasure m;
  m.kind = kind;
  m.as_flown = {measure_dimension(kind), low, mid, high, measured(), {}};
  m.learnable = true;
  m.density_ratio = density / 1.225;
  m.headwind_m_s = headwind;
  return m;
}

// Common practice: 1 m/s2 to 8.5 m/s less the wind told; a fifth more on grass.
double rule_of_thumb_run(double wind) {
  const double v = std::max(8.5 - wind, 2.0);
  return 1.2 * v * v / 2;
}

OwnersBook write_book(std::uint64_t seed) {
  OwnersBook out;
  out.owner = owners::hidden_owner(seed);
  auto& o = out.owner;
  owners::Pcg32 random(seed, 6100);
  testing::BookBuilder book;
  const UtcTime begin = utc(2027, 3, 1, 8);
  book.machine = book.say(begin, MachineRegistered{});
  PilotRegistered pilot;
  pilot.mass = kilograms(o.pilot_said);
  book.pilot = book.say(begin, pilot);
  const auto figure = [&](const MachineFigure& f, double value) {
    book.say(begin, Reading{std::string(f.key), value, std::string(f.unit), {}});
  };
  figure(figure::machine_mass, o.machine_said);
  figure(figure::wing_mass, o.wing_said);
  figure(figure::wing_area, o.area);
  figure(figure::static_thrust, o.thrust_said);
  figure(figure::unusable_fuel, o.unusable_said * 1e-3);
  book.say(begin, FuelFilled{litres(o.tank_L), litres(o.tank_L)});

  // Filled to a mark; each fill misses it, so that the litres between two fills are wrong by 0.3 L.
  double mark_error = owners::kRefuelError_L / std::sqrt(2.0) * random.gaussian();
  double litres_read = 0, air_hours = 0, rooms = 0, rules = 0;
  std::size_t stage = 0;
  for (int k = 0; k <= kStages.back(); ++k) {
    if (k == kStages[stage]) {
      out.plain_burn[stage] = k > 0 ? litres_read / air_hours : 4.0;
      out.plain_room[stage] = k > 0 ? rooms / rules : 1.0;
      out.after[stage++] = book.folded();
      if (stage == kStages.size()) break;
    }
    const UtcTime launch = begin + std::chrono::hours(24 * (1 + 4 * k));
    owners::TakeOffFlown run;
    owners::Day day{};
    owners::Chance chance{};
    for (int tries = 0; !run.lifts; ++tries) {  // nobody flies on a day when the legs do not do it; after many such they train
      if (tries > 30) o.fastest += 0.2;
      day = owners::some_day(o, true, random);
      chance = owners::chance_of(day.wind_10m, random);
      run =
          owners::fly_take_off(owners::craft_of(o, day, 0.8 * o.tank_L, random), {o.home_slope, 400, 0, 0}, day.density, chance);
    }
    const auto fuel = owners::fly_fuel(o.burn, random);
    const double air = fuel.hours[1] + fuel.hours[2], running = air + fuel.hours[0];
    auto flight = book.flight_of(launch, hours(air));
    const double ran = running * (1 + 0.02 * random.gaussian());
    flight.running_time = {hours(0.967 * ran), hours(ran), hours(1.033 * ran), measured(), {}};
    // What a recorder shows of the run: the room and the wind at 2 m, each with an error of its own.
    const double seen = run.room * std::exp(o.recorder_error * random.gaussian()), e = kBriefZ95 * o.recorder_error;
    const double wind_2m = chance.lull * day.wind_10m * std::log(2 / 0.05) / std::log(10 / 0.05) + 0.7 * random.gaussian();
    const double ground_speed = run.ground_speed + 0.5 * random.gaussian();
    flight.measures = {
        measure_of_run(MeasureKind::room_used, seen * std::exp(-e), seen, seen * std::exp(e), day.density, wind_2m),
        measure_of_run(MeasureKind::lift_off_ground_speed, ground_speed - 0.8, ground_speed, ground_speed + 0.8, day.density,
                       wind_2m)};
    book.say(launch, flight);
    const double error = owners::kRefuelError_L / std::sqrt(2.0) * random.gaussian();
    const double added = std::max(fuel.litres + error - mark_error, 0.1);
    mark_error = error;
    book.say(launch + std::chrono::hours(4), FuelFilled{litres(added), litres(o.tank_L)});
    litres_read += added;
    air_hours += air;
    rooms += seen;
    rules += rule_of_thumb_run(day.wind_10m);
  }
  double burnt = 0, ran = 0;
  for (int k = 0; k < 400; ++k) {
    const auto f = owners::fly_fuel(o.burn, random);
    burnt += f.litres;
    ran += f.hours[0] + f.hours[1] + f.hours[2];
  }
  out.burn_mean = burnt / ran;
  return out;
}

// --- The day as the owner tells it

struct ToldDay {
  owners::Day truth;
  owners::Ground ground;
  double litres = 0;
  headroom::Day day;
};

ToldDay tell_day(const owners::Owner& o, owners::Pcg32& random) {
  ToldDay t;
  t.truth = owners::some_day(o, false, random);
  t.litres = random.uniform(0.4, 1.0) * o.tank_L;
  t.ground.slope = std::clamp(0.02 * random.gaussian(), -0.06, 0.06);
  t.ground.strip = random.uniform(60, 300);
  t.ground.trees_at = t.ground.strip + random.uniform(10, 150);
  t.ground.trees_high = random.uniform(0, 20);
  const auto paced = [&](double x) { return x * (1 + 0.05 * random.gaussian()); };
  FieldState field;
  field.name = "invented";
  field.height = AltitudeMsl::from_si(t.truth.height);
  FieldStrip strip;
  strip.name = "27";
  strip.towards_deg = 270;
  strip.length = metres(paced(t.ground.strip));
  strip.slope = t.ground.slope + 0.005 * random.gaussian();
  strip.surface = FieldSurface::short_grass;
  strip.obstacles.push_back({ObstacleKind::trees, metres(paced(t.ground.trees_at)), metres(paced(t.ground.trees_high))});
  strip.walked = utc(2027, 3, 1);
  auto& d = t.day;
  d.field = field;
  d.strip = strip;
  d.ground = t.truth.wet ? Surface::wet_grass : Surface::dry_grass;
  d.ground_said = true;
  d.temperature = celsius(t.truth.temperature_c + 0.5 * random.gaussian());
  d.qnh = hectopascals(t.truth.pressure_hpa + 0.5 * random.gaussian());
  d.wheels = o.wheels;
  const double tank = std::max(t.litres + 0.15 * random.gaussian(), 0.3);
  d.in_tank = Estimate<Volume>{litres(tank - 0.25), litres(tank), litres(tank + 0.25), measured(), {}};
  DayWind wind;
  const double blows = std::abs(t.truth.wind_said);
  wind.mean = {
      metres_per_second(std::max(blows - 1.5, 0.0)), metres_per_second(blows), metres_per_second(blows + 1.5), measured(), {}};
  // A breath of wind comes from all sides.
  const double from = (t.truth.wind_said > 0 ? 270 : 90) + 10 * random.gaussian();
  if (blows > 1) wind.from = wind_from_degrees(from);
  wind.source = "typed";
  d.wind = wind;
  return t;
}

DayPlan plan_for(const State& state, const headroom::Day& day) {
  const UtcTime start = utc(2027, 9, 1, 9);
  return {state,
          day,
          start,
          start + std::chrono::hours(1),
          start,
          hours(1),
          exact_amount(Dimension::duration, 3600),
          prior_of(state, prior::running_per_air),
          {}};
}

// The question "how long is the run" in place of "is there room": a long strip without obstacles, no published factors, the wind
// as it blows and not as it counts, legs that do it.
TakeOffEstimates run_question(const State& state, const ToldDay& told) {
  auto e = take_off_of(plan_for(state, told.day));
  const auto as_it_blows = [](double w) { return metres_per_second(w > 0 ? w / 0.5 : w / 1.5); };
  const double w = told.truth.wind_said;
  e.headwind = {as_it_blows(w - 1.5), as_it_blows(w), as_it_blows(w + 1.5), measured(), {}};
  e.fixed.obstacles.clear();
  e.fixed.strip = metres(3000);
  e.fixed.wheels = true;
  e.survey_spread = 0;
  e.own_runs = std::max(e.own_runs, kRunsToLeavePublishedFactors);
  return e;
}

// What one who knows this owner's factor and scatter would put into the same question: the middle and the spread of ln(room less
// inflation over force balance) over many runs at home, each with the wind, air and mass of its day exactly known.
void tell_the_factor(const owners::Owner& o, TakeOffEstimates& e, owners::Pcg32& random) {
  std::vector<double> ratio;
  for (int k = 0; k < 80; ++k) {
    ToldDay told;
    told.truth = owners::some_day(o, true, random);
    auto craft = owners::craft_of(o, told.truth, 0.8 * o.tank_L, random);
    craft.wheels = true;
    const auto chance = owners::chance_of(told.truth.wind_10m, random);
    const auto flown = owners::fly_take_off(craft, {o.home_slope, 2000, 0, 0}, told.truth.density, chance);
    if (!(flown.room > e.inflation.mid.si() + 1)) continue;
    TakeOffInputs in = e.fixed;
    in.mass = kilograms(craft.mass);
    in.density = Density::from_si(told.truth.density);
    in.thrust.stationary = newtons(e.thrust.mid);
    in.lift_off_cl = e.lift_off_cl.mid;
    in.trim_cl = e.trim_cl.mid;
    in.glide = e.glide.mid;
    in.resistance = e.resistance.mid;
    in.slope = o.home_slope;
    in.surface = Surface::dry_grass;
    const double w = told.truth.wind_10m;
    in.headwind = metres_per_second(w > 0 ? w / 0.5 : w / 1.5);
    in.published = false;
    in.inflation = metres(0);
    const auto run = take_off(in);
    if (run && run->impossible == NoTakeOff::none) ratio.push_back(std::log((flown.room - e.inflation.mid.si()) / run->run.si()));
  }
  double mean = 0, square = 0;
  for (const double r : ratio) mean += r / static_cast<double>(ratio.size());
  for (const double r : ratio) square += (r - mean) * (r - mean) / static_cast<double>(ratio.size());
  const double s = kBriefZ95 * std::sqrt(square);
  e.run_factor = {Dimension::none, std::exp(mean - s), std::exp(mean), std::exp(mean + s), learned_from(80), {}};
  // What the factor holds already is not drawn again.
  for (Amount* a : {&e.lift_off_cl, &e.trim_cl, &e.glide, &e.resistance, &e.thrust}) a->low = a->high = a->mid;
  e.inflation.low = e.inflation.high = e.inflation.mid;
}

// --- Chance of not clearing

struct ChanceBin {
  const char* name;
  double most;
  int n = 0, not_cleared = 0;
  double stated = 0;
};

// --- The sun

void report_sun(Targets& targets) {
  struct Band {
    const char* name;
    double to;
    int n = 0;
    double worst = 0, square = 0;
  };
  std::array<Band, 4> bands{{{"to 30", 30}, {"30 to 45", 45}, {"45 to 60", 60}, {"60 to 72", 72}}};
  const auto judge = [&](double latitude, const char* published, std::optional<UtcTime> got) {
    if (published == nullptr) return;
    auto& band = *std::find_if(bands.begin(), bands.end(), [&](const Band& b) { return std::abs(latitude) <= b.to; });
    const double off = got ? std::abs(in_seconds(duration_between(*parse_rfc3339(published), *got))) : 1e6;
    ++band.n;
    band.worst = std::max(band.worst, off);
    band.square += off * off;
  };
  const auto date = [](int y, unsigned m, unsigned d) {
    return std::chrono::local_days(std::chrono::year_month_day(std::chrono::year(y), std::chrono::month(m), std::chrono::day(d)));
  };
  for (const auto& r : testing::kPublishedSun)
    if (const auto day = sun_day({r.latitude, 0}, date(r.y, r.m, r.d))) {
      judge(r.latitude, r.rise, day->sun.up);
      judge(r.latitude, r.set, day->sun.down);
    }
  for (const auto& r : testing::kEphemerisSun)
    if (const auto day = sun_day({r.latitude, r.longitude}, date(r.y, r.m, r.d))) {
      judge(r.latitude, r.rise, day->sun.up);
      judge(r.latitude, r.noon, day->noon);
      judge(r.latitude, r.set, day->sun.down);
      judge(r.latitude, r.dawn, day->civil.up);
      judge(r.latitude, r.dusk, day->civil.down);
    }
  std::printf("  sunrise, noon, sunset and civil twilight against published tables, degrees of latitude: n, RMS and worst [s]\n");
  double to_60 = 0;
  for (const auto& b : bands) {
    std::printf("    %-10s %3d %6.1f %6.1f\n", b.name, b.n, b.n > 0 ? std::sqrt(b.square / b.n) : 0.0, b.worst);
    if (b.to <= 60) to_60 = std::max(to_60, b.worst);
  }
  targets.hold("times of the sun to 60 degrees: worst [s], 60", to_60, 0, 60);
  targets.hold("times of the sun to 72 degrees: worst [s], 180", std::max(to_60, bands.back().worst), 0, 180);
}

}  // namespace

int report_brief(std::uint64_t first_seed, int flights) {
  Targets targets;
  const int count = std::max(6 * flights, 10);
  std::array<IntervalTally, kStages.size()> room, by_phase, by_usual;
  std::array<std::vector<double>, kStages.size()> burn_off, plain_off;
  std::vector<double> over_oracle;
  IntervalTally oracle;
  std::array<std::array<ChanceBin, 5>, kStages.size()> bins;
  bins.fill({{{"to 5 %", 0.05}, {"5 to 20 %", 0.20}, {"20 to 50 %", 0.50}, {"50 to 80 %", 0.80}, {"over 80 %", 1.0}}});
  int rule_clears = 0, rule_wrong = 0;
  for (int k = 0; k < count; ++k) {
    const std::uint64_t seed = first_seed + static_cast<std::uint64_t>(k);
    const auto book = write_book(seed);
    const auto& o = book.owner;
    for (std::size_t s = 0; s < kStages.size(); ++s) {
      const State& state = book.after[s];
      owners::Pcg32 random(seed, 6200);  // the same days at every stage
      for (int d = 0; d < kNextDays; ++d) {
        const ToldDay told = tell_day(o, random);
        const auto chance = owners::chance_of(told.truth.wind_10m, random);
        auto craft = owners::craft_of(o, told.truth, told.litres, random);
        const auto flown = owners::fly_take_off(craft, told.ground, told.truth.density, chance);
        if (const auto m = take_off_margin(take_off_of(plan_for(state, told.day))); m && m->margin.chance_short) {
          auto& all = bins[s];
          auto& bin =
              *std::find_if(all.begin(), all.end(), [&](const ChanceBin& b) { return *m->margin.chance_short <= b.most; });
          ++bin.n;
          bin.stated += *m->margin.chance_short;
          bin.not_cleared += flown.clears ? 0 : 1;
        }
        const double plain = rule_of_thumb_run(told.truth.wind_said);
        const auto& tree = told.day.strip->obstacles.front();
        // The rule says yes when the strip holds the run and a third more, and the trees stand eight of their heights behind it.
        if (s == 0 && 1.33 * plain <= told.day.strip->length.si() && 1.33 * plain + 8 * tree.height.si() <= tree.distance.si()) {
          ++rule_clears;
          rule_wrong += flown.clears ? 0 : 1;
        }
        craft.wheels = true;
        const auto run = owners::fly_take_off(craft, {told.ground.slope, 2000, 0, 0}, told.truth.density, chance);
        auto question = run_question(state, told);
        const auto m = take_off_margin(question);
        if (!(run.room > 0) || !m || !m->margin.need.known()) continue;
        const auto& need = m->margin.need;
        room[s].judge(need.low, need.mid, need.high, run.room, plain * book.plain_room[s]);
        if (kStages[s] != 10) continue;
        owners::Pcg32 apart(seed, 6300);
        tell_the_factor(o, question, apart);
        if (const auto known = take_off_margin(question); known && known->margin.need.known()) {
          const auto& n = known->margin.need;
          oracle.judge(n.low, n.mid, n.high, run.room, plain);
        }
      }

      // Fuel.
      const auto burn = burn_of(state);
      burn_off[s].push_back(in_litres_per_hour(burn.usual.mid) / book.burn_mean - 1);
      plain_off[s].push_back(book.plain_burn[s] / book.burn_mean - 1);
      for (int f = 0; f < kNextFlights; ++f) {
        const auto next = owners::fly_fuel(o.burn, random);
        const double tank = random.uniform(0.5, 1.0) * o.tank_L, usable = tank - o.unusable_L;
        const double said = tank + 0.15 * random.gaussian();
        FuelQuestion q;
        q.burn = burn;
        for (std::size_t j = 0; j < 3; ++j) q.planned[j] = exactly(hours(next.hours[j]));
        q.unusable = exactly(litres(o.unusable_said));
        q.in_tank = Estimate<Volume>{litres(said - 0.25), litres(said), litres(said + 0.25), measured(), {}};
        q.petrol_density = prior_amount(prior::petrol_density);
        const auto plan = fuel_plan(q);
        const double plain = (said - o.unusable_said) / book.plain_burn[s];
        if (plan && plan->endurance.known())
          by_phase[s].judge(in_hours(plan->endurance.low), in_hours(plan->endurance.mid), in_hours(plan->endurance.high),
                            owners::hours_until_dry(o.burn, next, usable), plain);
        // As the brief's rows count: what can be drawn, over the usual burn.
        headroom::Day day;
        day.in_tank = q.in_tank;
        std::vector<double> lasts(kDraws);
        const FlightBurn usual = flight_burn(state);
        if (!tank_draws(plan_for(state, day), usual.usual, lasts)) continue;
        for (std::size_t i = 0; i < kDraws; ++i) lasts[i] /= usual.of_flight(i) * 3600;
        const auto a = from_draws(lasts, Dimension::none, measured());
        const double rate = next.litres / (next.hours[0] + next.hours[1] + next.hours[2]);
        by_usual[s].judge(a.low, a.mid, a.high, usable / rate, plain);
      }
    }
  }

  std::printf("\nThe brief, on %d invented owners with hidden figures\n", count);
  std::printf(
      "  90 %% intervals of the next flight. above: share over the 95 %% end; width: median, %% of the middle; RMS of ln, plain "
      "method beside it\n");
  std::printf("  %-34s %3s %5s %7s %7s %8s %8s %8s\n", "", "own", "n", "cover%", "above%", "width%", "RMS%", "plain%");
  for (std::size_t s = 0; s < kStages.size(); ++s) print_interval("run length", kStages[s], room[s]);
  print_interval("run length, factor known", 10, oracle);
  for (std::size_t s = 0; s < kStages.size(); ++s) print_interval("endurance, phases planned", kStages[s], by_phase[s]);
  for (std::size_t s = 0; s < kStages.size(); ++s) print_interval("endurance, as the fuel row", kStages[s], by_usual[s]);
  std::printf("  mean burn of the usual flight: RMS %%, beside litres filled over hours in the air\n");
  std::array<double, kStages.size()> burn_rms{};
  for (std::size_t s = 0; s < kStages.size(); ++s) {
    double ours = 0, plain = 0;
    for (const double x : burn_off[s]) ours += x * x;
    for (const double x : plain_off[s]) plain += x * x;
    burn_rms[s] = 100 * std::sqrt(ours / count);
    std::printf("    after %2d refuels %6.2f %6.2f\n", kStages[s], burn_rms[s], 100 * std::sqrt(plain / count));
  }
  std::printf("  chance of not clearing: as stated, and how often it did not (lower 90 %% bound, Wilson)\n");
  int bins_too_low = 0;
  for (std::size_t s = 0; s < kStages.size(); ++s)
    for (const auto& b : bins[s]) {
      if (b.n == 0) continue;
      const double stated = 100 * b.stated / b.n, lower = 100 * wilson_lower(b.not_cleared, b.n);
      const bool low = lower > stated;
      bins_too_low += low ? 1 : 0;
      std::printf("    after %2d flights, %-10s stated %5.1f %%: %4d of %4d, bound %5.1f %%%s\n", kStages[s], b.name, stated,
                  b.not_cleared, b.n, lower, low ? "  STATED TOO LOW" : "");
    }
  std::printf("    the rule of thumb says there is room: %d of %d did not clear (%.1f %%)\n", rule_wrong, rule_clears,
              rule_clears > 0 ? 100.0 * rule_wrong / rule_clears : 0.0);
  const double width_ratio = brief_median(room[2].width) / brief_median(oracle.width);

  for (std::size_t s = 0; s < kStages.size(); ++s)
    targets.hold(("run length covered after " + std::to_string(kStages[s]) + " flights [%], 85 to 95").c_str(), room[s].cover(),
                 85, 95);
  targets.hold("run length after 10 flights: width over the oracle's, 1.15", width_ratio, 0, 1.15);
  targets.hold("mean burn after 10 refuels [% RMS], 5", burn_rms[2], 0, 5);
  for (std::size_t s = 0; s < kStages.size(); ++s) {
    targets.hold(("endurance by phases covered after " + std::to_string(kStages[s]) + " [%], 85 to 95").c_str(),
                 by_phase[s].cover(), 85, 95);
    targets.hold(("endurance of the fuel row covered after " + std::to_string(kStages[s]) + " [%], 85 to 95").c_str(),
                 by_usual[s].cover(), 85, 95);
  }
  targets.hold("bins of stated chance that are too low, 0", bins_too_low, 0, 0);
  report_sun(targets);
  return targets.failed();
}

}  // namespace headroom::accuracy
