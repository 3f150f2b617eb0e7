// The demo as an owner gets it: files on disk, a book that folds, everything labelled simulated.
#include "app/demo.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "adapters/system/files.h"
#include "app/debrief.h"
#include "app/load_state.h"
#include "app/record.h"
#include "core/planning/brief.h"
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

// Made once for the tests that only look at it.
struct MadeOnce {
  DemoWorld world;
  Result<DemoAnswer> answer = world.make();
};
MadeOnce& made_once() {
  static MadeOnce made;
  return made;
}

TEST(Demo, MakesRecordingsABookAndTheTruth) {
  const auto& answer = made_once().answer;
  ASSERT_TRUE(answer) << answer.error().what << " " << answer.error().where;
  EXPECT_EQ(answer->recordings.size(), 42U);
  EXPECT_EQ(answer->flown, 40U);
  EXPECT_EQ(answer->flights.size(), 41U) << "one was recorded twice";
  EXPECT_EQ(answer->rides, 2U);
  EXPECT_EQ(answer->recorded_twice, 1U);
  EXPECT_EQ(answer->left_on, 2U);
  EXPECT_EQ(answer->begun_in_air, 1U);
  EXPECT_EQ(answer->left, answer->recordings.back());
  std::size_t bytes_in_all = 0;
  for (const std::string& path : answer->recordings) {
    const std::string bytes = test::bytes_of(path);
    bytes_in_all += bytes.size();
    EXPECT_NE(bytes.find("HFFTYFRTYPE:SIMULATED"), std::string::npos) << path;
    const auto recording = read_recording(bytes);
    ASSERT_TRUE(recording);
    EXPECT_TRUE(recording->simulated);
  }
  EXPECT_LT(bytes_in_all, 3U << 20) << "a folder to look around in, small";
  const std::string truth = test::bytes_of(answer->truth);
  EXPECT_EQ(std::count(truth.begin(), truth.end(), '\n'), 1 + 41 + 2) << "head, flights as recorded, rides";
  std::size_t marks = 0;
  for (std::size_t at = truth.find(",simulated\n"); at != std::string::npos; at = truth.find(",simulated\n", at + 1)) ++marks;
  EXPECT_EQ(marks, 43U);
  const std::string head = truth.substr(0, truth.find('\n'));
  for (std::size_t at = 0; at < truth.size(); at = truth.find('\n', at) + 1) {
    const std::string row = truth.substr(at, truth.find('\n', at) - at);
    EXPECT_EQ(std::count(row.begin(), row.end(), ','), std::count(head.begin(), head.end(), ',')) << row;
  }
}

// A hand on the truth: every flight that was debriefed is found where it was, in its own recording.
TEST(Demo, DebriefFindsEachFlightNearItsTruth) {
  const auto& answer = made_once().answer;
  ASSERT_TRUE(answer);
  for (const DemoFlight& flight : answer->flights) {
    if (flight.path == answer->left) {
      EXPECT_FALSE(flight.found_launch) << "left for the owner";
      continue;
    }
    ASSERT_TRUE(flight.found_launch && flight.found_landing) << flight.path;
    if (!flight.begins_in_air) {
      EXPECT_LE(std::abs(in_seconds(duration_between(flight.launch, *flight.found_launch))), 15) << flight.path;
    }
    EXPECT_LE(std::abs(in_seconds(duration_between(flight.landing, *flight.found_landing))), 15) << flight.path;
  }
}

TEST(Demo, TheBookIsSimulatedAndFoldsWithoutADoubt) {
  DemoWorld& world = made_once().world;
  ASSERT_TRUE(made_once().answer);
  EXPECT_EQ(*book_is(world.book.store), BookIs::simulated);
  const auto loaded = load_state(world.ports);
  ASSERT_TRUE(loaded);
  EXPECT_EQ(loaded->state.flights.size(), 40U) << "39 of the 40, one of them recorded twice";
  EXPECT_EQ(std::count_if(loaded->state.flights.begin(), loaded->state.flights.end(), [](const auto& f) { return f.counts; }),
            39);
  EXPECT_EQ(loaded->state.recordings.size(), 41U);
  EXPECT_EQ(loaded->state.machines.size(), 1U) << "no machine was assumed beside the registered one";
  EXPECT_EQ(loaded->state.pilots.size(), 1U);
  for (const RecordingState& recording : loaded->state.recordings) EXPECT_TRUE(recording.simulated);
  ASSERT_EQ(loaded->state.warnings.size(), 1U);
  EXPECT_EQ(loaded->state.warnings.front().kind, StateWarning::Kind::same_flight) << "recorded twice, counted once";
}

// As ./run does: the last flight is debriefed, and the brief after it shows something of everything. Counts are of what is
// hidden in the season (docs/simulated-season.md), the hours of the simulator's truth.
TEST(Demo, TheLastFlightIsThereToDebriefAndTheBriefIsAMixture) {
  DemoWorld world;
  const auto made = world.make();
  ASSERT_TRUE(made);
  DebriefRequest last;
  last.paths = {made->left};
  const auto debriefed = debrief(last, world.ports);
  ASSERT_TRUE(debriefed);
  ASSERT_EQ(debriefed->files.size(), 1U);
  ASSERT_EQ(debriefed->files.front().flights.size(), 1U);
  EXPECT_LE(
      std::abs(in_seconds(duration_between(made->flights.back().launch, debriefed->files.front().flights.front().flight.launch))),
      15);
  EXPECT_FALSE(debriefed->newly_thin.empty()) << "the tank is not full any more";

  const auto loaded = load_state(world.ports);
  ASSERT_TRUE(loaded);
  BriefRequest request;
  request.now = world.clock.now();
  const Brief brief = make_brief(loaded->state, request);
  const auto count = [&](MarginState state) {
    return std::count_if(brief.margins.begin(), brief.margins.end(), [&](const Margin& m) { return m.state == state; });
  };
  EXPECT_GE(count(MarginState::short_of), 1);
  EXPECT_LE(count(MarginState::short_of), 3);
  EXPECT_GE(count(MarginState::thin), 3);
  EXPECT_LE(count(MarginState::thin), 5);
  EXPECT_GE(count(MarginState::ample), 12);
  // Nothing is said of the day or weighed: that is unknown, and of the rest next to nothing.
  const auto of_the_book = [](const Margin& m) {
    return m.kind == MarginKind::service || m.kind == MarginKind::part_age || m.kind == MarginKind::reserve_repack ||
           m.kind == MarginKind::fuel || m.kind == MarginKind::fuel_mix || m.kind == MarginKind::recent_practice ||
           m.kind == MarginKind::drill;
  };
  EXPECT_LE(std::count_if(brief.margins.begin(), brief.margins.end(),
                          [&](const Margin& m) { return of_the_book(m) && m.state == MarginState::unknown; }),
            1);
  EXPECT_EQ(brief.margins.front().state, MarginState::unknown) << "what can hurt and is unknown comes first";

  // The engine's hours in the book hold the truth.
  const auto engine =
      std::find_if(loaded->state.parts.begin(), loaded->state.parts.end(), [](const auto& p) { return p.role == "engine"; });
  ASSERT_NE(engine, loaded->state.parts.end());
  const std::string truth = test::bytes_of(made->truth);
  double truth_h = 0.25;  // on the stand
  int number = 0;
  for (std::size_t at = truth.find('\n') + 1; at < truth.size(); at = truth.find('\n', at) + 1) {
    std::vector<std::string> cells{""};
    for (std::size_t i = at; truth[i] != '\n'; ++i) {
      if (truth[i] == ',')
        cells.emplace_back();
      else
        cells.back() += truth[i];
    }
    if (cells[2].empty() || std::stoi(cells[2]) == number) continue;
    number = std::stoi(cells[2]);
    truth_h += std::stod(cells[6]) / 3600;
  }
  ASSERT_EQ(number, 40);
  EXPECT_LE(in_hours(engine->in_book.running.low), truth_h);
  EXPECT_GE(in_hours(engine->in_book.running.high), truth_h);
  EXPECT_NEAR(in_hours(engine->in_book.running.mid), truth_h, 0.08 * truth_h);
}

TEST(Demo, RefusesABookThatHoldsSomething) {
  DemoWorld& world = made_once().world;
  ASSERT_TRUE(made_once().answer);
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
