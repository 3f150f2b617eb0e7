#include "core/book/field.h"

#include <array>
#include <utility>

namespace headroom {
namespace {

constexpr std::array<std::pair<FieldSurface, std::string_view>, 7> kSurfaceWords{{{FieldSurface::unsaid, "unsaid"},
                                                                                  {FieldSurface::short_grass, "short grass"},
                                                                                  {FieldSurface::long_grass, "long grass"},
                                                                                  {FieldSurface::hard, "hard"},
                                                                                  {FieldSurface::sand, "sand"},
                                                                                  {FieldSurface::stones, "stones"},
                                                                                  {FieldSurface::stubble, "stubble"}}};
constexpr std::array<std::pair<ObstacleKind, std::string_view>, 7> kObstacleWords{{{ObstacleKind::trees, "trees"},
                                                                                   {ObstacleKind::hedge, "hedge"},
                                                                                   {ObstacleKind::wires, "wires"},
                                                                                   {ObstacleKind::building, "building"},
                                                                                   {ObstacleKind::fence, "fence"},
                                                                                   {ObstacleKind::crop, "crop"},
                                                                                   {ObstacleKind::other, "other"}}};

bool same_words(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    const char x = a[i] == '_' || a[i] == '-' ? ' ' : a[i];
    if (x != b[i]) return false;
  }
  return true;
}

}  // namespace

std::string_view surface_words(FieldSurface surface) {
  return kSurfaceWords[static_cast<std::size_t>(surface)].second;
}
std::string_view obstacle_words(ObstacleKind obstacle) {
  return kObstacleWords[static_cast<std::size_t>(obstacle)].second;
}
std::optional<FieldSurface> surface_of_words(std::string_view words) {
  for (const auto& [surface, name] : kSurfaceWords)
    if (same_words(words, name)) return surface;
  return std::nullopt;
}
std::optional<ObstacleKind> obstacle_of_words(std::string_view words) {
  for (const auto& [kind, name] : kObstacleWords)
    if (same_words(words, name)) return kind;
  return std::nullopt;
}

std::optional<std::string> strip_fault(const FieldStrip& strip) {
  const auto within = [](double value, double low, double high) { return value >= low && value <= high; };
  if (strip.name.empty()) return "a strip needs a name";
  if (!within(strip.towards_deg, 0, 360)) return "a strip points 0 to 360 degrees from true north";
  if (!within(in_metres(strip.length), 5, 5000)) return "a strip is 5 to 5000 m long";
  if (!within(strip.slope, -0.3, 0.3)) return "a strip slopes at most 30 % up or down";
  for (const FieldObstacle& o : strip.obstacles) {
    if (!within(in_metres(o.distance), 0, 5000)) return "an obstacle stands 0 to 5000 m from the beginning of the strip";
    if (!within(in_metres(o.height), 0, 300)) return "an obstacle is up to 300 m high";
  }
  return std::nullopt;
}

}  // namespace headroom
