// The margins of a day: what is missing is unknown and said, what is said is worked out, and more wind, less light or more mass
// never make one better.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/machine/figures.h"
#include "core/planning/brief.h"
#include "core/planning/brief_day.h"

namespace headroom {
namespace {

State weighed_state() {
  State state;
  PilotState pilot;
  pilot.mass = kilograms(78);
  state.pilots.push_back(pilot);
  state.pilot = pilot.id;
  const auto put = [&](const char* key, double value, const char* unit) {
    Sample s;
    s.value = value;
    s.unit = unit;
    state.readings[key].push_back(s);
  };
  put("machine_mass", 31, "kg");
  put("wing_mass", 6, "kg");
  put("wing_area", 26, "m2");
  put("static_thrust", 560, "N");
  put("limit_wind", 6, "m/s");
  return state;
}

Day described_day() {
  Day day;
  FieldState field;
  field.name = "invented";
  field.height = AltitudeMsl::from_si(100);
  field.position = GeoPosition{52.3, 0.4};
  FieldStrip strip{"27", 270, metres(300), 0, FieldSurface::short_grass, {}, utc(2026, 6, 1)};
  field.strips.push_back(strip);
  day.field = field;
  day.strip = strip;
  day.temperature = celsius(15);
  day.qnh = pascals(101325);
  DayWind wind;
  wind.from = wind_from_degrees(270);
  wind.mean = exactly(metres_per_second(5));
  wind.source = "typed";
  day.wind = wind;
  day.in_tank = exactly(litres(8));
  return day;
}

DayPlan plan_of(const State& state, const Day& day, UtcTime start = utc(2026, 6, 20, 12, 0, 0)) {
  DayPlan plan{state, day, start, start + std::chrono::minutes(45), start, minutes(45)};
  plan.planned = exact_amount(Dimension::duration, 45 * 60);
  plan.running_share = exact_amount(Dimension::none, 1);
  plan.route = route_times(state, day, start);
  return plan;
}

const Margin& named(const std::vector<Margin>& margins, std::string_view id) {
  const auto it = std::find_if(margins.begin(), margins.end(), [&](const Margin& m) { return m.id == id; });
  EXPECT_NE(it, margins.end()) << id;
  return *it;
}

TEST(BriefDay, NothingSaidIsUnknownAndAsksForIt) {
  const State state;
  const Day day;
  const auto plan = plan_of(state, day);
  std::vector<Margin> margins;
  add_take_off(margins, plan, true);
  add_wind(margins, plan);
  add_light(margins, plan);
  add_load(margins, plan);
  add_sky(margins, plan);
  ASSERT_GE(margins.size(), 8U);
  for (const Margin& m : margins) {
    EXPECT_EQ(m.state, MarginState::unknown) << m.id;
    EXPECT_FALSE(m.measure.empty()) << m.id;
  }
}

TEST(BriefDay, AStripNobodyWalkedHasAnUnknownRoom) {
  const State state = weighed_state();
  Day day = described_day();
  day.strip->walked.reset();
  std::vector<Margin> margins;
  add_take_off(margins, plan_of(state, day), false);
  EXPECT_EQ(margins.front().state, MarginState::unknown);
  day.strip->walked = utc(2026, 6, 1);
  margins.clear();
  add_take_off(margins, plan_of(state, day), false);
  EXPECT_NE(margins.front().state, MarginState::unknown);
  ASSERT_TRUE(margins.front().chance_short);
}

TEST(BriefDay, AllUpMassIsTheSumOfWhatWasWeighed) {
  const State state = weighed_state();
  const Day day = described_day();
  // 78 + 31 + 6 kg and 8 L of petrol at 745 kg/m3 (EN 228, middle of its range).
  EXPECT_NEAR(in_kilograms(all_up_of(plan_of(state, day)).mid), 78 + 31 + 6 + 8 * 0.745, 1e-9);
}

// Rooms that are the inflation distance and the force balance's run, to the metre, are those of a pilot with a factor of 1: what
// the wing needs to come up is counted once.
TEST(BriefDay, OwnRunsCountTheInflationOnce) {
  State state = weighed_state();
  const Day day = described_day();
  const auto estimates = take_off_of(plan_of(state, day));
  TakeOffInputs in = estimates.fixed;
  in.mass = estimates.mass.mid;
  in.density = Density::from_si(1.225);
  in.thrust.stationary = newtons(560);
  in.headwind = metres_per_second(0);
  in.inflation = metres(6);  // priors.h: 3, 6, 12 m
  in.fastest_run = metres_per_second(12);
  in.surface = Surface::dry_grass;
  in.published = false;
  const auto run = take_off(in);
  ASSERT_TRUE(run);
  for (std::uint32_t k = 0; k < 40; ++k) {
    FlightState flight;
    flight.pilot = *state.pilot;
    state.flights.push_back(flight);
    MeasureSample s;
    s.flight = k;
    s.learnable = true;
    s.mid = static_cast<float>(run->to_lift_off.si());
    s.low = 0.95F * s.mid;
    s.high = 1.05F * s.mid;
    s.density_ratio = 1;
    s.headwind_m_s = 1e-4F;
    state.measures.push_back(s);
  }
  const auto factor = own_runs_of(plan_of(state, day)).factor;
  EXPECT_EQ(factor.runs, 40);
  EXPECT_NEAR(factor.own.mid, 1.0, 0.03);
  EXPECT_TRUE(take_off_of(plan_of(state, day)).factor_holds_figures);
}

// One flight burns more or less than another: the variance of ln of the next flight's burn is that of the mean and that of a
// flight.
TEST(BriefDay, TheNextFlightIsNotTheMeanOne) {
  FlightBurn burn{exact_amount(Dimension::volume_flow, 1e-6), 0.06};
  double sum = 0, square = 0;
  for (std::size_t i = 0; i < 1024; ++i) {
    const double x = burn.of_flight(i) / 1e-6 - 1;
    sum += x;
    square += x * x;
  }
  EXPECT_NEAR(sum / 1024, 0, 0.001);
  EXPECT_NEAR(std::sqrt(square / 1024), 0.06, 0.001);
}

TEST(BriefDay, MoreWindIsNeverBetterAgainstALimit) {
  const State state = weighed_state();
  double before = -1;
  for (const double speed : {1.0, 3.0, 5.0, 5.9, 6.5, 9.0}) {
    Day day = described_day();
    day.wind->mean = {metres_per_second(speed * 0.9), metres_per_second(speed), metres_per_second(speed * 1.1), measured(), {}};
    std::vector<Margin> margins;
    add_wind(margins, plan_of(state, day));
    const Margin& m = named(margins, "wind_mean");
    ASSERT_TRUE(m.chance_short);
    EXPECT_GE(*m.chance_short, before) << speed;
    before = *m.chance_short;
  }
  EXPECT_GT(before, 0.99) << "9 m/s against an own limit of 6";
}

TEST(BriefDay, WindAlongTheStripHasNoPartAcross) {
  const State state = weighed_state();
  Day day = described_day();
  std::vector<Margin> along, across;
  add_wind(along, plan_of(state, day));
  day.wind->from = wind_from_degrees(180);
  add_wind(across, plan_of(state, day));
  EXPECT_NEAR(named(along, "crosswind").need.mid, 0, 1e-9);
  EXPECT_NEAR(named(across, "crosswind").need.mid, 5, 1e-9);
}

// Sunset at 52.3 N 0.4 E on the longest day is about 20:25 UTC (NOAA solar calculator, from memory, to ten minutes).
TEST(BriefDay, LightRunsOutTowardsSunset) {
  const State state = weighed_state();
  const Day day = described_day();
  const auto state_at = [&](int hour, int minute) {
    std::vector<Margin> margins;
    add_light(margins, plan_of(state, day, utc(2026, 6, 20, hour, minute, 0)));
    return margins.front().state;
  };
  EXPECT_EQ(state_at(12, 0), MarginState::ample);
  EXPECT_EQ(state_at(18, 30), MarginState::ample);
  EXPECT_EQ(state_at(20, 0), MarginState::short_of);
  EXPECT_EQ(state_at(22, 0), MarginState::short_of);
}

TEST(BriefDay, ThunderAndFogAreShortAndRainIsThin) {
  const State state;
  Day day;
  day.sky.thunder = day.sky.rain = day.sky.fog = false;
  const auto state_of = [&] {
    std::vector<Margin> margins;
    add_sky(margins, plan_of(state, day));
    return named(margins, "thunderstorm").state;
  };
  EXPECT_EQ(state_of(), MarginState::ample);
  day.sky.rain = true;
  EXPECT_EQ(state_of(), MarginState::thin);
  day.sky.thunder = true;
  EXPECT_EQ(state_of(), MarginState::short_of);
  day.sky.thunder = false;
  day.sky.fog = true;
  EXPECT_EQ(state_of(), MarginState::short_of);
}

TEST(BriefDay, ACheckCountsOnlyOnTheDayItWasDone) {
  State state;
  state.checks["leg_straps"] = {{}, utc(2026, 6, 20, 11, 0, 0), "leg_straps", "done"};
  state.checks["radio"] = {{}, utc(2026, 6, 18, 11, 0, 0), "radio", "done"};
  const Day day;
  for (const auto& check : launch_checks(plan_of(state, day))) {
    if (check.key == "leg_straps") {
      EXPECT_EQ(check.state, "done");
    } else {
      EXPECT_EQ(check.state, "") << check.key;
    }
  }
}

// Straps closed for the flight before were opened since.
TEST(BriefDay, ACheckOfTheFlightBeforeDoesNotCountForTheNext) {
  State state;
  state.checks["leg_straps"] = {{}, utc(2026, 6, 20, 8, 0, 0), "leg_straps", "done"};
  FlightState flown;
  flown.launch = utc(2026, 6, 20, 8, 10, 0);
  flown.landing = utc(2026, 6, 20, 8, 50, 0);
  state.flights.push_back(flown);
  const UtcTime start = utc(2026, 6, 20, 11, 0, 0);
  EXPECT_EQ(check_for(state, "leg_straps", start), nullptr);
  state.checks["leg_straps"].at = utc(2026, 6, 20, 10, 30, 0);
  ASSERT_NE(check_for(state, "leg_straps", start), nullptr);
  EXPECT_EQ(check_for(state, "leg_straps", start)->state, "done");
  EXPECT_EQ(check_for(state, "leg_straps", utc(2026, 6, 21, 11, 0, 0)), nullptr) << "for tomorrow";
}

// 30 km out and 30 km home at about 10 m/s is nearly two hours: an hour's plan does not shorten it.
TEST(BriefDay, ARouteLongerThanPlannedIsWhatFuelAndLightLastFor) {
  const State state = weighed_state();
  BriefRequest request;
  request.now = utc(2026, 6, 20, 17, 30, 0);
  request.planned = hours(1);
  request.day = described_day();
  const auto briefed = [&] { return make_brief(state, request); };
  const auto an_hour = briefed();
  request.day.route = {{"home", {52.3, 0.4}}, {"out", {52.57, 0.4}}, {"home", {52.3, 0.4}}};
  const auto routed = briefed();
  EXPECT_GT(named(routed.margins, "fuel").need.mid, 1.3 * named(an_hour.margins, "fuel").need.mid);
  EXPECT_GT(named(routed.margins, "light").need.mid, 1.3 * named(an_hour.margins, "light").need.mid);
  // A short one does not shorten the plan.
  request.day.route = {{"home", {52.3, 0.4}}, {"out", {52.31, 0.4}}, {"home", {52.3, 0.4}}};
  EXPECT_NEAR(named(briefed().margins, "fuel").need.mid, named(an_hour.margins, "fuel").need.mid, 1e-12);
}

TEST(BriefDay, AreasThatCannotBeLookedAtAreUnknownAndSayWhy) {
  const State state = weighed_state();
  Day day = described_day();
  AirspaceArea area;
  area.name = "invented area";
  day.airspace.push_back(area);
  std::vector<Margin> margins;
  add_airspace(margins, plan_of(state, day));
  EXPECT_EQ(named(margins, "airspace").state, MarginState::unknown);
  EXPECT_EQ(named(margins, "airspace").measure.size(), 2U) << "neither route nor height";
}

// A told direction is to ten degrees and turns: along the strip the whole of the wind is the most there is, not all there is.
TEST(BriefDay, AHeadwindCanTurnAndATailWindKeepsItsSign) {
  const State state = weighed_state();
  Day day = described_day();
  const auto into = take_off_of(plan_of(state, day)).headwind;
  EXPECT_LT(into.low, metres_per_second(5));
  EXPECT_NEAR(into.high.si(), 5, 1e-9);
  day.wind->from = wind_from_degrees(90);
  const auto tail = take_off_of(plan_of(state, day)).headwind;
  EXPECT_NEAR(tail.low.si(), -5, 1e-9);
  EXPECT_LT(tail.high.si(), 0);
  day.wind->from.reset();  // from all sides: it may be behind
  EXPECT_LE(take_off_of(plan_of(state, day)).headwind.low.si(), -5);
}

// A fifth less time must help, and each change be worked out against the same draws: never above the chance as planned.
TEST(BriefDay, WhatWouldHelpWithFuelHelps) {
  const State state = weighed_state();
  for (const double in_tank : {3.0, 5.0, 6.0, 8.0}) {
    BriefRequest request;
    request.now = utc(2026, 6, 20, 12, 0, 0);
    request.planned = hours(1);
    request.day = described_day();
    request.day.in_tank = exactly(litres(in_tank));
    const auto brief = make_brief(state, request);
    const Margin& fuel = named(brief.margins, "fuel");
    ASSERT_TRUE(fuel.chance_short);
    ASSERT_EQ(fuel.changes.size(), 2U);
    for (const auto& c : fuel.changes) EXPECT_LE(*c.chance_short, *fuel.chance_short) << in_tank;
  }
}

TEST(BriefDay, LongGrassIsSoftUntilItIsMown) {
  const State state = weighed_state();
  Day day = described_day();
  day.strip->surface = FieldSurface::long_grass;
  EXPECT_EQ(take_off_of(plan_of(state, day)).fixed.surface, Surface::soft_or_snow);
  day.mown = true;
  EXPECT_EQ(take_off_of(plan_of(state, day)).fixed.surface, Surface::dry_grass);
  day.ground = Surface::wet_grass;
  day.ground_said = true;
  EXPECT_EQ(take_off_of(plan_of(state, day)).fixed.surface, Surface::wet_grass);
  day.strip->surface = FieldSurface::sand;
  EXPECT_NE(take_off_of(plan_of(state, day)).fixed.surface, Surface::dry_grass) << "sand is not mown";
}

TEST(BriefDay, OfABorrowerNothingIsLearned) {
  State state = weighed_state();
  BriefRequest request;
  request.now = utc(2026, 6, 20, 12, 0, 0);
  request.day = described_day();
  request.day.borrower = true;
  FlightState flight;
  flight.launch = utc(2026, 6, 19, 12, 0, 0);
  flight.landing = utc(2026, 6, 19, 13, 0, 0);
  flight.pilot = *state.pilot;
  state.flights.push_back(flight);
  const auto of_borrower = make_brief(state, request);
  EXPECT_EQ(named(of_borrower.margins, "days_since_last_flight").state, MarginState::unknown);
  EXPECT_EQ(named(of_borrower.margins, "load_on_wing").state, MarginState::unknown) << "the owner's mass is not the borrower's";
  request.day.borrower = false;
  const auto of_owner = make_brief(state, request);
  EXPECT_NE(named(of_owner.margins, "days_since_last_flight").state, MarginState::unknown);
}

TEST(BriefDay, DampMildAirIsThinForTheCarburettorAndFrostIsToldOfTheSkin) {
  const State state = weighed_state();
  Day day = described_day();
  const auto told = [&](double air, std::optional<double> dew) {
    day.temperature = celsius(air);
    day.dew_point = dew ? std::optional<Temperature>(celsius(*dew)) : std::nullopt;
    std::vector<Margin> margins;
    add_sky(margins, plan_of(state, day));
    return margins;
  };
  EXPECT_EQ(named(told(10, 8), "carburettor_icing").state, MarginState::thin);
  EXPECT_EQ(named(told(30, 5), "carburettor_icing").state, MarginState::ample);
  EXPECT_EQ(named(told(10, {}), "carburettor_icing").state, MarginState::unknown);
  const auto has_cold = [](const std::vector<Margin>& margins) {
    return std::any_of(margins.begin(), margins.end(), [](const Margin& m) { return m.id == "wind_chill"; });
  };
  EXPECT_FALSE(has_cold(told(15, 8))) << "the index ends at 10 C";
  EXPECT_EQ(named(told(5, 2), "wind_chill").state, MarginState::ample);
  EXPECT_EQ(named(told(-5, -8), "wind_chill").state, MarginState::thin);
  EXPECT_EQ(named(told(-25, -27), "wind_chill").state, MarginState::short_of);
}

TEST(BriefDay, OwnMinutesMoveTheLastLight) {
  const State state = weighed_state();
  Day day = described_day();
  const auto left = [&] {
    std::vector<Margin> margins;
    add_light(margins, plan_of(state, day, utc(2026, 6, 20, 18, 0, 0)));
    return margins.front().left.mid;
  };
  const double by_sunset = left();
  day.light_rule = LightRule::own;
  day.own_light.after_sunset = minutes(-20);
  EXPECT_NEAR(left(), by_sunset - 1200, 1e-6);
  day.own_light.after_sunset = minutes(15);
  EXPECT_NEAR(left(), by_sunset + 900, 1e-6);
}

TEST(BriefDay, OverdueIsWhenItIsSaidOrSomeTimeAfterTheLanding) {
  const State state;
  Day day;
  const auto from = [&]() -> std::optional<UtcTime> {
    for (const auto& check : launch_checks(plan_of(state, day)))
      if (check.key == "who_knows") return check.from;
    return std::nullopt;
  };
  const auto plan = plan_of(state, day);
  ASSERT_TRUE(from());
  EXPECT_GT(*from(), plan.landing);
  day.overdue = utc(2026, 6, 20, 21, 0, 0);
  EXPECT_EQ(*from(), utc(2026, 6, 20, 21, 0, 0));
}

TEST(BriefDay, APassengerHangsOnTheWingToo) {
  const State state = weighed_state();
  Day day = described_day();
  const double alone = in_kilograms(all_up_of(plan_of(state, day)).mid);
  day.passenger = kilograms(60);
  EXPECT_NEAR(in_kilograms(all_up_of(plan_of(state, day)).mid), alone + 60, 1e-9);
}

TEST(BriefDay, LimitsBelongToThePilotWhoFlies) {
  State state = weighed_state();
  state.pilots.front().id = EntryId{};
  PilotState other;
  other.id = *EntryId::parse("01890a5d-ac96-774b-bcce-b302099a8057");
  other.mass = kilograms(60);
  state.pilots.push_back(other);
  EXPECT_EQ(figure_of(state, figure::limit_wind), 6) << "the owner's";
  state.pilot = other.id;
  EXPECT_FALSE(figure_of(state, figure::limit_wind)) << "not another's";
  EXPECT_EQ(figure_of(state, figure::wing_area), 26) << "of the machine, whoever flies it";
  Sample s;
  s.value = 4;
  s.unit = "m/s";
  state.readings[figure_key(figure::limit_wind, other.id)].push_back(s);
  EXPECT_EQ(figure_of(state, figure::limit_wind), 4);
  const Day day = described_day();
  EXPECT_NEAR(in_kilograms(all_up_of(plan_of(state, day)).mid), 60 + 31 + 6 + 8 * 0.745, 1e-9);
}

// Without wind the way out is the way home: half of what is reached one way.
TEST(BriefDay, FuelTellsHowLongAndHowFar) {
  const State state = weighed_state();
  BriefRequest request;
  request.now = utc(2026, 6, 20, 12, 0, 0);
  request.day = described_day();
  request.day.wind->mean = exactly(metres_per_second(0));
  const auto brief = make_brief(state, request);
  const Margin& fuel = named(brief.margins, "fuel");
  const auto says = [&](std::string_view what) -> const Sentence* {
    for (const Sentence& s : fuel.why)
      if (s.text.find(what) != std::string::npos) return &s;
    return nullptr;
  };
  const auto* lasts = says("the tank lasts");
  ASSERT_NE(lasts, nullptr);
  const auto& endurance = std::get<Amount>(lasts->parts.at(1));
  // 8 L at 4.0 L/h and 1.05 of running are 1 h 54 min, less the 30 held back.
  EXPECT_NEAR(endurance.mid, 8.0 / (4.0 * 1.05) * 3600 - 1800, 600);
  const auto* reach = says("straight against the wind");
  ASSERT_NE(reach, nullptr);
  EXPECT_NEAR(std::get<Amount>(reach->parts.at(3)).mid, 2 * std::get<Amount>(reach->parts.at(5)).mid, 1);
}

TEST(BriefDay, AnArcOfWindCountsAcrossAndAlongTheStrip) {
  const State state = weighed_state();
  Day day = described_day();
  const auto narrow = take_off_of(plan_of(state, day)).headwind;
  std::vector<Margin> before;
  add_wind(before, plan_of(state, day));
  day.wind->between = {wind_from_degrees(210), wind_from_degrees(330)};
  const auto wide = take_off_of(plan_of(state, day)).headwind;
  EXPECT_NEAR(wide.low.si(), 5 * std::cos(std::numbers::pi / 3), 1e-9) << "60 degrees off";
  EXPECT_LT(wide.low, narrow.low);
  std::vector<Margin> after;
  add_wind(after, plan_of(state, day));
  EXPECT_NEAR(named(after, "crosswind").need.high, 5 * std::sin(std::numbers::pi / 3), 1e-9);
  EXPECT_GT(named(after, "crosswind").need.high, named(before, "crosswind").need.high);
}

TEST(BriefDay, ALayerWithoutItsBaseIsNeverAmple) {
  const State state;
  Day day;
  day.sky.cloud_partly = true;
  day.sky.cloud_base = metres(2000);
  day.sky.cloud_source = "EGXX 11:50 UTC";
  const auto cloud = [&] {
    std::vector<Margin> margins;
    add_sky(margins, plan_of(state, day));
    return named(margins, "cloud_base").state;
  };
  EXPECT_EQ(cloud(), MarginState::unknown);
  day.sky.cloud_base = metres(150);
  EXPECT_EQ(cloud(), MarginState::short_of) << "what is seen is too low, whatever the rest";
}

// 1700 m, off by a fifth, against 1609 m: (1700 - 1609) / (340 / 1.645) standard deviations, so one in three.
TEST(BriefDay, ABareMarginOfVisibilityHasTheChanceThatItsSpreadSays) {
  const State state;
  Day day;
  day.sky.visibility = metres(1700);
  std::vector<Margin> margins;
  add_sky(margins, plan_of(state, day));
  const double by_hand = 0.5 * std::erfc((1700 - 1609.344) / (0.2 * 1700 / kNormal95) / std::sqrt(2.0));
  EXPECT_NEAR(*named(margins, "visibility").chance_short, by_hand, 0.01);
}

// Sunrise there on that day is about 03:38 UTC (NOAA solar calculator, from memory, to ten minutes): an hour and 38 minutes to
// wait.
TEST(BriefDay, ALaunchBeforeFirstLightIsShortByTheWaitForIt) {
  const State state = weighed_state();
  const Day day = described_day();
  std::vector<Margin> margins;
  add_light(margins, plan_of(state, day, utc(2026, 6, 20, 2, 0, 0)));
  const Margin& light = margins.front();
  EXPECT_EQ(light.state, MarginState::short_of);
  EXPECT_NEAR(light.left.mid, -98 * 60.0, 600);
  EXPECT_EQ(light.chance_short, 1.0);
  ASSERT_FALSE(light.changes.empty());
  EXPECT_LT(light.changes.front().chance_short.value_or(1), 0.05) << "the day that follows is long enough";
}

TEST(BriefDay, ABorrowerIsGivenNoStepsOfTheOwner) {
  State state = weighed_state();
  Sample s;
  s.value = 0.7;
  s.unit = "m";
  state.readings["step_length"].push_back(s);
  for (const char* key : {"static_thrust"}) state.readings[key].back().value = 900;
  Day day = described_day();
  day.wind->mean = exactly(metres_per_second(8));
  day.wheels = true;
  const auto says_steps = [&] {
    std::vector<Margin> margins;
    add_take_off(margins, plan_of(state, day), false);
    return std::any_of(margins.front().why.begin(), margins.front().why.end(),
                       [](const Sentence& w) { return w.text.find("your steps") != std::string::npos; });
  };
  EXPECT_TRUE(says_steps());
  day.borrower = true;
  day.borrower_mass = kilograms(78);
  EXPECT_FALSE(says_steps());
}

// More fuel burnt since the tank was known goes with a higher burn from now on: the low end of the endurance has both.
TEST(BriefDay, EnduranceKeepsWhatIsBurntAndWhatBurnsTogether) {
  State state = weighed_state();
  state.tank.known_at = utc(2026, 6, 20, 8, 0, 0);
  state.tank.known = litres(10);
  state.tank.running_since = {hours(0.5), hours(0.5), hours(0.5), measured(), {}};
  BriefRequest request;
  request.now = utc(2026, 6, 20, 12, 0, 0);
  request.day = described_day();
  request.day.in_tank.reset();
  const auto brief = make_brief(state, request);
  for (const Sentence& s : named(brief.margins, "fuel").why)
    if (s.text.find("the tank lasts") != std::string::npos) {
      // At the burn's dear end, 6 L/h, and 1.05 of running: (10 - 3) / 6.3 h less half an hour; flights scatter about it.
      EXPECT_NEAR(std::get<Amount>(s.parts.at(1)).low, (10 - 0.5 * 6) / (6 * 1.05) * 3600 - 1800, 420);
      return;
    }
  FAIL() << "nothing is said of how long the tank lasts";
}

// Turning back is asked for with the dear ends: never later than the middle of everything would have it.
TEST(BriefDay, TheLatestTurnIsCautious) {
  const State state = weighed_state();
  BriefRequest request;
  request.now = utc(2026, 6, 20, 12, 0, 0);
  request.day = described_day();
  request.day.in_tank = exactly(litres(7));
  request.day.aloft = request.day.wind;
  request.day.aloft->from = wind_from_degrees(180);
  request.day.aloft->mean = {metres_per_second(2), metres_per_second(4), metres_per_second(6), measured(), {}};
  request.day.route = {{"home", {52.3, 0.4}}, {"out", {52.7, 0.4}}, {"home", {52.3, 0.4}}};  // 44 km down wind first
  const auto turn = [&] {
    const auto brief = make_brief(state, request);
    for (const Sentence& s : named(brief.margins, "route").why)
      if (s.text.starts_with("Turn for home")) return std::get<Amount>(s.parts.at(0)).mid;
    return -1.0;
  };
  const double cautious = turn();
  ASSERT_GT(cautious, 0);
  request.day.aloft->mean = exactly(metres_per_second(4));
  EXPECT_LT(cautious, turn()) << "a wind that may be stronger turns you earlier";
}

// A made-up history: 10 L filled to the mark after each 2 h of running is 5 L/h, however it is split.
TEST(BriefDay, BurnFollowsTheFills) {
  State state;
  UtcTime t = utc(2026, 5, 1, 8, 0, 0);
  state.fuel.push_back({FuelEvent::Kind::filled, {}, t, litres(10), litres(12), {}});
  for (int i = 0; i < 12; ++i) {
    FlightState f;
    f.launch = t + std::chrono::hours(1);
    f.landing = f.launch + std::chrono::hours(2);
    f.air_time = hours(2);
    f.running_low = f.running_mid = f.running_high = hours(2.05);
    state.flights.push_back(f);
    t += std::chrono::hours(24);
    state.fuel.push_back({FuelEvent::Kind::filled, {}, t, litres(10.25), litres(12), {}});
  }
  state.last_at = t;
  const auto burn = burn_of(state);
  EXPECT_EQ(burn.intervals, 12);
  EXPECT_EQ(burn.usual.basis.kind, BasisKind::learned);
  EXPECT_NEAR(burn.usual.mid.si() * 3.6e6, 5.0, 0.25);
  EXPECT_LT(burn.usual.low, burn.usual.high);
}

// --- a pilot's own runs

const UtcTime kRunDay = utc(2026, 5, 1, 9);
UtcTime run_time(int n) {
  return kRunDay + std::chrono::hours(24 * n);
}

// The run of weighed_state()'s machine and pilot at 1.225 kg/m3 (sea level, 15 C: ICAO Doc 7488) on dry grass, from the equations
// of docs/analysis/take-off.md by small steps of time: no code shared with the model's quadrature.
double run_by_steps(double mass_kg, double headwind_at_2_m) {
  const double rho = 1.225, area = 26, thrust = 560, cl = 0.56, cl_lift_off = 0.92, glide = 5.5, mu = 0.06, g = 9.80665;
  const double wind = headwind_at_2_m * std::log(6 / 0.03) / std::log(2 / 0.03);
  const double lift_off = std::sqrt(2 * mass_kg * g / (rho * area * cl_lift_off));
  double s = 0, v = wind;
  constexpr double dt = 1e-4;
  while (v < lift_off) {
    const double lift = cl * rho * v * v * area / 2;
    const double force = thrust * (1 - 0.022 * v) - lift / glide - mu * std::max(0.0, mass_kg * g - lift);
    s += (v - wind) * dt;
    v += force / mass_kg * dt;
  }
  return 1.20 * s;  // dry grass, UK CAA Safety Sense 09
}

double wind_of_run(int n) {
  return 0.8 + 0.3 * (n % 4);
}
// Ten per cent about the factor, evenly to both sides.
double room_of_run(int n, double factor) {
  return factor * std::exp(n % 2 == 0 ? 0.1 : -0.1) * run_by_steps(120.96, wind_of_run(n));
}
RunState hand_run(int n, double room_m) {
  RunState r;
  r.at = run_time(n);
  r.run.room = metres(room_m);
  r.run.headwind = metres_per_second(wind_of_run(n));
  r.run.temperature = celsius(15);
  r.run.height = AltitudeMsl::from_si(0);
  r.run.surface = Surface::dry_grass;
  r.run.all_up = kilograms(120.96);
  return r;
}
// A debrief's run, within 15 % in six of ten (docs/limitations.md): 30 % either way in nine of ten.
void recorded_run(State& state, int n, double room_m, UtcTime launch) {
  FlightState f;
  f.launch = launch;
  f.landing = launch + std::chrono::minutes(30);
  MeasureSample s;
  s.flight = static_cast<std::uint32_t>(state.flights.size());
  s.learnable = true;
  s.low = static_cast<float>(room_m / 1.3);
  s.mid = static_cast<float>(room_m);
  s.high = static_cast<float>(room_m * 1.3);
  s.density_ratio = 1;
  s.headwind_m_s = static_cast<float>(wind_of_run(n));
  state.flights.push_back(f);
  state.measures.push_back(s);
}

TEST(OwnRuns, MeasuredByHandFindTheFactorAndNarrowItMoreThanAsManyRecordings) {
  const Day day = described_day();
  State by_hand = weighed_state(), recorded = weighed_state();
  for (int n = 0; n < 8; ++n) {
    by_hand.runs.push_back(hand_run(n, room_of_run(n, 1.3)));
    recorded_run(recorded, n, room_of_run(n, 1.3), run_time(n));
  }
  const OwnRuns hand = own_runs_of(plan_of(by_hand, day)), seen = own_runs_of(plan_of(recorded, day));
  EXPECT_EQ(hand.factor.runs, 8);
  EXPECT_EQ(hand.by_hand, 8);
  EXPECT_EQ(seen.factor.runs, 8);
  EXPECT_EQ(seen.by_hand, 0);
  const Amount &h = hand.factor.own, &r = seen.factor.own;
  EXPECT_EQ(h.basis.kind, BasisKind::learned);
  EXPECT_LT(h.low, 1.3);
  EXPECT_GT(h.high, 1.3);
  EXPECT_NEAR(h.mid, 1.3, 0.07);
  EXPECT_LT(std::log(h.high / h.low), std::log(r.high / r.low));
  EXPECT_LT(hand.factor.told, seen.factor.told);
}

// What was told of a run is taken as told: heavy runs on wet grass in thin air are not held against the pilot.
TEST(OwnRuns, WhatWasToldOfARunIsTakenAsTold) {
  const Day day = described_day();
  State state = weighed_state();
  for (int n = 0; n < 8; ++n) {
    RunState r = hand_run(n, 1.30 / 1.20 * run_by_steps(140, wind_of_run(n)));  // wet over dry grass, Safety Sense 09
    r.run.all_up = kilograms(140);
    r.run.surface = Surface::wet_grass;
    state.runs.push_back(r);
  }
  EXPECT_NEAR(own_runs_of(plan_of(state, day)).factor.own.mid, 1.0, 0.05);
  for (RunState& r : state.runs) r.run.surface = {}, r.run.all_up = {};
  EXPECT_GT(own_runs_of(plan_of(state, day)).factor.own.mid, 1.2) << "taken for light ones on dry grass";
}

TEST(OwnRuns, OneLaunchMeasuredTwiceCountsOnceAndAsEntered) {
  const Day day = described_day();
  State state = weighed_state();
  const auto around = [&](UtcTime launch) {
    state = weighed_state();
    state.runs.push_back(hand_run(0, 30));
    recorded_run(state, 0, 60, launch);
    return own_runs_of(plan_of(state, day));
  };
  for (const auto away : {std::chrono::minutes(-10), std::chrono::minutes(0), std::chrono::minutes(10)}) {
    const OwnRuns once = around(run_time(0) + away);
    EXPECT_EQ(once.factor.runs, 1) << away.count();
    EXPECT_EQ(once.by_hand, 1) << away.count();
  }
  EXPECT_EQ(around(run_time(0) + std::chrono::minutes(11)).factor.runs, 2);
  EXPECT_EQ(around(run_time(0) - std::chrono::minutes(25)).factor.runs, 1) << "in the middle of that flight";
  EXPECT_EQ(around(run_time(0) - std::chrono::minutes(31)).factor.runs, 2) << "after it";
  // Of two launches six minutes apart only the nearer is the one that was walked off.
  around(run_time(0) - std::chrono::minutes(2));
  state.flights[0].landing = state.flights[0].launch + std::chrono::minutes(1);
  recorded_run(state, 0, 30, run_time(0) + std::chrono::minutes(4));
  EXPECT_EQ(own_runs_of(plan_of(state, day)).factor.runs, 2);
  // Another pilot's take-off is none of this one's.
  state.runs.clear();
  state.flights.resize(1);
  state.measures.resize(1);
  RunState other = hand_run(0, 30);
  other.run.pilot.bytes[0] = 9;
  state.runs.push_back(other);
  const OwnRuns mine = own_runs_of(plan_of(state, day));
  EXPECT_EQ(mine.factor.runs, 1);
  EXPECT_EQ(mine.by_hand, 0);
}

TEST(OwnRuns, CountOnlyWithWindAndDensityWhichTheRecordingMayGive) {
  const Day day = described_day();
  State state = weighed_state();
  RunState r = hand_run(0, 30);
  r.run.headwind.reset();
  state.runs = {r};
  EXPECT_EQ(own_runs_of(plan_of(state, day)).factor.runs, 0);
  EXPECT_EQ(own_runs_of(plan_of(state, day)).left_out, 1);
  r = hand_run(0, 30);
  r.run.height.reset();
  state.runs = {r};
  EXPECT_EQ(own_runs_of(plan_of(state, day)).left_out, 1);
  r.run.headwind.reset();
  state.runs = {r};
  recorded_run(state, 0, 60, run_time(0));
  const OwnRuns helped = own_runs_of(plan_of(state, day));
  EXPECT_EQ(helped.factor.runs, 1);
  EXPECT_EQ(helped.by_hand, 1);
  EXPECT_EQ(helped.left_out, 0);
  // Calm is a wind that was told.
  r = hand_run(0, 30);
  r.run.headwind = Speed{};
  state = weighed_state();
  state.runs = {r};
  EXPECT_EQ(own_runs_of(plan_of(state, day)).by_hand, 1);
}

TEST(OwnRuns, ARunEnteredTwiceCountsOnceAndAsSaidLast) {
  const Day day = described_day();
  State state = weighed_state();
  recorded_run(state, 0, 60, run_time(0));
  state.runs.push_back(hand_run(0, 30));
  const double once = own_runs_of(plan_of(state, day)).factor.own.mid;
  RunState again = hand_run(0, 45);
  again.at += std::chrono::minutes(1);
  state.runs.push_back(again);
  const OwnRuns twice = own_runs_of(plan_of(state, day));
  EXPECT_EQ(twice.factor.runs, 1);
  EXPECT_EQ(twice.left_out, 1);
  EXPECT_GT(twice.factor.own.mid, once);
}

TEST(OwnRuns, RunsByHandLeaveTheInflationItsSpread) {
  const Day day = described_day();
  State state = weighed_state();
  state.runs.push_back(hand_run(0, 30));
  const auto by_hand = take_off_of(plan_of(state, day));
  EXPECT_TRUE(by_hand.factor_holds_figures);
  EXPECT_FALSE(by_hand.factor_holds_inflation);
  state = weighed_state();
  recorded_run(state, 0, 60, run_time(0));
  EXPECT_TRUE(take_off_of(plan_of(state, day)).factor_holds_inflation);
}

// Five fast roll-offs, said to be on wheels, give no legs.
TEST(OwnRuns, WheelsDoNotMakeAFastRunner) {
  const Day day = described_day();
  const auto fastest = [&](bool said) {
    State state = weighed_state();
    for (int n = 0; n < 6; ++n) {
      recorded_run(state, n, 40, run_time(n));
      MeasureSample speed;
      speed.flight = static_cast<std::uint32_t>(n);
      speed.kind = MeasureKind::lift_off_ground_speed;
      speed.learnable = true;
      speed.low = 9.9F, speed.mid = 10.0F, speed.high = 10.1F;
      state.measures.push_back(speed);
      if (said) {
        state.runs.push_back(hand_run(n, 40));
        state.runs.back().run.wheels = true;
      }
    }
    return fastest_run_of(plan_of(state, day)).mid.si();
  };
  EXPECT_GT(fastest(false), 8);
  EXPECT_LT(fastest(true), 8);
}

TEST(OwnRuns, OnFootAndOnWheelsAreTwoThings) {
  Day day = described_day();
  State state = weighed_state();
  state.runs.push_back(hand_run(0, 30));
  state.runs.back().run.wheels = true;
  recorded_run(state, 0, 60, run_time(0));
  EXPECT_EQ(own_runs_of(plan_of(state, day)).factor.runs, 0);
  day.wheels = true;
  EXPECT_EQ(own_runs_of(plan_of(state, day)).by_hand, 1);
  day.borrower = true;
  EXPECT_EQ(own_runs_of(plan_of(state, day)).by_hand, 0);
}

TEST(BriefDay, TheAbortPointHasTheOwnersStepsBesideAndNeitherLiesBeyondIt) {
  State state = weighed_state();
  Day day = described_day();
  day.strip->length = metres(900);
  day.wheels = true;  // on foot lift-off is not always reached, and there is no such point
  const auto steps_told = [&] {
    std::vector<Margin> margins;
    add_take_off(margins, plan_of(state, day), false);
    for (const Sentence& s : margins.front().why)
      if (s.text.find("of your steps") != std::string::npos) return std::optional(s);
    return std::optional<Sentence>{};
  };
  EXPECT_FALSE(steps_told()) << "the step is not entered";
  Sample step;
  step.value = 0.8;
  step.unit = "m";
  state.readings["step_length"].push_back(step);
  const auto told = steps_told();
  ASSERT_TRUE(told);
  const double metres_told = std::get<Amount>(told->parts[0]).mid, steps = std::get<Amount>(told->parts[1]).mid;
  const auto margin = take_off_margin(take_off_of(plan_of(state, day)));
  ASSERT_TRUE(margin);
  EXPECT_LE(metres_told, margin->abort_point.low);
  EXPECT_GT(metres_told, margin->abort_point.low - 1);
  EXPECT_LE(steps * 0.8, metres_told);
  EXPECT_GT((steps + 1) * 0.8, metres_told);
}

TEST(BriefDay, SaysHowManyOwnRunsWereMeasuredByHand) {
  State state = weighed_state();
  const Day day = described_day();
  state.runs.push_back(hand_run(0, 30));
  state.runs.push_back(hand_run(1, 30));
  state.runs.push_back(hand_run(2, 30));
  state.runs.back().run.headwind.reset();
  recorded_run(state, 3, 30, run_time(3));
  std::vector<Margin> margins;
  add_take_off(margins, plan_of(state, day), false);
  const auto said = [&](std::string_view words) -> const Sentence* {
    for (const Sentence& s : margins.front().why)
      if (s.text.find(words) != std::string::npos) return &s;
    return nullptr;
  };
  const Sentence *count = said("Own runs that count"), *not_counted = said("not counted");
  ASSERT_TRUE(count && not_counted);
  EXPECT_EQ(std::get<Amount>(count->parts[0]).mid, 3);
  EXPECT_EQ(std::get<Amount>(count->parts[1]).mid, 2);
  EXPECT_EQ(std::get<Amount>(not_counted->parts[0]).mid, 1);
}

}  // namespace
}  // namespace headroom
