// Any bytes through the TAF reader and over the hours it is for: parts lie within the forecast, what could not be read is not
// used.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/taf.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const auto r = read_taf({reinterpret_cast<const char*>(data), size}, utc(2026, 3, 15));
  if (!r) return r.error().what.empty() ? (std::abort(), 0) : 0;
  if (r->parts.empty() || r->from >= r->to) std::abort();
  for (const ForecastPart& p : r->parts) {
    const Conditions& c = p.conditions;
    if (p.from >= p.to || p.to <= r->from || p.from >= r->to) std::abort();
    if ((c.unreadable.wind && c.wind) || (c.unreadable.visibility && c.visibility) || (c.unreadable.sky && c.sky)) std::abort();
  }
  for (const ReadGroup& g : r->groups)
    if (g.text.empty() || g.read_as.empty()) std::abort();
  for (UtcTime t = r->from; t < r->to; t += std::chrono::hours(1)) {
    const auto o = conditions_over(*r, t, t + std::chrono::hours(1));
    if (o.wind.prevailing.empty() && o.wind.unknown.empty()) std::abort();
    for (const auto& w : o.wind.passing)
      if (w.part >= r->parts.size()) std::abort();
  }
  return 0;
}
