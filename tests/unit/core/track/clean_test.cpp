#include "core/track/clean.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numeric>

#include "unit/core/track/scripted_recording.h"

namespace headroom {
namespace {

struct Cleaned {
  Track track;
  CleanReport report;
};
Cleaned cleaned(const Recording& r) {
  Cleaned c;
  CleanScratch scratch;
  const auto ok = clean(r, c.track, c.report, scratch);
  EXPECT_TRUE(ok) << (ok ? "" : ok.error().what);
  return c;
}
Recording flown(int fixes) {
  test::ScriptedRecording s;
  s.leg(fixes, {8, 3, 0.5});
  return s.recording_;
}
std::uint64_t count(const Cleaned& c, DropReason reason) {
  return c.report.dropped[static_cast<std::size_t>(reason)];
}

TEST(Clean, KeepsEveryFixOfAGoodRecording) {
  const Cleaned c = cleaned(flown(100));
  EXPECT_EQ(c.report.kept, 100U);
  EXPECT_TRUE(c.report.notes.empty());
  EXPECT_TRUE(c.track.has_gnss);
  EXPECT_TRUE(c.track.has_pressure);
  EXPECT_DOUBLE_EQ(c.track.interval.si(), 1);
}

TEST(Clean, DropsWhatReceiversWriteBeforeTheyKnow) {
  Recording r = flown(100);
  r.fixes[0].position = {0, 0};
  r.fixes[1].position = {0, 136};  // a V fix thousands of kilometres away
  r.fixes[1].valid_3d = false;
  r.fixes[50].position.latitude_deg = 95;
  r.fixes[60].position.longitude_deg = std::nan("");
  const Cleaned c = cleaned(r);
  EXPECT_EQ(count(c, DropReason::no_position), 1U);
  EXPECT_EQ(count(c, DropReason::jump), 1U);
  EXPECT_EQ(count(c, DropReason::out_of_range), 2U);
  EXPECT_EQ(c.report.fate[1], DropReason::jump);
}

TEST(Clean, CostsOneFixForOneWildTimeAndOneForARepeatedSecond) {
  Recording r = flown(100);
  r.fixes[20].time += std::chrono::hours(1);
  r.fixes[40].time = r.fixes[39].time;
  r.fixes[70].time -= std::chrono::seconds(30);
  const Cleaned c = cleaned(r);
  EXPECT_EQ(c.report.kept, 97U);
  EXPECT_EQ(c.report.fate[20], DropReason::clock_went_back);
  EXPECT_EQ(c.report.fate[40], DropReason::repeated_time);
  EXPECT_EQ(c.report.fate[70], DropReason::clock_went_back);
}

TEST(Clean, SortsTheRecordersOwnPartsByTime) {
  Recording r = flown(100);
  for (std::size_t i = 0; i < 100; ++i) r.fixes[i].segment = i < 50 ? 1 : 2;
  std::rotate(r.fixes.begin(), r.fixes.begin() + 50, r.fixes.end());
  const Cleaned c = cleaned(r);
  EXPECT_EQ(c.report.kept, 100U);
  EXPECT_EQ(c.report.segments_reordered, 2U);
  EXPECT_EQ(c.track.fixes.front().source, 50U);
}

TEST(Clean, DropsASpikeAndKeepsBothSidesOfALastingStep) {
  Recording r = flown(200);
  for (std::size_t i = 30; i < 33; ++i) r.fixes[i].position.latitude_deg += 0.05;
  for (std::size_t i = 100; i < 200; ++i) r.fixes[i].position.longitude_deg += 0.01;
  const Cleaned c = cleaned(r);
  EXPECT_EQ(count(c, DropReason::jump), 3U);
  EXPECT_EQ(c.report.kept, 197U);
  EXPECT_EQ(c.report.steps_kept, 1U);
}

TEST(Clean, DropsAFrozenPositionButNoStandingStill) {
  test::ScriptedRecording s;
  s.leg(50, {20, 0, 0});
  Recording r = s.recording_;
  for (std::size_t i = 21; i < 30; ++i) r.fixes[i].position = r.fixes[20].position;
  const Cleaned c = cleaned(r);
  EXPECT_EQ(count(c, DropReason::frozen), 9U);
  Recording parked = r;
  for (std::size_t i = 0; i < 20; ++i) parked.fixes[i].position = parked.fixes[20].position;
  for (std::size_t i = 21; i < 50; ++i)
    parked.fixes[i].position.longitude_deg =
        parked.fixes[20].position.longitude_deg + 1e-5 * static_cast<double>((i - 20) * (i - 20));
  EXPECT_EQ(count(cleaned(parked), DropReason::frozen), 0U);
}

TEST(Clean, SetsHeightsAsideAndKeepsTheFix) {
  Recording r = flown(100);
  r.fixes[10].gnss_height = GnssHeight::from_si(0);  // a V fix among others
  r.fixes[10].valid_3d = false;
  r.fixes[20].gnss_height = GnssHeight::from_si(9000);
  for (Fix& f : r.fixes) f.pressure_altitude = {};  // a recorder without a pressure sensor
  const Cleaned c = cleaned(r);
  EXPECT_EQ(c.report.kept, 100U);
  EXPECT_EQ(c.report.gnss_heights_set_aside, 2U);
  EXPECT_EQ(c.report.pressure_heights_set_aside, 100U);
  EXPECT_FALSE(c.track.has_pressure);
  EXPECT_FALSE(c.track.fixes[10].has_gnss_height);
}

TEST(Clean, TellsOfGaps) {
  Recording r = flown(300);
  r.fixes.erase(r.fixes.begin() + 100, r.fixes.begin() + 200);
  const Cleaned c = cleaned(r);
  ASSERT_EQ(c.report.gaps.size(), 1U);
  EXPECT_DOUBLE_EQ(duration_between(c.report.gaps[0].from, c.report.gaps[0].to).si(), 101);
  EXPECT_NEAR(c.report.gaps[0].distance.si(), 101 * std::hypot(8, 3), 10);
}

TEST(Clean, RefusesWhatHasNoTimesOrNoFixes) {
  Recording r = flown(10);
  for (Fix& f : r.fixes) f.has_time = false;
  Track t;
  CleanReport report;
  CleanScratch scratch;
  EXPECT_FALSE(clean(r, t, report, scratch));
  EXPECT_FALSE(clean(Recording{}, t, report, scratch));
  r = flown(3);
  for (Fix& f : r.fixes) f.position = {0, 0};
  EXPECT_FALSE(clean(r, t, report, scratch));
}

// A recording with everything wrong that happens, in random places.
Recording messy() {
  const unsigned seed = *rc::gen::arbitrary<unsigned>();
  test::ScriptedRecording s(seed);
  s.leg(*rc::gen::inRange(1, 80), {0, 0, 0}).leg(*rc::gen::inRange(1, 300), {15, -5, 1});
  Recording r = s.recording_;
  const int damages = *rc::gen::inRange(0, 40);
  for (int k = 0; k < damages; ++k) {
    const auto i = static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(r.fixes.size())));
    Fix& f = r.fixes[i];
    switch (*rc::gen::inRange(0, 9)) {
      case 0:
        f.position = {0, 0};
        break;
      case 1:
        f.position.latitude_deg += 0.001 * *rc::gen::inRange(-40, 40);
        break;
      case 2:
        f.time += std::chrono::seconds(*rc::gen::inRange(-100, 100));
        break;
      case 3:
        f.time = r.fixes[i / 2].time;
        break;
      case 4:
        f.position = r.fixes[i - i / 8].position;
        break;
      case 5:
        f.has_time = false;
        break;
      case 6:
        f.gnss_height = GnssHeight::from_si(*rc::gen::inRange(-1000, 9000));
        break;
      case 7:
        f.segment = static_cast<std::uint16_t>(*rc::gen::inRange(0, 3));
        break;
      default:
        for (std::size_t j = i; j < std::min(i + 6, r.fixes.size()); ++j) r.fixes[j].position = f.position;
    }
  }
  return r;
}

RC_GTEST_PROP(Clean, AccountsForEveryFixAndKeepsItsPromises, ()) {
  const Recording r = messy();
  Track t;
  CleanReport report;
  CleanScratch scratch;
  if (!clean(r, t, report, scratch)) return;
  const std::uint64_t dropped = std::accumulate(report.dropped.begin(), report.dropped.end(), std::uint64_t{0});
  RC_ASSERT(report.fixes == r.fixes.size());
  RC_ASSERT(report.kept + dropped == report.fixes);
  RC_ASSERT(report.dropped[0] == 0U);
  RC_ASSERT(report.kept == t.fixes.size());
  for (std::size_t i = 0; i < t.fixes.size(); ++i) {
    RC_ASSERT(report.fate[t.fixes[i].source] == DropReason::kept);
    if (i > 0) RC_ASSERT(t.fixes[i - 1].time < t.fixes[i].time);
  }
}

RC_GTEST_PROP(Clean, TwiceIsOnce, ()) {
  const Recording r = messy();
  Track once, twice;
  CleanReport report, again;
  CleanScratch scratch;
  if (!clean(r, once, report, scratch)) return;
  Recording kept;
  for (const TrackFix& f : once.fixes) {
    Fix fix = r.fixes[f.source];
    fix.has_gnss_height = f.has_gnss_height;
    fix.has_pressure_altitude = f.has_pressure_altitude;
    kept.fixes.push_back(fix);
  }
  RC_ASSERT(clean(kept, twice, again, scratch).has_value());
  RC_ASSERT(again.kept == again.fixes);
  RC_ASSERT(again.gnss_heights_set_aside == 0U);
  for (std::size_t i = 0; i < once.fixes.size(); ++i) RC_ASSERT(twice.fixes[i].source == i);
}

}  // namespace
}  // namespace headroom
