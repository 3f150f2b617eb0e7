#include "app/flight_told.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "app/flight_again.h"
#include "app/flight_plot.h"
#include "app/shown_unit.h"
#include "core/earth/geodesy.h"
#include "core/track/story.h"
#include "formats/detail_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

// Raised whenever another text or figure would be made of the same analysis.
constexpr int kToldVersion = 1;

// All that the answers depend on besides the bytes of the recording.
std::string told_key(const FlightState& flight, bool powered, const Session& session, int offset_min, const char* what) {
  std::string key = fmt::format("told {} {} {} {} {} {} {}", what, kToldVersion, kAnalysisVersion, flight.recording.text(),
                                rfc3339(flight.launch), powered, offset_min);
  for (int i = 0; i < kMeasures; ++i) key += " " + std::string(session.units.of(static_cast<Measure>(i)).name);
  return key;
}

class TellFlight {
 public:
  TellFlight(FlightAgain& again, const FlightPlot& plot, const UnitChoice& units, int offset_min)
      : flight_(again.analysis.flights.front()),
        found_(again.analysis.found.front()),
        analysis_(again.analysis),
        detail_(again.detail),
        plot_(plot),
        units_(units),
        offset_min_(offset_min) {}

  [[nodiscard]] AnswerJson page() const {
    auto flight = flight_json(flight_);
    put_detail(flight, detail_, units_);
    auto measures = AnswerJson::array();
    for (const auto& m : detail_.measures) measures.push_back(measure_json(m));
    flight["measures"] = measures;
    return {{"flight", flight},
            {"tale", tale()},
            {"notes", notes()},
            {"wind", wind()},
            {"doubts", flight_.doubts},
            {"launch_position", {flight_.launch_position.latitude_deg, flight_.launch_position.longitude_deg}}};
  }

  [[nodiscard]] AnswerJson series() const;

 private:
  [[nodiscard]] std::string clock_text(UtcTime t) const { return rfc3339(t + std::chrono::minutes(offset_min_)).substr(11, 5); }
  [[nodiscard]] std::vector<std::string> tale() const;
  [[nodiscard]] std::vector<std::string> notes() const;
  [[nodiscard]] std::size_t figures_of_engine() const;
  [[nodiscard]] std::string take_off() const;
  [[nodiscard]] std::string first_climb() const;
  [[nodiscard]] std::string highest() const;
  [[nodiscard]] std::string landing() const;
  [[nodiscard]] AnswerJson wind() const;

  const Flight& flight_;
  const FoundFlight& found_;
  const Analysis& analysis_;
  const FlightDetail& detail_;
  const FlightPlot& plot_;
  const UnitChoice& units_;
  int offset_min_;
};

std::string TellFlight::take_off() const {
  if (flight_.begins_in_air) return "Already flying when the recording begins at " + clock_text(flight_.launch) + ".";
  const auto& run = detail_.phases.take_off;
  if (!run.seen) return "Off the ground at " + clock_text(flight_.launch) + ".";
  std::string out = "The take-off run took " + say_amount(amount(run.room), units_, true) + " in " + say_duration(run.time.mid);
  if (run.headwind.known()) {
    const auto wind = run.headwind.mid;
    constexpr double kCalm_m_s = 0.5;
    out += std::abs(wind.si()) < kCalm_m_s ? std::string(", in hardly any wind")
           : wind.si() < 0                 ? ", with " + say_speed(-wind, units_) + " of wind from behind"
                                           : ", into " + say_speed(wind, units_) + " of wind";
  }
  return out + "; off the ground at " + clock_text(flight_.launch) + ".";
}

// From lift-off up to where it first stopped climbing for a while.
std::string TellFlight::first_climb() const {
  constexpr double kPause_s = 40, kWorthTelling_m = 30;
  Power pulled = Power::under_power;
  double up = 0, flown_s = 0, up_to_top = 0, s_to_top = 0, pause_s = 0;
  for (const auto& s : detail_.phases.stretches) {
    if (s.end <= flight_.launch) continue;
    if (s.phase == Phase::on_foot || s.phase == Phase::run) continue;
    const double lasted = in_seconds(duration_between(s.begin, s.end));
    const bool climbs = s.phase == Phase::initial_climb || s.phase == Phase::climb;
    if (!climbs && pause_s + lasted > kPause_s) break;
    if (!s.height_change) return {};
    if (s.power == Power::winch || s.power == Power::tow) pulled = s.power;
    up += s.height_change->si();
    flown_s += lasted;
    pause_s = climbs ? 0 : pause_s + lasted;
    if (climbs && up > up_to_top) up_to_top = up, s_to_top = flown_s;
  }
  if (up_to_top < kWorthTelling_m || !(s_to_top > 0)) return {};
  const char* by = pulled == Power::winch ? ", on a winch, " : pulled == Power::tow ? ", behind a tug, " : " ";
  return "The first climb" + std::string(by) + "took it " + say_height(metres(up_to_top), units_) + " up in " +
         say_duration(seconds(s_to_top)) + ", " + say_climb(metres_per_second(up_to_top / s_to_top), units_) + " in the mean.";
}

std::string TellFlight::highest() const {
  const auto& s = flight_.summary;
  const bool gnss = s.highest.has_value();
  std::string text;
  if (gnss)
    text = "At the highest " + say_height(*s.highest - AltitudeMsl{}, units_) + " above sea level";
  else if (s.highest_pressure)
    text = "At the highest " + say_height(*s.highest_pressure - PressureAltitude{}, units_) + " of pressure altitude";
  const SmoothedFix* top = nullptr;
  std::size_t at = 0;
  for (std::size_t i = found_.first; i <= found_.last && i < analysis_.smoothed.fixes.size(); ++i) {
    const auto& f = analysis_.smoothed.fixes[i];
    const auto& h = gnss ? f.gnss : f.pressure;
    if (!h.known) continue;
    if (top == nullptr || h.height_m > (gnss ? top->gnss : top->pressure).height_m) top = &f, at = i;
  }
  if (!text.empty() && top != nullptr) text += " at " + clock_text(analysis_.track.fixes[at].time);
  if (!text.empty()) text += "; ";
  const std::string flown = say_distance(s.track_length, units_) + " flown, " + say_distance(s.farthest_distance, units_) +
                            " from the launch at the farthest.";
  return text + flown;
}

std::string TellFlight::landing() const {
  if (flight_.ends_in_air) return "Still flying when the recording ends at " + clock_text(flight_.landing) + ".";
  std::string out;
  const auto& stretches = detail_.phases.stretches;
  const bool powered =
      std::any_of(stretches.begin(), stretches.end(), [](const auto& s) { return s.power == Power::under_power; });
  std::optional<UtcTime> quiet;
  for (auto s = stretches.rbegin(); s != stretches.rend() && powered; ++s) {
    if (s->phase == Phase::on_foot || s->begin >= flight_.landing) continue;
    if (s->power != Power::idle_or_off && s->power != Power::off && s->phase != Phase::landing) break;
    quiet = s->begin;
  }
  constexpr auto kWorthTelling = std::chrono::seconds(20);
  if (quiet && flight_.landing - *quiet >= kWorthTelling)
    out = "With the engine at idle or off from " + clock_text(*quiet) + " on it came down and landed at ";
  else
    out = "Landed at ";
  out += clock_text(flight_.landing);
  if (!flight_.begins_in_air)
    out += ", " + say_distance(geodesic_distance(flight_.launch_position, flight_.landing_position), units_) +
           " from where it began";
  return out + ".";
}

std::vector<std::string> TellFlight::tale() const {
  std::vector<std::string> out = {take_off()};
  if (auto climb = first_climb(); !climb.empty()) out.push_back(std::move(climb));
  out.push_back(highest());
  if (const auto engine = engine_sentences(detail_); figures_of_engine() > 0) out.push_back(say_sentence(engine.front(), units_));
  out.push_back(landing());
  return out;
}

// How many of engine_sentences() tell how long it ran, or why that is not known: the rest are remarks on how it was found.
std::size_t TellFlight::figures_of_engine() const {
  const auto all = engine_sentences(detail_).size();
  return detail_.engine.known() ? all - std::min(all, detail_.engine.notes.size()) : all;
}

std::vector<std::string> TellFlight::notes() const {
  std::vector<std::string> out;
  const auto engine = engine_sentences(detail_);
  for (std::size_t i = figures_of_engine() > 0 ? 1 : 0; i < engine.size(); ++i) out.push_back(say_sentence(engine[i], units_));
  for (const auto& note : detail_.wind.notes) out.push_back(note);
  return out;
}

AnswerJson TellFlight::wind() const {
  const auto unit = shown_unit(Dimension::speed, units_), height = shown_unit(Dimension::length, units_);
  const auto number = [](double shown) { return finite_number(std::round(shown * 10) / 10); };
  auto layers = AnswerJson::array();
  for (const auto& l : plot_.layers)
    layers.push_back({{"bottom", std::round(l.bottom)},
                      {"top", std::round(l.top)},
                      {"low", number(l.low)},
                      {"mid", number(l.mid)},
                      {"high", number(l.high)},
                      {"from_text", l.from},
                      {"doubtful", l.doubtful}});
  AnswerJson out = {{"axis", unit.name},
                    {"height_unit", height.name},
                    {"layers", layers},
                    {"text", say_sentence(wind_sentence(detail_), units_)}};
  out["height_name"] = analysis_.track.has_pressure ? "pressure altitude" : "height above sea level";
  out["why_none"] = plot_.layers.empty() ? AnswerJson(plot_.wind_unknown) : AnswerJson(nullptr);
  return out;
}

// 12 and not 12.0: a chart holds thousands.
AnswerJson short_number(double value) {
  constexpr double kWhole = 1e9;
  if (value == std::floor(value) && std::abs(value) < kWhole) return static_cast<std::int64_t>(value);
  return finite_number(value);
}

// One line of the chart as it is gathered: row by row the mean of what fell into it.
class SeriesColumn {
 public:
  SeriesColumn(ShownUnit unit, std::string name, int more) : unit_(std::move(unit)), name_(std::move(name)), more_(more) {}

  void add(double si, double sd) {
    sum_ += si;
    sd_ += sd;
    ++n_;
  }
  void end_row() {
    if (n_ == 0) {
      add_null();
      return;
    }
    const double mid = sum_ / n_, half = kNormal95 * sd_ / n_;
    value_.push_back(short_number(unit_.rounded(mid, more_)));
    low_.push_back(short_number(unit_.rounded(mid - half, more_)));
    high_.push_back(short_number(unit_.rounded(mid + half, more_)));
    least_ = any_ ? std::min(least_, mid) : mid;
    most_ = any_ ? std::max(most_, mid) : mid;
    widest_ = std::max(widest_, half);
    any_ = true;
    sum_ = sd_ = 0;
    n_ = 0;
  }
  void add_null() {
    value_.emplace_back(nullptr);
    low_.emplace_back(nullptr);
    high_.emplace_back(nullptr);
  }
  [[nodiscard]] bool any() const { return any_; }
  // Of a band nowhere wider than what is seen of it (a two hundredth of the axis) there is nothing to draw.
  [[nodiscard]] bool has_band() const { return any_ && widest_ * 200 > most_ - least_; }
  [[nodiscard]] AnswerJson json() const {
    if (!any_) return nullptr;
    const bool band = has_band();
    return {{"unit", unit_.name},
            {"name", name_},
            {"value", value_},
            {"low", band ? low_ : AnswerJson::array()},
            {"high", band ? high_ : AnswerJson::array()}};
  }

 private:
  ShownUnit unit_;
  std::string name_;
  int more_;
  double sum_ = 0, sd_ = 0, least_ = 0, most_ = 0, widest_ = 0;
  int n_ = 0;
  bool any_ = false;
  AnswerJson value_ = AnswerJson::array(), low_ = AnswerJson::array(), high_ = AnswerJson::array();
};

AnswerJson TellFlight::series() const {
  const auto& fixes = analysis_.track.fixes;
  const auto track_s = [&](std::size_t i) { return in_seconds(duration_between(fixes.front().time, fixes[i].time)); };
  std::size_t first = found_.first, last = found_.last;
  while (first > 0 && track_s(first - 1) >= plot_.begin_s) --first;
  while (last + 1 < fixes.size() && track_s(last + 1) <= plot_.end_s) ++last;
  const double zero = track_s(first);
  // Short of the number of points: a break makes a row more.
  const double over = (track_s(last) - zero) / static_cast<double>(kChartPoints);
  const bool by_pressure = analysis_.track.has_pressure;
  SeriesColumn height(shown_unit(Dimension::length, units_), by_pressure ? "pressure altitude" : "height above sea level", 0),
      climb(shown_unit(Dimension::climb, units_), "climb", 1), speed(shown_unit(Dimension::speed, units_), "over the ground", 1),
      air(shown_unit(Dimension::speed, units_), "through the air", 1);
  auto times = AnswerJson::array();
  const auto put_time = [&](double t) { times.push_back(short_number(std::round((t - zero) * 10) / 10)); };
  double row_begin = zero, row_sum = 0;
  int in_row = 0;
  const auto end_row = [&] {
    if (in_row == 0) return;
    put_time(row_sum / in_row);
    for (auto* column : {&height, &climb, &speed, &air}) column->end_row();
    row_sum = 0;
    in_row = 0;
  };
  for (std::size_t i = first; i <= last; ++i) {
    const double t = track_s(i);
    const bool gap = i > first && t - track_s(i - 1) > kSmoothGap_s;
    if (in_row > 0 && (gap || t - row_begin >= over)) end_row();
    if (gap) {
      put_time(0.5 * (t + track_s(i - 1)));
      for (auto* column : {&height, &climb, &speed, &air}) column->add_null();
    }
    if (in_row == 0) row_begin = t;
    row_sum += t;
    ++in_row;
    const auto& f = analysis_.smoothed.fixes[i];
    const auto& h = by_pressure ? f.pressure : f.gnss;
    if (h.known) {
      height.add(h.height_m, std::sqrt(h.covariance.position));
      climb.add(h.rate_m_s, std::sqrt(h.covariance.velocity));
    }
    speed.add(std::hypot(f.east_m_s, f.north_m_s), std::sqrt(f.horizontal.velocity));
    if (i >= found_.first && i <= found_.last && detail_.wind.known()) {
      const auto w = detail_.wind.at(t);
      air.add(static_cast<double>(w.airspeed_m_s), std::sqrt(static_cast<double>(w.var_airspeed)));
    }
  }
  end_row();

  auto engine = AnswerJson::array();
  const auto tenth = [&](double t) { return short_number(std::round((t - zero) * 10) / 10); };
  for (const auto& [from, to] : plot_.engine_on) engine.push_back({tenth(from), tenth(to)});
  auto marks = AnswerJson::array();
  const auto mark = [&](UtcTime t, const char* what) {
    marks.push_back({{"t_s", tenth(in_seconds(duration_between(fixes.front().time, t)))}, {"text", what + clock_text(t)}});
  };
  mark(flight_.launch, flight_.begins_in_air ? "Recording begins in the air, " : "Launch ");
  mark(flight_.landing, flight_.ends_in_air ? "Recording ends in the air, " : "Landing ");
  auto latitude = AnswerJson::array(), longitude = AnswerJson::array();
  const std::size_t stride = (last - first) / kMapPoints + 1;
  const auto place = [](double deg) { return finite_number(std::round(deg * 1e5) / 1e5); };  // a metre
  for (std::size_t i = first; i <= last; i += stride) {
    latitude.push_back(place(analysis_.smoothed.fixes[i].position.latitude_deg));
    longitude.push_back(place(analysis_.smoothed.fixes[i].position.longitude_deg));
  }

  std::string text;
  const auto say = [&](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
  if (!height.any()) say("The recording holds no height.");
  if (!plot_.engine_on.empty()) say("Hatched is where the engine is more likely on than not.");
  if (air.any())
    say("The airspeed lies in its band nine times in ten; where the band is wide, the flight did not turn enough to tell it from "
        "the wind.");
  if (climb.has_band()) say("The band about the climb is meant the same way.");
  constexpr double kSaid_s = 2;
  if (over > kSaid_s) say("Each point is the mean of about " + say_duration(seconds(over)) + ": what is shorter is not seen.");
  return {{"begin", rfc3339(fixes[first].time)},
          {"offset_min", offset_min_},
          {"t_s", times},
          {"height", height.json()},
          {"climb", climb.json()},
          {"speed", speed.json()},
          {"airspeed", air.json()},
          {"engine_on", engine},
          {"marks", marks},
          {"text", text},
          {"latitude", latitude},
          {"longitude", longitude}};
}

// Both answers at once, into the cache: the page asks for the other in a moment.
struct BothTold {
  std::string page, series;
};
Result<BothTold> tell_anew(const FlightState& flight, bool powered, int offset_min, const Session& session, Ports& ports) {
  DetailOptions options;
  if (powered) options.aircraft = AircraftKnown::powered_paraglider;
  auto again = flight_again(flight, options, ports);
  if (!again) return tl::unexpected<Error>(again.error());
  // This flight alone of those in the recording.
  auto& a = again->analysis;
  a.flights = {a.flights[again->index]};
  a.found = {a.found[again->index]};
  const auto plot = plan_flight_plot(a, {&again->detail}, session.units, ports.clock, session.zone);
  if (!plot) return tl::unexpected<Error>(plot.error());
  const TellFlight tell(*again, *plot, session.units, offset_min);
  BothTold out{answer_text_for_page(tell.page()), answer_text_for_page(tell.series())};
  ports.cache.put(told_key(flight, powered, session, offset_min, "page"), out.page);
  ports.cache.put(told_key(flight, powered, session, offset_min, "series"), out.series);
  return out;
}

Result<std::string> told_text(const FlightState& flight, const Session& session, Ports& ports, bool series) {
  const auto* machine = session.state.find_machine(flight.machine);
  const bool powered = machine != nullptr && !machine->assumed;
  const auto offset = ports.clock.offset_minutes(flight.launch, session.zone);
  const int offset_min = offset ? *offset : flight.offset_min;
  if (flight.recording != Hash{})
    if (auto kept = ports.cache.get(told_key(flight, powered, session, offset_min, series ? "series" : "page"))) return *kept;
  auto told = tell_anew(flight, powered, offset_min, session, ports);
  if (!told) return tl::unexpected<Error>(told.error());
  return series ? std::move(told->series) : std::move(told->page);
}

}  // namespace

Result<AnswerJson> flight_told(const FlightState& flight, const Session& session, Ports& ports) {
  const auto text = told_text(flight, session, ports, false);
  if (!text) return tl::unexpected<Error>(text.error());
  auto told = AnswerJson::parse(*text, nullptr, false);
  if (told.is_discarded()) return fail(ErrorKind::damaged, "what was kept of this flight cannot be read");
  return told;
}

Result<std::string> flight_series(const FlightState& flight, const Session& session, Ports& ports) {
  return told_text(flight, session, ports, true);
}

}  // namespace headroom
