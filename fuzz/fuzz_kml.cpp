// Any bytes through the KML reader; accounts must balance.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/kml.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const Recording r = read_kml({reinterpret_cast<const char*>(data), size});
  const LineAccount& a = r.account;
  if (a.lines != a.fixes + a.other + a.dropped || a.fixes != r.fixes.size()) std::abort();
  return 0;
}
