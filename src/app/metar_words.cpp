#include "app/metar_words.h"

namespace headroom {

CalcWords metar_words(const WeatherReport& report) {
  CalcWords out;
  for (const ReadGroup& g : report.groups)
    out.rows.emplace_back(g.text, (g.fate == ReadGroup::Fate::left_out ? "left out: " : "") + g.read_as);
  if (report.conditions.unreadable.any())
    out.sentences.emplace_back("What is not read is unknown, even where another group states it; look at the report itself.");
  out.caution = "A report of another place and an earlier time: at your field it may blow otherwise.";
  return out;
}

}  // namespace headroom
