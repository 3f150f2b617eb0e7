#pragma once
// The program's version, from CMakeLists.txt.

namespace headroom {

inline constexpr const char* kVersion = HEADROOM_VERSION;
// The day on which the texts of the manual pages were last gone over.
inline constexpr const char* kPagesDate = "2026-11-25";

}  // namespace headroom
