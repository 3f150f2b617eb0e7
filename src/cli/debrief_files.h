#pragma once
// What headroom debrief writes beside the book when asked: the series and the drawing of one recording.
#include "app/debrief.h"
#include "cli/command.h"
#include "cli/display.h"

namespace headroom {

struct DebriefOutputs {
  std::string series, plot;  // where to; empty: not asked for
  [[nodiscard]] bool any() const { return !series.empty() || !plot.empty(); }
};

// What of the call is wrong before anything is read: names that another kind of file would bear, more than one recording.
[[nodiscard]] Result<void> check_outputs(const DebriefOutputs& outputs, std::size_t recordings);
// `file` was debriefed with keep_track.
[[nodiscard]] Result<void> write_outputs(const DebriefOutputs& outputs, const DebriefedFile& file, const Session& session,
                                         World& world);

}  // namespace headroom
