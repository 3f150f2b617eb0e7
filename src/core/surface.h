#pragma once
// What the ground under a take-off run is like on the day. What a strip is covered with: FieldSurface (core/book/field.h).
#include <cstdint>

namespace headroom {

// The classes of UK CAA Safety Sense 09 (2024); their factors: surface_factor (core/planning/take_off.h).
enum class Surface : std::uint8_t { firm, dry_grass, wet_grass, soft_or_snow };

}  // namespace headroom
