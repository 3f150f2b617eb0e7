#include "core/planning/brief.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/book_builder.h"

namespace headroom {
namespace {

using testing::BookBuilder;
const UtcTime kBriefStart = utc(2026, 3, 1, 8);
UtcTime brief_day(int n, int hour = 0) {
  return kBriefStart + std::chrono::hours(24 * n + hour);
}
const Margin* find(const Brief& b, std::string_view id) {
  for (const auto& m : b.margins)
    if (m.id == id) return &m;
  return nullptr;
}
Brief brief_at(const State& s, UtcTime now, std::optional<Duration> planned = {}) {
  return make_brief(s, {now, planned, {}});
}
int rank_of(MarginState s) {  // ample 0, thin 1, unknown or short 2 and 3
  return s == MarginState::ample ? 0 : s == MarginState::thin ? 1 : s == MarginState::unknown ? 2 : 3;
}

TEST(Brief, OfAnEmptyBookPutsTheDeadlyUnknownFirstAndCallsNothingAmple) {
  const auto b = brief_at(State{}, brief_day(0));
  ASSERT_GE(b.margins.size(), 2U);
  EXPECT_TRUE(is_deadly(b.margins[0].kind) && is_deadly(b.margins[1].kind));
  EXPECT_EQ(b.margins[0].state, MarginState::unknown);
  for (const auto& m : b.margins) {
    EXPECT_EQ(m.state, MarginState::unknown) << m.id;
    EXPECT_FALSE(m.measure.empty()) << m.id << " says what to enter";
  }
  ASSERT_NE(find(b, "fuel"), nullptr);
  EXPECT_EQ(find(b, "fuel")->measure.at(0).text, "Enter how many litres are in the tank, and when they were mixed.");
  EXPECT_TRUE(b.planned_assumed);
  EXPECT_FALSE(b.not_covered.text.empty());
  EXPECT_EQ(b.caution, kCaution);
}

TEST(Brief, AGroundingFindingComesFirstAndADeferredOneIsNeverAmple) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  b.say(brief_day(1), Finding{false, {}, "scratch {0}"});
  const auto id = b.say(brief_day(1), Finding{true, {}, "crack in the frame"});
  auto brief = brief_at(b.folded(), brief_day(2));
  EXPECT_TRUE(brief.margins[0].grounding);
  EXPECT_EQ(brief.margins[0].state, MarginState::short_of);
  const auto deferred = std::find_if(brief.margins.begin(), brief.margins.end(),
                                     [](const Margin& m) { return m.kind == MarginKind::finding && !m.grounding; });
  ASSERT_NE(deferred, brief.margins.end());
  EXPECT_EQ(deferred->state, MarginState::thin);
  b.say(brief_day(3), FindingClosed{id, {}});
  brief = brief_at(b.folded(), brief_day(4));
  EXPECT_FALSE(std::any_of(brief.margins.begin(), brief.margins.end(), [](const Margin& m) { return m.grounding; }));
}

TEST(Brief, FuelIsJudgedByTheAssumedBurnWithTheWordAssumed) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  b.say(brief_day(1), FuelLeft{litres(20)});
  const auto plenty = brief_at(b.folded(), brief_day(1, 1));
  EXPECT_EQ(find(plenty, "fuel")->state, MarginState::ample);
  EXPECT_TRUE(find(plenty, "fuel")->assumed);
  b.say(brief_day(2), FuelLeft{litres(2)});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(2, 1)), "fuel")->state, MarginState::short_of)
      << "2 L do not last 1.5 h at 2.5 L/h";
  b.say(brief_day(3), FuelLeft{litres(20)});
  b.fly(brief_day(4), hours(3));
  const auto after = find(brief_at(b.folded(), brief_day(5)), "fuel")->have;
  EXPECT_LT(after.mid, 0.020 - 3 * 0.0025) << "three hours burn at least 7.5 L";
}

TEST(Brief, AnOldOrUnknownMixIsNeverAmple) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  b.say(brief_day(0), FuelMixed{litres(10), {}, {}, {}});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(1)), "fuel_mix")->state, MarginState::unknown) << "no ratio";
  b.say(brief_day(1), FuelMixed{litres(10), {}, litres(0.25), {}});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(2)), "fuel_mix")->state, MarginState::ample) << "40:1, a day old";
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(60)), "fuel_mix")->state, MarginState::short_of) << "two months";
  b.say(brief_day(3), FuelMixed{litres(10), 100.0, {}, {}});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(4)), "fuel_mix")->state, MarginState::short_of) << "100:1 is too little oil";
  b.say(brief_day(5), FuelMixed{litres(10), 12.0, {}, {}});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(6)), "fuel_mix")->state, MarginState::thin) << "12:1 is more oil than usual";
}

TEST(Brief, AServiceReachedWithinThePlannedFlightIsSaidBeforeIt) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  auto f = b.flight_of(brief_day(1), hours(24));
  f.running_time = exactly(hours(24));
  b.say(brief_day(1), f);
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(3), minutes(10)), "service:plug")->state, MarginState::ample)
      << "24 h and 10 min of 25 h";
  const auto brief = brief_at(b.folded(), brief_day(3), hours(2));
  const auto* plug = find(brief, "service:plug");
  EXPECT_EQ(plug->state, MarginState::short_of) << "26 h of 25 h";
  EXPECT_FALSE(plug->changes.empty());
}

TEST(Brief, HeadTemperatureIsUsualOrUnusualAgainstAtLeastFiveEarlierValues) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  for (int i = 0; i < 5; ++i) b.say(brief_day(i), Reading{"head_maximum", 430.0 + i, "K", {}});
  auto brief = brief_at(b.folded(), brief_day(6));
  ASSERT_EQ(brief.observations.size(), 1U);
  EXPECT_FALSE(brief.observations[0].enough) << "four earlier ones";
  b.say(brief_day(6), Reading{"head_maximum", 433.0, "K", {}});
  brief = brief_at(b.folded(), brief_day(7));
  EXPECT_TRUE(brief.observations[0].enough);
  EXPECT_FALSE(brief.observations[0].unusual);
  EXPECT_EQ(find(brief, "head_maximum"), nullptr);
  b.say(brief_day(7), Reading{"head_maximum", 470.0, "K", {}});
  brief = brief_at(b.folded(), brief_day(8));
  EXPECT_TRUE(brief.observations[0].unusual);
  ASSERT_NE(find(brief, "head_maximum"), nullptr);
  EXPECT_EQ(find(brief, "head_maximum")->state, MarginState::thin);
}

TEST(Brief, AWhitePlugIsThinWhateverThePast) {
  BookBuilder b;
  b.say(brief_day(0), PlugRead{PlugColour::white, false, PlugMixture::unsaid});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(1)), "plug_word")->state, MarginState::thin);
  b.say(brief_day(1), PlugRead{PlugColour::tan, false, PlugMixture::right});
  EXPECT_EQ(find(brief_at(b.folded(), brief_day(2)), "plug_word"), nullptr);
}

TEST(Brief, PracticeFadesWithDaysAndFewLaunches) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  for (int i = 1; i <= 3; ++i) b.fly(brief_day(i), hours(1));
  b.say(brief_day(3), DrillPractised{"reserve", {}});
  auto brief = brief_at(b.folded(), brief_day(5));
  EXPECT_EQ(find(brief, "days_since_last_flight")->state, MarginState::ample);
  EXPECT_EQ(find(brief, "launches_in_90_days")->state, MarginState::ample);
  EXPECT_EQ(find(brief, "reserve_drill")->state, MarginState::ample);
  brief = brief_at(b.folded(), brief_day(500));
  EXPECT_EQ(find(brief, "days_since_last_flight")->state, MarginState::short_of);
  EXPECT_EQ(find(brief, "launches_in_90_days")->state, MarginState::short_of);
  EXPECT_EQ(find(brief, "reserve_drill")->state, MarginState::short_of);
}

TEST(Brief, NewlyThinNamesWhatTheFlightChangedAndNothingElse) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  b.say(brief_day(0), FuelLeft{litres(30)});
  auto f = b.flight_of(brief_day(1), hours(20));
  f.running_time = exactly(hours(20));
  b.say(brief_day(1), f);
  b.say(brief_day(2), FuelLeft{litres(30)});
  const auto before = brief_at(b.folded(), brief_day(3));
  f = b.flight_of(brief_day(4), hours(5));
  f.running_time = exactly(hours(5));
  b.say(brief_day(4), f);
  b.say(brief_day(5), FuelLeft{litres(30)});
  const auto after = brief_at(b.folded(), brief_day(5));
  EXPECT_TRUE(newly_thin(before, before).empty());
  const auto thin = newly_thin(before, after);
  EXPECT_TRUE(std::any_of(thin.begin(), thin.end(), [](const Margin& m) { return m.id == "service:plug"; }));
  EXPECT_FALSE(std::any_of(thin.begin(), thin.end(), [](const Margin& m) { return m.id == "service:crank"; }));
}

State season(int flights, double fuel_l) {
  BookBuilder b;
  b.own_machine(brief_day(0));
  for (int i = 0; i < flights; ++i) b.fly(brief_day(1 + i), hours(1));
  b.say(brief_day(1 + flights), FuelMixed{litres(10), 40.0, {}, {}});
  b.say(brief_day(1 + flights), FuelLeft{litres(fuel_l)});
  return b.folded();
}

RC_GTEST_PROP(BriefProperty, MorePlannedTimeNeverMakesAMarginLookBetter, ()) {
  const int flights = *rc::gen::inRange(0, 60);
  const auto state = season(flights, *rc::gen::inRange(0, 30));
  const auto now = brief_day(flights + *rc::gen::inRange(2, 400));
  const int minutes_planned = *rc::gen::inRange(1, 300), more = *rc::gen::inRange(1, 300);
  const auto a = brief_at(state, now, minutes(minutes_planned)), b = brief_at(state, now, minutes(minutes_planned + more));
  for (const auto& m : a.margins) {
    const auto* longer = find(b, m.id);
    RC_ASSERT(longer != nullptr);
    RC_ASSERT(rank_of(longer->state) >= rank_of(m.state));
    if (m.chance_short) RC_ASSERT(longer->chance_short.value() >= *m.chance_short);
  }
}

RC_GTEST_PROP(BriefProperty, MoreFuelNeverMakesItsMarginLookWorse, ()) {
  const int litres_left = *rc::gen::inRange(0, 30), more = *rc::gen::inRange(0, 30);
  const auto now = brief_day(20);
  const auto a = brief_at(season(5, litres_left), now), b = brief_at(season(5, litres_left + more), now);
  RC_ASSERT(*find(b, "fuel")->chance_short <= *find(a, "fuel")->chance_short);
  RC_ASSERT(rank_of(find(b, "fuel")->state) <= rank_of(find(a, "fuel")->state));
}

RC_GTEST_PROP(BriefProperty, MarginsComeThinnestFirstAndTheSameInputGivesTheSameAnswer, ()) {
  const auto state = season(*rc::gen::inRange(0, 40), *rc::gen::inRange(0, 30));
  const auto now = brief_day(*rc::gen::inRange(45, 900));
  const auto a = brief_at(state, now), b = brief_at(state, now);
  RC_ASSERT(std::is_sorted(a.margins.begin(), a.margins.end(), thinner));
  for (std::size_t i = 0; i < a.margins.size(); ++i) {
    RC_ASSERT(a.margins[i].id == b.margins[i].id);
    RC_ASSERT(a.margins[i].chance_short == b.margins[i].chance_short);
  }
}

}  // namespace
}  // namespace headroom
