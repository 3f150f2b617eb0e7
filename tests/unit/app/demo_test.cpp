// The demo as an owner gets it: files on disk, a book that folds, everything labelled simulated.
#include "app/demo.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "adapters/system/files.h"
#include "app/debrief.h"
#include "app/load_state.h"
#include "app/record.h"
#include "formats/recording_reader.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"
#include "support/memory_store.h"
#include "support/shared_data.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

class DemoBook final : public BookAccess {
 public:
  Result<Store*> to_read() override { return &store; }
  Result<Store*> to_write() override { return &store; }
  Result<WriterId> writer() override { return id; }
  std::string place() const override { return "book.db"; }
  MemoryStore store;
  WriterId id;
};
class NoCache final : public Cache {
 public:
  std::optional<std::string> get(std::string_view) override { return {}; }
  void put(std::string_view, std::string_view) override {}
};
class CountedProgress final : public Progress {
 public:
  void step(std::string_view, std::uint64_t, std::uint64_t) override { ++steps; }
  bool stop_requested() const override { return steps >= stop_after; }
  int steps = 0, stop_after = 1000000;
};

struct DemoWorld {
  TempFolder folder;
  DemoBook book;
  NoCache cache;
  FakeClock clock{utc(2026, 9, 30, 13), 0};
  FakeRandom random;
  SystemFiles files;
  CountedProgress progress;
  Ports ports{book, cache, clock, random, files, progress};
  DemoWorld() { random.fill(book.id.bytes); }
  Result<DemoAnswer> make() {
    DemoRequest request;
    request.folder = folder / "season";
    return make_demo(request, ports);
  }
};

TEST(Demo, MakesRecordingsABookAndTheTruth) {
  DemoWorld world;
  const auto answer = world.make();
  ASSERT_TRUE(answer) << answer.error().what << " " << answer.error().where;
  ASSERT_EQ(answer->flights.size(), 10U);
  for (const DemoFlight& flight : answer->flights) {
    const std::string bytes = test::bytes_of(flight.path);
    EXPECT_NE(bytes.find("HFFTYFRTYPE:SIMULATED"), std::string::npos) << flight.path;
    const auto recording = read_recording(bytes);
    ASSERT_TRUE(recording);
    EXPECT_TRUE(recording->simulated);
  }
  const std::string truth = test::bytes_of(answer->truth);
  EXPECT_EQ(std::count(truth.begin(), truth.end(), '\n'), 11);
  std::size_t marks = 0;
  for (std::size_t at = truth.find(",simulated\n"); at != std::string::npos; at = truth.find(",simulated\n", at + 1)) ++marks;
  EXPECT_EQ(marks, 10U);
}

// A hand on the truth: each file is one flight, and its launch and landing are found.
TEST(Demo, DebriefFindsEachFlightNearItsTruth) {
  DemoWorld world;
  const auto answer = world.make();
  ASSERT_TRUE(answer);
  for (const DemoFlight& flight : answer->flights) {
    ASSERT_TRUE(flight.found_launch && flight.found_landing) << flight.path;
    EXPECT_LE(std::abs(in_seconds(duration_between(flight.launch, *flight.found_launch))), 15) << flight.path;
    EXPECT_LE(std::abs(in_seconds(duration_between(flight.landing, *flight.found_landing))), 15) << flight.path;
  }
}

TEST(Demo, TheBookIsSimulatedAndFoldsWithoutAWarning) {
  DemoWorld world;
  ASSERT_TRUE(world.make());
  EXPECT_EQ(*book_is(world.book.store), BookIs::simulated);
  const auto loaded = load_state(world.ports);
  ASSERT_TRUE(loaded);
  EXPECT_EQ(loaded->state.flights.size(), 10U);
  EXPECT_EQ(loaded->state.machines.size(), 1U) << "no machine was assumed beside the registered one";
  EXPECT_EQ(loaded->state.pilots.size(), 1U);
  for (const RecordingState& recording : loaded->state.recordings) EXPECT_TRUE(recording.simulated);
  EXPECT_TRUE(loaded->state.warnings.empty());
}

TEST(Demo, RefusesABookThatHoldsSomething) {
  DemoWorld world;
  ASSERT_TRUE(world.make());
  const auto before = *world.book.store.entry_count();
  const auto again = world.make();
  ASSERT_FALSE(again);
  EXPECT_EQ(again.error().kind, ErrorKind::refused);
  EXPECT_EQ(*world.book.store.entry_count(), before);
}

TEST(Demo, StopsBeforeAnythingIsWritten) {
  DemoWorld world;
  world.progress.stop_after = 3;
  ASSERT_FALSE(world.make());
  EXPECT_EQ(*world.book.store.entry_count(), 0U);
  EXPECT_FALSE(world.files.is_folder(world.folder / "season"));
}

}  // namespace
}  // namespace headroom
