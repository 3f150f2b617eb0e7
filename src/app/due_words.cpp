#include "app/due_words.h"

#include <fmt/format.h>

#include <cmath>

#include "app/said_time.h"
#include "formats/say.h"

namespace headroom {

namespace {

const char* counted_in(DueCounter::Counts counts) {
  switch (counts) {
    case DueCounter::Counts::running:
      return " running";
    case DueCounter::Counts::air:
      return " in the air";
    case DueCounter::Counts::launches:
      return " launches";
    case DueCounter::Counts::calendar:
      break;
  }
  return "";
}

std::string counter_sentence(const DueCounter& c, const UnitChoice& units) {
  Amount left = c.left;
  const bool past = left.mid < 0;
  if (past) left.mid = -left.mid;
  return say_amount(left, units, false) + counted_in(c.counts) + (past ? " past " : " left of ") +
         say_amount(c.have, units, false);
}

}  // namespace

std::string due_left_text(const DueLine& line, const UnitChoice& units) {
  std::string text;
  for (const auto& c : line.counters)
    if (c.left.known()) text += (text.empty() ? "" : "; ") + counter_sentence(c, units);
  return text.empty() ? text : text + ".";
}

std::string due_chance_text(const DueLine& line, Clock& clock, const std::string& zone) {
  if (!line.chance_by || line.state == MarginState::unknown || line.state == MarginState::short_of) return {};
  return fmt::format("Chance of falling due by {}: {}.", local_text(line.by, clock, zone, false), say_chance(*line.chance_by));
}

std::string due_date_text(const DueLine& line, Clock& clock, const std::string& zone) {
  if (line.state == MarginState::unknown || !line.date.known()) return {};
  const auto date = [&](double s) { return local_text(shifted(UtcTime{}, seconds(std::floor(s))), clock, zone, false); };
  const auto low = date(line.date.low), mid = date(line.date.mid), high = date(line.date.high);
  return "about " + mid + (low == high ? "" : ", from " + low + " to " + high);
}

}  // namespace headroom
