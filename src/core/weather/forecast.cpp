#include "core/weather/forecast.h"

#include <algorithm>
#include <limits>

namespace headroom {
namespace {

// A value of a piece from one time to another; without one it is not known then.
template <class T>
struct Stretch {
  std::size_t part = 0;
  UtcTime from{}, to{};
  std::optional<T> value;
};

// What a part says of a piece.
enum class Said : std::uint8_t { nothing, value, unreadable };

template <class T>
struct PieceOf {
  Said said = Said::nothing;
  std::optional<T> value;
};

template <class T>
PieceOf<T> piece_of(bool unreadable, std::optional<T> value) {
  if (unreadable) return {Said::unreadable, std::nullopt};
  if (!value) return {};
  return {Said::value, std::move(value)};
}

PieceOf<ReportedWind> wind_piece(const Conditions& c) {
  return piece_of(c.unreadable.wind, c.wind);
}
// A wind without a gust says that there are none.
PieceOf<Speed> gust_piece(const Conditions& c) {
  return piece_of(c.unreadable.wind, c.wind ? std::optional(c.wind->gust.value_or(Speed{})) : std::nullopt);
}
PieceOf<ReportedVisibility> visibility_piece(const Conditions& c) {
  return piece_of(c.unreadable.visibility, c.visibility);
}
PieceOf<CloudOutlook> cloud_piece(const Conditions& c) {
  if (!c.sky) return piece_of<CloudOutlook>(c.unreadable.sky, std::nullopt);
  CloudOutlook out;
  for (const CloudLayer& layer : c.sky->layers) {
    if (!layer.base) return {Said::unreadable, std::nullopt};
    if (!out.lowest || *layer.base < *out.lowest) out.lowest = layer.base;
  }
  return piece_of(c.unreadable.sky, std::optional(out));
}
PieceOf<WeatherOutlook> weather_piece(const Conditions& c) {
  WeatherOutlook out;
  if (c.weather) {
    const auto any = [&](auto is) { return std::any_of(c.weather->begin(), c.weather->end(), is); };
    out = {any(is_thunderstorm), any(is_precipitation), any(is_fog)};
  }
  return piece_of(c.unreadable.weather, c.weather ? std::optional(out) : std::nullopt);
}
// Cumulonimbus is a storm, and stays until a change names another sky, whatever is said of the weather meanwhile.
PieceOf<WeatherOutlook> cumulonimbus_piece(const Conditions& c) {
  return piece_of(c.unreadable.sky, c.sky ? std::optional(WeatherOutlook{has_cumulonimbus(*c.sky), false, false}) : std::nullopt);
}

Speed badness(const ReportedWind& w) {
  return w.mean;
}
Speed badness(Speed gust) {
  return gust;
}
double badness(const ReportedVisibility& v) {
  return -in_metres(v.least.value_or(v.distance));
}
double badness(const CloudOutlook& c) {
  return c.lowest ? -c.lowest->si() : -std::numeric_limits<double>::infinity();
}
int badness(const WeatherOutlook& w) {
  return (w.thunder ? 4 : 0) + (w.fog ? 2 : 0) + (w.rain ? 1 : 0);
}
// Weather is worse when it holds anything that the other does not.
template <class T>
bool is_worse(const T& a, const T& b) {
  return badness(a) > badness(b);
}
bool is_worse(const WeatherOutlook& a, const WeatherOutlook& b) {
  return (a.thunder && !b.thunder) || (a.fog && !b.fog) || (a.rain && !b.rain);
}

bool is_passing(ChangeKind kind) {
  return kind == ChangeKind::temporary || kind == ChangeKind::probable || kind == ChangeKind::probable_temporary;
}

template <class T, class Piece>
PieceOutlook<T> outlook_of(const Forecast& forecast, const std::vector<std::size_t>& order, UtcTime from, UtcTime to,
                           Piece piece) {
  std::vector<Stretch<T>> prevailing, passing;
  for (const std::size_t index : order) {
    const ForecastPart& part = forecast.parts[index];
    const PieceOf<T> says = piece(part.conditions);
    if (is_passing(part.kind)) {
      if (says.said != Said::nothing) passing.push_back({index, part.from, part.to, says.value});
      continue;
    }
    const bool replaces = part.kind != ChangeKind::becoming;
    if (!replaces && says.said == Said::nothing) continue;
    const UtcTime old_ends = replaces ? part.from : part.to;
    for (auto& s : prevailing) s.to = std::min(s.to, old_ends);
    prevailing.push_back({index, part.from, forecast.to, says.value});
  }
  PieceOutlook<T> out;
  const auto cut = [&](const Stretch<T>& s, std::vector<Foretold<T>>& into) {
    // One instant counts for what begins with it.
    if (!(s.from < to || s.from == from) || !(s.to > from) || s.from >= s.to) return;
    if (!s.value)
      out.unknown.push_back(s.part);
    else
      into.push_back({*s.value, s.part, std::max(s.from, from), std::min(s.to, to)});
  };
  for (const auto& s : prevailing) cut(s, out.prevailing);
  for (const auto& s : passing) cut(s, out.passing);
  const auto worse = [](const Foretold<T>& a, const Foretold<T>& b) { return badness(a.value) > badness(b.value); };
  std::stable_sort(out.prevailing.begin(), out.prevailing.end(), worse);
  std::stable_sort(out.passing.begin(), out.passing.end(), worse);
  std::erase_if(out.passing, [&](const Foretold<T>& p) {
    // Of what prevails only from later on, a flight that lands before knows nothing.
    return std::any_of(out.prevailing.begin(), out.prevailing.end(),
                       [&](const auto& q) { return q.from <= p.from && !is_worse(p.value, q.value); });
  });
  return out;
}

// The storms of the sky among those of the weather; of one part and time one entry.
void add_storms(PieceOutlook<WeatherOutlook>& weather, const PieceOutlook<WeatherOutlook>& sky) {
  const auto add = [](std::vector<Foretold<WeatherOutlook>>& into, const std::vector<Foretold<WeatherOutlook>>& from) {
    for (const auto& s : from) {
      if (!s.value.thunder) continue;
      const auto same = std::find_if(into.begin(), into.end(),
                                     [&](const auto& w) { return w.part == s.part && w.from == s.from && w.to == s.to; });
      if (same != into.end())
        same->value.thunder = true;
      else
        into.push_back(s);
    }
    std::stable_sort(into.begin(), into.end(), [](const auto& a, const auto& b) { return badness(a.value) > badness(b.value); });
  };
  add(weather.prevailing, sky.prevailing);
  add(weather.passing, sky.passing);
}

}  // namespace

std::string chance_words(ChangeKind kind, int percent) {
  const std::string probable = std::to_string(percent) + " in 100";
  switch (kind) {
    case ChangeKind::temporary:
      return "for less than an hour at a time";
    case ChangeKind::probable:
      return probable;
    case ChangeKind::probable_temporary:
      return probable + ", for less than an hour at a time";
    case ChangeKind::base:
    case ChangeKind::from:
    case ChangeKind::becoming:
      break;
  }
  return {};
}

ForecastOutlook conditions_over(const Forecast& forecast, UtcTime from, UtcTime to) {
  ForecastOutlook out;
  out.from = std::max(from, forecast.from);
  out.to = std::min(to, forecast.to);
  out.covered = from >= forecast.from && to <= forecast.to && from <= to;
  if (out.from > out.to || out.from >= forecast.to) return out;
  std::vector<std::size_t> order(forecast.parts.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  // A change may have begun before the forecast does; it changes the base all the same.
  const auto begins = [&](std::size_t i) { return std::max(forecast.parts[i].from, forecast.from); };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return begins(a) < begins(b); });
  out.wind = outlook_of<ReportedWind>(forecast, order, out.from, out.to, wind_piece);
  out.gust = outlook_of<Speed>(forecast, order, out.from, out.to, gust_piece);
  out.visibility = outlook_of<ReportedVisibility>(forecast, order, out.from, out.to, visibility_piece);
  out.cloud = outlook_of<CloudOutlook>(forecast, order, out.from, out.to, cloud_piece);
  out.weather = outlook_of<WeatherOutlook>(forecast, order, out.from, out.to, weather_piece);
  add_storms(out.weather, outlook_of<WeatherOutlook>(forecast, order, out.from, out.to, cumulonimbus_piece));
  for (std::size_t i = 0; i < forecast.parts.size(); ++i) {
    const ForecastPart& part = forecast.parts[i];
    if (!part.shear && !part.shear_possible) continue;
    // What a later FM replaces is over.
    UtcTime ends = part.to;
    for (const ForecastPart& later : forecast.parts)
      if (later.kind == ChangeKind::from && later.from > part.from) ends = std::min(ends, later.from);
    if ((part.from < out.to || part.from == out.from) && ends > out.from) out.shear.push_back(i);
  }
  return out;
}

double chance_met(const ForecastPart& part, Duration overlap) {
  switch (part.kind) {
    case ChangeKind::temporary:
      return std::min(1.0, 0.5 + std::max(0.0, in_hours(overlap)) / 2);
    case ChangeKind::probable:
    case ChangeKind::probable_temporary:
      return part.percent / 100.0;
    case ChangeKind::base:
    case ChangeKind::from:
    case ChangeKind::becoming:
      break;
  }
  return 1;
}

}  // namespace headroom
