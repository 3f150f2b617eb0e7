#include "core/planning/forecast_words.h"

#include <cmath>

namespace headroom {
namespace {

std::string utc_words(UtcTime t) {
  return rfc3339(t).substr(11, 5) + " UTC";
}

}  // namespace

std::string firmness_words(const ForecastGroup& group) {
  switch (group.kind) {
    case ChangeKind::base:
      return "prevails";
    case ChangeKind::from:
      return "prevails from " + utc_words(group.from);
    case ChangeKind::becoming:
      return "comes gradually and stays; counted from " + utc_words(group.from);
    case ChangeKind::temporary:
      return chance_words(group.kind, group.percent) +
             (group.chance >= 0.95 ? "; counted as certain"
                                   : "; counted as " + std::to_string(std::lround(10 * group.chance)) + " in 10");
    case ChangeKind::probable:
    case ChangeKind::probable_temporary:
      return chance_words(group.kind, group.percent);
  }
  return {};
}

std::vector<Sentence> forecast_gaps(const DayPlan& plan, const std::vector<std::string>& unread, std::string_view piece) {
  std::vector<Sentence> out;
  if (!plan.day.forecast) return out;
  const DayForecast& f = *plan.day.forecast;
  if (f.from > plan.start)
    out.push_back(Sentence("The {0} says nothing of {1} before {2}.", {f.source, std::string(piece), utc_words(f.from)}));
  if (f.to < plan.landing)
    out.push_back(Sentence("The {0} ends at {1}: of {2} between then and the landing at {3} nothing is known.",
                           {f.source, utc_words(f.to), std::string(piece), utc_words(plan.landing)}));
  for (const auto& group : unread)
    out.push_back(Sentence("In \"{0}\" {1} is not said or could not be read: it is not known.", {group, std::string(piece)}));
  return out;
}

}  // namespace headroom
