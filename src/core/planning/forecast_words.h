#pragma once
// What margins say of the forecast they count.
#include <string>
#include <string_view>
#include <vector>

#include "core/planning/brief_day.h"

namespace headroom {

// Stands first where the figures are of what prevails and only the chance counts what may come on top of it.
inline constexpr const char* kOnTop = "The figures are of what prevails; what may come on top of it is in the chance alone.";

// How firm a group is and when: "prevails from 15:00 UTC", "30 in 100, for less than an hour at a time".
[[nodiscard]] std::string firmness_words(const ForecastGroup& group);

// Why a piece ("the wind") is not known until the landing, as sentences: the forecast does not go that far, or a group that may
// be about it could not be read. Empty where it is known, and without a forecast.
[[nodiscard]] std::vector<Sentence> forecast_gaps(const DayPlan& plan, const std::vector<std::string>& unread,
                                                  std::string_view piece);

// The chance that at least one of several independent things happens, each met with its own chance.
class AnyOf {
 public:
  void add(double chance) { none_ *= 1 - chance; }
  [[nodiscard]] double chance() const { return 1 - none_; }

 private:
  double none_ = 1;
};

}  // namespace headroom
