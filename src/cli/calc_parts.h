#pragma once
// What the questions of `headroom calc` share: options to figures, rows, and the air given by hand.
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/said_air.h"
#include "app/said_figure.h"
#include "cli/command.h"
#include "core/air/report.h"
#include "core/unit_choice.h"
#include "formats/answer_json.h"

namespace headroom {

using Rows = std::vector<std::pair<std::string, std::string>>;
// Label and value side by side, or one under the other where it is narrow.
[[nodiscard]] std::string rows_text(const Rows& rows, std::size_t width, std::size_t column = 26);

// The air of one place.
using AirArguments = SaidAir;
void add_air_options(CLI::App& command, AirArguments& arguments);

// SI or null.
template <class Q>
AnswerJson si_or_null(const std::optional<Q>& value) {
  return value ? AnswerJson(finite_number(value->si())) : AnswerJson(nullptr);
}

}  // namespace headroom
