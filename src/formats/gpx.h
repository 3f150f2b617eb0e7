#pragma once
// Reader of GPX 1.0 and 1.1 tracks.
// Source: the GPX 1.1 schema, namespace http://www.topografix.com/GPX/1/1, and its 1.0 forerunner. Any prefix and any
// child order is taken. Heights are in metres from an unstated zero (datum unknown); positions WGS 84.
//
// Elements are counted as lines are in text formats: `account.lines` = trkpt elements + all other elements of the
// document (see docs/formats/gpx.md).
#include <string_view>

#include "core/track/recording.h"
#include "formats/read_options.h"

namespace headroom {

[[nodiscard]] Recording read_gpx(std::string_view bytes, const ReadOptions& options = {});

}  // namespace headroom
