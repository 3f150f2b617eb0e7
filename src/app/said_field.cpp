#include "app/said_field.h"

#include <array>
#include <cstdlib>

#include "app/said_time.h"

namespace headroom {

namespace {

Result<GeoPosition> place_of_text(const std::string& text) {
  const auto comma = text.find_first_of(", ");
  if (comma != std::string::npos) {
    char* end = nullptr;
    const std::string first = text.substr(0, comma), second = text.substr(text.find_first_not_of(", ", comma));
    const double latitude = std::strtod(first.c_str(), &end);
    const bool one = !first.empty() && end == first.c_str() + first.size();
    const double longitude = std::strtod(second.c_str(), &end);
    if (one && !second.empty() && end == second.c_str() + second.size() && latitude >= -90 && latitude <= 90 &&
        longitude >= -180 && longitude <= 180)
      return GeoPosition{latitude, longitude};
  }
  return fail(ErrorKind::bad_input, "a place is latitude,longitude in degrees: 52.31,0.42", "--place");
}

Result<double> number_between(const std::string& text, double low, double high, const char* option, const char* sentence) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || end != text.c_str() + text.size()) return fail(ErrorKind::bad_input, sentence, option);
  if (!(value >= low && value <= high)) return fail(ErrorKind::out_of_range, sentence, option);
  return value;
}

Result<FieldChange> described(const SaidField& a, const UnitChoice& u, const SaidWhen&) {
  FieldChange c;
  c.field = a.field;
  c.describe = true;
  if (!a.height.empty()) {
    const auto h = parse_measure(Measure::height, a.height, u);
    if (!h) return tl::unexpected<Error>(h.error());
    if (!(*h >= -450 && *h <= 6000))
      return fail(ErrorKind::out_of_range, "fields lie -450 to 6000 m above sea level", "--height");
    c.height = AltitudeMsl::from_si(*h);
  }
  if (!a.place.empty()) {
    const auto p = place_of_text(a.place);
    if (!p) return tl::unexpected<Error>(p.error());
    c.position = *p;
  }
  if (!a.note.empty()) c.text = a.note;
  if (!a.landable.empty()) c.landable = a.landable;
  return c;
}

Result<FieldChange> with_strip(const SaidField& a, const UnitChoice& u, const SaidWhen&) {
  FieldChange c;
  c.field = a.field;
  FieldStrip strip;
  strip.name = a.strip;
  const auto towards = number_between(a.towards, 0, 360, "--towards", "a strip leads towards 0 to 360 degrees from true north");
  if (!towards) return tl::unexpected<Error>(towards.error());
  strip.towards_deg = *towards;
  if (!a.slope.empty()) {
    const auto slope = number_between(a.slope, -30, 30, "--slope", "a slope is -30 to 30 per cent, up positive");
    if (!slope) return tl::unexpected<Error>(slope.error());
    strip.slope = *slope / 100;
    c.slope_said = true;
  }
  const auto length = parse_measure(Measure::height, a.length, u);
  if (!length) return tl::unexpected<Error>(length.error());
  strip.length = metres(*length);
  if (!a.surface.empty()) {
    const auto surface = surface_of_words(a.surface);
    if (!surface)
      return fail(ErrorKind::bad_input, "a surface is one of: short grass, long grass, hard, sand, stones, stubble", "--surface");
    strip.surface = *surface;
  }
  c.strips.push_back(strip);
  return c;
}

Result<FieldChange> with_obstacle(const SaidField& a, const UnitChoice& u, const SaidWhen&) {
  FieldChange c;
  c.field = a.field;
  c.of_strip = a.strip;
  c.no_obstacles = a.none;
  if (a.none) return c;
  const auto kind = obstacle_of_words(a.obstacle);
  if (!kind)
    return fail(ErrorKind::bad_input, "an obstacle is one of: trees, hedge, wires, building, fence, crop, other",
                a.obstacle.empty() ? "obstacle" : a.obstacle);
  const auto distance = parse_measure(Measure::height, a.distance, u);
  if (!distance) return tl::unexpected<Error>(distance.error());
  const auto height = parse_measure(Measure::height, a.height, u);
  if (!height) return tl::unexpected<Error>(height.error());
  c.obstacle = FieldObstacle{*kind, metres(*distance), metres(*height)};
  return c;
}

Result<FieldChange> as_walked(const SaidField& a, const UnitChoice&, const SaidWhen& when) {
  FieldChange c;
  c.field = a.field;
  c.of_strip = a.strip;
  c.walked = when.clock.now();
  if (!a.at.empty()) {
    const auto at = parse_when(a.at, when.clock, when.zone);
    if (!at) return tl::unexpected<Error>(at.error());
    if (*at > *c.walked) return fail(ErrorKind::out_of_range, "that is still to come", "--at");
    c.walked = *at;
  }
  return c;
}

constexpr std::array kSaidFieldKinds = {SaidFieldKind{"field", described}, SaidFieldKind{"strip", with_strip},
                                        SaidFieldKind{"obstacle", with_obstacle}, SaidFieldKind{"walked", as_walked}};

}  // namespace

Result<PlainFacts> SaidFieldKind::make(const SaidField& said, const UnitChoice& units, const Subjects& subjects,
                                       const SaidWhen& when) const {
  const auto changed = change(said, units, when);
  if (!changed) return tl::unexpected<Error>(changed.error());
  return field_facts_of(*changed, subjects.state());
}

const SaidFieldKind* find_said_field_kind(std::string_view name) {
  for (const auto& kind : kSaidFieldKinds)
    if (kind.name == name) return &kind;
  return nullptr;
}

}  // namespace headroom
