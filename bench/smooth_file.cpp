// The smoother alone, for bench/rts_numpy.py to be set beside: what it was given and what it made of it, fix by fix.
//   headroom_smooth_file RECORDING.igc ROUNDS
// Standard output: doubles, seven a fix: seconds from the first, latitude, longitude, pressure height as cleaned, then
// latitude, longitude, height smoothed. Standard error: CPU nanoseconds a fix, at best and in the median of the rounds, then how
// many fixes were given less weight (NumPy's plain filter gives all the same, so it must be 0 for the comparison).
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "core/track/smooth.h"
#include "formats/recording_reader.h"

int main(int argc, char** argv) {
  using namespace headroom;
  if (argc != 3) return 2;
  std::ifstream file(argv[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  const auto recording = read_recording(bytes);
  if (!recording) return 1;
  Track track;
  CleanReport report;
  CleanScratch scratch;
  if (!clean(*recording, track, report, scratch) || !track.has_pressure) return 1;
  // As rts_numpy.py has them. No GNSS heights: three axes on both sides.
  track.has_gnss = false;
  const AxisNoise horizontal{25, 50}, pressure{4, 5};
  SmoothedTrack out;
  std::vector<double> taken;
  for (int round = 0; round < std::max(2, std::atoi(argv[2])); ++round) {
    timespec from{}, to{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
    smooth(track, horizontal, {}, pressure, out);
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
    const double ns = 1e9 * static_cast<double>(to.tv_sec - from.tv_sec) + static_cast<double>(to.tv_nsec - from.tv_nsec);
    taken.push_back(ns / static_cast<double>(track.fixes.size()));
  }
  std::sort(taken.begin(), taken.end());
  std::fprintf(stderr, "%.1f %.1f %zu\n", taken.front(), taken[taken.size() / 2], out.doubted);
  for (std::size_t i = 0; i < track.fixes.size(); ++i) {
    const auto& f = track.fixes[i];
    const auto& s = out.fixes[i];
    const double t = static_cast<double>((f.time - track.fixes.front().time).count()) * 1e-3;
    const double line[] = {t,
                           f.position.latitude_deg,
                           f.position.longitude_deg,
                           f.pressure_altitude.si(),
                           s.position.latitude_deg,
                           s.position.longitude_deg,
                           s.pressure.height_m};
    std::fwrite(line, sizeof line, 1, stdout);
  }
  return 0;
}
