#include "adapters/paper/cairo_library.h"

#include <dlfcn.h>

namespace headroom {

Result<const CairoLibrary*> open_cairo() {
  static CairoLibrary library;
  static bool opened = false;
  if (opened) return &library;
  void* file = dlopen("libcairo.so.2", RTLD_NOW | RTLD_LOCAL);
  if (file == nullptr)
    return fail(ErrorKind::io, "drawing needs the library cairo, which is not installed (Debian package libcairo2)");
  CairoLibrary found;
#define HEADROOM_CAIRO(name)                                                                                        \
  found.name = reinterpret_cast<decltype(found.name)>(dlsym(file, "cairo_" #name)); /* NOLINT: what dlsym is for */ \
  if (found.name == nullptr) return fail(ErrorKind::io, "the cairo installed here is older than 1.16");
#include "adapters/paper/cairo_functions.inc"
#undef HEADROOM_CAIRO
  library = found;
  opened = true;
  return &library;
}

}  // namespace headroom

#if defined(__SANITIZE_ADDRESS__)
// fontconfig, which cairo loads, keeps parts of its configuration until the process ends and never frees them. Only what it
// allocates itself is passed over. The names are the sanitizer's own.
extern "C" const char* __lsan_default_suppressions();   // NOLINT(bugprone-reserved-identifier)
extern "C" const char* __lsan_default_suppressions() {  // NOLINT(bugprone-reserved-identifier)
  return "leak:libfontconfig\n";
}
extern "C" const char* __lsan_default_options();   // NOLINT(bugprone-reserved-identifier)
extern "C" const char* __lsan_default_options() {  // NOLINT(bugprone-reserved-identifier)
  return "print_suppressions=0";
}
#endif
