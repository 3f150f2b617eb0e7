#include "core/time.h"

#include <array>
#include <cstdio>

namespace headroom {

std::string rfc3339(UtcTime t) {
  using namespace std::chrono;
  const auto day = floor<std::chrono::days>(t);
  const year_month_day date{day};
  const auto ms = (t - day).count();
  std::array<char, 48> text{};
  const int year = static_cast<int>(date.year());
  const auto month = static_cast<unsigned>(date.month());
  const auto mday = static_cast<unsigned>(date.day());
  const int h = static_cast<int>(ms / 3600000);
  const int m = static_cast<int>(ms / 60000 % 60);
  const int s = static_cast<int>(ms / 1000 % 60);
  const int f = static_cast<int>(ms % 1000);
  int n = 0;
  if (f == 0)
    n = std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02dZ", year, month, mday, h, m, s);
  else
    n = std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ", year, month, mday, h, m, s, f);
  return {text.data(), static_cast<std::size_t>(n)};
}

namespace {

// Reads exactly `count` digits at `at`; nothing if there are fewer or others.
std::optional<int> digits(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count > text.size()) return std::nullopt;
  int value = 0;
  for (std::size_t i = at; i < at + count; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

}  // namespace

std::optional<UtcTime> parse_rfc3339(std::string_view text) {
  const auto y = digits(text, 0, 4), mo = digits(text, 5, 2), d = digits(text, 8, 2);
  if (!y || !mo || !d || text[4] != '-' || text[7] != '-') return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(*y), std::chrono::month(static_cast<unsigned>(*mo)),
                                         std::chrono::day(static_cast<unsigned>(*d))};
  if (!date.ok()) return std::nullopt;
  UtcTime t{std::chrono::sys_days(date)};
  if (text.size() == 10) return t;
  if (text[10] != 'T' && text[10] != 't' && text[10] != ' ') return std::nullopt;
  const auto h = digits(text, 11, 2), mi = digits(text, 14, 2), s = digits(text, 17, 2);
  if (!h || !mi || !s || text[13] != ':' || text[16] != ':' || *h > 23 || *mi > 59 || *s > 60) return std::nullopt;
  t += std::chrono::hours(*h) + std::chrono::minutes(*mi) + std::chrono::seconds(*s);
  std::size_t at = 19;
  if (at < text.size() && (text[at] == '.' || text[at] == ',')) {
    ++at;
    int ms = 0, scale = 100;
    const std::size_t first = at;
    for (; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at, scale /= 10) ms += (text[at] - '0') * scale;
    if (at == first) return std::nullopt;
    t += std::chrono::milliseconds(ms);
  }
  if (at == text.size()) return std::nullopt;  // no zone: not an instant
  if ((text[at] == 'Z' || text[at] == 'z') && at + 1 == text.size()) return t;
  if ((text[at] != '+' && text[at] != '-') || text.size() != at + 6 || text[at + 3] != ':') return std::nullopt;
  const auto oh = digits(text, at + 1, 2), om = digits(text, at + 4, 2);
  if (!oh || !om || *oh > 23 || *om > 59) return std::nullopt;
  const auto offset = std::chrono::hours(*oh) + std::chrono::minutes(*om);
  return text[at] == '+' ? t - offset : t + offset;
}

}  // namespace headroom
