// The season's hand entries, folded: what the owner wrote makes a book without a doubt in it.
#include <gtest/gtest.h>

#include <algorithm>

#include "app/record.h"
#include "core/book/fold.h"
#include "core/simulate/season.h"
#include "support/fake_random.h"

namespace headroom::simulate {
namespace {

struct Folded {
  State state;
  std::vector<EntryId> ids;
  UtcTime end = utc(2026, 9, 30);
  double running_s = 0;  // truth
};

// Flights as a perfect debrief would enter them: launch and landing by the truth.
Folded fold_season() {
  Folded out;
  FakeRandom random;
  for (std::size_t i = 0; i < kSeasonIdCount; ++i) out.ids.push_back(fresh_id(out.end, random));
  SeasonRequest request;
  request.end = out.end;
  request.services = default_service_list();
  const auto steps = invent_season(request, out.ids);
  EXPECT_TRUE(steps);
  if (!steps) return out;
  Folder folder;
  std::uint64_t number = 0;
  for (const SeasonStep& step : *steps) {
    Draft draft;
    draft.id = step.fact.id != EntryId{} ? step.fact.id : fresh_id(out.end, random);
    draft.at = step.at;
    draft.facts = step.fact.facts;
    const auto add = [&](Draft&& one) {
      Entry entry = preview(one, out.end);
      entry.header.number = ++number;
      folder.add(std::move(entry));
    };
    if (!step.recording) {
      add(std::move(draft));
      continue;
    }
    if (step.recording->kind == RecordingKind::second_recorder) continue;
    for (const SeasonFlight& flown : step.recording->flights) {
      const Truth& truth = flown.truth;
      FlightEntry flight;
      flight.machine = out.ids[0], flight.pilot = out.ids[1];
      flight.launch = truth.launch, flight.landing = truth.landing, flight.air_time = truth.air_time;
      flight.summary.air_time = truth.air_time;
      flight.recording.bytes[0] = static_cast<std::uint8_t>(flown.number);
      Draft one;
      one.id = fresh_id(out.end, random);
      one.at = truth.launch;
      one.facts = PlainFacts(flight);
      out.running_s += in_seconds(truth.running_time);
      add(std::move(one));
    }
  }
  out.state = folder.finish();
  return out;
}

const Folded& folded() {
  static const Folded book = fold_season();
  return book;
}

TEST(SeasonBook, FoldsWithoutAWarning) {
  const Folded& book = folded();
  for (const StateWarning& warning : book.state.warnings) ADD_FAILURE() << "warning of kind " << static_cast<int>(warning.kind);
  EXPECT_EQ(book.state.machines.size(), 1U);
  EXPECT_EQ(book.state.pilots.size(), 1U);
  EXPECT_EQ(book.state.flights.size(), 40U);
  EXPECT_EQ(book.state.parts.size(), kDefaultPartCount);
  EXPECT_EQ(book.state.setting("book_is"), "simulated");
  EXPECT_EQ(book.state.fields.size(), 2U);
}

TEST(SeasonBook, LeavesOneFindingOpenAndDoesTheForgottenStarterCord) {
  const Folded& book = folded();
  const auto open =
      std::count_if(book.state.findings.begin(), book.state.findings.end(), [](const auto& f) { return !f.closed; });
  EXPECT_EQ(open, 1);
  const auto cord = std::find_if(book.state.services.begin(), book.state.services.end(),
                                 [](const ServiceState& s) { return s.line == "starter_cord"; });
  ASSERT_NE(cord, book.state.services.end());
  EXPECT_NEAR(in_days(duration_between(cord->at, book.end)), 110, 1) << "not when the season opened";
}

// Six months is the short end of what is usual between repacks (common practice, no source): packed 24 days less ago.
TEST(SeasonBook, TheReserveFallsDueForRepackingAfterTheEnd) {
  const Folded& book = folded();
  const auto& list = default_service_list();
  const auto line = std::find_if(list.begin(), list.end(), [](const ServiceLine& l) { return l.line == "reserve_repack"; });
  ASSERT_NE(line, list.end());
  const auto done = std::find_if(book.state.services.begin(), book.state.services.end(),
                                 [](const ServiceState& service) { return service.line == "reserve_repack"; });
  ASSERT_NE(done, book.state.services.end());
  EXPECT_NEAR(in_days(duration_between(book.end, shifted(done->at, *line->calendar))), 24, 0.01);
}

// The fold learns running hours from air time, a prior and the hour meter; the meter is 1.5 % slow, the prior is wide.
TEST(SeasonBook, TheEnginesHoursHoldTheTruth) {
  const Folded& book = folded();
  const PartState* engine = book.state.part(book.ids[2]);
  ASSERT_NE(engine, nullptr);
  EXPECT_TRUE(engine->is_fitted());
  ASSERT_TRUE(engine->in_book.running.known());
  const double truth_h = book.running_s / 3600 + 0.25;  // and fifteen minutes on the stand
  EXPECT_LE(in_hours(engine->in_book.running.low), truth_h * 1.01);
  EXPECT_GE(in_hours(engine->in_book.running.high), truth_h * 0.98);
  EXPECT_NEAR(in_hours(engine->in_book.running.mid), truth_h, 0.08 * truth_h);
}

}  // namespace
}  // namespace headroom::simulate
