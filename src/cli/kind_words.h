#pragma once
// Kinds of entries as an owner names them: the words of `headroom enter`.
#include <string>
#include <string_view>

#include "core/book/facts.h"

namespace headroom {

[[nodiscard]] std::string kind_words();                  // "hours|head|...", as the type of an option
[[nodiscard]] bool is_kind_word(std::string_view word);  // or the name that the book keeps: "fuel_left"
[[nodiscard]] bool is_of_kind(std::string_view word, const EntryHeader& header, const PlainFacts* facts);
[[nodiscard]] std::string kind_word(const EntryHeader& header, const PlainFacts* facts);

}  // namespace headroom
