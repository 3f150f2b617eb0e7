#include "cli/text.h"

#include <algorithm>
#include <cmath>

#include "core/typed.h"

namespace headroom {

namespace {

// U+FDD0, U+FDD1, U+FDD2.
constexpr std::string_view kBold = "\xEF\xB7\x90", kUnderlined = "\xEF\xB7\x91", kPlain = "\xEF\xB7\x92";

bool mark_at(std::string_view text, std::size_t i) {
  const auto three = text.substr(i, kBold.size());
  return three == kBold || three == kUnderlined || three == kPlain || three == kTypedFrom || three == kTypedTo;
}

// Each word by itself, so that a line may be broken anywhere within.
std::string marked(std::string_view text, std::string_view mark) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto end = std::min(text.find_first_of(" \n", i), text.size());
    if (end > i) (out += mark).append(text.substr(i, end - i)).append(kPlain);
    if (end < text.size()) out += text[end];
    i = end + 1;
  }
  return out;
}

}  // namespace

std::string strong(std::string_view text) {
  return marked(text, kBold);
}

std::string underlined(std::string_view text) {
  return marked(text, kUnderlined);
}

std::string with_marks(std::string_view text, bool terminal_wants_them) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != kBold[0] || !mark_at(text, i)) {
      out += text[i];
      continue;
    }
    if (const auto mark = text.substr(i, kBold.size()); terminal_wants_them && mark != kTypedFrom && mark != kTypedTo)
      out += mark == kBold ? "\x1B[1m" : mark == kUnderlined ? "\x1B[4m" : "\x1B[0m";
    i += kBold.size() - 1;
  }
  return out;
}

std::size_t shown_width(std::string_view text) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == kBold[0] && mark_at(text, i))
      i += kBold.size() - 1;
    else
      n += (static_cast<unsigned char>(text[i]) & 0xC0) != 0x80;
  }
  return n;
}

std::string wrapped(std::string_view text, std::size_t width, std::size_t indent, std::size_t first_indent) {
  if (first_indent == std::string::npos) first_indent = indent;
  std::string out(first_indent, ' ');
  std::size_t column = first_indent;
  bool line_empty = true;
  while (!text.empty()) {
    const auto end = text.find_first_of(" \n");
    const auto word = text.substr(0, end);
    if (!word.empty()) {
      if (!line_empty && column + 1 + shown_width(word) > width) {
        out += '\n';
        out.append(indent, ' ');
        column = indent;
        line_empty = true;
      }
      if (!line_empty) {
        out += ' ';
        ++column;
      }
      out += word;
      column += shown_width(word);
      line_empty = false;
    }
    if (end == std::string_view::npos) break;
    if (text[end] == '\n') {
      out += '\n';
      out.append(indent, ' ');
      column = indent;
      line_empty = true;
    }
    text.remove_prefix(end + 1);
  }
  return out + '\n';
}

std::string row(std::string_view left, std::string_view right, std::size_t width) {
  const auto taken = shown_width(left) + shown_width(right);
  if (taken + 2 > width) {
    std::string out = wrapped(left, width, 2, 0);
    const auto pad = width > shown_width(right) ? width - shown_width(right) : 0;
    return out + std::string(pad, ' ') + std::string(right) + '\n';
  }
  return std::string(left) + std::string(width - taken, ' ') + std::string(right) + '\n';
}

std::string limit_line(const Margin& margin, std::size_t width) {
  // The common scale of every row: left as a share of need, from a quarter past the limit to twice the need.
  constexpr double kFrom = -0.25, kTo = 2.0;
  std::string line(width, ' ');
  const auto place = [&](double share) {
    const double x = (share - kFrom) / (kTo - kFrom) * static_cast<double>(width - 1);
    return static_cast<std::size_t>(std::clamp(x, 0.0, static_cast<double>(width - 1)) + 0.5);
  };
  const auto limit = place(0);
  if (!margin.left.known() || !margin.need.known() || !(margin.need.mid > 0)) {
    for (std::size_t i = limit; i < width; i += 2) line[i] = '.';
    line[limit] = '|';
    return line;
  }
  const double low = margin.left.low / margin.need.mid, mid = margin.left.mid / margin.need.mid,
               high = margin.left.high / margin.need.mid;
  for (auto i = place(low); i <= place(high); ++i) line[i] = i < limit ? '#' : '=';
  line[limit] = '|';
  if (low < kFrom) line.front() = '<';
  if (high > kTo) line.back() = '>';
  if (mid >= kFrom && mid <= kTo) line[place(mid)] = 'o';
  return line;
}

std::string harmless(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    // C1 controls arrive in UTF-8 as C2 80..9F.
    const bool c1 = c == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0;
    if (c1) {
      out += '?';
      ++i;
    } else if ((c < 0x20 && c != '\n' && c != '\t') || c == 0x7F) {
      out += '?';
    } else {
      out += text[i];
    }
  }
  return out;
}

}  // namespace headroom
