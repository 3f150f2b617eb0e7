// Wind found from positions alone against the wind that real recorders wrote: another instrument's estimate, 40 to 100 s late.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/track/analyse.h"
#include "core/track/wind.h"
#include "formats/igc.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct Compared {
  double rms = 0;
  std::size_t records = 0, used = 0;
};

Compared compare(const char* name) {
  const Recording recording = read_igc(test::bytes_of(test::shared_folder() / "recordings" / "igc" / name));
  Workspace workspace;
  const auto analysis = analyse(recording, nullptr, workspace);
  Compared out;
  if (!analysis || analysis->flights.empty()) return out;
  const auto& fixes = analysis->track.fixes;
  std::size_t first = 0, last = fixes.size() - 1;
  while (fixes[first].time < analysis->flights.front().launch) ++first;
  while (fixes[last].time > analysis->flights.front().landing) --last;
  const auto v = ground_velocities(analysis->track, analysis->smoothed, first, last);
  const WindSolution wind = estimate_wind(v);
  if (!wind.known()) return out;
  const Channel *from = nullptr, *speed = nullptr;
  for (const Channel& c : recording.slow.channels) {
    if (c.code == "WDI") from = &c;
    if (c.code == "WSP" || c.code == "WVE") speed = &c;
  }
  if (!from || !speed) return out;
  double sum = 0;
  for (std::size_t i = 0; i < recording.slow.times.size(); ++i) {
    if (speed->raw[i] == 999 || speed->raw[i] == Channel::missing || from->raw[i] == Channel::missing) continue;
    const double t = duration_between(fixes.front().time, recording.slow.times[i]).si() - 70;
    if (t < v.front().time_s || t > v.back().time_s) continue;
    ++out.records;
    const WindState w = wind.at(t);
    if (w.spread_m_s() > 1.5) continue;
    ++out.used;
    const double s = speed->raw[i] * 0.01 / 3.6, a = from->raw[i] * std::numbers::pi / 180;  // 0.01 km/h
    sum += std::pow(static_cast<double>(w.east_m_s) + s * std::sin(a), 2) +
           std::pow(static_cast<double>(w.north_m_s) + s * std::cos(a), 2);
  }
  out.rms = out.used > 0 ? std::sqrt(sum / static_cast<double>(out.used)) : 99;
  return out;
}

// Two paragliders and a sailplane; SOURCES.md of the collection says how far their wind can be trusted.
TEST(WindOfRealFiles, AgreesWithTheRecordedOne) {
  HEADROOM_NEEDS_SHARED_DATA();
  struct Row {
    const char* name;
    double bound;
  };
  for (const Row& r : {Row{"s_010.igc", 1.0}, Row{"s_012.igc", 1.0}, Row{"s_015.igc", 1.6}}) {
    const Compared c = compare(r.name);
    EXPECT_GT(c.records, 40U) << r.name;
    EXPECT_GT(c.used * 10, c.records * 7) << r.name;
    EXPECT_LE(c.rms, r.bound) << r.name;
  }
}

// Every file of the collection: numbers that are numbers, positive variances, or a sentence why not.
TEST(WindOfRealFiles, IsAnAnswerOrAReason) {
  HEADROOM_NEEDS_SHARED_DATA();
  std::size_t answers = 0;
  for (int i = 1; i <= 54; ++i) {
    const std::string name = std::string("s_0") + (i < 10 ? "0" : "") + std::to_string(i) + ".igc";
    const Recording recording = read_igc(test::bytes_of(test::shared_folder() / "recordings" / "igc" / name));
    Workspace workspace;
    const auto analysis = analyse(recording, nullptr, workspace);
    ASSERT_TRUE(analysis) << name;
    auto v = ground_velocities(analysis->track, analysis->smoothed, 0, analysis->track.fixes.size() - 1);
    (void)add_recorded_air(recording, analysis->track, v);
    for (const bool use : {false, true}) {
      const WindSolution s = estimate_wind(v, {.airspeed = {}, .use_recorded = use});
      if (!s.known()) continue;
      ++answers;
      ASSERT_EQ(s.states.size(), v.size());
      for (const WindState& w : s.states) {
        ASSERT_TRUE(std::isfinite(w.east_m_s) && std::isfinite(w.north_m_s) && std::isfinite(w.airspeed_m_s)) << name;
        ASSERT_TRUE(w.var_east > 0 && w.var_north > 0 && w.var_airspeed > 0) << name;
      }
    }
  }
  EXPECT_GT(answers, 90U);
}

}  // namespace
}  // namespace headroom
