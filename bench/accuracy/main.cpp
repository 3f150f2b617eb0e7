// The accuracy report: prints, beside a plain method for each, the error on simulated flights and on real recordings with truth.
//   headroom_accuracy [wind] [--recordings FOLDER] [--tuning] [--flights N]
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "accuracy/report_wind.h"
#include "accuracy/scenarios.h"

int main(int argc, char** argv) {
  std::filesystem::path recordings = std::filesystem::path(HEADROOM_SOURCE_DIR) / ".." / "shared" / "recordings";
  std::uint64_t seed = headroom::accuracy::kReportSeeds;
  int flights = 40;
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (word == "--tuning") {
      seed = headroom::accuracy::kTuningSeeds;
    } else if (word == "--flights" && i + 1 < argc) {
      flights = std::atoi(argv[++i]);
    } else if (word == "--recordings" && i + 1 < argc) {
      recordings = argv[++i];
    } else if (word != "wind") {
      std::fprintf(stderr, "headroom_accuracy [wind] [--recordings FOLDER] [--tuning] [--flights N]\n");
      return 2;
    }
  }
  return headroom::accuracy::report_wind(recordings, seed, flights) == 0 ? 0 : 3;
}
