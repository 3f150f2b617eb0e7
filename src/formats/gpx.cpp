#include "formats/gpx.h"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>

#include "formats/text_encoding.h"
#include "formats/week_rollover.h"
#include "formats/xml_text.h"

namespace headroom {
namespace {

using xml::child_named;
using xml::local_name;
using xml::number_of;
using xml::text_of;
using xml::time_of;

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
  GpxReader(std::string_view source, const ReadOptions& options) : plausible_(options), document_(source, warnings_) {}

  Recording read();

 private:
  void header(const pugi::xml_node& gpx);
  void track(const pugi::xml_node& trk);
  void point(const pugi::xml_node& trkpt);
  void extras(const pugi::xml_node& trkpt);
  void note_time(const Fix& fix);
  void settle_times();
  void add_header(std::string_view code, std::string_view text, const pugi::xml_node& at);

  PlausibleDays plausible_;
  WarningList warnings_;
  xml::Document document_;
  Recording out_;
  std::uint64_t points_ = 0;
  std::uint64_t without_time_ = 0;
  std::uint16_t segment_ = 0;
  bool segment_has_point_ = false;
  std::array<std::optional<std::size_t>, kChannelKinds.size()> channel_;
};

Recording GpxReader::read() {
  out_.format = "gpx";
  const pugi::xml_node gpx = child_named(document_.root(), "gpx");
  header(gpx);
  for (const pugi::xml_node& child : gpx.children())
    if (local_name(child) == "trk") track(child);
  settle_times();
  const auto elements = document_.count_elements(warnings_);
  out_.account.fixes = out_.fixes.size();
  out_.account.lines = elements.read + elements.lost;
  out_.account.other = elements.read - points_;
  warnings_.write_to(out_);
  return std::move(out_);
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
  if (out_.header.size() < kMost && !text.empty())
    out_.header.push_back({std::string(code), clean_text(text), document_.line_of(at)});
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
  const std::uint32_t line = document_.line_of(trkpt);
  if (document_.is_unfinished(trkpt)) {
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
    node = xml::next_in(node, trkpt);
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

}  // namespace

Recording read_gpx(std::string_view bytes, const ReadOptions& options) {
  std::string converted;
  if (const Utf16 order = utf16_of(bytes); order != Utf16::none) {
    if (auto text = from_utf16(bytes, order)) converted = std::move(*text);
    bytes = converted;
  } else if (declares_latin1(bytes)) {
    converted.reserve(bytes.size() + bytes.size() / 16);
    for (const char c : bytes) append_utf8(converted, static_cast<unsigned char>(c));
    bytes = converted;
  }
  return GpxReader(bytes, options).read();
}

}  // namespace headroom
