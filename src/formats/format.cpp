#include "formats/format.h"

#include <algorithm>
#include <string>

#include "formats/digits.h"
#include "formats/nmea.h"
#include "formats/text_encoding.h"

namespace headroom {
namespace {

constexpr std::size_t kLooked = 64 * 1024;
constexpr std::string_view kBlanks = " \t\r\n";

// `s` without the leading construct that ends with `close`; empty when it does not end.
std::string_view after(std::string_view s, std::string_view close) {
  const auto at = s.find(close);
  return at == std::string_view::npos ? std::string_view{} : s.substr(at + close.size());
}

// The local name of the root element of an XML text; empty when there is none.
std::string_view root_element(std::string_view s) {
  while (true) {
    s.remove_prefix(std::min(s.find_first_not_of(kBlanks), s.size()));
    if (s.starts_with("<?")) {
      s = after(s, "?>");
    } else if (s.starts_with("<!--")) {
      s = after(s, "-->");
    } else if (s.starts_with("<!")) {  // DOCTYPE, with or without an internal subset
      const auto open = s.find_first_of("[>");
      if (open != std::string_view::npos && s[open] == '[') s = after(s, "]");
      s = after(s, ">");
    } else {
      break;
    }
  }
  if (!s.starts_with('<')) return {};
  s.remove_prefix(1);
  s = s.substr(0, s.find_first_of(" \t\r\n/>"));
  const auto colon = s.find(':');
  return colon == std::string_view::npos ? s : s.substr(colon + 1);
}

bool is_igc_position(std::string_view line) {
  if (line.size() < 35 || line[0] != 'B') return false;
  const auto all = [&](std::size_t from, std::size_t to) {
    return std::all_of(line.begin() + static_cast<std::ptrdiff_t>(from), line.begin() + static_cast<std::ptrdiff_t>(to),
                       digits::is_digit);
  };
  return all(1, 14) && (line[14] == 'N' || line[14] == 'S') && all(15, 23) && (line[23] == 'E' || line[23] == 'W');
}
bool is_igc_date(std::string_view line) {
  if (line.size() < 11 || line[0] != 'H' || line.substr(2, 3) != "DTE") return false;
  return std::count_if(line.begin(), line.end(), digits::is_digit) >= 6;
}
// "A", three characters of the maker's code, perhaps more.
bool is_igc_maker(std::string_view line) {
  return line.size() >= 4 && line.size() <= 80 && line[0] == 'A' &&
         std::all_of(line.begin() + 1, line.begin() + 4, [](char c) { return (c >= 'A' && c <= 'Z') || digits::is_digit(c); });
}

bool looks_like_igc(std::string_view s) {
  bool first = true, maker = false, records_only = true;
  while (!s.empty()) {
    const auto stop = s.find_first_of("\r\n");
    const std::string_view line = s.substr(0, stop);
    s = stop == std::string_view::npos ? std::string_view{} : s.substr(stop + 1);
    if (line.empty()) continue;
    if (is_igc_position(line) || is_igc_date(line)) return true;
    if (first) maker = is_igc_maker(line);
    first = false;
    if (line[0] < 'A' || line[0] > 'N') records_only = false;
  }
  // Headers alone, of a flight that never was: a thinner clue.
  return maker && records_only;
}

bool looks_like_nmea(std::string_view s) {
  while (!s.empty()) {
    const auto stop = s.find_first_of("\r\n");
    const std::string_view line = s.substr(0, stop);
    s = stop == std::string_view::npos ? std::string_view{} : s.substr(stop + 1);
    const auto start = line.rfind('$');
    if (start != std::string_view::npos && is_nmea_sentence(line.substr(start))) return true;
  }
  return false;
}

}  // namespace

Format sniff_format(std::string_view bytes) {
  if (bytes.starts_with("PK\x03\x04") || bytes.starts_with("PK\x05\x06")) return Format::zip;
  if (bytes.starts_with("\x1F\x8B")) return Format::gzip;
  std::string converted;
  if (const Utf16 order = utf16_of(bytes); order != Utf16::none) {
    converted = from_utf16(bytes.substr(0, 2 * kLooked), order).value_or("");
    bytes = converted;
  }
  bytes = bytes.substr(0, kLooked);
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  if (bytes.find_first_not_of(kBlanks) == std::string_view::npos) return Format::empty;
  const std::string_view root = root_element(bytes);
  if (root == "gpx") return Format::gpx;
  if (root == "kml") return Format::kml;
  if (looks_like_igc(bytes)) return Format::igc;
  if (looks_like_nmea(bytes)) return Format::nmea;
  return Format::unknown;
}

}  // namespace headroom
