#pragma once
// The program's version, from CMakeLists.txt.

namespace headroom {

inline constexpr const char* kVersion = HEADROOM_VERSION;

}  // namespace headroom
