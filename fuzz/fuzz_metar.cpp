// Any bytes through the METAR reader: each group is named, and what could not be read is not used.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/metar.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  const auto r = read_metar({reinterpret_cast<const char*>(data), size}, utc(2026, 3, 15));
  if (!r) return r.error().what.empty() ? (std::abort(), 0) : 0;
  const Conditions& c = r->conditions;
  if ((c.unreadable.wind && c.wind) || (c.unreadable.visibility && c.visibility) || (c.unreadable.sky && c.sky)) std::abort();
  if (c.wind && !(c.wind->mean >= Speed{} && c.wind->mean <= knots(251))) std::abort();
  for (const ReadGroup& g : r->groups)
    if (g.text.empty() || g.read_as.empty()) std::abort();
  return 0;
}
