#pragma once
// What an entry says, in one line, for lists and answers.
#include <string>

#include "core/book/facts.h"
#include "core/book/state.h"
#include "core/unit_choice.h"

namespace headroom {

// "Plug: tan, dry". Names of parts and services are those of `state`.
[[nodiscard]] std::string facts_sentence(const PlainFacts& facts, const State& state, const UnitChoice& units);

}  // namespace headroom
