#include "adapters/system/zone.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>

#include "adapters/system/files.h"

namespace headroom {

namespace {

std::int64_t big_endian(const char* at, int bytes) {
  std::uint64_t value = 0;
  for (int i = 0; i < bytes; ++i) value = value << 8 | static_cast<unsigned char>(at[i]);
  if (bytes == 4) return static_cast<std::int32_t>(static_cast<std::uint32_t>(value));
  return static_cast<std::int64_t>(value);
}

struct ZoneHead {
  std::int64_t utc_flags, standard_flags, leaps, times, types, letters;
  // Bytes of the block after the header, with times of `width` bytes.
  [[nodiscard]] std::int64_t size(int width) const {
    return times * width + times + types * 6 + letters + leaps * (width + 4) + standard_flags + utc_flags;
  }
};

constexpr std::int64_t kZoneHeadBytes = 44;

bool read_head(std::string_view bytes, ZoneHead& head) {
  if (bytes.size() < static_cast<std::size_t>(kZoneHeadBytes) || bytes.substr(0, 4) != "TZif" || bytes[4] < '2') return false;
  std::int64_t* const counts[] = {&head.utc_flags, &head.standard_flags, &head.leaps, &head.times, &head.types, &head.letters};
  for (int i = 0; i < 6; ++i) {
    *counts[i] = big_endian(bytes.data() + 20 + 4 * i, 4);
    if (*counts[i] < 0 || *counts[i] > 100'000) return false;
  }
  return head.types > 0;
}

// The parts of a POSIX TZ string, taken from its front.
struct ZoneText {
  std::string_view left;
  bool eat(char c) {
    if (left.empty() || left.front() != c) return false;
    left.remove_prefix(1);
    return true;
  }
  bool name() {
    if (eat('<')) {
      const auto end = left.find('>');
      if (end == std::string_view::npos) return false;
      left.remove_prefix(end + 1);
      return true;
    }
    std::size_t n = 0;
    while (n < left.size() && ((left[n] | 0x20) >= 'a' && (left[n] | 0x20) <= 'z')) ++n;
    left.remove_prefix(n);
    return n >= 3;
  }
  bool number(int& into) {
    std::size_t n = 0;
    into = 0;
    while (n < left.size() && n < 5 && left[n] >= '0' && left[n] <= '9') into = into * 10 + (left[n++] - '0');
    left.remove_prefix(n);
    return n > 0;
  }
  bool clock(std::int64_t& seconds) {  // [+-]h[h[h]][:mm[:ss]]
    const bool minus = eat('-');
    if (!minus) eat('+');
    int h = 0, m = 0, s = 0;
    if (!number(h)) return false;
    if (eat(':') && !number(m)) return false;
    if (eat(':') && !number(s)) return false;
    seconds = h * 3600 + m * 60 + s;
    if (minus) seconds = -seconds;
    return h <= 167 && m < 60 && s < 60;
  }
};

int year_of(std::int64_t unix_seconds) {
  using namespace std::chrono;
  return static_cast<int>(year_month_day(floor<std::chrono::days>(sys_seconds(std::chrono::seconds(unix_seconds)))).year());
}

}  // namespace

std::optional<Zone::Tail> Zone::parse_tail(std::string_view text) {
  Tail tail;
  ZoneText in{text};
  if (!in.name() || !in.clock(tail.standard)) return std::nullopt;
  tail.standard = -tail.standard;  // POSIX counts west
  if (in.left.empty()) return tail;
  tail.has_summer = true;
  if (!in.name()) return std::nullopt;
  tail.summer = tail.standard + 3600;
  if (!in.left.empty() && in.left.front() != ',') {
    if (!in.clock(tail.summer)) return std::nullopt;
    tail.summer = -tail.summer;
  }
  for (Rule* rule : {&tail.begins, &tail.ends}) {
    if (!in.eat(',')) return std::nullopt;
    if (in.eat('M')) {
      if (!in.number(rule->month) || !in.eat('.') || !in.number(rule->week) || !in.eat('.') || !in.number(rule->day))
        return std::nullopt;
      if (rule->month < 1 || rule->month > 12 || rule->week < 1 || rule->week > 5 || rule->day > 6) return std::nullopt;
    } else {
      rule->form = in.eat('J') ? 'J' : 'D';
      if (!in.number(rule->day) || rule->day > 365) return std::nullopt;
    }
    if (in.eat('/') && !in.clock(rule->time)) return std::nullopt;
  }
  if (!in.left.empty()) return std::nullopt;
  return tail;
}

std::int64_t Zone::rule_seconds(const Rule& rule, int y) {
  using namespace std::chrono;
  sys_days day;
  if (rule.form == 'M') {
    const auto m = year(y) / month(static_cast<unsigned>(rule.month));
    const weekday wanted(static_cast<unsigned>(rule.day));
    day = rule.week == 5 ? sys_days(m / wanted[last]) : sys_days(m / wanted[static_cast<unsigned>(rule.week)]);
  } else {
    const bool after_february = rule.form == 'J' && year(y).is_leap() && rule.day >= 60;
    day = sys_days(year(y) / January / 1) + std::chrono::days(rule.day - (rule.form == 'J' ? 1 : 0) + (after_february ? 1 : 0));
  }
  return std::chrono::seconds(day.time_since_epoch()).count() + rule.time;
}

std::int64_t Zone::tail_offset(const Tail& tail, std::int64_t t) {
  if (!tail.has_summer) return tail.standard;
  const int y = year_of(t + tail.standard);
  const auto begins = rule_seconds(tail.begins, y) - tail.standard;
  const auto ends = rule_seconds(tail.ends, y) - tail.summer;
  const bool summer = begins < ends ? t >= begins && t < ends : t >= begins || t < ends;
  return summer ? tail.summer : tail.standard;
}

std::int64_t Zone::offset_seconds(std::int64_t t) const {
  const auto after = std::upper_bound(times_.begin(), times_.end(), t);
  if (after == times_.end() && tail_) return tail_offset(*tail_, t);
  return offsets_[static_cast<std::size_t>(after - times_.begin())];
}

Result<Zone> Zone::parse(std::string_view bytes) {
  const auto bad = [] { return fail(ErrorKind::bad_input, "this is no time zone file"); };
  ZoneHead head{};
  if (!read_head(bytes, head)) return bad();
  // The first block has 32-bit times for old readers; the second is the one.
  const auto first = kZoneHeadBytes + head.size(4);
  if (static_cast<std::int64_t>(bytes.size()) < first) return bad();
  bytes.remove_prefix(static_cast<std::size_t>(first));
  if (!read_head(bytes, head)) return bad();
  if (static_cast<std::int64_t>(bytes.size()) < kZoneHeadBytes + head.size(8)) return bad();
  const char* times = bytes.data() + kZoneHeadBytes;
  const char* indices = times + head.times * 8;
  const char* types = indices + head.times;
  Zone zone;
  zone.offsets_.push_back(big_endian(types, 4));  // before the first change: type 0
  for (std::int64_t i = 0; i < head.times; ++i) {
    zone.times_.push_back(big_endian(times + 8 * i, 8));
    const auto type = static_cast<unsigned char>(indices[i]);
    if (type >= head.types || (i > 0 && zone.times_[static_cast<std::size_t>(i)] <= zone.times_[static_cast<std::size_t>(i - 1)]))
      return bad();
    zone.offsets_.push_back(big_endian(types + 6 * type, 4));
  }
  auto footer = bytes.substr(static_cast<std::size_t>(kZoneHeadBytes + head.size(8)));
  if (footer.size() >= 2 && footer.front() == '\n') {
    footer.remove_prefix(1);
    footer = footer.substr(0, footer.find('\n'));
    if (!footer.empty()) {
      zone.tail_ = parse_tail(footer);
      if (!zone.tail_) return bad();
    }
  }
  return zone;
}

Result<Zone> Zone::load(const std::string& name) {
  const auto unknown = [&] {
    return fail(ErrorKind::not_found, "there is no time zone of that name; names are like Europe/Prague or UTC", name);
  };
  // A name is a path below the folder and nothing else.
  if (name.empty() || name.size() > 100 || name.front() == '/' || name.find("..") != std::string::npos ||
      name.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/") != std::string::npos)
    return unknown();
  const char* set = std::getenv("TZDIR");
  const std::string folder = set != nullptr && set[0] == '/' ? set : "/usr/share/zoneinfo";
  std::string bytes;
  SystemFiles files;
  if (auto read = files.read(folder + "/" + name, bytes, 1U << 20); !read) {
    if (!files.is_folder(folder))
      return fail(ErrorKind::not_found, "the system has no time zones (package tzdata); leave the zone to the system", folder);
    return unknown();
  }
  auto zone = parse(bytes);
  if (!zone) return unknown();
  return zone;
}

}  // namespace headroom
