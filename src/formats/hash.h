#pragma once
// SHA-256 (FIPS 180-4), by libsodium.
#include <array>
#include <cstddef>
#include <string_view>

#include "core/book/entry.h"

namespace headroom {

[[nodiscard]] Hash sha256(std::string_view bytes);

}  // namespace headroom
