#pragma once
// A field described by walking it: a recording in, what it says of the field out, and what of that goes into the book.
#include <string>
#include <vector>

#include "app/access.h"
#include "app/field.h"
#include "core/planning/walk.h"

namespace headroom {

struct WalkedFile {
  Walk walk;
  std::string format;
  bool simulated = false;
  std::vector<std::string> notes;  // of the reading: what was dropped or doubted
};

// Any recording that debrief reads, packed or not, as long as it is one. Errors: those of the file; refused when it holds a
// flight; those of read_walk.
[[nodiscard]] Result<WalkedFile> read_walk_file(const std::string& path, Ports& ports);

// The strips by name: `name` for the first and "NAME back" for the other way; without one the tens of degrees of their direction,
// as runways are named, from the true direction: "09", "27". Lengths are cut to whole metres, directions rounded to whole
// degrees.
[[nodiscard]] std::vector<FieldStrip> strips_of_walk(const Walk& walk, const std::string& name);

// For field_facts_of. A position and a height that the field has already stay: they were entered. `state` is the book's.
// refused: an invented recording for a real book or the other way round.
[[nodiscard]] Result<FieldChange> change_of_walk(const WalkedFile& walked, const std::string& field, const std::string& strip,
                                                 const State& state);

}  // namespace headroom
