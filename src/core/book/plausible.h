#pragma once
// What an entry may say at all: a slip of the finger is refused with the range before it becomes history. The ranges are
// wide on purpose (common practice, no source): they stop a wrong unit or a missing point, not an unusual machine.
#include "core/book/facts.h"

namespace headroom {

// out_of_range with the value's range in the sentence, in SI and the everyday metric unit.
[[nodiscard]] Result<void> check_plausible(const PlainFacts& facts);

}  // namespace headroom
