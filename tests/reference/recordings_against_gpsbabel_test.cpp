// Positions and times against the reading of the same file by gpsbabel, a general converter of its own origin.
// It refuses s_001, s_008, s_013, s_025 and s_042 and dates the end of s_020 a day late, since it takes any step back for
// midnight (check-values.md 3.1).
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "formats/gpx.h"
#include "formats/igc.h"
#include "formats/nmea.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct OtherPoint {
  double latitude_deg, longitude_deg;
  std::optional<UtcTime> time;
  std::optional<double> height_m;
};

std::string output_of(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return text;
  std::array<char, 65536> buffer;
  for (std::size_t n; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) text.append(buffer.data(), n);
  pclose(pipe);
  return text;
}
bool has_gpsbabel() {
  static const bool has = std::system("command -v gpsbabel >/dev/null 2>&1") == 0;
  return has;
}
// The text between two marks at or after `at`, before `end`; moves `at` behind it.
std::optional<std::string> between(const std::string& text, std::size_t& at, std::size_t end, const char* open,
                                   const char* close) {
  const std::size_t first = text.find(open, at);
  if (first == std::string::npos || first >= end) return std::nullopt;
  const std::size_t begin = first + std::string_view(open).size();
  at = text.find(close, begin);
  return text.substr(begin, at - begin);
}
// The tracks of what gpsbabel writes as GPX: its own plain layout, cut by marks so that no reader of ours is involved.
std::vector<std::vector<OtherPoint>> tracks_by_gpsbabel(const std::filesystem::path& file, const char* format) {
  const std::string text =
      output_of(std::string("gpsbabel -t -i ") + format + " -f '" + file.string() + "' -o gpx -F - 2>/dev/null");
  std::vector<std::vector<OtherPoint>> tracks;
  for (std::size_t at = 0; (at = text.find("<trk>", at)) != std::string::npos;) {
    const std::size_t track_end = text.find("</trk>", at);
    auto& track = tracks.emplace_back();
    while ((at = text.find("<trkpt ", at)) < track_end) {
      const std::size_t tag = text.find('>', at);
      const std::size_t end = text[tag - 1] == '/' ? tag : text.find("</trkpt>", at);
      const std::size_t begin = at;
      const auto field = [&](const char* open, const char* close) {
        std::size_t from = begin;
        return between(text, from, end, open, close);
      };
      OtherPoint point{std::stod(*field("lat=\"", "\"")), std::stod(*field("lon=\"", "\"")), {}, {}};
      if (const auto time = field("<time>", "<")) point.time = parse_rfc3339(*time);
      if (const auto height = field("<ele>", "<")) point.height_m = std::stod(*height);
      track.push_back(point);
      at = end;
    }
    at = track_end;
  }
  return tracks;
}
std::vector<std::filesystem::path> files_of(const char* kind) {
  std::vector<std::filesystem::path> files;
  const auto folder = (test::has_shared_data() ? test::shared_folder() / "recordings" : test::data_folder()) / kind;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  return files;
}

TEST(RecordingsAgainstGpsbabel, IgcPositionsAndTimesAgree) {
  if (!has_gpsbabel()) GTEST_SKIP() << "gpsbabel is not installed";
  std::size_t compared = 0, points = 0;
  for (const auto& file : files_of("igc")) {
    const std::string name = file.stem().string();
    SCOPED_TRACE(name);
    if (name == "s_001" || name == "s_008" || name == "s_013" || name == "s_025" || name == "s_042") continue;
    const Recording ours = read_igc(test::bytes_of(file));
    const auto tracks = tracks_by_gpsbabel(file, "igc");
    ASSERT_FALSE(tracks.empty());
    bool refined = false;
    for (const Channel& c : ours.channels) refined |= c.code == "LAD" || c.code == "LOD";
    // Its nine decimals; where the file holds extra digits, which it does not read, less than one thousandth of a minute.
    const double tolerance = refined ? 0.001 / 60 + 1e-9 : 1e-9;
    for (const auto& track : tracks) {
      ASSERT_EQ(track.size(), ours.fixes.size());
      std::size_t wrong = 0;
      for (std::size_t i = 0; i < track.size(); ++i) {
        const Fix& fix = ours.fixes[i];
        ASSERT_TRUE(track[i].time);
        auto difference = fix.time - *track[i].time;
        if (name == "s_020" && difference == -std::chrono::hours(24)) difference = {};
        wrong += std::abs(fix.position.latitude_deg - track[i].latitude_deg) > tolerance ||
                 std::abs(fix.position.longitude_deg - track[i].longitude_deg) > tolerance || difference.count() != 0;
      }
      EXPECT_EQ(wrong, 0u);
    }
    ++compared;
    points += ours.fixes.size();
  }
  EXPECT_GE(compared, test::has_shared_data() ? 49u : 15u);
  RecordProperty("points", static_cast<int>(points));
}

TEST(RecordingsAgainstGpsbabel, GpxPositionsHeightsAndTimesAgree) {
  if (!has_gpsbabel()) GTEST_SKIP() << "gpsbabel is not installed";
  for (const auto& file : files_of("gpx")) {
    SCOPED_TRACE(file.filename().string());
    if (file.filename() == "constructed_1_1.gpx") continue;  // its reader knows no namespace prefix
    const Recording ours = read_gpx(test::bytes_of(file));
    std::vector<OtherPoint> all;
    for (const auto& track : tracks_by_gpsbabel(file, "gpx")) all.insert(all.end(), track.begin(), track.end());
    ASSERT_EQ(all.size(), ours.fixes.size());
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Fix& fix = ours.fixes[i];
      wrong += std::abs(fix.position.latitude_deg - all[i].latitude_deg) > 1e-9 ||
               std::abs(fix.position.longitude_deg - all[i].longitude_deg) > 1e-9 || fix.has_time != all[i].time.has_value() ||
               (fix.has_time && fix.time != *all[i].time) || fix.has_gnss_height != all[i].height_m.has_value() ||
               (fix.has_gnss_height && std::abs(fix.gnss_height.si() - *all[i].height_m) > 1e-3);
    }
    EXPECT_EQ(wrong, 0u);
  }
}

// The receiver logs of the other folder have their own expected decoding (nmea_files_test.cpp).
TEST(RecordingsAgainstGpsbabel, NmeaPositionsHeightsAndTimesAgree) {
  HEADROOM_NEEDS_SHARED_DATA();
  if (!has_gpsbabel()) GTEST_SKIP() << "gpsbabel is not installed";
  for (const char* name : {"mixed.nmea", "backfilldate.nmea", "rtk_receiver.nmea"}) {
    SCOPED_TRACE(name);
    const auto file = test::shared_folder() / "recordings" / "nmea" / name;
    const Recording ours = read_nmea(test::bytes_of(file));
    const auto tracks = tracks_by_gpsbabel(file, "nmea");
    ASSERT_EQ(tracks.size(), 1u);
    ASSERT_EQ(tracks[0].size(), ours.fixes.size());
    for (std::size_t i = 0; i < ours.fixes.size(); ++i) {
      const OtherPoint& other = tracks[0][i];
      const Fix& fix = ours.fixes[i];
      EXPECT_NEAR(fix.position.latitude_deg, other.latitude_deg, 1e-9);
      EXPECT_NEAR(fix.position.longitude_deg, other.longitude_deg, 1e-9);
      ASSERT_TRUE(other.time && other.height_m);
      EXPECT_EQ(fix.time, *other.time);
      EXPECT_NEAR(fix.gnss_height.si(), *other.height_m, 1e-9);
    }
  }
}

}  // namespace
}  // namespace headroom
