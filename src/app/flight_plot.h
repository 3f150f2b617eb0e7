#pragma once
// What a drawing of a flight shows, in the owner's units and words, ready to be drawn by a Paper: nothing here knows how.
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/ports.h"
#include "core/track/analyse.h"
#include "core/track/detail.h"
#include "core/unit_choice.h"

namespace headroom {

// One line against time. `low` and `high` are empty or as long as `value` (the 5 and 95 % of it); not a number: a break.
struct PlotLine {
  std::string name;  // written at the line; empty where the axis names it
  std::vector<double> time_s, value, low, high;
  bool second = false;  // drawn dashed, in the accent
};

struct PlotPanel {
  std::string axis;        // with its unit: "Height, m"
  bool with_zero = false;  // the axis holds 0 and a line stands there
  std::vector<PlotLine> lines;
  std::string unknown;  // a sentence in place of lines
};

// The mean wind of one layer: today's circle on its interval.
struct PlotLayer {
  double bottom = 0, top = 0;  // on the axis of the first panel
  double low = 0, mid = 0, high = 0;
  std::string from;       // "240°"
  bool doubtful = false;  // the interval reaches still air: drawn dotted
};

struct FlightPlot {
  std::string title, beneath;  // beneath: sentences that say what to see
  double begin_s = 0, end_s = 0;
  std::string time_axis;                              // "Local time"
  std::vector<std::pair<double, std::string>> clock;  // marks of the time axis
  std::vector<std::pair<double, double>> engine_on;   // hatched; in order
  std::vector<PlotPanel> panels;                      // from the top: height, speed, climb
  std::string wind_axis, wind_unknown;                // unknown: a sentence, and no layers
  std::vector<PlotLayer> layers;                      // of the longest flight, from the bottom
};

// `details` as in series_csv. bad_input when there is no flight in it. Times are the clock's in `zone`.
[[nodiscard]] Result<FlightPlot> plan_flight_plot(const Analysis& analysis, std::vector<const FlightDetail*> details,
                                                  const UnitChoice& units, Clock& clock, const std::string& zone);

}  // namespace headroom
