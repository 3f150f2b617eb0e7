#pragma once
// Reader of KML 2.2 tracks: gx:Track and gx:MultiTrack, whose nth `when` is the time of the nth `gx:coord`.
// Source: OGC 12-007r2, KML 2.3 (which takes Track and MultiTrack into the standard), and KML 2.2 with its gx extensions.
// Any prefix is taken. A KML of lines and places without times is a map, not a recording: it gives no fix, and warning 33
// says what to bring instead.
//
// Elements are counted as lines are in text formats: `account.lines` = coordinates of tracks + all other elements of the
// document (docs/formats/kml.md). Heights of altitudeMode `absolute` are metres above sea level (datum geoid).
#include <string_view>

#include "core/track/recording.h"
#include "formats/read_options.h"

namespace headroom {

[[nodiscard]] Recording read_kml(std::string_view bytes, const ReadOptions& options = {});

}  // namespace headroom
