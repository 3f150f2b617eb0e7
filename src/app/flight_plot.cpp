#include "app/flight_plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "core/track/story.h"
#include "formats/say.h"

namespace headroom {
namespace {

constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();
constexpr double kGroundShown_s = 60;
constexpr double kPlotPoints = 300;

struct PlotScale {
  double factor;
  std::string name;
};
PlotScale plot_scale(Measure measure, const UnitChoice& units) {
  const auto& unit = units.of(measure);
  return {unit.factor, std::string(unit.name)};
}

double track_seconds(const Analysis& a, std::size_t fix) {
  return in_seconds(duration_between(a.track.fixes.front().time, a.track.fixes[fix].time));
}

// The fixes that are shown: the flights and a minute of ground at either end.
std::pair<std::size_t, std::size_t> shown_fixes(const Analysis& a) {
  auto first = a.found.front().first, last = a.found.back().last;
  const double from = track_seconds(a, first) - kGroundShown_s, to = track_seconds(a, last) + kGroundShown_s;
  while (first > 0 && track_seconds(a, first - 1) >= from) --first;
  while (last + 1 < a.track.fixes.size() && track_seconds(a, last + 1) <= to) ++last;
  return {first, last};
}

// One line as it is collected: the mean of what falls into each stretch of `over_s`, so that a long flight stays a line.
class PlotGather {
 public:
  PlotGather(PlotLine& line, double over_s) : line_(line), over_s_(over_s) {}
  PlotGather(const PlotGather&) = delete;
  PlotGather& operator=(const PlotGather&) = delete;
  ~PlotGather() { flush(); }

  void add(double t, double value, double spread) {
    const bool nothing = std::isnan(value);
    // Across a gap in the recording nothing is drawn.
    const bool gap = last_s_ && t - *last_s_ > kSmoothGap_s;
    last_s_ = t;
    if (count_ > 0 && (nothing || gap || t - begin_s_ >= over_s_)) flush();
    if ((nothing || gap) && !line_.value.empty() && !std::isnan(line_.value.back())) put(t, kNothing, 0);
    if (nothing) return;
    if (count_ == 0) begin_s_ = t;
    t_ += t;
    value_ += value;
    spread_ += spread;
    ++count_;
  }

 private:
  void flush() {
    if (count_ > 0) put(t_ / count_, value_ / count_, spread_ / count_);
    t_ = value_ = spread_ = 0;
    count_ = 0;
  }
  void put(double t, double value, double spread) {
    line_.time_s.push_back(t);
    line_.value.push_back(value);
    line_.low.push_back(value - kNormal95 * spread);
    line_.high.push_back(value + kNormal95 * spread);
  }

  PlotLine& line_;
  double over_s_, begin_s_ = 0, t_ = 0, value_ = 0, spread_ = 0;
  int count_ = 0;
  std::optional<double> last_s_;
};

bool any_value(const PlotLine& line) {
  return std::any_of(line.value.begin(), line.value.end(), [](double v) { return !std::isnan(v); });
}

// Round times of the owner's clock, at most eight.
std::vector<std::pair<double, std::string>> clock_marks(UtcTime zero, double begin_s, double end_s, int offset_min) {
  constexpr std::array<int, 12> kSteps_min = {1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440};
  double step = 60.0 * kSteps_min.back();
  for (const int minutes : kSteps_min) {
    if ((end_s - begin_s) / (60.0 * minutes) > 8) continue;
    step = 60.0 * minutes;
    break;
  }
  while ((end_s - begin_s) / step > 8) step *= 2;
  const double local_zero = static_cast<double>(zero.time_since_epoch().count()) / 1000 + 60.0 * offset_min;
  std::vector<std::pair<double, std::string>> out;
  for (double t = std::ceil((local_zero + begin_s) / step) * step; t <= local_zero + end_s; t += step) {
    const auto at = UtcTime(std::chrono::milliseconds(std::llround(t * 1000)));
    out.emplace_back(t - local_zero, rfc3339(at).substr(11, 5));
  }
  return out;
}

std::vector<std::pair<double, double>> engine_spans(const Analysis& a, const std::vector<const FlightDetail*>& details,
                                                    std::size_t first, std::size_t last) {
  std::vector<std::pair<double, double>> spans;
  for (const auto* d : details) {
    const auto& e = d->engine;
    if (!e.known()) continue;
    for (std::size_t k = 0; k < e.on.size(); ++k) {
      const auto fix = e.first + k;
      if (fix < first || fix >= last || e.on[k] < 0.5F) continue;
      const double from = track_seconds(a, fix), to = track_seconds(a, fix + 1);
      if (!spans.empty() && from <= spans.back().second)
        spans.back().second = std::max(spans.back().second, to);
      else
        spans.emplace_back(from, to);
    }
  }
  return spans;
}

std::string compass(double east, double north) {
  const double from = std::atan2(-east, -north) * 180 / std::numbers::pi;
  const int tens = static_cast<int>(std::lround((from < 0 ? from + 360 : from) / 10)) * 10;
  return fmt::format("{}°", tens == 0 ? 360 : tens);  // the wind is told to ten degrees, and north is 360
}

void add_layers(FlightPlot& plot, const FlightDetail& detail, double height_factor, double speed_factor) {
  if (!detail.wind.known()) {
    plot.wind_unknown = detail.wind.unknown;
    return;
  }
  std::vector<WindLayer> layers;
  for (const double thickness : {100.0, 200.0, 500.0, 1000.0}) {
    layers = wind_by_height(detail.velocities, detail.wind, metres(thickness));
    if (layers.size() <= 9) break;
  }
  if (layers.empty()) plot.wind_unknown = "The recording holds no heights to sort the wind by.";
  for (const auto& l : layers) {
    const double speed = std::hypot(l.east_m_s, l.north_m_s);
    const double spread = kNormal95 * l.spread_m_s / std::numbers::sqrt2;  // of one component
    plot.layers.push_back({l.bottom_m / height_factor, l.top_m / height_factor, std::max(0.0, speed - spread) / speed_factor,
                           speed / speed_factor, (speed + spread) / speed_factor, compass(l.east_m_s, l.north_m_s),
                           speed < spread});
  }
}

}  // namespace

Result<FlightPlot> plan_flight_plot(const Analysis& a, std::vector<const FlightDetail*> details, const UnitChoice& units,
                                    Clock& clock, const std::string& zone) {
  if (a.found.empty() || a.flights.empty() || details.size() < a.found.size())
    return fail(ErrorKind::bad_input, "there is no flight in this recording to draw");
  const auto [first, last] = shown_fixes(a);
  const auto height = plot_scale(Measure::height, units), speed = plot_scale(Measure::speed, units),
             climb = plot_scale(Measure::climb, units);
  FlightPlot plot;
  plot.begin_s = track_seconds(a, first);
  plot.end_s = std::max(track_seconds(a, last), plot.begin_s + 1);
  const bool by_pressure = a.track.has_pressure;

  PlotLine heights, ground, air, rates;
  ground.name = "over the ground";
  air.name = "through the air";
  air.second = true;
  // Up to two seconds a point nothing is averaged.
  const double span = (plot.end_s - plot.begin_s) / kPlotPoints, over = span > 2 ? std::ceil(span) : 0;
  {
    PlotGather heights_points(heights, over), ground_points(ground, over), air_points(air, over), rates_points(rates, over);
    std::size_t flight = 0;
    for (std::size_t i = first; i <= last; ++i) {
      const auto& f = a.smoothed.fixes[i];
      const double t = track_seconds(a, i);
      const auto& h = by_pressure ? f.pressure : f.gnss;
      heights_points.add(t, h.known ? h.height_m / height.factor : kNothing, 0);
      rates_points.add(t, h.known ? h.rate_m_s / climb.factor : kNothing,
                       std::sqrt(static_cast<double>(h.covariance.velocity)) / climb.factor);
      ground_points.add(t, std::hypot(f.east_m_s, f.north_m_s) / speed.factor, 0);
      while (flight + 1 < a.found.size() && a.found[flight].last < i) ++flight;
      const auto& found = a.found[flight];
      if (i < found.first || i > found.last || !details[flight]->wind.known()) {
        air_points.add(t, kNothing, 0);
        continue;
      }
      const auto w = details[flight]->wind.at(t);
      air_points.add(t, static_cast<double>(w.airspeed_m_s) / speed.factor,
                     std::sqrt(static_cast<double>(w.var_airspeed)) / speed.factor);
    }
  }
  plot.panels.push_back({(by_pressure ? "Pressure altitude, " : "Height, ") + height.name, false, {heights}, {}});
  plot.panels.push_back({"Speed, " + speed.name, true, {ground}, {}});
  if (any_value(air)) plot.panels.back().lines.push_back(air);
  plot.panels.push_back({"Climb, " + climb.name, true, {rates}, {}});
  if (!any_value(heights)) plot.panels[0].unknown = plot.panels[2].unknown = "No height in the recording.";
  plot.engine_on = engine_spans(a, details, first, last);

  std::size_t longest = 0;
  for (std::size_t k = 1; k < a.flights.size(); ++k)
    if (a.flights[k].summary.air_time > a.flights[longest].summary.air_time) longest = k;
  const auto& flown = a.flights[longest];
  const auto& detail = *details[longest];
  const auto offset = clock.offset_minutes(flown.launch, zone);
  const int minutes = offset ? *offset : 0;
  const auto local = rfc3339(flown.launch + std::chrono::minutes(minutes));
  plot.clock = clock_marks(a.track.fixes.front().time, plot.begin_s, plot.end_s, minutes);
  plot.time_axis =
      fmt::format("Local time, UTC{}{}:{:02}", minutes < 0 ? "-" : "+", std::abs(minutes) / 60, std::abs(minutes) % 60);
  plot.title = fmt::format("{}, {} {}: {} in the air", local.substr(0, 10), flown.begins_in_air ? "flying at" : "launch",
                           local.substr(11, 5), say_duration(flown.summary.air_time));
  if (a.flights.size() > 1) plot.title += fmt::format(" (the longest of {} flights shown)", a.flights.size());

  plot.wind_axis = "Wind, " + speed.name;
  add_layers(plot, detail, height.factor, speed.factor);
  for (const auto& sentence : engine_sentences(detail)) plot.beneath += say_sentence(sentence, units) + " ";
  if (!plot.engine_on.empty()) plot.beneath += "Hatched is where the engine is more likely on than not. ";
  plot.beneath += say_sentence(wind_sentence(detail), units) + " ";
  if (!plot.layers.empty())
    plot.beneath +=
        "On the right each height has its wind: the circle is the middle of what was found, nine times in ten the truth "
        "lies on its bar, and beside it stands where it came from. ";
  if (any_value(air))
    plot.beneath +=
        "The airspeed lies in the pale band nine times in ten; where the band is wide, the flight did not turn enough "
        "to tell it from the wind. ";
  if (!plot.panels[2].lines.empty() && plot.panels[2].unknown.empty())
    plot.beneath += "The band about the climb is meant the same way. ";
  if (over > 0)
    plot.beneath += "Each point of a line is the mean of about " + say_duration(seconds(over)) + ": what is shorter is not seen.";
  return plot;
}

}  // namespace headroom
