#include "app/debrief.h"

#include <gtest/gtest.h>

#include <sstream>

#include "app/load_state.h"
#include "support/shared_data.h"
#include "support/world.h"

namespace headroom {
namespace {

std::string data_file(const std::string& name) {
  return test::bytes_of(test::data_folder() / "igc" / name);
}

DebriefRequest request_of(std::vector<std::string> paths) {
  DebriefRequest request;
  request.paths = std::move(paths);
  return request;
}

TEST(Debrief, WritesTheRecordingItsBytesAndItsFlight) {
  MemoryWorld world;
  world.files.files["hop.igc"] = data_file("s_003.igc");
  const auto answer = debrief(request_of({"hop.igc"}), world.ports);
  ASSERT_TRUE(answer) << answer.error().what;
  ASSERT_EQ(answer->files.size(), 1U);
  ASSERT_EQ(answer->files[0].flights.size(), 1U);
  const auto state = load_state(world.ports)->state;
  ASSERT_EQ(state.flights.size(), 1U);
  EXPECT_TRUE(state.flights[0].counts);
  EXPECT_EQ(world.book.store.blob(answer->files[0].recording).value(), world.files.files["hop.igc"]);
  EXPECT_EQ(state.flights[0].id, answer->files[0].flights[0].entry);
}

TEST(Debrief, ARecordingAlreadyInTheBookIsNotWrittenAgain) {
  MemoryWorld world;
  world.files.files["hop.igc"] = world.files.files["copy.igc"] = data_file("s_003.igc");
  const auto first = debrief(request_of({"hop.igc", "copy.igc"}), world.ports);
  ASSERT_TRUE(first);
  EXPECT_TRUE(first->files[1].already_in_book);
  const auto before = *world.book.store.entry_count();
  const auto second = debrief(request_of({"hop.igc"}), world.ports);
  ASSERT_TRUE(second);
  EXPECT_FALSE(second->written);
  EXPECT_EQ(*world.book.store.entry_count(), before);
}

TEST(Debrief, OfSeveralFilesTheRefusedAreNamedAndTheOthersWritten) {
  MemoryWorld world;
  world.files.files["letter.txt"] = "Dear pilot";
  world.files.files["empty.igc"] = "";
  world.files.files["zeros.igc"] = std::string(1 << 20, '\0');
  world.files.files["hop.igc"] = data_file("s_003.igc");
  const auto answer = debrief(request_of({"letter.txt", "empty.igc", "zeros.igc", "gone.igc", "hop.igc"}), world.ports);
  ASSERT_TRUE(answer);
  for (int i = 0; i < 4; ++i) {
    ASSERT_TRUE(answer->files[static_cast<std::size_t>(i)].error) << i;
    EXPECT_EQ(answer->files[static_cast<std::size_t>(i)].error->where, answer->files[static_cast<std::size_t>(i)].path);
  }
  EXPECT_FALSE(answer->files[4].error);
  EXPECT_EQ(load_state(world.ports)->state.flights.size(), 1U);
}

TEST(Debrief, NothingReadableMeansNothingWritten) {
  MemoryWorld world;
  world.files.files["letter.txt"] = "Dear pilot";
  const auto answer = debrief(request_of({"letter.txt"}), world.ports);
  ASSERT_TRUE(answer);
  EXPECT_FALSE(answer->written);
  EXPECT_EQ(*world.book.store.entry_count(), 0U);
}

TEST(Debrief, ARealBookRefusesASimulatedRecordingAndTheOtherWayRound) {
  MemoryWorld world;
  std::string invented = data_file("s_003.igc");
  invented.insert(invented.find("HFFTY"), "HFPLTPILOT:SIMULATED\r\n");
  world.files.files["invented.igc"] = invented;
  world.files.files["hop.igc"] = data_file("s_003.igc");
  const auto into_fresh = debrief(request_of({"invented.igc"}), world.ports);
  ASSERT_TRUE(into_fresh);
  ASSERT_TRUE(into_fresh->files[0].error);
  EXPECT_EQ(into_fresh->files[0].error->kind, ErrorKind::refused);
  auto request = request_of({"invented.igc"});
  request.simulated_book = true;
  ASSERT_FALSE(debrief(request, world.ports)->files[0].error);
  EXPECT_EQ(load_state(world.ports)->state.setting("book_is"), "simulated");
  const auto real_into_invented = debrief(request_of({"hop.igc"}), world.ports);
  ASSERT_TRUE(real_into_invented->files[0].error);
  EXPECT_EQ(real_into_invented->files[0].error->kind, ErrorKind::refused);
}

TEST(Debrief, TheSameFlightFromASecondRecorderCountsOnce) {
  MemoryWorld world;
  const std::string whole = data_file("s_003.igc");
  // Another recorder: the same places, every other second, and a header of its own.
  std::istringstream lines(whole);
  std::string line, other;
  for (int b = 0; std::getline(lines, line);) {
    if (line.starts_with('B') && b++ % 2 == 1) continue;
    if (line.starts_with("A")) line = "AXXX002\r";
    other += line + "\n";
  }
  world.files.files["one.igc"] = whole;
  world.files.files["two.igc"] = other;
  ASSERT_TRUE(debrief(request_of({"one.igc"}), world.ports));
  world.clock.time += std::chrono::hours(1);
  const auto second = debrief(request_of({"two.igc"}), world.ports);
  ASSERT_TRUE(second);
  ASSERT_EQ(second->files[0].flights.size(), 1U);
  EXPECT_TRUE(second->files[0].flights[0].same_as);
  const auto state = load_state(world.ports)->state;
  EXPECT_EQ(state.recordings.size(), 2U);
  int counting = 0;
  for (const auto& f : state.flights) counting += f.counts ? 1 : 0;
  EXPECT_EQ(counting, 1);
}

TEST(Debrief, LookingOnlyWritesNothing) {
  MemoryWorld world;
  world.files.files["hop.igc"] = data_file("s_003.igc");
  auto request = request_of({"hop.igc"});
  request.write = false;
  const auto answer = debrief(request, world.ports);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->files[0].flights.size(), 1U);
  EXPECT_EQ(*world.book.store.entry_count(), 0U);
}

}  // namespace
}  // namespace headroom
