#pragma once
// A sentence for people whose figures are still quantities: core writes the words, the edge writes the figures in the
// owner's units, zone and number form.
#include <functional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/estimate.h"

namespace headroom {

// `text` holds {0}, {1}, ... for `parts`; a part is a quantity or words (the owner's own text stays out of `text`, so that
// a brace in it means nothing). A number without a part stays as it stands.
struct Sentence {
  using Part = std::variant<Amount, std::string>;
  std::string text;
  std::vector<Part> parts;

  Sentence() = default;
  Sentence(const char* words) : text(words) {}             // NOLINT(google-explicit-constructor): a plain sentence is one
  Sentence(std::string words) : text(std::move(words)) {}  // NOLINT(google-explicit-constructor)
  Sentence(std::string words, std::vector<Part> of) : text(std::move(words)), parts(std::move(of)) {}
};

// The sentence with every part put in its place; `figure` writes a quantity.
[[nodiscard]] std::string render(const Sentence& sentence, const std::function<std::string(const Amount&)>& figure);

}  // namespace headroom
