// Intervals are common practice, no source (job facts): each expected number is worked by hand from them.
#include "core/upkeep/due.h"

#include <gtest/gtest.h>

#include "support/book_builder.h"

namespace headroom {
namespace {

using testing::BookBuilder;
const UtcTime kDueStart = utc(2026, 3, 1, 8);
UtcTime day(int n, int hour = 0) {
  return kDueStart + std::chrono::hours(24 * n + hour);
}
std::vector<DueLine> due_of(const State& s, UtcTime now) {
  return due(s, now, use_rate(s, now));
}
const DueLine& line_of(const std::vector<DueLine>& all, std::string_view key) {
  for (const auto& d : all)
    if (d.line.line == key) return d;
  throw std::runtime_error("no such line");
}
void fly_measured(BookBuilder& b, UtcTime launch, double h) {
  auto f = b.flight_of(launch, hours(h));
  f.running_time = exactly(hours(h));
  b.say(launch, f);
}

TEST(ServiceList, EveryDefaultLineIsMarkedAndHasALimit) {
  for (const auto& line : default_service_list()) {
    EXPECT_EQ(line.basis, "common practice; your manual comes first") << line.line;
    EXPECT_TRUE(line.running || line.air || line.calendar || line.launches) << line.line;
    EXPECT_FALSE(line.title.empty());
  }
  EXPECT_FALSE(each_flight_checks().empty());
}

TEST(ServiceList, TheOwnerReplacesDropsAndAddsLines) {
  BookBuilder b;
  ServiceLineSet plug{"plug", "", "", hours(40), {}, {}, {}, false, false, "my manual"};
  b.say(day(0), plug);
  ServiceLineSet gone;
  gone.line = "belt";
  gone.dropped = true;
  b.say(day(0), gone);
  ServiceLineSet own{"cart_axle", "Cart axle: grease", "cart", {}, {}, {}, 30, false, false, ""};
  b.say(day(0), own);
  const auto list = service_list(b.folded());
  const auto find = [&](std::string_view key) {
    return std::find_if(list.begin(), list.end(), [&](const auto& l) { return l.line == key; });
  };
  ASSERT_NE(find("plug"), list.end());
  EXPECT_DOUBLE_EQ(in_hours(*find("plug")->running), 40);
  EXPECT_EQ(find("plug")->title, "Spark plug: renew");
  EXPECT_EQ(find("belt"), list.end());
  ASSERT_NE(find("cart_axle"), list.end());
  EXPECT_EQ(find("cart_axle")->launches, 30);
}

TEST(Due, APartWhoseLastServiceIsNotKnownIsUnknownAndSaysWhatToEnter) {
  BookBuilder b;
  b.assumed_machine(day(0));
  fly_measured(b, day(1), 1);
  const auto lines = due_of(b.folded(), day(2));
  ASSERT_FALSE(lines.empty());
  for (const auto& d : lines) {
    EXPECT_EQ(d.state, MarginState::unknown) << d.line.line;
    EXPECT_FALSE(d.measure.empty()) << d.line.line;
    EXPECT_FALSE(d.chance_now) << d.line.line;
  }
}

TEST(Due, AnEmptyBookHasEveryLineUnknown) {
  for (const auto& d : due_of(State{}, day(0))) EXPECT_EQ(d.state, MarginState::unknown) << d.line.line;
}

TEST(Due, CountsFromTheLastServiceAndFromNewForANewPart) {
  BookBuilder b;
  b.own_machine(day(0));
  for (int i = 1; i <= 20; ++i) fly_measured(b, day(i), 1);
  auto plug = line_of(due_of(b.folded(), day(21)), "plug");
  EXPECT_NEAR(plug.counters.at(0).need.mid, 20 * 3600.0, 1);
  EXPECT_NEAR(plug.counters.at(0).left.mid, 5 * 3600.0, 1) << "25 h interval";
  EXPECT_EQ(plug.state, MarginState::ample);
  b.say(day(21), ServiceDone{"plug", {}, {}});
  fly_measured(b, day(22), 2);
  plug = line_of(due_of(b.folded(), day(23)), "plug");
  EXPECT_NEAR(plug.counters.at(0).left.mid, 23 * 3600.0, 1);
  EXPECT_EQ(*plug.last_done, day(21));
}

TEST(Due, TheEarliestOfSeveralLimitsWins) {
  BookBuilder b;
  b.own_machine(day(0));
  for (int i = 1; i <= 3; ++i) fly_measured(b, day(i), 1);
  // Three hours of fifty, but more than a year: the calendar is what is passed.
  const auto kit = line_of(due_of(b.folded(), day(400)), "carburettor_kit");
  EXPECT_EQ(kit.counters.at(0).counts, DueCounter::Counts::calendar);
  EXPECT_EQ(kit.state, MarginState::short_of);
  EXPECT_EQ(*kit.chance_now, 1.0);
}

// A plug renewed in May, and a book that begins in November: "0 s of 25 h used" was told, and ample.
TEST(Due, AServiceBeforeTheBookCountsHasNoHoursSince) {
  BookBuilder b;
  b.assumed_machine(day(200));
  fly_measured(b, day(201), 1);
  const auto meter = b.say(day(202), CounterRead{{}, Counter::running, 42 * 3600.0});
  b.say(day(0), ServiceDone{"plug", {}, {}});
  auto plug = line_of(due_of(b.folded(), day(203)), "plug");
  EXPECT_EQ(plug.state, MarginState::unknown);
  EXPECT_FALSE(plug.counters.at(0).need.known());
  EXPECT_EQ(*plug.last_done, day(0));
  EXPECT_FALSE(plug.measure.empty());
  // What the meter showed that day closes the gap: 42 - 30 hours.
  b.say(day(0), CounterRead{{}, Counter::running, 30 * 3600.0});
  plug = line_of(due_of(b.folded(), day(203)), "plug");
  EXPECT_NEAR(in_hours(Duration::from_si(plug.counters.at(0).need.mid)), 12, 1e-6);
  EXPECT_EQ(plug.state, MarginState::ample);
  (void)meter;
}

TEST(Due, TheWholeLifeStandsInWhereItIsWithinTheInterval) {
  BookBuilder b;
  b.own_machine(day(0));
  PartRegistered used;
  used.role = "engine";
  used.running_before = hours(20);
  const auto engine = b.say(day(100), used);
  b.say(day(100), PartFitted{engine, b.machine});
  b.say(day(50), ServiceDone{"plug", engine, {}});
  b.say(day(50), ServiceDone{"decarbonise", engine, {}});
  fly_measured(b, day(101), 2);
  const auto lines = due_of(b.folded(), day(102));
  const auto& plug = line_of(lines, "plug");
  EXPECT_NEAR(plug.counters.at(0).need.mid, 22 * 3600.0, 1) << "not more than its whole life, and rather too early than too late";
  // The reading of that day, from a life that was stated later.
  b.say(day(50), CounterRead{engine, Counter::running, 15 * 3600.0});
  const auto known = line_of(due_of(b.folded(), day(102)), "plug");
  EXPECT_NEAR(known.counters.at(0).need.mid, 7 * 3600.0, 1) << "20 - 15 before it was registered, 2 since";
}

TEST(Due, ALifeLongerThanTheIntervalWithoutAServiceIsUnknownNotAmple) {
  BookBuilder b;
  b.own_machine(day(0));
  PartRegistered used;
  used.role = "engine";
  used.running_before = hours(60);
  const auto engine = b.say(day(1), used);
  b.say(day(1), PartFitted{engine, b.machine});
  const auto lines = due_of(b.folded(), day(2));
  EXPECT_EQ(line_of(lines, "plug").state, MarginState::unknown) << "60 h on it, 25 h interval";
  EXPECT_EQ(line_of(lines, "piston").state, MarginState::ample) << "60 h of 150 h, counted as never renewed";
}

TEST(Due, ReserveLifeCountsFromManufactureAndIsUnknownWithoutThatDate) {
  BookBuilder b;
  b.own_machine(day(0));
  EXPECT_EQ(line_of(due_of(b.folded(), day(1)), "reserve_life").state, MarginState::ample);
  EXPECT_EQ(line_of(due_of(b.folded(), day(3660)), "reserve_life").state, MarginState::short_of) << "ten years are 3652 days";
  PartRegistered undated;
  undated.role = "reserve";
  undated.bought = day(1);
  const auto id = b.say(day(1), undated);
  b.say(day(1), PartFitted{id, b.machine});
  b.say(day(2), PartRemoved{b.part("reserve"), {}});
  const auto life = line_of(due_of(b.folded(), day(3)), "reserve_life");
  EXPECT_EQ(life.state, MarginState::unknown) << "bought is not made";
  EXPECT_FALSE(life.measure.empty());
}

TEST(Due, TheDateFollowsTheUseRate) {
  BookBuilder b;
  b.own_machine(day(0));
  for (int i = 0; i < 10; ++i) fly_measured(b, day(1 + 10 * i), 1);  // 10 h in 99 days up to day 100
  const auto state = b.folded();
  const auto rate = use_rate(state, day(100));
  EXPECT_EQ(rate.flights, 10);
  EXPECT_NEAR(in_hours(rate.air_per_day.mid) * 99, 10, 1e-9);
  const auto plug = line_of(due_of(state, day(100)), "plug");
  // 15 h left at 10 h in 99 days: 148.5 days.
  const double expected = static_cast<double>(day(100).time_since_epoch().count()) * 1e-3 + 148.5 * 86400;
  EXPECT_NEAR(plug.counters.at(0).date.mid, expected, 2 * 86400.0);
  EXPECT_LT(plug.counters.at(0).date.low, plug.counters.at(0).date.high);
  const auto soon = due(state, day(100), rate, day(110)), late = due(state, day(100), rate, day(400));
  EXPECT_LT(*line_of(soon, "plug").chance_by, *line_of(late, "plug").chance_by);
}

TEST(Due, AOnceOnlyLineGoesWhenItIsDone) {
  BookBuilder b;
  b.own_machine(day(0));
  EXPECT_NO_THROW(line_of(due_of(b.folded(), day(1)), "first_torque"));
  b.say(day(1), ServiceDone{"first_torque", {}, {}});
  EXPECT_THROW(line_of(due_of(b.folded(), day(2)), "first_torque"), std::runtime_error);
}

}  // namespace
}  // namespace headroom
