#pragma once
// The one encoder of answers, for --json and for the page: SI, the unit in the key (`climb_50_m_s`), times RFC 3339 UTC,
// an unknown as null. docs/formats/answers.md lists every answer.
#include <nlohmann/json.hpp>

#include "core/estimate.h"
#include "core/margin.h"
#include "core/planning/brief.h"
#include "core/track/flight.h"
#include "core/track/recording.h"
#include "core/unit_choice.h"
#include "core/upkeep/due.h"

namespace headroom {

using AnswerJson = nlohmann::ordered_json;

[[nodiscard]] std::string_view unit_suffix(Dimension dimension);  // "m", "m_s", "s", "K", "kg", "m3", ...
[[nodiscard]] std::string_view state_name(MarginState state);     // "short", "thin", "ample", "unknown"
[[nodiscard]] std::string basis_text(const Basis& basis);         // "assumed", "learned from 14", "measured", "unknown"

// {"low", "mid", "high", "basis", "n"}; {"basis": "unknown", "note"} when unknown.
[[nodiscard]] AnswerJson amount_json(const Amount& amount);
[[nodiscard]] AnswerJson warnings_json(const std::vector<Warning>& warnings);
[[nodiscard]] AnswerJson account_json(const LineAccount& account);
[[nodiscard]] AnswerJson flight_json(const Flight& flight);
// Sentences are written in the owner's units, as the terminal shows them; figures stand beside them in SI.
[[nodiscard]] AnswerJson margin_json(const Margin& margin, const UnitChoice& units);
[[nodiscard]] AnswerJson brief_json(const Brief& brief, const UnitChoice& units);
[[nodiscard]] AnswerJson due_json(const std::vector<DueLine>& lines, const UseRate& rate, UtcTime now, const UnitChoice& units);
[[nodiscard]] AnswerJson sentences_json(const std::vector<Sentence>& sentences, const UnitChoice& units);
// Text as JSON, two spaces deep, bytes that are not UTF-8 replaced by U+FFFD, ending in a line feed. How things are typed on the
// command line (core/typed.h) stands in it as any other words.
[[nodiscard]] std::string answer_text(const AnswerJson& answer);
// The same on one line and without how things are typed on the command line, in every string of the answer.
[[nodiscard]] std::string answer_text_for_page(AnswerJson answer);

// A number that JSON can carry: NaN and infinities, which nlohmann would write as null unseen, are a mistake of ours.
[[nodiscard]] double finite_number(double value);

}  // namespace headroom
