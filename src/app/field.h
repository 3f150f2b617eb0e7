#pragma once
// A field described bit by bit: each change writes the whole description anew, under the id of the first.
#include <optional>
#include <string>
#include <vector>

#include "app/enter.h"
#include "core/book/field.h"

namespace headroom {

// The field meant by a name or by the beginning of its id. not_found names those there are.
[[nodiscard]] Result<const FieldState*> find_field(const State& state, std::string_view word);
// not_found names the strips there are. An empty word is the only strip, if there is only one.
[[nodiscard]] Result<const FieldStrip*> find_strip(const FieldState& field, std::string_view word);

struct FieldChange {
  std::string field;  // name; a new one is registered when `describe` is set and none has it
  bool describe = false;
  std::optional<AltitudeMsl> height;
  std::optional<GeoPosition> position;
  std::optional<std::string> text, landable;
  std::optional<Hash> photo;  // of a blob written with it
  bool slope_said = false;    // else the strips keep the slopes they had
  // Each added, or put in the place of the one of that name; its obstacles and walk stay when it has none.
  std::vector<FieldStrip> strips;
  std::string of_strip;  // for the three below
  std::optional<FieldObstacle> obstacle;
  bool no_obstacles = false;  // forget those entered
  std::optional<UtcTime> walked;
};

// Facts for enter(). bad_input when a strip cannot be (strip_fault).
[[nodiscard]] Result<PlainFacts> field_facts_of(const FieldChange& change, const State& state);

}  // namespace headroom
