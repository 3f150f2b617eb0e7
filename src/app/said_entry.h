#pragma once
// What no recorder sees, as the owner says it: words and figures as typed, and the facts of an entry made from them.
#include <span>
#include <string>
#include <string_view>

#include "app/enter.h"
#include "core/unit_choice.h"

namespace headroom {

// Everything that any kind of entry asks for, as typed; empty, -1 or off: not said. Each kind reads its own. Texts are read when
// the entry is made, since a bare number is in the owner's unit and the units stand in the book.
struct SaidEntry {
  std::string at, text, value, part, part2, ratio, oil, tank, reading_word, made, name, role, currency, state;
  bool wet = false, dry = false, grounding = false, deferred = false;
  std::string running_before, air_before, ground_before;
  int launches_before = -1, launches = 0;
  std::string running, air, calendar, title, line, unit;
  bool drop = false;
  std::string headwind, tailwind, temperature, height, field, strip, surface, all_up;
  int steps = -1;
  bool wheels = false, on_foot = false;
};

struct SaidWhen {
  Clock& clock;
  const std::string& zone;  // the owner's
};

struct SaidKind {
  std::string_view name;  // "plug", "take-off-run"
  Result<PlainFacts> (*make)(const SaidEntry&, const UnitChoice&, const Subjects&, const SaidWhen&);
};
// All kinds that an owner enters in words, and the one of that name; null when there is none.
[[nodiscard]] std::span<const SaidKind> said_kinds();
[[nodiscard]] const SaidKind* find_said_kind(std::string_view name);

// What was left out of an amendment stays as it was in `before`. Of another kind than `made`: nothing is done (amend() refuses
// it).
void keep_unsaid(PlainFacts& made, const PlainFacts& before, const SaidEntry& said, bool time_said);

}  // namespace headroom
