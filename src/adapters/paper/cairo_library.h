#pragma once
// cairo, opened when something is to be drawn and not before (docs/decisions/0011-cairo-on-demand.md).
#include <cairo/cairo-svg.h>

#include "core/result.h"

namespace headroom {

// The functions of libcairo.so.2 that are used here, under their own names without "cairo_".
struct CairoLibrary {
#define HEADROOM_CAIRO(name) decltype(&::cairo_##name) name = nullptr;
#include "adapters/paper/cairo_functions.inc"
#undef HEADROOM_CAIRO
};

// Opens it the first time and keeps it. ErrorKind::io when it is not installed.
[[nodiscard]] Result<const CairoLibrary*> open_cairo();

}  // namespace headroom
