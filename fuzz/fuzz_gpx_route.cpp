// Any bytes through the GPX route reader: two points or more, all of them on the earth.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/gpx_route.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const auto r = read_route({reinterpret_cast<const char*>(data), size});
  if (!r) return r.error().what.empty() ? (std::abort(), 0) : 0;
  if (r->size() < 2) std::abort();
  for (const RoutePoint& p : *r)
    if (!(p.position.latitude_deg >= -90 && p.position.latitude_deg <= 90 && p.position.longitude_deg >= -180 &&
          p.position.longitude_deg <= 180))
      std::abort();
  return 0;
}
