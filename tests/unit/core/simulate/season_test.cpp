// The invented season holds together: order, truth, marks that it is invented, and what the owner wrote against the truth.
#include "core/simulate/season.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "formats/igc_write.h"
#include "formats/recording_reader.h"

namespace headroom::simulate {
namespace {

std::vector<EntryId> some_ids() {
  std::vector<EntryId> ids(kSeasonIdCount);
  for (std::size_t i = 0; i < ids.size(); ++i) ids[i].bytes[15] = static_cast<std::uint8_t>(i + 1);
  return ids;
}

std::vector<ServiceLine> two_lines() {
  ServiceLine plug;
  plug.line = "plug", plug.title = "Spark plug: renew", plug.role = "engine", plug.running = hours(25);
  ServiceLine repack;
  repack.line = "reserve_repack", repack.title = "Reserve: repack", repack.role = "reserve", repack.calendar = days(182);
  repack.reserve = true;
  return {plug, repack};
}

const std::vector<SeasonStep>& season() {
  static const std::vector<ServiceLine> lines = two_lines();
  static const auto steps = [] {
    SeasonRequest request;
    request.end = utc(2026, 9, 30, 13, 45);
    request.services = lines;
    auto made = invent_season(request, some_ids());
    EXPECT_TRUE(made) << (made ? "" : made.error().what + ", " + made.error().where);
    return made.value_or(std::vector<SeasonStep>{});
  }();
  return steps;
}

std::vector<const SeasonStep*> flights() {
  std::vector<const SeasonStep*> out;
  for (const SeasonStep& step : season())
    if (step.recording) out.push_back(&step);
  return out;
}

template <class F>
std::vector<std::pair<UtcTime, F>> facts_of() {
  std::vector<std::pair<UtcTime, F>> out;
  for (const SeasonStep& step : season())
    if (!step.recording && std::holds_alternative<F>(step.fact.facts)) out.emplace_back(step.at, std::get<F>(step.fact.facts));
  return out;
}

TEST(Season, HasFortyFlightsFromSpringToAutumn) {
  std::set<std::string> names;
  std::set<int> numbers;
  std::map<RecordingKind, int> kinds;
  UtcTime before{};
  for (const SeasonStep* step : flights()) {
    const SeasonRecording& r = *step->recording;
    names.insert(r.name);
    ++kinds[r.kind];
    EXPECT_EQ(r.flights.size(), r.kind == RecordingKind::ride ? 0U : r.kind == RecordingKind::two_flights ? 2U : 1U) << r.name;
    for (const SeasonFlight& flight : r.flights) {
      const Truth& truth = flight.truth;
      if (r.kind == RecordingKind::second_recorder)
        EXPECT_FALSE(numbers.insert(flight.number).second) << "a flight that is there already";
      else
        EXPECT_TRUE(numbers.insert(flight.number).second);
      EXPECT_GE(truth.launch, before);
      EXPECT_LT(truth.landing, step->at);
      EXPECT_GE(truth.air_time, minutes(18)) << r.name;
      EXPECT_LE(truth.air_time, minutes(75)) << r.name;
      EXPECT_GT(truth.running_time, truth.powered_time);
      EXPECT_LT(in_metres(truth.run_length), 70);
      EXPECT_GT(in_metres(truth.run_length), 1);
      before = truth.launch;
    }
  }
  EXPECT_EQ(names.size(), 42U);
  EXPECT_EQ(numbers.size(), 40U);
  EXPECT_EQ(*numbers.rbegin(), 40);
  EXPECT_EQ(kinds[RecordingKind::ride], 2);
  EXPECT_EQ(kinds[RecordingKind::second_recorder], 1);
  EXPECT_EQ(kinds[RecordingKind::two_flights], 1);
  EXPECT_EQ(kinds[RecordingKind::flight_and_ride], 1);
  EXPECT_EQ(kinds[RecordingKind::begins_in_air], 1);
  EXPECT_GT(flights().front()->at, utc(2026, 3, 1));
  EXPECT_LT(flights().front()->at, utc(2026, 4, 1));
  EXPECT_EQ(flights().back()->recording->flights.front().truth.launch < utc(2026, 9, 30), true);
  EXPECT_GT(flights().back()->at, utc(2026, 9, 29));
}

// The last recording waits for whoever opens the season; nothing is written about its flight.
TEST(Season, LeavesTheLastFlightToBeDebriefed) {
  for (const SeasonStep* step : flights()) EXPECT_EQ(step->recording->left, step == flights().back()) << step->recording->name;
  EXPECT_TRUE(season().back().recording.has_value());
}

TEST(Season, FliesFromBothStripsInWindsThatDifferByHeight) {
  int from_other = 0, breezes = 0, sheared = 0, gusty = 0;
  for (const SeasonStep* step : flights())
    for (const SeasonFlight& flight : step->recording->flights) {
      from_other += std::hypot(flight.script.start_east_m, flight.script.start_north_m) > 5000;
      const AirMotion low = mean_wind(flight.script.air, 10), high = mean_wind(flight.script.air, 300);
      const double slow = std::hypot(low.east_m_s, low.north_m_s), fast = std::hypot(high.east_m_s, high.north_m_s);
      const double along = low.east_m_s * high.east_m_s + low.north_m_s * high.north_m_s;
      breezes += along < 0;
      sheared += along > 0 && fast > 2.5 * slow;
      gusty += flight.script.air.gustiness > 1.3;
    }
  EXPECT_GE(from_other, 5);
  EXPECT_GE(breezes, 3) << "the wind above comes from the other side";
  EXPECT_GE(sheared, 4);
  EXPECT_GE(gusty, 4);
}

TEST(Season, StepsComeInOrderAndNothingAfterTheEnd) {
  UtcTime latest{};
  for (const SeasonStep& step : season()) {
    EXPECT_LT(step.at, utc(2026, 9, 30));
    // Only services done before the book began are written later than they happened.
    if (!std::holds_alternative<ServiceDone>(step.fact.facts)) {
      EXPECT_GE(step.at, latest);
    }
    latest = std::max(latest, step.at);
  }
}

TEST(Season, SaysThatItIsInventedEverywhere) {
  ASSERT_FALSE(season().empty());
  ASSERT_TRUE(std::holds_alternative<Setting>(season().front().fact.facts));
  const auto& setting = std::get<Setting>(season().front().fact.facts);
  EXPECT_EQ(setting.name, "book_is");
  EXPECT_EQ(setting.value, "simulated");
  for (const SeasonStep* step : flights()) {
    EXPECT_TRUE(step->recording->recording.simulated);
    const auto text = write_simulated_igc(step->recording->recording);
    ASSERT_TRUE(text);
    EXPECT_NE(text->find("HFFTYFRTYPE:SIMULATED"), std::string::npos);
  }
  for (const auto& [at, part] : facts_of<PartRegistered>()) EXPECT_NE(part.private_name.find("invented"), std::string::npos);
  for (const auto& [at, note] : facts_of<Note>()) EXPECT_EQ(note.private_text.rfind("Simulated", 0), 0U);
  for (const auto& [at, finding] : facts_of<Finding>()) EXPECT_EQ(finding.private_text.rfind("Simulated", 0), 0U);
}

TEST(Season, HoldsEachKindOfHandEntry) {
  EXPECT_EQ(facts_of<PartRegistered>().size(), kDefaultPartCount);
  EXPECT_EQ(facts_of<PartFitted>().size(), kDefaultPartCount);
  EXPECT_EQ(facts_of<FieldDescribed>().size(), 2U);
  EXPECT_EQ(facts_of<Finding>().size(), 3U);
  EXPECT_EQ(facts_of<FindingClosed>().size(), 2U);
  std::size_t heads = 0;
  for (const auto& [at, reading] : facts_of<Reading>()) heads += reading.quantity == kHeadMaximum ? 1U : 0U;
  EXPECT_EQ(heads, 38U) << "after each day's flying, but for the last";
  EXPECT_GE(facts_of<Reading>().size(), heads + 10) << "weighed and measured";
  EXPECT_GE(facts_of<FuelFilled>().size(), 20U);
  EXPECT_FALSE(facts_of<FuelMixed>().empty());
  EXPECT_FALSE(facts_of<FuelLeft>().empty());
  EXPECT_FALSE(facts_of<PlugRead>().empty());
  EXPECT_FALSE(facts_of<CounterRead>().empty());
  EXPECT_EQ(facts_of<Alteration>().size(), 2U);
  EXPECT_FALSE(facts_of<DrillPractised>().empty());
  EXPECT_FALSE(facts_of<MoneySpent>().empty());
  EXPECT_FALSE(facts_of<EngineRun>().empty());
  EXPECT_FALSE(facts_of<GroundHandling>().empty());
}

// The grounding finding is closed before the next flight; one deferred finding is closed, one stays open.
TEST(Season, LeavesOneDeferredFindingOpen) {
  int open = 0;
  for (const SeasonStep& step : season()) {
    if (step.recording || !std::holds_alternative<Finding>(step.fact.facts)) continue;
    std::optional<UtcTime> closed;
    for (const auto& [at, fact] : facts_of<FindingClosed>())
      if (fact.finding == step.fact.id) closed = at;
    open += !closed;
    if (!std::get<Finding>(step.fact.facts).grounding) continue;
    ASSERT_TRUE(closed);
    for (const SeasonStep* flown : flights())
      for (const SeasonFlight& flight : flown->recording->flights)
        EXPECT_FALSE(flight.truth.launch > step.at && flight.truth.launch < *closed) << "flown while grounded";
  }
  EXPECT_EQ(open, 1);
}

// The bolts are due every 5 running hours by the owner's own line: done in time but once, and once late.
TEST(Season, DoesTheBoltsInTimeAndOnceLate) {
  double since_h = 0;
  std::vector<double> done_after;
  for (const SeasonStep& step : season()) {
    if (step.recording) {
      if (step.recording->kind != RecordingKind::second_recorder)
        for (const SeasonFlight& flight : step.recording->flights) since_h += in_hours(flight.truth.running_time);
    } else if (const auto* run = std::get_if<EngineRun>(&step.fact.facts)) {
      since_h += in_hours(run->running);
    } else if (const auto* done = std::get_if<ServiceDone>(&step.fact.facts); done && done->line == "propeller_bolts") {
      done_after.push_back(since_h);
      since_h = 0;
    }
  }
  ASSERT_GE(done_after.size(), 4U);
  EXPECT_EQ(done_after.front(), 0) << "when the season opened";
  EXPECT_EQ(std::count_if(done_after.begin(), done_after.end(), [](double h) { return h > 5; }), 1);
  EXPECT_EQ(std::count_if(done_after.begin() + 1, done_after.end(), [](double h) { return h < 3.5; }), 0);
}

TEST(Season, RepacksTheReserveEighteenDaysLate) {
  std::vector<UtcTime> done;
  for (const auto& [at, service] : facts_of<ServiceDone>())
    if (service.line == "reserve_repack") done.push_back(at);
  ASSERT_EQ(done.size(), 2U);
  EXPECT_NEAR(in_days(duration_between(done[0], done[1])), 182 + 18, 0.01);
}

// What the owner reads off the tank follows the truth: the burn between two readings is within what a quarter-litre scale
// and a 0.1 L eye allow.
TEST(Season, FuelReadingsFollowTheFuelBurned) {
  double filled = 0, burned = 0;
  int checked = 0;
  for (const SeasonStep& step : season()) {
    if (step.recording && step.recording->kind != RecordingKind::second_recorder)
      for (const SeasonFlight& flight : step.recording->flights) burned += in_litres(flight.truth.fuel_burned);
    if (const auto* fill = std::get_if<FuelFilled>(&step.fact.facts); fill && !step.recording) filled += in_litres(fill->added);
    if (const auto* left = std::get_if<FuelLeft>(&step.fact.facts); left && !step.recording) {
      EXPECT_NEAR(in_litres(left->left), 1.5 + filled - burned, 0.45);
      EXPECT_GT(in_litres(left->left), 1.4) << "the invented pilot keeps something in hand";
      ++checked;
    }
  }
  EXPECT_GE(checked, 30);
  for (const auto& [at, fill] : facts_of<FuelFilled>()) EXPECT_GE(in_litres(fill.added), 0.5);
}

TEST(Season, TheSameRequestGivesTheSameBytes) {
  SeasonRequest request;
  request.end = utc(2026, 9, 30);
  const auto lines = two_lines();
  request.services = lines;
  const auto again = invent_season(request, some_ids());
  ASSERT_TRUE(again);
  ASSERT_EQ(again->size(), season().size());
  for (std::size_t i = 0; i < season().size(); ++i) {
    ASSERT_EQ((*again)[i].at, season()[i].at);
    if (!season()[i].recording) continue;
    EXPECT_EQ(*write_simulated_igc((*again)[i].recording->recording), *write_simulated_igc(season()[i].recording->recording));
  }
}

// 0.001 minute is 1.85 m of latitude and less of longitude: rounding moves a fix by half of that at most.
TEST(Season, FilesReadBackToTheSameFixesWithinRounding) {
  for (const SeasonStep* step : flights()) {
    const Recording& written = step->recording->recording;
    const auto read = read_recording(*write_simulated_igc(written, {.long_date = step->recording->long_date}));
    ASSERT_TRUE(read) << step->recording->name;
    EXPECT_TRUE(read->simulated);
    EXPECT_EQ(read->gnss_datum, HeightDatum::ellipsoid);
    ASSERT_EQ(read->fixes.size(), written.fixes.size());
    ASSERT_EQ(read->channels.size(), written.channels.size());
    for (std::size_t i = 0; i < written.fixes.size(); ++i) {
      const Fix &a = written.fixes[i], &b = read->fixes[i];
      ASSERT_EQ(a.time, b.time);
      ASSERT_EQ(a.valid_3d, b.valid_3d);
      ASSERT_NEAR(a.position.latitude_deg, b.position.latitude_deg, 0.5001 / 60000);
      ASSERT_NEAR(a.position.longitude_deg, b.position.longitude_deg, 0.5001 / 60000);
      ASSERT_NEAR(a.pressure_altitude.si(), b.pressure_altitude.si(), 0.5001);
      if (a.has_gnss_height) {
        ASSERT_NEAR(a.gnss_height.si(), b.gnss_height.si(), 0.5001);
      }
    }
    for (std::size_t c = 0; c < written.channels.size(); ++c) EXPECT_EQ(read->channels[c].raw, written.channels[c].raw);
    EXPECT_EQ(read->account.lines, read->account.fixes + read->account.other + read->account.dropped);
    EXPECT_EQ(read->account.dropped, 0U);
  }
}

TEST(Season, StopsWhenAskedTo) {
  SeasonRequest request;
  request.end = utc(2026, 9, 30);
  int told = 0;
  EXPECT_FALSE(invent_season(request, some_ids(), [&](int) { return ++told < 2; }));
  EXPECT_EQ(told, 2);
  EXPECT_FALSE(invent_season(request, std::vector<EntryId>(3)));
}

TEST(Season, CanBeFlownFromOtherSeeds) {
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    SeasonRequest request;
    request.end = utc(2027, 3, 2);
    request.seed = seed;
    const auto made = invent_season(request, some_ids());
    EXPECT_TRUE(made) << seed << (made ? "" : made.error().what + ", " + made.error().where);
  }
}

}  // namespace
}  // namespace headroom::simulate
