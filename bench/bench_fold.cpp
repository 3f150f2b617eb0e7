// The fold and the snapshot on an invented book of 10,000 flights and about 25,000 entries; decoding the bytes is not in it.
#include <benchmark/benchmark.h>

#include "core/planning/brief.h"
#include "core/upkeep/due.h"
#include "formats/state_snapshot.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

const std::vector<Entry>& large_book() {
  static const std::vector<Entry> entries = [] {
    testing::BookBuilder b;
    const UtcTime start = utc(2006, 1, 1, 6);
    b.assumed_machine(start);
    for (int i = 0; i < 10000; ++i) {
      const UtcTime at = start + std::chrono::minutes(1051 * i);
      RecordingAttached recording;
      recording.recording.bytes[0] = static_cast<std::uint8_t>(i);
      recording.recording.bytes[1] = static_cast<std::uint8_t>(i >> 8);
      recording.format = "igc";
      recording.private_file_name = "flight_" + std::to_string(i) + ".igc";
      b.say(at, recording);
      auto f = b.flight_of(at, minutes(40 + i % 50));
      f.recording = recording.recording;
      f.private_path.assign(400, 'x');
      const auto id = b.say(at, f);
      if (i % 4 == 0) b.say(at + std::chrono::hours(2), Reading{"head_maximum", 440.0 + i % 20, "K", {}});
      if (i % 10 == 0) b.say(at + std::chrono::hours(2), CounterRead{{}, Counter::running, i * 3900.0});
      if (i % 12 == 0) b.say(at + std::chrono::hours(3), FuelFilled{litres(8), {}});
      if (i % 25 == 0) b.say(at + std::chrono::hours(3), ServiceDone{"plug", {}, {}});
      if (i % 50 == 0) b.amend(at + std::chrono::hours(4), id, f);
    }
    return b.entries;
  }();
  return entries;
}

void fold_ten_thousand_flights(benchmark::State& state) {
  const auto& entries = large_book();
  for (auto _ : state) {
    state.PauseTiming();
    auto copy = entries;
    state.ResumeTiming();
    auto folded = fold(std::move(copy));
    benchmark::DoNotOptimize(folded);
    state.PauseTiming();
    folded = {};
    state.ResumeTiming();
  }
  state.counters["entries"] = static_cast<double>(entries.size());
}
BENCHMARK(fold_ten_thousand_flights)->Unit(benchmark::kMillisecond);

void decode_snapshot_of_ten_thousand_flights(benchmark::State& state) {
  const auto bytes = encode_snapshot(fold(large_book()), "heads");
  for (auto _ : state) benchmark::DoNotOptimize(decode_snapshot(bytes, "heads"));
  state.counters["bytes"] = static_cast<double>(bytes.size());
}
BENCHMARK(decode_snapshot_of_ten_thousand_flights)->Unit(benchmark::kMillisecond);

void due_from_the_state(benchmark::State& state) {
  const auto folded = fold(large_book());
  const UtcTime now = *folded.last_at + std::chrono::hours(24);
  for (auto _ : state) benchmark::DoNotOptimize(due(folded, now, use_rate(folded, now)));
}
BENCHMARK(due_from_the_state)->Unit(benchmark::kMillisecond);

void brief_from_the_state(benchmark::State& state) {
  const auto folded = fold(large_book());
  const UtcTime now = *folded.last_at + std::chrono::hours(24);
  for (auto _ : state) benchmark::DoNotOptimize(make_brief(folded, {now, {}, {}}));
}
BENCHMARK(brief_from_the_state)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headroom
