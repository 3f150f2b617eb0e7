// Any bytes through the NMEA reader, whole and cut where the first byte says; accounts must balance.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/nmea.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  ReadOptions options;
  if (size > 1 && data[1] % 2 == 0) options.latest_plausible = utc(2026, 5, 1);
  const Recording whole = read_nmea(text, options);
  NmeaReader reader(options);
  const std::size_t step = size == 0 ? 1 : data[0] % 61 + 1U;
  for (std::size_t at = 0; at < size; at += step) reader.feed(text.substr(at, step));
  const Recording cut = reader.finish();
  const LineAccount& a = whole.account;
  if (a.lines != a.fixes + a.other + a.dropped || a.fixes != whole.fixes.size()) std::abort();
  if (cut.fixes.size() != whole.fixes.size() || cut.account.lines != a.lines || cut.account.dropped != a.dropped ||
      cut.warnings.size() != whole.warnings.size())
    std::abort();
  for (const Channel& c : whole.channels)
    if (c.raw.size() != whole.fixes.size()) std::abort();
  return 0;
}
