#include "formats/gpx.h"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <pugixml.hpp>

#include "formats/warning_list.h"
#include "formats/week_rollover.h"

namespace headroom {
namespace {

// Above this the element tree would need gigabytes.
constexpr std::size_t kLargestFile = std::size_t{256} << 20U;
constexpr std::string_view kXmlBlanks = " \t\r\n";

std::string_view trimmed(std::string_view s) {
  const auto first = s.find_first_not_of(kXmlBlanks);
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(kXmlBlanks) - first + 1);
}
std::string_view local_name(const pugi::xml_node& node) {
  const std::string_view name = node.name();
  const auto colon = name.find(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}
pugi::xml_node child_named(const pugi::xml_node& parent, std::string_view name) {
  for (const pugi::xml_node& child : parent.children())
    if (local_name(child) == name) return child;
  return {};
}
std::string_view text_of(const pugi::xml_node& node) {
  return trimmed(node.text().get());
}

// A finite decimal number, all of the text.
std::optional<double> number_of(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || stop != text.data() + text.size() || text.empty() || !std::isfinite(value)) return std::nullopt;
  return value;
}

// xsd:dateTime; without a zone it is UTC, as GPX says that times are.
std::optional<UtcTime> time_of(std::string_view text) {
  if (const auto t = parse_rfc3339(text)) return t;
  if (text.size() < 19 || text.size() > 40) return std::nullopt;
  return parse_rfc3339(std::string(text) + "Z");
}

void append_utf8(std::string& out, std::uint32_t c) {
  if (c < 0x80) {
    out += static_cast<char>(c);
  } else if (c < 0x800) {
    out += static_cast<char>(0xC0U | c >> 6U);
    out += static_cast<char>(0x80U | (c & 0x3FU));
  } else if (c < 0x10000) {
    out += static_cast<char>(0xE0U | c >> 12U);
    out += static_cast<char>(0x80U | (c >> 6U & 0x3FU));
    out += static_cast<char>(0x80U | (c & 0x3FU));
  } else {
    out += static_cast<char>(0xF0U | c >> 18U);
    out += static_cast<char>(0x80U | (c >> 12U & 0x3FU));
    out += static_cast<char>(0x80U | (c >> 6U & 0x3FU));
    out += static_cast<char>(0x80U | (c & 0x3FU));
  }
}
// UTF-16 with a byte-order mark, to UTF-8. A lone surrogate becomes U+FFFD.
std::string from_utf16(std::string_view bytes) {
  const bool big = bytes.starts_with("\xFE\xFF");
  const auto unit = [&](std::size_t i) {
    const auto a = static_cast<unsigned char>(bytes[i]), b = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<std::uint32_t>(big ? a << 8U | b : b << 8U | a);
  };
  std::string out;
  out.reserve(bytes.size() / 2);
  for (std::size_t i = 2; i + 2 <= bytes.size(); i += 2) {
    std::uint32_t c = unit(i);
    if (c >= 0xD800 && c < 0xDC00 && i + 4 <= bytes.size() && (unit(i + 2) & 0xFC00U) == 0xDC00U) {
      c = 0x10000 + ((c & 0x3FFU) << 10U) + (unit(i + 2) & 0x3FFU);
      i += 2;
    } else if (c >= 0xD800 && c < 0xE000) {
      c = 0xFFFD;
    }
    append_utf8(out, c);
  }
  return out;
}
bool declares_latin1(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, std::min<std::size_t>(bytes.find("?>"), 200));
  if (!head.starts_with("<?xml")) return false;
  for (const std::string_view name : {"ISO-8859-1", "iso-8859-1", "windows-1252", "latin1"})
    if (head.find(name) != std::string_view::npos) return true;
  return false;
}

// Measurements beside position, height and time that become channels. `scale` keeps the resolution of real files.
struct ChannelKind {
  std::string_view element, code;
  double scale;
};
constexpr std::array kChannelKinds = {
    ChannelKind{"speed", "SPEED", 1e-3},    // m/s: GPX 1.0, and by the same name in common 1.1 extensions
    ChannelKind{"course", "COURSE", 1e-2},  // degrees true: the same
    ChannelKind{"sat", "SAT", 1},
    ChannelKind{"hdop", "HDOP", 1e-2},
};

class GpxReader {
 public:
  GpxReader(std::string_view source, const ReadOptions& options) : source_(source), plausible_(options) {}

  Recording read();

 private:
  void parse();
  void header(const pugi::xml_node& gpx);
  void track(const pugi::xml_node& trk);
  void point(const pugi::xml_node& trkpt);
  void extras(const pugi::xml_node& trkpt);
  void note_time(const Fix& fix);
  void settle_times();
  void count_elements();
  void add_header(std::string_view code, std::string_view text, const pugi::xml_node& at);
  std::uint32_t line_of(const pugi::xml_node& node) {
    return line_at(static_cast<std::size_t>(std::max<std::ptrdiff_t>(node.offset_debug(), 0)));
  }
  std::uint32_t line_at(std::size_t offset);

  std::string_view source_;
  PlausibleDays plausible_;
  pugi::xml_document document_;
  Recording out_;
  WarningList warnings_;
  std::uint64_t elements_ = 0, points_ = 0, lost_ = 0;
  std::uint64_t without_time_ = 0;
  std::uint16_t segment_ = 0;
  bool segment_has_point_ = false;
  bool broken_ = false;
  std::size_t break_offset_ = 0;
  pugi::xml_node unfinished_;  // the last track point, when the break fell within it
  std::array<std::optional<std::size_t>, kChannelKinds.size()> channel_;
  std::size_t counted_to_ = 0;
  std::uint32_t counted_lines_ = 1;
};

Recording GpxReader::read() {
  out_.format = "gpx";
  parse();
  const pugi::xml_node gpx = child_named(document_, "gpx");
  header(gpx);
  for (const pugi::xml_node& child : gpx.children())
    if (local_name(child) == "trk") track(child);
  settle_times();
  count_elements();
  warnings_.write_to(out_);
  return std::move(out_);
}

void GpxReader::parse() {
  if (source_.size() > kLargestFile) {
    warnings_.add(WarningCode::bad_xml, 0, [] { return fmt::format("larger than {} MiB: not read", kLargestFile >> 20U); });
    return;
  }
  // The library keeps no recursion, expands no entities of the file's own and keeps the tree up to the first fault.
  const auto result = document_.load_buffer(source_.data(), source_.size(), pugi::parse_default, pugi::encoding_utf8);
  if (result) return;
  broken_ = true;
  break_offset_ = std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(result.offset, 0)), source_.size());
  // The deepest last element of the tree, and above it the track point that may not be whole.
  pugi::xml_node last = document_;
  while (last.last_child()) last = last.last_child();
  while (last && local_name(last) != "trkpt") last = last.parent();
  if (last) {
    const auto begin = std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(last.offset_debug(), 0)), break_offset_);
    // The library's offset may point at the last byte that it took.
    const std::string_view written = source_.substr(begin, break_offset_ + 1 - begin);
    const std::string close = fmt::format("</{}", last.name());
    const auto tag_end = written.find('>');
    const bool empty_element = tag_end != std::string_view::npos && tag_end > 0 && written[tag_end - 1] == '/';
    const auto closed = written.find(close);
    if (!empty_element && (closed == std::string_view::npos || written.find('>', closed) == std::string_view::npos))
      unfinished_ = last;
  }
  const std::uint32_t line = 1 + static_cast<std::uint32_t>(std::count(
                                     source_.begin(), source_.begin() + static_cast<std::ptrdiff_t>(break_offset_), '\n'));
  warnings_.add(WarningCode::bad_xml, line,
                [&] { return fmt::format("the XML breaks here ({}): what stands before is kept", result.description()); });
}

void GpxReader::header(const pugi::xml_node& gpx) {
  if (!gpx) return;
  for (const char* name : {"version", "creator"})
    if (const auto attribute = gpx.attribute(name)) add_header(name, attribute.value(), gpx);
  // GPX 1.1 keeps these in `metadata`, 1.0 beside the tracks.
  const pugi::xml_node metadata = child_named(gpx, "metadata");
  for (const pugi::xml_node& home : {metadata, gpx})
    for (const pugi::xml_node& child : home.children())
      for (const std::string_view name : {"name", "desc", "author", "keywords", "time"})
        if (local_name(child) == name) {
          const pugi::xml_node inner = child_named(child, "name");  // author in GPX 1.1
          add_header(name, text_of(inner ? inner : child), child);
        }
}

void GpxReader::add_header(std::string_view code, std::string_view text, const pugi::xml_node& at) {
  constexpr std::size_t kMost = 4096;
  if (says_invented(text)) out_.simulated = true;
  if (out_.header.size() < kMost && !text.empty()) out_.header.push_back({std::string(code), clean_text(text), line_of(at)});
}

void GpxReader::track(const pugi::xml_node& trk) {
  for (const pugi::xml_node& child : trk.children()) {
    const std::string_view name = local_name(child);
    if (name == "name" || name == "desc" || name == "cmt" || name == "src")
      add_header(fmt::format("trk {}", name), text_of(child), child);
    if (name != "trkseg") continue;
    if (segment_has_point_ && segment_ != UINT16_MAX) ++segment_;
    segment_has_point_ = false;
    for (const pugi::xml_node& node : child.children())
      if (local_name(node) == "trkpt") point(node);
  }
}

void GpxReader::point(const pugi::xml_node& trkpt) {
  ++points_;
  const std::uint32_t line = line_of(trkpt);
  if (trkpt == unfinished_) {
    warnings_.drop(WarningCode::truncated_end, line, [] { return "the XML breaks within this track point: dropped"; });
    return;
  }
  const auto lat = number_of(trkpt.attribute("lat").value()), lon = number_of(trkpt.attribute("lon").value());
  if (!lat || !lon) {
    warnings_.drop(WarningCode::bad_position_line, line,
                   [] { return "a track point without a readable latitude and longitude: dropped"; });
    return;
  }
  if (!(std::abs(*lat) <= 90) || !(std::abs(*lon) <= 180)) {
    warnings_.drop(WarningCode::position_out_of_range, line,
                   [] { return "a track point with a latitude or longitude that does not exist: dropped"; });
    return;
  }
  if (*lon == 180)
    warnings_.add(WarningCode::position_out_of_range, line,
                  [] { return "longitude 180, which the standard writes as -180: kept"; });
  if (*lat == 0 && *lon == 0)
    warnings_.add(WarningCode::zero_position, line,
                  [] { return "latitude and longitude are both 0: kept, most likely no position"; });
  Fix fix;
  fix.position = {*lat, *lon};
  fix.line = line;
  fix.segment = segment_;
  fix.has_time = false;
  for (const pugi::xml_node& child : trkpt.children()) {
    const std::string_view name = local_name(child);
    if (name == "ele") {
      const auto height = number_of(text_of(child));
      // Beyond any recording, and far beyond where a metre is still told apart.
      fix.has_gnss_height = height && std::abs(*height) < 1e6;
      if (fix.has_gnss_height)
        fix.gnss_height = GnssHeight::from_si(*height);
      else
        warnings_.add(WarningCode::bad_height, line, [] { return "a height that cannot be read: the point is kept without it"; });
    } else if (name == "time") {
      const auto time = time_of(text_of(child));
      fix.has_time = time.has_value();
      if (time)
        fix.time = *time;
      else
        warnings_.add(WarningCode::bad_time, line, [] { return "a time that cannot be read: the point is kept without it"; });
    } else if (name == "fix") {
      const std::string_view kind = text_of(child);
      fix.valid_3d = kind != "none" && kind != "2d";
    }
  }
  note_time(fix);
  segment_has_point_ = true;
  out_.fixes.push_back(fix);
  for (Channel& channel : out_.channels) channel.raw.push_back(Channel::missing);
  extras(trkpt);
}

// Speed and the like, as children of the point or at any depth of its extensions; the first of a name counts.
void GpxReader::extras(const pugi::xml_node& trkpt) {
  std::array<bool, kChannelKinds.size()> met{};
  pugi::xml_node node = trkpt.first_child();
  while (node) {
    const std::string_view name = local_name(node);
    for (std::size_t kind = 0; kind < kChannelKinds.size(); ++kind) {
      if (name != kChannelKinds[kind].element || met[kind]) continue;
      const auto value = number_of(text_of(node));
      if (!value) continue;
      const double raw = std::round(*value / kChannelKinds[kind].scale);
      if (!(std::abs(raw) < 2e9)) continue;
      met[kind] = true;
      if (!channel_[kind]) {
        channel_[kind] = out_.channels.size();
        out_.channels.push_back({std::string(kChannelKinds[kind].code), kChannelKinds[kind].scale, {}});
        out_.channels.back().raw.assign(out_.fixes.size(), Channel::missing);
      }
      out_.channels[*channel_[kind]].raw.back() = static_cast<std::int32_t>(raw);
    }
    // The next node in document order within the point.
    if (node.first_child()) {
      node = node.first_child();
    } else {
      while (node && node != trkpt && !node.next_sibling()) node = node.parent();
      node = node == trkpt ? pugi::xml_node{} : node.next_sibling();
    }
  }
}

void GpxReader::note_time(const Fix& fix) {
  if (!fix.has_time) {
    ++without_time_;
    return;
  }
  if (out_.fixes.empty() || !out_.fixes.back().has_time || fix.time >= out_.fixes.back().time) return;
  warnings_.add(WarningCode::time_went_back, fix.line, [&] {
    const double back = in_seconds(duration_between(fix.time, out_.fixes.back().time));
    return fix.segment == out_.fixes.back().segment
               ? fmt::format("the clock went back by {} s: the point is kept", back)
               : fmt::format("this segment begins {} s before the end of the one before: kept in the order of the file", back);
  });
}

void GpxReader::settle_times() {
  if (out_.fixes.empty()) return;
  if (without_time_ == out_.fixes.size()) {
    warnings_.add(WarningCode::no_times, 0,
                  [] { return "no track point has a time: nothing can be said of speed, launch or landing"; });
    return;
  }
  if (without_time_ != 0)
    warnings_.add(WarningCode::bad_time, 0,
                  [&] { return fmt::format("{} of {} track points have no readable time", without_time_, out_.fixes.size()); });
  const auto day = [](const Fix& fix) { return std::chrono::floor<std::chrono::days>(fix.time).time_since_epoch().count(); };
  const bool all_rolled = std::all_of(out_.fixes.begin(), out_.fixes.end(),
                                      [&](const Fix& f) { return !f.has_time || plausible_.instead_of(day(f)); });
  for (Fix& fix : out_.fixes) {
    if (!fix.has_time || plausible_.holds(day(fix))) continue;
    if (all_rolled) {
      const std::int64_t shift = *plausible_.instead_of(day(fix)) - day(fix);
      if (warnings_.seen(WarningCode::week_rollover) == 0)
        warnings_.add(WarningCode::week_rollover, fix.line, [&] {
          return fmt::format(
              "the date {} cannot be; {}, 1024 weeks {}, is assumed for all points: the recorder's GPS week count rolled over",
              rfc3339(fix.time).substr(0, 10), rfc3339(fix.time + std::chrono::days(shift)).substr(0, 10),
              shift > 0 ? "later" : "earlier");
        });
      fix.time += std::chrono::days(shift);
    } else {
      warnings_.add(WarningCode::bad_time, fix.line,
                    [&] { return fmt::format("the time {} cannot be: kept as it is", rfc3339(fix.time)); });
    }
  }
}

// Every element once: a track point is a fix or a drop, any other element is "other", and those beyond a break are dropped.
void GpxReader::count_elements() {
  pugi::xml_node node = document_.first_child();
  while (node) {
    if (node.type() == pugi::node_element) ++elements_;
    if (node.first_child()) {
      node = node.first_child();
    } else {
      while (node && !node.next_sibling()) node = node.parent();
      node = node.next_sibling();
    }
  }
  if (broken_) {
    for (std::size_t at = break_offset_; at + 1 < source_.size(); ++at) {
      const char next = source_[at + 1];
      if (source_[at] != '<' || !((next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z') || next == '_')) continue;
      ++lost_;
      warnings_.drop(WarningCode::bad_xml, line_at(at), [] { return "an element after the break: dropped"; });
    }
  }
  out_.account.fixes = out_.fixes.size();
  out_.account.lines = elements_ + lost_;
  out_.account.other = elements_ - points_;
}

// Offsets may come in any order; a step back counts anew.
std::uint32_t GpxReader::line_at(std::size_t offset) {
  offset = std::min(offset, source_.size());
  if (offset < counted_to_) {
    counted_to_ = 0;
    counted_lines_ = 1;
  }
  counted_lines_ += static_cast<std::uint32_t>(std::count(source_.begin() + static_cast<std::ptrdiff_t>(counted_to_),
                                                          source_.begin() + static_cast<std::ptrdiff_t>(offset), '\n'));
  counted_to_ = offset;
  return counted_lines_;
}

}  // namespace

Recording read_gpx(std::string_view bytes, const ReadOptions& options) {
  std::string converted;
  if (bytes.starts_with("\xFE\xFF") || bytes.starts_with("\xFF\xFE")) {
    converted = from_utf16(bytes);
    bytes = converted;
  } else if (declares_latin1(bytes)) {
    converted.reserve(bytes.size() + bytes.size() / 16);
    for (const char c : bytes) append_utf8(converted, static_cast<unsigned char>(c));
    bytes = converted;
  }
  return GpxReader(bytes, options).read();
}

}  // namespace headroom
