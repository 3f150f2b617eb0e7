// The invented season holds together: order, truth, marks that it is invented, and what the owner wrote against the truth.
#include "core/simulate/season.h"

#include <gtest/gtest.h>

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
  repack.line = "reserve_repack", repack.title = "Reserve: repack", repack.role = "reserve", repack.calendar = days(365);
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

TEST(Season, HasTenFlightsOverThreeMonthsBeforeTheEnd) {
  const auto flown = flights();
  ASSERT_EQ(flown.size(), 10U);
  std::set<std::string> names;
  UtcTime before{};
  for (const SeasonStep* step : flown) {
    const SeasonRecording& r = *step->recording;
    names.insert(r.name);
    EXPECT_GT(r.truth.launch, before);
    EXPECT_LT(r.truth.landing, step->at);
    EXPECT_GE(r.truth.air_time, minutes(8)) << r.name;
    EXPECT_LE(r.truth.air_time, minutes(75)) << r.name;
    EXPECT_GT(r.truth.running_time, r.truth.powered_time);
    EXPECT_LT(in_metres(r.truth.run_length), 70);
    EXPECT_GT(in_metres(r.truth.run_length), 1);
    before = r.truth.landing;
  }
  EXPECT_EQ(names.size(), 10U);
  EXPECT_GT(flown.front()->at, utc(2026, 6, 27));
  EXPECT_LT(flown.back()->at, utc(2026, 9, 30));
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
  EXPECT_EQ(facts_of<Finding>().size(), 2U);
  ASSERT_EQ(facts_of<FindingClosed>().size(), 1U);
  EXPECT_EQ(facts_of<Reading>().size(), 10U);
  EXPECT_EQ(facts_of<FuelFilled>().size(), 9U);
  EXPECT_FALSE(facts_of<FuelMixed>().empty());
  EXPECT_FALSE(facts_of<FuelLeft>().empty());
  EXPECT_FALSE(facts_of<PlugRead>().empty());
  EXPECT_FALSE(facts_of<CounterRead>().empty());
  EXPECT_FALSE(facts_of<Alteration>().empty());
  EXPECT_FALSE(facts_of<DrillPractised>().empty());
  EXPECT_FALSE(facts_of<MoneySpent>().empty());
  EXPECT_FALSE(facts_of<EngineRun>().empty());
  EXPECT_FALSE(facts_of<GroundHandling>().empty());
}

// The finding that is closed is the grounding one; the open one is deferred; a later step names the id of an earlier one.
TEST(Season, LeavesOneDeferredFindingOpen) {
  const auto closed = facts_of<FindingClosed>();
  int open = 0;
  for (const SeasonStep& step : season()) {
    if (step.recording || !std::holds_alternative<Finding>(step.fact.facts)) continue;
    const bool is_closed = !closed.empty() && closed.front().second.finding == step.fact.id;
    EXPECT_EQ(std::get<Finding>(step.fact.facts).grounding, is_closed);
    open += !is_closed;
  }
  EXPECT_EQ(open, 1);
}

// What the owner reads off the tank follows the truth: the burn between two readings is within what a quarter-litre scale
// and a 0.1 L eye allow.
TEST(Season, FuelReadingsFollowTheFuelBurned) {
  double filled = 0, burned = 0;
  int checked = 0;
  for (const SeasonStep& step : season()) {
    if (step.recording) burned += in_litres(step.recording->truth.fuel_burned);
    if (const auto* fill = std::get_if<FuelFilled>(&step.fact.facts); fill && !step.recording) filled += in_litres(fill->added);
    if (const auto* left = std::get_if<FuelLeft>(&step.fact.facts); left && !step.recording) {
      EXPECT_NEAR(in_litres(left->left), 1.5 + filled - burned, 0.45);
      EXPECT_GT(in_litres(left->left), 0.9) << "the invented pilot keeps something in hand";
      ++checked;
    }
  }
  EXPECT_EQ(checked, 8);
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
