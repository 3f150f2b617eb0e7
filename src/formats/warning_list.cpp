#include "formats/warning_list.h"

#include <fmt/format.h>

namespace headroom {
namespace {

bool is_utf8(std::string_view s) {
  for (std::size_t i = 0; i < s.size();) {
    const auto c = static_cast<unsigned char>(s[i]);
    std::size_t more = 0;
    unsigned long point = c;
    if (c < 0x80) {
      ++i;
      continue;
    }
    if (c >= 0xC2 && c <= 0xDF)
      more = 1, point = c & 0x1FU;
    else if (c >= 0xE0 && c <= 0xEF)
      more = 2, point = c & 0x0FU;
    else if (c >= 0xF0 && c <= 0xF4)
      more = 3, point = c & 0x07U;
    else
      return false;
    if (s.size() - i <= more) return false;
    for (std::size_t k = 1; k <= more; ++k) {
      const auto d = static_cast<unsigned char>(s[i + k]);
      if ((d & 0xC0U) != 0x80U) return false;
      point = point << 6U | (d & 0x3FU);
    }
    const bool overlong = (more == 2 && point < 0x800) || (more == 3 && point < 0x10000);
    if (overlong || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) return false;
    i += more + 1;
  }
  return true;
}

}  // namespace

void WarningList::write_to(Recording& recording) {
  std::stable_sort(listed_.begin(), listed_.end(), [](const Warning& a, const Warning& b) { return a.line < b.line; });
  for (std::size_t code = 0; code < kCodes; ++code)
    if (seen_[code] > kListed)
      listed_.push_back({WarningCode::more_not_listed, 0,
                         fmt::format("{} more of warning {} are counted, not listed", seen_[code] - kListed, code)});
  recording.warnings = std::move(listed_);
  listed_.clear();
  recording.account.dropped = 0;
  recording.account.dropped_by.clear();
  for (std::size_t code = 0; code < kCodes; ++code)
    if (dropped_[code] != 0) {
      recording.account.dropped += dropped_[code];
      recording.account.dropped_by.push_back({static_cast<WarningCode>(code), dropped_[code]});
    }
}

std::string clean_text(std::string_view bytes) {
  const bool utf8 = is_utf8(bytes);
  std::string text;
  text.reserve(bytes.size());
  for (const char ch : bytes) {
    const auto c = static_cast<unsigned char>(ch);
    if (c == '\t') {
      text += ' ';
    } else if (c < 0x20 || c == 0x7F) {
      continue;
    } else if (c < 0x80 || utf8) {
      text += ch;
    } else {
      text += static_cast<char>(0xC0U | c >> 6U);
      text += static_cast<char>(0x80U | (c & 0x3FU));
    }
  }
  const auto first = text.find_first_not_of(' ');
  if (first == std::string::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

bool says_invented(std::string_view text) {
  const auto has = [&](std::string_view word) {
    return std::search(text.begin(), text.end(), word.begin(), word.end(), [](char a, char b) {
             return (a >= 'A' && a <= 'Z' ? static_cast<char>(a - 'A' + 'a') : a) == b;
           }) != text.end();
  };
  return has("simulated") || has("invented");
}

}  // namespace headroom
