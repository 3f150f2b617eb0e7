// Any bytes through the GPX reader; accounts must balance.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/gpx.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  ReadOptions options;
  if (size > 1 && data[1] % 2 == 0) options.latest_plausible = utc(2026, 5, 1);
  const Recording r = read_gpx({reinterpret_cast<const char*>(data), size}, options);
  const LineAccount& a = r.account;
  if (a.lines != a.fixes + a.other + a.dropped || a.fixes != r.fixes.size()) std::abort();
  for (const Channel& c : r.channels)
    if (c.raw.size() != r.fixes.size()) std::abort();
  return 0;
}
