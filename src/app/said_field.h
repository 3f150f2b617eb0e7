#pragma once
// What the owner says of a field, as typed: a place, a strip of it, what has to be cleared there, that it was walked.
#include <string>
#include <string_view>

#include "app/field.h"
#include "app/said_entry.h"
#include "core/unit_choice.h"

namespace headroom {

// Texts as typed, each with its unit or in the owner's; empty: not said. Each kind reads its own.
struct SaidField {
  std::string field, strip, height, place, note, landable, length, surface, obstacle, distance, at, towards, slope;
  bool none = false;  // forget the obstacles entered
};

struct SaidFieldKind {
  std::string_view name;  // "field", "strip", "obstacle", "walked"
  // bad_input and out_of_range name the option.
  Result<FieldChange> (*change)(const SaidField&, const UnitChoice&, const SaidWhen&);
  [[nodiscard]] Result<PlainFacts> make(const SaidField& said, const UnitChoice& units, const Subjects& subjects,
                                        const SaidWhen& when) const;
};
[[nodiscard]] const SaidFieldKind* find_said_field_kind(std::string_view name);

}  // namespace headroom
