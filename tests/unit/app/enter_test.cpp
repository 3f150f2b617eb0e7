#include "app/enter.h"

#include <gtest/gtest.h>

#include "app/load_state.h"
#include "support/world.h"

namespace headroom {
namespace {

Result<EnterAnswer> enter_facts(MemoryWorld& world, PlainFacts facts, UtcTime at) {
  EnterRequest request;
  request.at = at;
  request.facts = [&](const Subjects&) { return Result<PlainFacts>(facts); };
  return enter(request, world.ports);
}
Result<EnterAnswer> enter_facts(MemoryWorld& world, PlainFacts facts) {
  return enter_facts(world, std::move(facts), world.clock.time);
}

TEST(Enter, AFreshBookAssumesAMachineAndAPilotAndSaysSo) {
  MemoryWorld world;
  const auto answer = enter_facts(world, Note{"first"});
  ASSERT_TRUE(answer) << answer.error().what;
  EXPECT_FALSE(answer->assumed.empty());
  const auto state = load_state(world.ports)->state;
  ASSERT_EQ(state.machines.size(), 1U);
  EXPECT_TRUE(state.machines[0].assumed);
  EXPECT_EQ(state.fitted_parts(state.machines[0].id).size(), 7U);
  EXPECT_EQ(state.setting("book_is"), "real");
  EXPECT_TRUE(enter_facts(world, Note{"second"})->assumed.empty());
}

// A fresh book's own first entry used to share one empty id among its drafts, so that parts were seen as not fitted and the
// owner's reserve stood beside the assumed one.
TEST(Enter, TheOwnersPartTakesThePlaceOfTheAssumedOneEvenAsTheFirstEntry) {
  MemoryWorld world;
  PartRegistered reserve;
  reserve.role = "reserve";
  reserve.private_name = "Own";
  reserve.made = utc(2021, 5, 1);
  ASSERT_TRUE(enter_facts(world, reserve));
  const auto state = load_state(world.ports)->state;
  int reserves = 0;
  for (const auto& part : state.parts)
    if (part.role == "reserve") {
      ++reserves;
      EXPECT_FALSE(part.assumed);
      EXPECT_EQ(part.name, "Own");
      EXPECT_EQ(part.made, utc(2021, 5, 1));
      EXPECT_TRUE(part.is_fitted());
    }
  EXPECT_EQ(reserves, 1);
}

TEST(Enter, ASecondWingIsFittedAndTheFirstTakenOff) {
  MemoryWorld world;
  for (const char* name : {"First", "Second"}) {
    PartRegistered wing;
    wing.role = "wing";
    wing.private_name = name;
    world.clock.time += std::chrono::hours(1);
    ASSERT_TRUE(enter_facts(world, wing));
  }
  const auto state = load_state(world.ports)->state;
  for (const auto& part : state.parts)
    if (part.role == "wing") {
      EXPECT_EQ(part.is_fitted(), part.name == "Second") << part.name;
    }
}

TEST(Enter, EntriesMadeInOneMillisecondKeepTheOrderTheyWereMadeIn) {
  MemoryWorld world;
  EntryId last{};
  for (int i = 0; i < 300; ++i) {
    const auto answer = enter_facts(world, Note{std::to_string(i)});
    ASSERT_TRUE(answer);
    EXPECT_LT(last, answer->id);
    last = answer->id;
  }
}

template <class Change>
RunMeasured run_of(const Change& change) {
  RunMeasured run;
  run.room = metres(34);
  change(run);
  return run;
}

TEST(Enter, ASlipOfTheFingerIsRefusedAndNothingIsWritten) {
  MemoryWorld world;
  const PlainFacts slips[] = {
      Reading{"head_maximum", 2000 + 273.15, "K", std::nullopt},
      Reading{"head_maximum", std::nan(""), "K", std::nullopt},
      FuelLeft{litres(-1)},
      FuelFilled{litres(400), std::nullopt},
      FuelMixed{litres(10), 3.0, std::nullopt, ""},
      CounterRead{std::nullopt, Counter::running, -5},
      PilotRegistered{false, kilograms(7), "Me"},
      EngineRun{EntryId{}, hours(30), ""},
      run_of([](RunMeasured& r) { r.room = metres(2); }),
      run_of([](RunMeasured& r) { r.room = kilometres(34); }),
      run_of([](RunMeasured& r) { r.headwind = knots(400); }),
      run_of([](RunMeasured& r) { r.all_up = kilograms(7); }),
      run_of([](RunMeasured& r) { r.temperature = celsius(180); }),
      run_of([](RunMeasured& r) { r.height = AltitudeMsl::from_si(42000); }),
      run_of([](RunMeasured& r) { r.slope = 2; }),
      run_of([](RunMeasured& r) { r.steps = 0; }),
  };
  for (const auto& slip : slips) {
    const auto answer = enter_facts(world, slip);
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, ErrorKind::out_of_range);
  }
  const auto ahead = enter_facts(world, Note{"tomorrow"}, world.clock.time + std::chrono::hours(48));
  ASSERT_FALSE(ahead);
  EXPECT_EQ(*world.book.store.entry_count(), 0U);
}

TEST(Enter, AWordThatFitsNothingNamesWhatThereIs) {
  MemoryWorld world;
  ASSERT_TRUE(enter_facts(world, Note{"first"}));
  EnterRequest request;
  request.at = world.clock.time;
  request.facts = [](const Subjects& subjects) -> Result<PlainFacts> {
    const auto part = subjects.part("sail");
    if (!part) return tl::unexpected<Error>(part.error());
    return PlainFacts(PartRemoved{*part, ""});
  };
  const auto answer = enter(request, world.ports);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().kind, ErrorKind::not_found);
  EXPECT_NE(answer.error().what.find("propeller"), std::string::npos);
}

TEST(LoadState, TheSnapshotIsUsedAndGivesTheSame) {
  MemoryWorld world;
  ASSERT_TRUE(enter_facts(world, FuelLeft{litres(4)}));
  const auto folded = load_state(world.ports);
  const auto kept = load_state(world.ports);
  ASSERT_TRUE(folded && kept);
  EXPECT_TRUE(kept->from_snapshot);
  EXPECT_EQ(kept->state.entries, folded->state.entries);
  EXPECT_EQ(kept->state.tank.known, litres(4));
  for (auto& [key, bytes] : world.cache.kept) bytes.resize(20);  // cut on the disk
  const auto again = load_state(world.ports);
  ASSERT_TRUE(again);
  EXPECT_FALSE(again->from_snapshot);
  EXPECT_EQ(again->state.tank.known, litres(4));
}

}  // namespace
}  // namespace headroom
