#pragma once
// The files of the page, put into the program when it is built (cmake/headroom_page.cmake).
#include <span>

#include "adapters/http/asset.h"

namespace headroom::http {

[[nodiscard]] std::span<const Asset> page_assets();

}  // namespace headroom::http
