// Zones are held against the C library's own reading of the same files, and against dates published by law.
#include "adapters/system/zone.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cstdlib>
#include <ctime>
#include <fstream>
#include <sstream>

#include "adapters/system/clock.h"

namespace headroom {
namespace {

class WithZone {
 public:
  explicit WithZone(const char* name) {
    if (const char* old = std::getenv("TZ")) old_ = old;
    ::setenv("TZ", name, 1);
    ::tzset();
  }
  WithZone(const WithZone&) = delete;
  WithZone& operator=(const WithZone&) = delete;
  ~WithZone() {
    if (old_)
      ::setenv("TZ", old_->c_str(), 1);
    else
      ::unsetenv("TZ");
    ::tzset();
  }

 private:
  std::optional<std::string> old_;
};

bool has_zones() {
  return std::ifstream("/usr/share/zoneinfo/Europe/Prague").good();
}

TEST(Zone, AgreesWithTheCLibraryFrom1970To2150) {
  if (!has_zones()) GTEST_SKIP() << "no tzdata here";
  for (const char* name : {"UTC",
                           "Etc/GMT+5",
                           "Europe/Prague",
                           "Europe/London",
                           "Europe/Dublin",
                           "Europe/Lisbon",
                           "Europe/Moscow",
                           "Atlantic/Azores",
                           "Africa/Casablanca",
                           "Africa/Cairo",
                           "Asia/Kathmandu",
                           "Asia/Kolkata",
                           "Asia/Tehran",
                           "Asia/Tokyo",
                           "Asia/Gaza",
                           "Australia/Lord_Howe",
                           "Australia/Sydney",
                           "Pacific/Apia",
                           "Pacific/Chatham",
                           "Pacific/Kiritimati",
                           "America/New_York",
                           "America/St_Johns",
                           "America/Sao_Paulo",
                           "America/Santiago",
                           "America/Nuuk",
                           "Antarctica/Troll"}) {
    const auto zone = Zone::load(name);
    ASSERT_TRUE(zone) << name << ": " << zone.error().what;
    const WithZone set(name);
    // Steps of 11 days, 3 h and some: no whole number of days or weeks, so that all hours of a change day come up.
    for (std::int64_t t = 0; t < 5'680'281'600; t += 961'337) {
      const std::time_t c_time = t;
      std::tm local{};
      ASSERT_NE(::localtime_r(&c_time, &local), nullptr);
      ASSERT_EQ(zone->offset_seconds(t), local.tm_gmtoff) << name << " at " << t;
    }
  }
}

// European Union, Directive 2000/84/EC, articles 2 and 3: summer time begins at 01:00 UTC on the last Sunday of March and ends at
// 01:00 UTC on the last Sunday of October. In 2026 these are 29 March and 25 October; in 2050, 27 March and 30 October.
TEST(Zone, ChangesAtTheHourThatTheLawNames) {
  if (!has_zones()) GTEST_SKIP() << "no tzdata here";
  const auto zone = Zone::load("Europe/Prague").value();
  for (const auto& [begins, ends] :
       {std::pair{utc(2026, 3, 29, 1), utc(2026, 10, 25, 1)}, std::pair{utc(2050, 3, 27, 1), utc(2050, 10, 30, 1)}}) {
    const auto at = [](UtcTime t) { return std::chrono::floor<std::chrono::seconds>(t).time_since_epoch().count(); };
    EXPECT_EQ(zone.offset_seconds(at(begins) - 1), 3600);
    EXPECT_EQ(zone.offset_seconds(at(begins)), 7200);
    EXPECT_EQ(zone.offset_seconds(at(ends) - 1), 7200);
    EXPECT_EQ(zone.offset_seconds(at(ends)), 3600);
  }
}

TEST(Zone, RefusesNamesThatAreNone) {
  for (const char* name :
       {"", "Europe/Nowhere", "../../etc/passwd", "/etc/localtime", "Europe", "zone.tab", "Europe/Prague\n", "tzdata.zi"})
    EXPECT_FALSE(Zone::load(name)) << name;
}

TEST(SystemClock, TellsTheOffsetOfANamedZone) {
  if (!has_zones()) GTEST_SKIP() << "no tzdata here";
  SystemClock clock;
  EXPECT_EQ(clock.offset_minutes(utc(2026, 7, 1), "Europe/Prague").value(), 120);
  EXPECT_EQ(clock.offset_minutes(utc(2026, 1, 1), "Europe/Prague").value(), 60);
  EXPECT_EQ(clock.offset_minutes(utc(2026, 7, 1), "Asia/Kathmandu").value(), 345);
  EXPECT_EQ(clock.offset_minutes(utc(2026, 7, 1), "America/St_Johns").value(), -150);
  EXPECT_EQ(clock.offset_minutes(utc(2026, 7, 1), "No/Such").error().kind, ErrorKind::not_found);
  const WithZone set("Asia/Tokyo");
  EXPECT_EQ(clock.offset_minutes(utc(2026, 7, 1), "").value(), 540);
}

RC_GTEST_PROP(Zone, ReadsNoDamagedFileOutOfBounds, ()) {
  static const std::string whole = [] {
    std::ifstream in("/usr/share/zoneinfo/Europe/Prague", std::ios::binary);
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
  }();
  RC_PRE(!whole.empty());
  std::vector<char> bytes(whole.begin(), whole.end());
  const int changes = *rc::gen::inRange(1, 6);
  // The counts stand at the heads of the two blocks: half of the changes fall there.
  for (int i = 0; i < changes; ++i)
    bytes[*rc::gen::inRange<std::size_t>(0, *rc::gen::element<std::size_t>(44, bytes.size()))] = *rc::gen::arbitrary<char>();
  bytes.resize(*rc::gen::inRange<std::size_t>(0, bytes.size() + 1));
  bytes.shrink_to_fit();
  const auto zone = Zone::parse({bytes.data(), bytes.size()});
  if (zone) static_cast<void>(zone->offset_seconds(*rc::gen::inRange<std::int64_t>(-4'000'000'000, 90'000'000'000)));
}

}  // namespace
}  // namespace headroom
