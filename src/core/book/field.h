#pragma once
// What a field is, as far as a take-off asks: strips with their obstacles, as walked by the owner.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/time.h"
#include "core/units.h"

namespace headroom {

// What the strip is covered with. Its state of the day (wet, snow, mown) is told to the brief.
enum class FieldSurface : std::uint8_t { unsaid, short_grass, long_grass, hard, sand, stones, stubble };
enum class ObstacleKind : std::uint8_t { trees, hedge, wires, building, fence, crop, other };

struct FieldObstacle {
  ObstacleKind kind = ObstacleKind::other;
  Length distance;  // from the beginning of the strip, along it
  Length height;    // above the strip's beginning
  bool operator==(const FieldObstacle&) const = default;
};

// One direction to launch in. The same ground in the other direction is another strip.
struct FieldStrip {
  std::string name;        // the owner's, short: "09", "to the barn"
  double towards_deg = 0;  // true, 0 to 360
  Length length;           // over which one can run and still stop
  double slope = 0;        // rise over run, up positive, -0.3 to 0.3
  FieldSurface surface = FieldSurface::unsaid;
  std::vector<FieldObstacle> obstacles;  // in and beyond it
  std::optional<UtcTime> walked;         // when the obstacles were last looked for on foot; never: they are not known
  bool operator==(const FieldStrip&) const = default;
};

[[nodiscard]] std::string_view surface_words(FieldSurface surface);    // "short grass"
[[nodiscard]] std::string_view obstacle_words(ObstacleKind obstacle);  // "trees"
// The words above, also with "_" or "-" for the space.
[[nodiscard]] std::optional<FieldSurface> surface_of_words(std::string_view words);
[[nodiscard]] std::optional<ObstacleKind> obstacle_of_words(std::string_view words);

// What a strip can be: lengths of 5 to 5000 m, obstacles within 5000 m and up to 300 m high. The sentence says what is wrong.
[[nodiscard]] std::optional<std::string> strip_fault(const FieldStrip& strip);

}  // namespace headroom
