// The fold: corrections, arrival order, the same flight again, hours. Rules of docs/analysis/counters.md; there is no
// published standard for them, so each expected number is worked by hand beside its check.
#include "core/book/fold.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <random>

#include "core/learn/priors.h"
#include "core/track/path.h"
#include "formats/state_snapshot.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

using testing::BookBuilder;

const UtcTime kStart = utc(2026, 3, 1, 8);
UtcTime day(int n, int hour = 0) {
  return kStart + std::chrono::hours(24 * n + hour);
}
int count_of(const State& s, StateWarning::Kind kind) {
  return static_cast<int>(std::count_if(s.warnings.begin(), s.warnings.end(), [&](const auto& w) { return w.kind == kind; }));
}
FlightMeasure measure(MeasureKind kind, double mid) {
  FlightMeasure m;
  m.kind = kind;
  m.as_flown = {measure_dimension(kind), mid - 0.1, mid, mid + 0.1, measured(), {}};
  return m;
}
// Every member of the state as bytes, to compare two states whole.
std::string whole(const State& s) {
  return encode_snapshot(s, "");
}

TEST(Fold, AnEmptyBookIsAnEmptyState) {
  const auto s = fold({});
  EXPECT_EQ(s.entries, 0U);
  EXPECT_FALSE(s.machine);
  EXPECT_TRUE(s.warnings.empty());
}

TEST(Fold, TheLatestOfSeveralAmendmentsHoldsAndAllStayVisible) {
  BookBuilder b;
  b.own_machine(day(0));
  const auto run = b.say(day(1), EngineRun{b.machine, hours(1), {}});
  b.amend(day(2), run, EngineRun{b.machine, hours(2), {}});
  b.amend(day(3), run, EngineRun{b.machine, hours(3), {}});
  const auto s = b.folded();
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("engine"))->in_book.running.mid), 3);
  ASSERT_EQ(s.corrections.size(), 2U);
  EXPECT_FALSE(s.corrections[0].holds);
  EXPECT_TRUE(s.corrections[1].holds);
  EXPECT_EQ(s.corrections[1].reason, "wrong");
  EXPECT_EQ(count_of(s, StateWarning::Kind::contested), 0) << "one writer knows its own earlier entries";
}

TEST(Fold, AnAmendmentOfTheTimeAloneKeepsAnEarlierAmendmentOfTheFacts) {
  BookBuilder b;
  b.own_machine(day(0));
  const auto left = b.say(day(1), FuelLeft{litres(1)});
  b.amend(day(2), left, FuelLeft{litres(4)});
  b.amend(day(3), left, UnknownFacts{}, day(1, 5));
  const auto s = b.folded();
  ASSERT_EQ(s.fuel.size(), 1U);
  EXPECT_DOUBLE_EQ(in_litres(s.fuel[0].volume), 4);
  EXPECT_EQ(s.fuel[0].at, day(1, 5));
}

TEST(Fold, AVoidTakesAnEntryOutAndAVoidOfTheVoidBringsItBack) {
  BookBuilder b;
  const auto note = b.say(day(0), Note{});
  const auto gone = b.void_entry(day(1), note);
  EXPECT_EQ(b.folded().notes, 0U);
  b.void_entry(day(2), gone);
  EXPECT_EQ(b.folded().notes, 1U);
}

TEST(Fold, AVoidedAmendmentDoesNothingAndAnAmendedOneSaysTheNewThing) {
  BookBuilder b;
  const auto left = b.say(day(0), FuelLeft{litres(1)});
  const auto first = b.amend(day(1), left, FuelLeft{litres(2)});
  b.amend(day(2), first, FuelLeft{litres(3)});
  EXPECT_DOUBLE_EQ(in_litres(b.folded().fuel.at(0).volume), 3);
  b.void_entry(day(3), first);
  EXPECT_DOUBLE_EQ(in_litres(b.folded().fuel.at(0).volume), 1);
}

TEST(Fold, AnAmendmentLaterThanAVoidBringsTheEntryBack) {
  BookBuilder b;
  const auto left = b.say(day(0), FuelLeft{litres(1)});
  b.void_entry(day(1), left);
  b.amend(day(2), left, FuelLeft{litres(2)});
  EXPECT_DOUBLE_EQ(in_litres(b.folded().fuel.at(0).volume), 2);
}

TEST(Fold, AnAmendmentOfAnotherKindIsKeptButNotApplied) {
  BookBuilder b;
  const auto left = b.say(day(0), FuelLeft{litres(1)});
  b.amend(day(1), left, Note{});
  const auto s = b.folded();
  EXPECT_DOUBLE_EQ(in_litres(s.fuel.at(0).volume), 1);
  EXPECT_EQ(count_of(s, StateWarning::Kind::bad_correction), 1);
  EXPECT_FALSE(s.corrections.at(0).holds);
}

TEST(Fold, CorrectionsInACircleAreSaidAndHarmless) {
  BookBuilder b;
  const auto note = b.say(day(0), Note{});
  const auto one = b.void_entry(day(1), note);
  const auto two = b.void_entry(day(2), one);
  std::get<Voided>(std::get<PlainFacts>(b.entries[1].facts)).entry = two;  // one names two, two names one
  const auto s = b.folded();
  EXPECT_EQ(count_of(s, StateWarning::Kind::bad_correction), 2);
  EXPECT_EQ(s.notes, 1U);
}

TEST(Fold, AChainOfTenThousandVoidsDoesNotExhaustTheStack) {
  BookBuilder b;
  auto last = b.say(day(0), Note{});
  for (int i = 0; i < 10000; ++i) last = b.void_entry(day(1) + std::chrono::seconds(i), last);
  EXPECT_EQ(b.folded().notes, 1U) << "an even number of voids";
}

TEST(Fold, TwoWritersWhoDidNotKnowEachOtherAreContestedUntilOneIsVoided) {
  BookBuilder a(1), b(2);
  const auto left = a.say(day(0), FuelLeft{litres(1)});
  a.amend(day(1), left, FuelLeft{litres(2)});
  const auto other = b.amend(day(2), left, FuelLeft{litres(3)});
  auto all = a.entries;
  all.insert(all.end(), b.entries.begin(), b.entries.end());
  auto s = fold(all);
  EXPECT_DOUBLE_EQ(in_litres(s.fuel.at(0).volume), 3) << "the later by (written, id) holds meanwhile";
  EXPECT_EQ(count_of(s, StateWarning::Kind::contested), 1);
  a.void_entry(day(3), other);
  all.push_back(a.entries.back());
  s = fold(all);
  EXPECT_DOUBLE_EQ(in_litres(s.fuel.at(0).volume), 2);
  EXPECT_EQ(count_of(s, StateWarning::Kind::contested), 0);
}

TEST(Fold, AForkIsSaidAndCorrectionsOnItsTwoBranchesAreContested) {
  BookBuilder a(1);
  const auto left = a.say(day(0), FuelLeft{litres(1)});
  BookBuilder copy = a;  // the same installation, restored from a backup, writes on
  a.say(day(0, 1), Note{});
  a.amend(day(1), left, FuelLeft{litres(2)});
  copy.say(day(1, 1), Note{});
  copy.say(day(1, 2), Note{});
  copy.amend(day(2), left, FuelLeft{litres(3)});
  for (std::size_t i = 1; i < copy.entries.size(); ++i)
    copy.entries[i].header.id.bytes[15] = 77, copy.entries[i].hash.bytes[30] = 77;
  for (std::size_t i = 2; i < copy.entries.size(); ++i) copy.entries[i].header.before = copy.entries[i - 1].hash;
  auto all = a.entries;
  all.insert(all.end(), copy.entries.begin() + 1, copy.entries.end());
  const auto s = fold(all);
  EXPECT_EQ(count_of(s, StateWarning::Kind::fork), 1);
  EXPECT_EQ(count_of(s, StateWarning::Kind::contested), 1);
  EXPECT_EQ(s.notes, 3U) << "both branches are kept";
}

TEST(Fold, WhatANewerProgramWroteIsCountedAsNotUnderstood) {
  BookBuilder b;
  b.add(day(0), PlainFacts(UnknownFacts{}), EntryKind::unknown);
  b.entries.back().header.kind_text = "weather_seen";
  const auto s = b.folded();
  EXPECT_EQ(s.entries, 1U);
  EXPECT_EQ(count_of(s, StateWarning::Kind::unknown_kind), 1);
}

TEST(Fold, PartsHaveTheHoursOfTheFlightsTheyWereFittedFor) {
  BookBuilder b;
  b.own_machine(day(0));
  b.fly(day(1), hours(1));
  PartRegistered second;
  second.role = "propeller";
  second.running_before = second.air_before = hours(10);
  const auto spare = b.say(day(2), second);
  b.say(day(2), PartFitted{spare, b.machine});
  b.fly(day(3), hours(2));
  const auto s = b.folded();
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("engine"))->in_book.air.mid), 3);
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("propeller"))->in_book.air.mid), 1)
      << "fitting another propeller takes the first one off";
  EXPECT_DOUBLE_EQ(in_hours(s.part(spare)->in_book.air.mid), 2);
  EXPECT_DOUBLE_EQ(in_hours(s.part(spare)->life.air.mid), 12);
  EXPECT_FALSE(s.part(spare)->life.ground_handling.known()) << "not said is not none";
  EXPECT_DOUBLE_EQ(in_counts(s.part(b.part("wing"))->in_book.launches.mid), 2);
}

TEST(Fold, ASecondReserveDoesNotTakeTheFirstOff) {
  BookBuilder b;
  b.own_machine(day(0));
  PartRegistered second;
  second.role = "reserve";
  const auto other = b.say(day(1), second);
  b.say(day(1), PartFitted{other, b.machine});
  const auto s = b.folded();
  EXPECT_TRUE(s.part(b.part("reserve"))->is_fitted());
  EXPECT_TRUE(s.part(other)->is_fitted());
}

TEST(Fold, AnAssumedMachineHoldsFlightsFromBeforeItWasRegistered) {
  BookBuilder b;
  b.assumed_machine(day(10));
  b.fly(day(1), hours(1));
  const auto s = b.folded();
  const auto* engine = s.part(b.part("engine"));
  EXPECT_DOUBLE_EQ(in_hours(engine->in_book.air.mid), 1);
  EXPECT_FALSE(engine->life.running.known()) << "the life of an assumed part is not known";
}

TEST(Fold, RunningHoursWithoutAReadingAreAssumedFromAirTimeWithTheirSpread) {
  BookBuilder b;
  b.own_machine(day(0));
  for (int i = 1; i <= 4; ++i) b.fly(day(i), hours(1));
  const auto r = b.folded().part(b.part("engine"))->in_book.running;
  EXPECT_EQ(r.basis.kind, BasisKind::assumed);
  // Assumed errors add linearly: the share of the spread stays that of one flight.
  EXPECT_NEAR(in_hours(r.low), 4 * prior::running_per_air.low, 1e-9);
  EXPECT_NEAR(in_hours(r.mid), 4 * prior::running_per_air.mid, 1e-9);
  EXPECT_NEAR(in_hours(r.high), 4 * prior::running_per_air.high, 1e-9);
}

TEST(Fold, MeasuredErrorsAddInQuadrature) {
  BookBuilder b;
  b.own_machine(day(0));
  for (int i = 1; i <= 4; ++i) {
    auto f = b.flight_of(day(i), hours(1));
    f.running_time = {hours(0.9), hours(1), hours(1.1), measured(), {}};
    b.say(day(i), f);
  }
  const auto r = b.folded().part(b.part("engine"))->in_book.running;
  EXPECT_EQ(r.basis.kind, BasisKind::measured);
  EXPECT_NEAR(in_hours(r.high) - in_hours(r.mid), 0.2, 1e-9) << "sqrt(4) x 0.1 h";
}

TEST(Fold, TheHourMeterCorrectsTheDriftAndSharesItByRecordedRunning) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(0, 1), CounterRead{{}, Counter::running, 3600 * 0.0});
  const auto fly = [&](int d, double h) {
    auto f = b.flight_of(day(d), hours(h));
    f.running_time = exactly(hours(h));
    b.say(day(d), f);
  };
  fly(1, 6);
  PartRegistered second;
  second.role = "propeller";
  second.running_before = Duration{};
  const auto other = b.say(day(2), second);
  b.say(day(2), PartFitted{other, b.machine});
  fly(3, 4);
  b.say(day(4), CounterRead{{}, Counter::running, 3600 * 12.0});
  const auto s = b.folded();
  // 12 h on the meter, 10 recorded: 2 h unexplained, 6 : 4 between the two propellers.
  EXPECT_NEAR(in_hours(s.part(b.part("engine"))->in_book.running.mid), 12, 1e-9);
  EXPECT_NEAR(in_hours(s.part(b.part("propeller"))->in_book.running.mid), 7.2, 1e-9);
  EXPECT_NEAR(in_hours(s.part(other)->in_book.running.mid), 4.8, 1e-9);
  // On which of the two the 2 h were run nobody knows: all of them may have been on the first.
  EXPECT_GE(in_hours(s.part(b.part("propeller"))->in_book.running.high), 8.0);
  EXPECT_NEAR(in_hours(s.part(b.part("engine"))->in_book.air.mid), 10, 1e-9) << "air hours are not running hours";
}

TEST(Fold, HoursOfTheMeterWithNoFlightsBetweenAreNotLost) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(1), CounterRead{{}, Counter::running, 0});
  b.say(day(5), CounterRead{{}, Counter::running, 3600 * 3.0});
  EXPECT_NEAR(in_hours(b.folded().part(b.part("drive"))->in_book.running.mid), 3, 1e-9);
}

TEST(Fold, ALowerHourMeterReadingIsADoubtAndIsNotUsed) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(1), CounterRead{{}, Counter::running, 3600 * 10.0});
  const auto before = b.folded().part(b.part("engine"))->in_book.running.mid;
  b.say(day(2), CounterRead{{}, Counter::running, 3600 * 1.0});
  const auto s = b.folded();
  EXPECT_EQ(count_of(s, StateWarning::Kind::counter_doubt), 1);
  EXPECT_EQ(s.part(b.part("engine"))->in_book.running.mid, before);
}

TEST(Fold, AMeterReadingBeyondTheTimeThatPassedIsADoubtAndIsNotUsed) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(1), CounterRead{{}, Counter::running, 3600 * 1.0});
  b.say(day(2), CounterRead{{}, Counter::running, 3600 * 1000.0});
  const auto s = b.folded();
  EXPECT_EQ(count_of(s, StateWarning::Kind::counter_doubt), 1);
  EXPECT_NEAR(in_hours(s.part(b.part("engine"))->in_book.running.mid), 1, 1e-9);
}

TEST(Fold, AMeterThatShowsLessThanWasFlownDoesNotTakeHoursAway) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(0, 1), CounterRead{{}, Counter::running, 0});
  b.fly(day(1), hours(5));
  b.say(day(2), CounterRead{{}, Counter::running, 3600 * 2.0});
  const auto s = b.folded();
  EXPECT_EQ(count_of(s, StateWarning::Kind::counter_doubt), 1);
  EXPECT_NEAR(in_hours(s.part(b.part("engine"))->in_book.running.mid), 5 * prior::running_per_air.mid, 1e-9);
}

TEST(Fold, TheFirstReadingTellsTheLifeOfAnAssumedEngine) {
  BookBuilder b;
  b.assumed_machine(day(0));
  b.say(day(1), CounterRead{{}, Counter::running, 3600 * 45.0});
  const auto life = b.folded().part(b.part("engine"))->life.running;
  EXPECT_EQ(life.basis.kind, BasisKind::assumed);
  EXPECT_NEAR(in_hours(life.mid), 45, 1e-9);
}

TEST(Fold, RemeasuredNeverChangesAcceptedHours) {
  BookBuilder b;
  b.own_machine(day(0));
  const auto flight = b.fly(day(1), hours(1));
  FlightSummary again;
  again.air_time = hours(3);
  b.say(day(2), Remeasured{flight, 9, again});
  const auto s = b.folded();
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("wing"))->in_book.air.mid), 1);
  EXPECT_EQ(s.flights.at(0).remeasured_version, 9);
  b.amend(day(3), flight, b.flight_of(day(1), hours(2)));
  EXPECT_DOUBLE_EQ(in_hours(b.folded().part(b.part("wing"))->in_book.air.mid), 2);
}

TEST(FoldMeasures, StandByFlightAndKindAndLeaveOutWhatIsUnknown) {
  BookBuilder b;
  b.own_machine(day(0));
  auto second = b.flight_of(day(2), hours(1)), first = b.flight_of(day(1), hours(1));
  second.measures = {measure(MeasureKind::sink_rate, 1.5), measure(MeasureKind::room_used, 30)};
  first.measures = {measure(MeasureKind::climb_rate, 1.75)};
  first.measures.push_back({});
  first.measures.back().as_flown = unknown_amount(Dimension::length, "too coarse");
  first.measures[0].standard = Amount{Dimension::speed, 1.8, 2, 2.25, measured(), {}};
  first.measures[0].learnable = true;
  first.measures[0].density_ratio = 0.875;
  first.measures[0].headwind_m_s = -0.5;
  b.say(day(3), second);  // arrives first
  b.say(day(4), first);
  const auto s = b.folded();
  ASSERT_EQ(s.measures.size(), 3U);
  EXPECT_EQ(s.measures[0].flight, 0U);
  EXPECT_EQ(s.measures[0].kind, MeasureKind::climb_rate);
  EXPECT_TRUE(s.measures[0].learnable);
  EXPECT_FLOAT_EQ(s.measures[0].low, 1.65F);
  EXPECT_FLOAT_EQ(s.measures[0].mid, 1.75F);
  EXPECT_FLOAT_EQ(s.measures[0].high, 1.85F);
  EXPECT_TRUE(s.measures[0].has_standard);
  EXPECT_FLOAT_EQ(s.measures[0].standard_mid, 2);
  EXPECT_FLOAT_EQ(s.measures[0].density_ratio, 0.875F);
  EXPECT_FLOAT_EQ(s.measures[0].headwind_m_s, -0.5F);
  EXPECT_EQ(s.measures[1].flight, 1U);
  EXPECT_EQ(s.measures[1].kind, MeasureKind::room_used);
  EXPECT_FALSE(s.measures[1].has_standard);
  EXPECT_EQ(s.measures[2].kind, MeasureKind::sink_rate);
}

TEST(FoldMeasures, AnAmendmentSaysThemAnewAndAVoidedFlightHasNone) {
  BookBuilder b;
  b.own_machine(day(0));
  auto flight = b.flight_of(day(1), hours(1));
  flight.measures = {measure(MeasureKind::climb_rate, 1.5)};
  const auto id = b.say(day(1), flight);
  flight.measures = {measure(MeasureKind::climb_rate, 2.5), measure(MeasureKind::glide, 6)};
  b.amend(day(2), id, flight);
  auto s = b.folded();
  ASSERT_EQ(s.measures.size(), 2U);
  EXPECT_FLOAT_EQ(s.measures[0].mid, 2.5F);
  b.void_entry(day(3), id);
  EXPECT_TRUE(b.folded().measures.empty());
}

TEST(FoldMeasures, TheHighestAnalysisVersionHoldsAndAnEmptyOneSaysNothing) {
  BookBuilder b;
  b.own_machine(day(0));
  auto flight = b.flight_of(day(1), hours(1));
  flight.analysis_version = 2;
  flight.measures = {measure(MeasureKind::climb_rate, 1), measure(MeasureKind::sink_rate, 2)};
  const auto id = b.say(day(1), flight);
  const auto mid = [&] {
    const auto s = b.folded();
    return s.measures.empty() ? 0.F : s.measures.front().mid;
  };
  b.say(day(2), Remeasured{id, 1, {}, {measure(MeasureKind::climb_rate, 7)}});
  EXPECT_FLOAT_EQ(mid(), 1) << "an older analysis than the flight's own";
  const auto better = b.say(day(3), Remeasured{id, 4, {}, {measure(MeasureKind::climb_rate, 3)}});
  EXPECT_FLOAT_EQ(mid(), 3);
  EXPECT_EQ(b.folded().measures.size(), 1U) << "the whole list is replaced";
  b.say(day(4), Remeasured{id, 3, {}, {measure(MeasureKind::climb_rate, 5)}});
  b.say(day(5), Remeasured{id, 9, {}, {}});
  EXPECT_FLOAT_EQ(mid(), 3);
  b.void_entry(day(6), better);
  EXPECT_FLOAT_EQ(mid(), 5);
}

TEST(FoldMeasures, ASecondRecorderOfAFlightDoesNotCount) {
  BookBuilder b;
  b.own_machine(day(0));
  auto flight = b.flight_of(day(1), hours(1));
  flight.recording.bytes[0] = 7;
  flight.measures = {measure(MeasureKind::climb_rate, 1)};
  b.say(day(1), flight);
  flight.measures = {measure(MeasureKind::climb_rate, 9)};
  b.say(day(2), flight);
  const auto s = b.folded();
  ASSERT_EQ(s.flights.size(), 2U);
  ASSERT_EQ(s.measures.size(), 1U);
  EXPECT_FLOAT_EQ(s.measures[0].mid, 1);
  EXPECT_TRUE(s.flights[s.measures[0].flight].counts);
}

TEST(Fold, TheSameRecordingAgainCountsOnceAndIsSaid) {
  BookBuilder b;
  b.own_machine(day(0));
  auto f = b.flight_of(day(1), hours(1));
  f.recording.bytes[0] = 5;
  const auto first = b.say(day(1), f);
  f.launch += std::chrono::minutes(1);
  b.say(day(2), f);
  const auto s = b.folded();
  EXPECT_EQ(s.flights.size(), 2U) << "both stay";
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("wing"))->in_book.air.mid), 1);
  EXPECT_EQ(s.flights[1].same_as, first);
  EXPECT_EQ(count_of(s, StateWarning::Kind::same_flight), 1);
}

TEST(Fold, TwoFlightsOfOneRecordingAreTwo) {
  BookBuilder b;
  b.own_machine(day(0));
  auto f = b.flight_of(day(1), hours(1));
  f.recording.bytes[0] = 5;
  b.say(day(1), f);
  auto g = b.flight_of(day(1, 2), hours(1));
  g.recording.bytes[0] = 5;
  b.say(day(1), g);
  EXPECT_DOUBLE_EQ(in_hours(b.folded().part(b.part("wing"))->in_book.air.mid), 2);
}

TEST(Fold, OverlappingFlightsThatCannotBeComparedCountTwiceUnlessTheTimesAgree) {
  BookBuilder b;
  b.own_machine(day(0));
  b.fly(day(1), hours(1));
  b.say(day(1), b.flight_of(day(1) + std::chrono::minutes(30), hours(1)));
  auto s = b.folded();
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("wing"))->in_book.air.mid), 2);
  EXPECT_EQ(count_of(s, StateWarning::Kind::overlapping), 1);
  b.say(day(2), b.flight_of(day(1) + std::chrono::minutes(2), hours(1)));
  s = b.folded();
  EXPECT_DOUBLE_EQ(in_hours(s.part(b.part("wing"))->in_book.air.mid), 2) << "58 of 60 minutes are shared with the first";
}

// A straight path at 10 m/s northwards, `east_m` metres to the side, a point a second.
std::string straight_path(UtcTime launch, UtcTime landing, double east_m) {
  std::vector<PathPoint> points;
  for (UtcTime t = launch; t <= landing; t += std::chrono::seconds(1)) {
    const double s = in_seconds(duration_between(day(1), t));
    points.push_back({t, {50.0 + 10 * s / 111200.0, 8.0 + east_m / 71500.0}});  // metres a degree at latitude 50, rounded
  }
  return encode_path(points, launch, landing);
}

TEST(Fold, TwoRecordersThirtyMetresApartAreOneFlightAndAHundredMetresApartTwo) {
  for (const double apart : {30.0, 100.0}) {
    BookBuilder b;
    b.own_machine(day(0));
    for (const int late : {0, 10}) {  // the second begins ten minutes later and ends with the first
      auto f = b.flight_of(day(1) + std::chrono::minutes(late), minutes(60 - late));
      f.recording.bytes[0] = static_cast<std::uint8_t>(1 + late);
      f.private_path = straight_path(f.launch, f.landing, late ? apart : 0);
      b.say(day(1), f);
    }
    const auto s = b.folded();
    const double counted = in_minutes(s.part(b.part("wing"))->in_book.air.mid);
    EXPECT_NEAR(counted, apart < 50 ? 60 : 110, 1e-9);
    EXPECT_EQ(count_of(s, StateWarning::Kind::same_flight), apart < 50 ? 1 : 0);
  }
}

TEST(Fold, AFullRecordingIsNotLostBehindOneThatBrokeOffEarly) {
  BookBuilder b;
  b.own_machine(day(0));
  for (const int length : {10, 60}) {
    auto f = b.flight_of(day(1), minutes(length));
    f.recording.bytes[0] = static_cast<std::uint8_t>(length);
    f.private_path = straight_path(f.launch, f.landing, 0);
    b.say(day(1), f);
  }
  const auto s = b.folded();
  EXPECT_GE(in_minutes(s.part(b.part("wing"))->in_book.air.mid), 60);
  EXPECT_EQ(count_of(s, StateWarning::Kind::overlapping), 1) << "and it is said";
}

TEST(Fold, AServiceCountsFromTheDayItWasDone) {
  BookBuilder b;
  b.own_machine(day(0));
  b.fly(day(1), hours(2));
  b.say(day(2), ServiceDone{"plug", {}, {}});
  b.fly(day(3), hours(1));
  const auto s = b.folded();
  ASSERT_EQ(s.services.size(), 1U);
  EXPECT_EQ(s.services[0].part, b.part("engine")) << "no plug is registered: the engine stands for it";
  EXPECT_DOUBLE_EQ(in_hours(s.services[0].since.air.mid), 1);
}

TEST(Fold, ARunMeasuredByHandStandsAsAmendedAndGoesWhenVoided) {
  BookBuilder b;
  b.own_machine(day(0));
  RunMeasured run;
  run.machine = b.machine;
  run.pilot = b.pilot;
  run.room = metres(34);
  const auto entry = b.say(day(1), run);
  run.room = metres(43);
  run.headwind = metres_per_second(-1);
  b.amend(day(2), entry, run, day(1, 2));
  auto s = b.folded();
  ASSERT_EQ(s.runs.size(), 1U);
  EXPECT_EQ(s.runs[0].entry, entry);
  EXPECT_EQ(s.runs[0].at, day(1, 2));
  EXPECT_DOUBLE_EQ(s.runs[0].run.room.si(), 43);
  EXPECT_DOUBLE_EQ(s.runs[0].run.headwind.value().si(), -1);
  b.void_entry(day(3), entry);
  EXPECT_TRUE(b.folded().runs.empty());
  run.pilot = entry;  // no pilot of this book
  b.say(day(4), run);
  s = b.folded();
  EXPECT_TRUE(s.runs.empty());
  EXPECT_TRUE(std::any_of(s.warnings.begin(), s.warnings.end(),
                          [](const StateWarning& w) { return w.kind == StateWarning::Kind::missing_subject; }));
}

TEST(Fold, TheTankKnowsWhatWasSaidFilledAndRunSince) {
  BookBuilder b;
  b.own_machine(day(0));
  b.say(day(1), FuelLeft{litres(3)});
  b.say(day(1, 1), FuelFilled{litres(6), {}});
  b.fly(day(2), hours(1));
  const auto tank = b.folded().tank;
  EXPECT_DOUBLE_EQ(in_litres(tank.known), 3);
  EXPECT_DOUBLE_EQ(in_litres(tank.added_since), 6);
  EXPECT_NEAR(in_hours(tank.running_since.mid), prior::running_per_air.mid, 1e-9);
}

// A random season of two writers, one of them forked, with corrections of corrections, the same flights twice, readings up
// and down: everything the fold can meet.
std::vector<Entry> random_book(std::uint32_t seed) {
  std::mt19937 random(seed);
  const auto pick = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  BookBuilder a(1);
  a.own_machine(day(0));
  BookBuilder b(2), copy = a;
  b.machine = a.machine;
  b.pilot = a.pilot;
  b.parts = a.parts;
  std::vector<EntryId> ids;
  for (const auto& e : a.entries) ids.push_back(e.header.id);
  for (BookBuilder* w : {&a, &b, &copy}) {
    for (int i = 0; i < 12; ++i) {
      const auto at = day(pick(20), pick(6));
      const auto of = ids[static_cast<std::size_t>(pick(static_cast<int>(ids.size())))];
      EntryId id;
      switch (pick(11)) {
        case 0:
          id = w->void_entry(at, of);
          break;
        case 1:
          id = w->amend(at, of, w->flight_of(day(pick(20)), minutes(30 + pick(60))));
          break;
        case 2:
          id = w->amend(at, of, UnknownFacts{}, day(pick(20)));
          break;
        case 3:
          id = w->say(at, CounterRead{{}, Counter::running, 3600.0 * pick(30)});
          break;
        case 4:
          id = w->say(at, ServiceDone{"plug", {}, {}});
          break;
        case 5:
          id = w->say(at, FuelFilled{litres(pick(9)), {}});
          break;
        case 6:
          id = w->say(at, PartRemoved{w->parts[static_cast<std::size_t>(pick(7))], {}});
          break;
        case 7:
          id = w->say(at, Setting{"pilot_word", std::to_string(pick(100))});
          break;
        case 8: {
          RunMeasured run;
          run.machine = w->machine;
          run.pilot = w->pilot;
          run.room = metres(10 + pick(60));
          if (pick(2) == 0) run.headwind = metres_per_second(pick(5));
          if (pick(2) == 0) run.surface = Surface::wet_grass;
          run.private_note = pick(2) == 0 ? "by steps" : "";
          id = w->say(at, run);
          break;
        }
        default: {
          auto f = w->flight_of(at, minutes(30 + pick(90)));
          f.recording.bytes[0] = static_cast<std::uint8_t>(pick(3));
          for (int m = pick(4); m > 0; --m) f.measures.push_back(measure(static_cast<MeasureKind>(pick(16)), pick(9)));
          id = w->say(at, f);
        }
      }
      ids.push_back(id);
    }
  }
  auto all = a.entries;
  all.insert(all.end(), b.entries.begin(), b.entries.end());
  for (auto e : copy.entries) {
    if (std::any_of(all.begin(), all.end(), [&](const Entry& x) { return x.header.id == e.header.id && x.hash == e.hash; }))
      continue;
    e.hash.bytes[20] = 9;  // the fork: the same numbers with other content, some even under the same id
    all.push_back(e);
  }
  return all;
}

RC_GTEST_PROP(FoldProperty, TheSameSetGivesTheSameStateWhateverTheOrderOfArrival, ()) {
  const auto seed = *rc::gen::arbitrary<std::uint32_t>();
  const auto order = *rc::gen::arbitrary<std::uint32_t>();
  const auto entries = random_book(seed);
  auto shuffled = entries;
  std::mt19937 random(order);
  std::shuffle(shuffled.begin(), shuffled.end(), random);
  shuffled.insert(shuffled.end(), entries.begin(), entries.begin() + 5);  // and some arrive twice
  RC_ASSERT(whole(fold(entries)) == whole(fold(shuffled)));
}

RC_GTEST_PROP(FoldProperty, ASnapshotIsTheStateItWasMadeFrom, ()) {
  const auto state = fold(random_book(*rc::gen::arbitrary<std::uint32_t>()));
  const auto bytes = encode_snapshot(state, "heads");
  const auto back = decode_snapshot(bytes, "heads");
  RC_ASSERT(back.has_value());
  RC_ASSERT(whole(*back) == whole(state));
  RC_ASSERT(back->flights.size() == state.flights.size());
  RC_ASSERT(back->warnings.size() == state.warnings.size());
}

TEST(StateSnapshot, AnyOtherKeyVersionCutOrFlippedByteMeansFoldingAgain) {
  const auto bytes = encode_snapshot(fold(random_book(7)), "heads");
  ASSERT_TRUE(decode_snapshot(bytes, "heads"));
  EXPECT_FALSE(decode_snapshot(bytes, "other heads"));
  for (std::size_t i = 0; i < bytes.size(); i += 1 + i / 40) {
    auto bad = bytes;
    bad[i] = static_cast<char>(bad[i] ^ 0x10);
    EXPECT_FALSE(decode_snapshot(bad, "heads")) << "byte " << i;
    EXPECT_FALSE(decode_snapshot(std::string_view(bytes).substr(0, i), "heads"));
  }
}

}  // namespace
}  // namespace headroom
