#include "formats/kml.h"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>

#include "formats/week_rollover.h"
#include "formats/xml_text.h"

namespace headroom {
namespace {

std::string how_many(std::uint64_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

class KmlReader {
 public:
  KmlReader(std::string_view source, const ReadOptions& options) : plausible_(options), document_(source, warnings_) {}

  Recording read();

 private:
  // What the heights of a track count from.
  enum class HeightMode { above_sea_level, above_ground, for_viewer_only };

  void track(const pugi::xml_node& node);
  void point(const pugi::xml_node& coord, const pugi::xml_node& when, HeightMode mode);
  [[nodiscard]] static HeightMode height_mode(const pugi::xml_node& track);
  void add_header(std::string_view code, const pugi::xml_node& node, std::uint32_t line);
  void settle_times();
  void settle_heights();

  PlausibleDays plausible_;
  WarningList warnings_;
  xml::Document document_;
  Recording out_;
  std::uint64_t points_ = 0, without_time_ = 0, lines_ = 0, places_ = 0;
  bool any_absolute_ = false, any_for_viewer_ = false, any_nonzero_ = false;
  std::uint16_t segment_ = 0;
  pugi::xml_node named_;  // the latest placemark whose name was taken
};

Recording KmlReader::read() {
  out_.format = "kml";
  const pugi::xml_node kml = xml::child_named(document_.root(), "kml");
  for (pugi::xml_node node = kml; node; node = xml::next_in(node, kml)) {
    const std::string_view name = xml::local_name(node);
    if (name == "Track") {
      track(node);
    } else if (name == "LineString" || name == "LinearRing") {
      ++lines_;
    } else if (name == "Point") {
      ++places_;
    } else if ((name == "name" || name == "description") && xml::local_name(node.parent()) == "Document") {
      add_header(name, node, document_.line_of(node));
    }
  }
  settle_times();
  settle_heights();
  if (lines_ + places_ != 0)
    warnings_.add(WarningCode::places_without_times, 0, [&] {
      const std::string what = how_many(lines_, "line") + " and " + how_many(places_, "place");
      if (!out_.fixes.empty()) return fmt::format("it also holds {}, which are no recording: not read", what);
      return fmt::format(
          "this KML holds places or lines without times ({}, no timed track): nothing can be said of launch, speed or landing; "
          "export GPX or IGC from the recorder",
          what);
    });
  const auto elements = document_.count_elements(warnings_);
  out_.account.fixes = out_.fixes.size();
  out_.account.lines = elements.read + elements.lost;
  out_.account.other = elements.read - points_;
  warnings_.write_to(out_);
  return std::move(out_);
}

void KmlReader::add_header(std::string_view code, const pugi::xml_node& node, std::uint32_t line) {
  constexpr std::size_t kMost = 4096, kLongest = 1024;
  std::string_view text = xml::text_of(node);
  if (says_invented(text)) out_.simulated = true;
  text = text.substr(0, kLongest);
  if (out_.header.size() < kMost && !text.empty()) out_.header.push_back({std::string(code), clean_text(text), line});
}

KmlReader::HeightMode KmlReader::height_mode(const pugi::xml_node& track) {
  pugi::xml_node mode = xml::child_named(track, "altitudeMode");
  if (!mode && xml::local_name(track.parent()) == "MultiTrack") mode = xml::child_named(track.parent(), "altitudeMode");
  const std::string_view text = xml::text_of(mode);
  if (text == "absolute") return HeightMode::above_sea_level;
  if (text == "relativeToGround" || text == "relativeToSeaFloor") return HeightMode::above_ground;
  return HeightMode::for_viewer_only;  // clampToGround, which also holds when none is named
}

void KmlReader::track(const pugi::xml_node& node) {
  const std::uint32_t line = document_.line_of(node);
  const pugi::xml_node placemark = xml::local_name(node.parent()) == "MultiTrack" ? node.parent().parent() : node.parent();
  if (placemark != named_) {
    named_ = placemark;
    if (const pugi::xml_node name = xml::child_named(placemark, "name")) add_header("track name", name, line);
  }
  const HeightMode mode = height_mode(node);
  const std::size_t before = out_.fixes.size();
  const auto following = [](pugi::xml_node at, std::string_view name) {
    while (at && xml::local_name(at) != name) at = at.next_sibling();
    return at;
  };
  pugi::xml_node when = following(node.first_child(), "when");
  for (pugi::xml_node coord = following(node.first_child(), "coord"); coord; coord = following(coord.next_sibling(), "coord")) {
    point(coord, when, mode);
    when = following(when.next_sibling(), "when");
  }
  if (when) warnings_.add(WarningCode::bad_time, line, [] { return "more times than positions in this track: not used"; });
  if (out_.fixes.size() > before && segment_ != UINT16_MAX) ++segment_;
}

void KmlReader::point(const pugi::xml_node& coord, const pugi::xml_node& when, HeightMode mode) {
  ++points_;
  const std::uint32_t line = document_.line_of(coord);
  if (document_.is_unfinished(coord)) {
    warnings_.drop(WarningCode::truncated_end, line, [] { return "the XML breaks within this position: dropped"; });
    return;
  }
  // "longitude latitude height" with blanks between; some writers put commas.
  std::array<std::string_view, 3> parts;
  std::size_t count = 0;
  for (std::string_view rest = xml::text_of(coord); !rest.empty() && count <= parts.size();) {
    const auto stop = rest.find_first_of(" \t\r\n,");
    if (count < parts.size()) parts[count] = rest.substr(0, stop);
    ++count;
    rest = stop == std::string_view::npos ? std::string_view{} : xml::trimmed(rest.substr(stop + 1));
  }
  const auto lon = xml::number_of(parts[0]), lat = xml::number_of(parts[1]);
  if (!lat || !lon || count > parts.size()) {
    warnings_.drop(WarningCode::bad_position_line, line,
                   [] { return "a position without a readable longitude and latitude: dropped"; });
    return;
  }
  if (!(std::abs(*lat) <= 90) || !(std::abs(*lon) <= 180)) {
    warnings_.drop(WarningCode::position_out_of_range, line,
                   [] { return "a longitude or latitude that does not exist: dropped"; });
    return;
  }
  if (*lat == 0 && *lon == 0)
    warnings_.add(WarningCode::zero_position, line,
                  [] { return "latitude and longitude are both 0: kept, most likely no position"; });
  Fix fix;
  fix.position = {*lat, *lon};
  fix.line = line;
  fix.segment = segment_;
  const auto height = xml::number_of(parts[2]);
  if (mode != HeightMode::above_ground && height && std::abs(*height) < 1e6) {
    fix.has_gnss_height = true;
    fix.gnss_height = GnssHeight::from_si(*height);
    any_absolute_ |= mode == HeightMode::above_sea_level;
    any_for_viewer_ |= mode == HeightMode::for_viewer_only;
    any_nonzero_ |= *height != 0;
  } else if (count == 3 && !height) {
    warnings_.add(WarningCode::bad_height, line, [] { return "a height that cannot be read: the position is kept without it"; });
  }
  const std::string_view time_text = xml::text_of(when);
  // A date alone is allowed there and says too little.
  const auto time = time_text.find('T') != std::string_view::npos ? xml::time_of(time_text) : std::nullopt;
  fix.has_time = time.has_value();
  if (time) {
    fix.time = *time;
    if (!out_.fixes.empty() && out_.fixes.back().has_time && fix.time < out_.fixes.back().time)
      warnings_.add(WarningCode::time_went_back, line, [&] {
        return fmt::format("the clock went back by {} s: the position is kept",
                           in_seconds(duration_between(fix.time, out_.fixes.back().time)));
      });
  } else {
    ++without_time_;
    if (!time_text.empty())
      warnings_.add(WarningCode::bad_time, line, [] { return "a time that cannot be read: the position is kept without it"; });
  }
  out_.fixes.push_back(fix);
}

void KmlReader::settle_times() {
  if (out_.fixes.empty()) return;
  if (without_time_ == out_.fixes.size()) {
    warnings_.add(WarningCode::no_times, 0,
                  [] { return "no position of its tracks has a time: nothing can be said of speed, launch or landing"; });
    return;
  }
  if (without_time_ != 0)
    warnings_.add(WarningCode::bad_time, 0,
                  [&] { return fmt::format("{} of {} positions have no readable time", without_time_, out_.fixes.size()); });
  const auto day = [](const Fix& fix) { return std::chrono::floor<std::chrono::days>(fix.time).time_since_epoch().count(); };
  for (Fix& fix : out_.fixes) {
    if (!fix.has_time || plausible_.holds(day(fix))) continue;
    const auto instead = plausible_.instead_of(day(fix));
    const std::string written = rfc3339(fix.time).substr(0, 10);
    if (instead) fix.time += std::chrono::days(*instead - day(fix));
    if (warnings_.seen(WarningCode::week_rollover) == 0)
      warnings_.add(WarningCode::week_rollover, fix.line, [&] {
        return instead ? fmt::format(
                             "the date {} cannot be; {}, 1024 weeks away, is assumed: the recorder's GPS week count rolled over",
                             written, rfc3339(fix.time).substr(0, 10))
                       : fmt::format("the date {} cannot be: kept as it is", written);
      });
  }
}

void KmlReader::settle_heights() {
  if (out_.fixes.empty()) return;
  if (!any_nonzero_) {
    for (Fix& fix : out_.fixes) fix.has_gnss_height = false;
    warnings_.add(WarningCode::no_gnss_height, 0, [] { return "no position has a height above sea level"; });
  } else if (any_for_viewer_) {
    warnings_.add(WarningCode::height_doubtful, 0, [] {
      return "the file tells a viewer to draw its track on the ground (clampToGround): its heights are kept, from an unstated "
             "zero";
    });
  } else if (any_absolute_) {
    out_.gnss_datum = HeightDatum::geoid;
  }
}

}  // namespace

Recording read_kml(std::string_view bytes, const ReadOptions& options) {
  return KmlReader(bytes, options).read();
}

}  // namespace headroom
