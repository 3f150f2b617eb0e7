#pragma once
// The machine over time: head maxima, plugs, burn, alterations, what is due and what was found, each with a sentence that says
// what to see. Figures for axes are plain numbers in the owner's unit.
#include "app/ports.h"
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

// {"head", "plugs", "plugs_text", "burn", "alterations", "due", "findings"}: members of docs/openapi.yaml's shed.
[[nodiscard]] AnswerJson shed_json(const Session& session, Clock& clock);

}  // namespace headroom
