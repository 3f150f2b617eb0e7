// Bytes of an IGC file to a Recording, warm buffers, extensions and warnings on. Recordings: s_001 (3,076 fixes, 2 columns,
// two damaged lines), s_015 (2,852 fixes, 8 columns) and s_028 (506 fixes, 5 columns) of tests/data, and s_010
// (12,237 fixes, 2 columns) and s_036 (9,967 fixes, 5 columns) of the collection beside the source when it is there.
#include <benchmark/benchmark.h>

#include <string>

#include "formats/igc.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

void parse_igc(benchmark::State& state, const std::string& name) {
  std::string bytes = test::bytes_of(test::data_folder() / "igc" / (name + ".igc"));
  if (bytes.empty()) bytes = test::bytes_of(test::shared_folder() / "recordings" / "igc" / (name + ".igc"));
  if (bytes.empty()) {
    state.SkipWithError("this recording is not here");
    return;
  }
  Recording recording;
  read_igc(bytes, recording);
  for (auto _ : state) {
    read_igc(bytes, recording);
    benchmark::DoNotOptimize(recording.fixes.data());
    benchmark::ClobberMemory();
  }
  const auto fixes = static_cast<std::int64_t>(recording.fixes.size());
  state.SetItemsProcessed(state.iterations() * fixes);
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(bytes.size()));
  state.counters["fixes"] = static_cast<double>(fixes);
  state.counters["columns"] = static_cast<double>(recording.channels.size());
}

BENCHMARK_CAPTURE(parse_igc, s_001, "s_001");
BENCHMARK_CAPTURE(parse_igc, s_015, "s_015");
BENCHMARK_CAPTURE(parse_igc, s_028, "s_028");
BENCHMARK_CAPTURE(parse_igc, s_010, "s_010");
BENCHMARK_CAPTURE(parse_igc, s_036, "s_036");

}  // namespace
}  // namespace headroom
