// The accuracy report: prints, beside a plain method for each, the error on simulated flights and on real recordings with truth.
//   headroom_accuracy [wind] [engine] [lift-off] [measures] [brief] [--recordings FOLDER] [--tuning] [--flights N]
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "accuracy/report_brief.h"
#include "accuracy/report_engine.h"
#include "accuracy/report_lift_off.h"
#include "accuracy/report_measures.h"
#include "accuracy/report_wind.h"
#include "accuracy/scenarios.h"

int main(int argc, char** argv) {
  std::filesystem::path recordings = std::filesystem::path(HEADROOM_SOURCE_DIR) / ".." / "shared" / "recordings";
  std::uint64_t seed = headroom::accuracy::kReportSeeds;
  int flights = 40;
  bool wind = false, engine = false, lift_off = false, measures = false, brief = false;
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (word == "--tuning") {
      seed = headroom::accuracy::kTuningSeeds;
    } else if (word == "--flights" && i + 1 < argc) {
      flights = std::atoi(argv[++i]);
    } else if (word == "--recordings" && i + 1 < argc) {
      recordings = argv[++i];
    } else if (word == "wind") {
      wind = true;
    } else if (word == "engine") {
      engine = true;
    } else if (word == "lift-off") {
      lift_off = true;
    } else if (word == "measures") {
      measures = true;
    } else if (word == "brief") {
      brief = true;
    } else {
      std::fprintf(
          stderr,
          "headroom_accuracy [wind] [engine] [lift-off] [measures] [brief] [--recordings FOLDER] [--tuning] [--flights N]\n");
      return 2;
    }
  }
  if (!wind && !engine && !lift_off && !measures && !brief) wind = engine = true;
  int missed = 0;
  if (wind) missed += headroom::accuracy::report_wind(recordings, seed, flights);
  if (engine) missed += headroom::accuracy::report_engine(recordings, seed, flights);
  if (lift_off) missed += headroom::accuracy::report_lift_off(seed, flights);
  if (measures) missed += headroom::accuracy::report_measures(seed, flights);
  if (brief) missed += headroom::accuracy::report_brief(seed, flights);
  return missed == 0 ? 0 : 3;
}
