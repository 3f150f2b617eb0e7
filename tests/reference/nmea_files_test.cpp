// The receiver logs of the collection against the decoding that came with each (.chk: what a general GPS daemon of another
// origin reported, one JSON object a line), and the other NMEA files against SOURCES.md beside them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "formats/format.h"
#include "formats/nmea.h"
#include "support/shared_data.h"

namespace headroom {
namespace {

struct ReceiverLog {
  const char* name;            // ours
  std::size_t bytes;           // by which the file of the collection is told, as SOURCES.md gives them
  std::size_t fixes;           // of ours
  int daemon_days_later;       // its dates minus ours
  std::size_t daemon_only;     // times it reports that are none of our fixes
  std::size_t ours_only;       // our fixes that it reports no position for at that time
  std::size_t heights_differ;  // at times of both
  bool invented;
  const char* why;
};

constexpr ReceiverLog kReceiverLogs[] = {
    {"simulator_at_rest", 6918, 12, 0, 0, 12, 0, true,
     "the receiver is in simulator mode (mode S, quality 8) and the daemon gives such positions no time; we keep them and "
     "call the recording invented"},
    {"two_sessions", 7189, 15, 7168, 1, 4, 0, false,
     "the daemon moves every date before its own time by 1024 weeks, we only those that cannot be; where the clock of the log "
     "goes back by 52 minutes it first takes that for midnight, we keep the date that the sentences state; it reports no "
     "position for the first GLL and the last sentence"},
    {"position_before_date", 7018, 28, 7168, 0, 2, 0, false,
     "1024 weeks as above; the first fix has no date yet when it reports it, ours is dated back; it does not report the last, "
     "unfinished epoch"},
    {"height_in_feet", 5669, 7, 7168, 0, 1, 1, false,
     "1024 weeks as above; for one epoch it reports the PGRMZ height of -30 ft before GGA's -9.1 m, ours is GGA's; it does "
     "not report the last, unfinished epoch"},
    {"simulator_moving", 9399, 18, 0, 0, 18, 0, true, "simulator mode, as the first"},
    {"height_now_and_then", 6556, 35, 7168, 0, 0, 0, false, "1024 weeks as above"},
    {"steady", 5128, 16, 7168, 0, 0, 0, false, "1024 weeks as above"},
    {"two_dimensions", 18135, 34, 0, 0, 0, 0, false, "no difference in position, time and height"},
    {"long_search", 81901, 187, 0, 0, 0, 0, false, "no difference in position, time and height"},
};

struct Reported {
  double latitude_deg, longitude_deg;
  std::optional<UtcTime> time;
  std::optional<double> above_sea_m, above_ellipsoid_m, speed_m_s;
};
std::vector<Reported> reported_in(const std::string& text) {
  std::vector<Reported> all;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const auto object = nlohmann::json::parse(line, nullptr, false);
    if (!object.is_object() || object.value("class", "") != "TPV" || !object.contains("lat")) continue;
    const auto number = [&](const char* key) {
      return object.contains(key) ? std::optional(object[key].get<double>()) : std::nullopt;
    };
    Reported one{object["lat"], object["lon"], {}, number("altMSL"), number("altHAE"), number("speed")};
    if (object.contains("time")) one.time = parse_rfc3339(object["time"].get<std::string>());
    all.push_back(one);
  }
  return all;
}
const Channel* channel_of(const Recording& r, std::string_view code) {
  for (const Channel& c : r.channels)
    if (c.code == code) return &c;
  return nullptr;
}

// The log in the collection; without one, the copy that comes with the source, or none.
std::filesystem::path path_of(const ReceiverLog& log) {
  if (!test::has_shared_data()) {
    const auto copy = test::data_folder() / "nmea" / (std::string(log.name) + ".log");
    return std::filesystem::exists(copy) ? copy : std::filesystem::path{};
  }
  for (const auto& file : std::filesystem::directory_iterator(test::shared_folder() / "recordings" / "nmea" / "gpsd"))
    if (file.path().extension() == ".log" && file.file_size() == log.bytes) return file.path();
  return {};
}

class NmeaReceiverLog : public testing::TestWithParam<ReceiverLog> {};

TEST_P(NmeaReceiverLog, AgreesWithItsExpectedDecoding) {
  const ReceiverLog& log = GetParam();
  SCOPED_TRACE(log.why);
  const auto path = path_of(log);
  if (path.empty() && !test::has_shared_data()) GTEST_SKIP() << "this log does not come with the source";
  const std::string bytes = test::bytes_of(path);
  const auto reported = reported_in(test::bytes_of(path.string() + ".chk"));
  ASSERT_FALSE(reported.empty());
  ASSERT_EQ(sniff_format(bytes), Format::nmea);
  const Recording r = read_nmea(bytes);
  ASSERT_EQ(r.fixes.size(), log.fixes);
  EXPECT_EQ(r.simulated, log.invented);
  EXPECT_EQ(r.gnss_datum, HeightDatum::geoid);

  std::map<UtcTime, std::size_t> fix_at;
  for (std::size_t i = 0; i < r.fixes.size(); ++i) fix_at.emplace(r.fixes[i].time, i);
  const Channel* separation = channel_of(r, "GEOID");
  const Channel* speed = channel_of(r, "SPEED");
  std::set<UtcTime> daemon_only, heights_differ, met;
  std::map<UtcTime, const Reported*> latest;
  constexpr double kDegrees = 1e-9;  // its nine decimals
  constexpr double kMetres = 1e-4;   // its four decimals
  for (const Reported& one : reported) {
    if (!one.time) {  // the place alone can be compared
      EXPECT_TRUE(std::any_of(r.fixes.begin(), r.fixes.end(), [&](const Fix& f) {
        return std::abs(f.position.latitude_deg - one.latitude_deg) < kDegrees &&
               std::abs(f.position.longitude_deg - one.longitude_deg) < kDegrees;
      }));
      continue;
    }
    const UtcTime time = *one.time - std::chrono::days(log.daemon_days_later);
    const auto found = fix_at.find(time);
    if (found == fix_at.end()) {
      daemon_only.insert(time);
      continue;
    }
    const Fix& fix = r.fixes[found->second];
    met.insert(time);
    latest[time] = &one;
    EXPECT_NEAR(fix.position.latitude_deg, one.latitude_deg, kDegrees) << rfc3339(time);
    EXPECT_NEAR(fix.position.longitude_deg, one.longitude_deg, kDegrees) << rfc3339(time);
    if (fix.has_gnss_height != one.above_sea_m.has_value() ||
        (one.above_sea_m && std::abs(fix.gnss_height.si() - *one.above_sea_m) > kMetres))
      heights_differ.insert(time);
    if (separation != nullptr && separation->raw[found->second] != Channel::missing && one.above_ellipsoid_m && one.above_sea_m &&
        heights_differ.count(time) == 0) {
      const double geoid_m = separation->raw[found->second] * separation->scale;
      EXPECT_NEAR(fix.gnss_height.si() + geoid_m, *one.above_ellipsoid_m, 1.1e-3) << rfc3339(time);
    }
  }
  // Of several reports of one epoch the last has heard RMC or VTG. Half a millimetre a second is our channel's step.
  for (const auto& [time, one] : latest) {
    const std::size_t i = fix_at.at(time);
    if (speed != nullptr && one->speed_m_s && speed->raw[i] != Channel::missing) {
      EXPECT_NEAR(speed->raw[i] * speed->scale, *one->speed_m_s, 1.1e-3) << rfc3339(time);
    }
  }
  EXPECT_EQ(daemon_only.size(), log.daemon_only);
  EXPECT_EQ(fix_at.size() - met.size(), log.ours_only);
  EXPECT_EQ(heights_differ.size(), log.heights_differ);
}

// Lines counted here by plain means.
TEST_P(NmeaReceiverLog, AccountsForEveryLine) {
  const auto path = path_of(GetParam());
  if (path.empty() && !test::has_shared_data()) GTEST_SKIP() << "this log does not come with the source";
  const std::string bytes = test::bytes_of(path);
  ASSERT_FALSE(bytes.empty());
  const Recording r = read_nmea(bytes);
  EXPECT_EQ(r.account.lines,
            static_cast<std::uint64_t>(std::count(bytes.begin(), bytes.end(), '\n')) + (bytes.back() == '\n' ? 0u : 1u));
  EXPECT_EQ(r.account.lines, r.account.fixes + r.account.other + r.account.dropped);
  for (const OtherRecord& other : r.others) ASSERT_EQ(bytes.at(other.offset), other.letter) << "line " << other.line;
}

INSTANTIATE_TEST_SUITE_P(Collection, NmeaReceiverLog, testing::ValuesIn(kReceiverLogs),
                         [](const auto& one) { return std::string(one.param.name); });

Recording nmea_of_collection(const char* name) {
  return read_nmea(test::bytes_of(test::shared_folder() / "recordings" / "nmea" / name));
}

// SOURCES.md: GPGGA:500 GPZDA:1, "GGA only at the start, date comes later". The last line reads 9 March 2019, 00:04:19.
TEST(NmeaFiles, DatesFixesBackFromADateThatComesLast) {
  HEADROOM_NEEDS_SHARED_DATA();
  const Recording r = nmea_of_collection("backfilldate.nmea");
  ASSERT_EQ(r.fixes.size(), 500u);
  EXPECT_EQ(r.fixes.front().time, utc(2019, 3, 8, 23, 56, 0));
  EXPECT_EQ(r.fixes.back().time, utc(2019, 3, 9, 0, 4, 19));
  for (std::size_t i = 1; i < r.fixes.size(); ++i) EXPECT_EQ(r.fixes[i].time - r.fixes[i - 1].time, std::chrono::seconds(1));
}

// SOURCES.md: GPZDA:154 GPGGA:154 GPRMC:154, RMC status V 0.
TEST(NmeaFiles, MergesTheSentencesOfOneTime) {
  HEADROOM_NEEDS_SHARED_DATA();
  const Recording r = nmea_of_collection("mixed.nmea");
  EXPECT_EQ(r.fixes.size(), 154u);
  EXPECT_EQ(r.account.lines, 894u);
  EXPECT_EQ(r.account.dropped, 0u);
}

// SOURCES.md: GNGGA:34, other talkers beside. Its PTNL,GGK sentences state the height above the ellipsoid (EHT), which GGA
// gives as height above sea level plus separation.
TEST(NmeaFiles, ReadsAnyTalkerToTheMillimetre) {
  HEADROOM_NEEDS_SHARED_DATA();
  const std::string bytes = test::bytes_of(test::shared_folder() / "recordings" / "nmea" / "rtk_receiver.nmea");
  const Recording r = read_nmea(bytes);
  ASSERT_EQ(r.fixes.size(), 34u);
  EXPECT_EQ(r.account.lines, 544u);
  const Channel* separation = channel_of(r, "GEOID");
  ASSERT_NE(separation, nullptr);
  std::size_t at = 0;
  for (std::size_t i = 0; i < r.fixes.size(); ++i) {
    at = bytes.find(",EHT", at + 1);
    ASSERT_NE(at, std::string::npos);
    EXPECT_NEAR(r.fixes[i].gnss_height.si() + separation->raw[i] * separation->scale, std::stod(bytes.substr(at + 4)),
                1e-9 + 1e-3);
  }
}

}  // namespace
}  // namespace headroom
