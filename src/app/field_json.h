#pragma once
// A field and its strips as the command line and the page show them.
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

// docs/schemas/field.json, one of its fields.
[[nodiscard]] AnswerJson field_json(const FieldState& field);
// "09: towards 90°, 180 m, short grass, 1.5 % up; trees 12 m high at 230 m; walked 2026-05-02."
[[nodiscard]] std::string strip_sentence(const FieldStrip& strip, const Session& session, Clock& clock);
// "Upper meadow, 420 m above sea level, at 52.31000, 0.42000"
[[nodiscard]] std::string field_title(const FieldState& field, const Session& session);

}  // namespace headroom
