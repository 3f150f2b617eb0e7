#include "formats/weather_groups.h"

#include <array>
#include <cstdio>
#include <utility>

#include "formats/digits.h"

namespace headroom::weather_groups {

// d a digit, A a capital letter, anything else itself.
bool is_like(std::string_view text, std::string_view form) {
  if (text.size() != form.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool fits = form[i] == 'd'   ? digits::is_digit(text[i])
                      : form[i] == 'A' ? text[i] >= 'A' && text[i] <= 'Z'
                                       : text[i] == form[i];
    if (!fits) return false;
  }
  return true;
}
// Digits only, at most six; -1 otherwise.
int whole_number(std::string_view text) {
  if (text.empty() || text.size() > 6) return -1;
  int n = 0;
  for (char c : text) {
    if (!digits::is_digit(c)) return -1;
    n = n * 10 + (c - '0');
  }
  return n;
}
bool take_end(std::string_view& text, std::string_view end) {
  if (!text.ends_with(end)) return false;
  text.remove_suffix(end.size());
  return true;
}
bool take_start(std::string_view& text, std::string_view start) {
  if (!text.starts_with(start)) return false;
  text.remove_prefix(start.size());
  return true;
}
std::string decimal_text(double value, int decimals) {
  std::array<char, 48> out{};
  std::snprintf(out.data(), out.size(), "%.*f", decimals, value);
  return out.data();
}

namespace {

constexpr std::array kDescriptors = {"MI", "PR", "BC", "DR", "BL", "SH", "TS", "FZ"};
constexpr std::array kKinds = {"DZ", "RA", "SN", "SG", "IC", "PL", "GR", "GS", "UP", "BR", "FG",
                               "FU", "VA", "DU", "SA", "HZ", "PY", "PO", "SQ", "FC", "SS", "DS"};
template <class List>
bool is_among(const List& list, std::string_view text) {
  for (std::string_view one : list)
    if (one == text) return true;
  return false;
}

// 3, 1/2: whole or a fraction below one; negative when neither. 11/2 has lost its blank: no station writes eleven halves.
double fraction_of(std::string_view text) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos) return whole_number(text);
  const int over = whole_number(text.substr(0, slash)), under = whole_number(text.substr(slash + 1));
  if (over < 0 || under <= 0) return -1.0;
  if (over < under) return static_cast<double>(over) / under;
  if (slash < 2) return -1.0;
  const int rest = whole_number(text.substr(1, slash - 1));
  return rest < under ? (text[0] - '0') + static_cast<double>(rest) / under : -1.0;
}

}  // namespace

std::optional<WeatherCode> weather_of(std::string_view text) {
  WeatherCode code;
  if (take_start(text, "+"))
    code.strength = WeatherCode::Strength::heavy;
  else if (take_start(text, "-"))
    code.strength = WeatherCode::Strength::light;
  if (take_start(text, "VC")) code.vicinity = true;
  if (text.empty() || text.size() % 2 != 0 || text.size() > 8) return std::nullopt;
  if (is_among(kDescriptors, text.substr(0, 2))) {
    code.descriptor = text.substr(0, 2);
    text.remove_prefix(2);
  }
  for (; !text.empty(); text.remove_prefix(2)) {
    if (!is_among(kKinds, text.substr(0, 2))) return std::nullopt;
    code.kinds.emplace_back(text.substr(0, 2));
  }
  if (code.kinds.size() > 3) return std::nullopt;
  if (code.kinds.empty() && code.descriptor != "TS" && code.descriptor != "SH") return std::nullopt;
  return code;
}

bool is_station(std::string_view text) {
  return text.size() == 4 && text[0] >= 'A' && text[0] <= 'Z' &&
         text.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == std::string_view::npos;
}

std::optional<UtcTime> time_near(int day, int hour, int minute, UtcTime reference) {
  using namespace std::chrono;
  if (day < 1 || hour < 0 || minute < 0 || minute > 59 || hour > 24 || (hour == 24 && minute > 0)) return std::nullopt;
  const year_month_day around(floor<std::chrono::days>(reference));
  const year_month here = around.year() / around.month();
  std::optional<UtcTime> nearest;
  for (const year_month month : {here - months(1), here, here + months(1)}) {
    const year_month_day date = month / std::chrono::day(static_cast<unsigned>(day));
    if (!date.ok()) continue;
    const UtcTime t = UtcTime(sys_days(date)) + std::chrono::hours(hour) + std::chrono::minutes(minute);
    if (!nearest || abs(t - reference) < abs(*nearest - reference)) nearest = t;
  }
  return nearest;
}

std::optional<UtcTime> day_time_near(std::string_view text, UtcTime reference) {
  const int hour = whole_number(text.substr(2, 2));
  if (hour > 23) return std::nullopt;
  return time_near(whole_number(text.substr(0, 2)), hour, whole_number(text.substr(4, 2)), reference);
}

Result<std::vector<std::string_view>> split_groups(std::string_view text, const char* code) {
  std::vector<std::string_view> groups;
  const auto blank = [&](std::size_t k) { return text[k] == ' ' || text[k] == '\t' || text[k] == '\r' || text[k] == '\n'; };
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    while (end < text.size() && !blank(end) && text[end] != '=') ++end;
    if (end > i) groups.push_back(text.substr(i, end - i));
    if (end < text.size() && text[end] == '=') {
      for (std::size_t k = end + 1; k < text.size(); ++k)
        if (!blank(k) && text[k] != '=')
          return fail(ErrorKind::bad_input, std::string("more than one ") + code + ": give one at a time", code);
      break;
    }
    i = end + 1;
  }
  return groups;
}

bool GroupReader::wind(std::string_view g) {
  const std::string_view whole = g;
  auto& lost = c_.unreadable.wind;
  if (is_like(g, "dddVddd")) {
    const int a = whole_number(g.substr(0, 3)), b = whole_number(g.substr(4));
    if (a > 360 || b > 360 || !c_.wind) return lose(g, lost, "wind"), true;
    c_.wind->between_from = wind_from_degrees(a);
    c_.wind->between_to = wind_from_degrees(b);
    note(g, "wind direction varies from " + std::to_string(a) + " to " + std::to_string(b) + " degrees true");
    return true;
  }
  Speed (*unit)(double) = nullptr;
  const char* name = "";
  if (take_end(g, "KT"))
    unit = knots, name = " kt";
  else if (take_end(g, "MPS"))
    unit = metres_per_second, name = " m/s";
  else if (take_end(g, "KMH"))
    unit = kilometres_per_hour, name = " km/h";
  else
    return false;
  if (g == "/////") return note(whole, "wind was not measured"), true;
  ReportedWind w;
  if (g.size() < 5 || c_.wind) return lose(whole, lost, "wind"), true;
  const std::string_view from = g.substr(0, 3);
  g.remove_prefix(3);
  std::string_view gust;
  if (const auto at = g.find('G'); at != std::string_view::npos) {
    gust = g.substr(at + 1);
    g = g.substr(0, at);
    if (gust.empty()) return lose(whole, lost, "wind"), true;
  }
  w.mean_at_least = take_start(g, "P");
  w.gust_at_least = take_start(gust, "P");
  const int degrees = whole_number(from), mean = whole_number(g), peak = gust.empty() ? -1 : whole_number(gust);
  const bool speeds_fit = g.size() >= 2 && g.size() <= 3 && mean >= 0 && unit(mean) <= knots(250) &&
                          (gust.empty() || (gust.size() >= 2 && gust.size() <= 3 && peak >= mean && unit(peak) <= knots(250)));
  const bool from_fits = from == "VRB" || from == "///" || (degrees >= 0 && degrees <= 360 && degrees % 10 == 0);
  if (!speeds_fit || !from_fits) return lose(whole, lost, "wind"), true;
  w.mean = unit(mean);
  if (!gust.empty()) w.gust = unit(peak);
  w.variable = from == "VRB";
  std::string said = "wind " + std::to_string(mean) + name + (w.mean_at_least ? " or more" : "");
  if (mean == 0 && gust.empty())
    said = "calm";
  else if (w.variable)
    said += " from no one direction";
  else if (degrees >= 0)
    w.from = wind_from_degrees(degrees), said += " from " + std::to_string(degrees) + " degrees true";
  else
    said += ", direction not measured";
  if (!gust.empty()) said += ", gusts " + std::to_string(peak) + name + (w.gust_at_least ? " or more" : "");
  c_.wind = w;
  note(whole, said);
  return true;
}

bool GroupReader::visibility(std::string_view g, std::string_view next, bool& took_next) {
  auto& lost = c_.unreadable.visibility;
  ReportedVisibility v;
  if (g == "////") return note(g, "visibility was not measured"), true;
  std::string_view four = g;
  if (!take_end(four, "NDV") && four.size() > 4)
    for (std::string_view side : {"NE", "NW", "SE", "SW", "N", "E", "S", "W"})
      if (take_end(four, side)) break;
  if (is_like(four, "dddd")) {
    const int m = whole_number(four);
    v.distance = metres(m == 9999 ? 10000 : m == 0 ? 50 : m);
    v.bound = m == 9999 ? ReportedVisibility::Bound::at_least
              : m == 0  ? ReportedVisibility::Bound::less_than
                        : ReportedVisibility::Bound::exactly;
    const std::string said = m == 9999 ? "10 km or more" : m == 0 ? "less than 50 m" : std::to_string(m) + " m";
    if (c_.visibility) {
      if (four == g) return lose(g, lost, "visibility"), true;  // two without a direction contradict
      auto& least = c_.visibility->least;
      if (!least || v.distance < *least) least = v.distance;
      return note(g, "visibility in one direction " + said), true;
    }
    c_.visibility = v;
    return note(g, "visibility " + said), true;
  }
  double whole_miles = 0;
  std::string written(g);
  if (g.size() <= 2 && whole_number(g) >= 0 && next.ends_with("SM") && next.find('/') != std::string_view::npos) {
    whole_miles = whole_number(g);
    written += " " + std::string(next);
    took_next = true;
    g = next;
  }
  if (!take_end(g, "SM")) return false;
  if (!took_next && take_start(g, "M")) v.bound = ReportedVisibility::Bound::less_than;
  if (!took_next && take_start(g, "P")) v.bound = ReportedVisibility::Bound::at_least;
  const double part = fraction_of(g);
  const double miles = whole_miles + part;
  if (part < 0 || miles > 100 || (took_next && part >= 1) || c_.visibility) return lose(written, lost, "visibility"), true;
  v.distance = statute_miles(miles);
  c_.visibility = v;
  const char* bound = v.bound == ReportedVisibility::Bound::less_than  ? "less than "
                      : v.bound == ReportedVisibility::Bound::at_least ? "more than "
                                                                       : "";
  note(written, "visibility " + std::string(bound) + decimal_text(miles, 2) + " statute miles");
  return true;
}

bool GroupReader::sky(std::string_view g) {
  using enum CloudLayer::Amount;
  using Statement = ReportedSky::Statement;
  constexpr std::array<std::pair<const char*, Statement>, 4> clear = {{{"SKC", Statement::none},
                                                                       {"CLR", Statement::none_below_12000},
                                                                       {"NCD", Statement::none_detected},
                                                                       {"NSC", Statement::none_significant}}};
  for (const auto& [word, statement] : clear)
    if (g == word) {
      if (c_.sky) return lose(g, c_.unreadable.sky, "sky"), true;
      layers().statement = statement;
      note(g, statement == Statement::none               ? "no cloud"
              : statement == Statement::none_below_12000 ? "no cloud seen below 12,000 ft by an automatic station"
              : statement == Statement::none_detected    ? "no cloud detected by an automatic station"
                                                         : "no cloud below 5,000 ft and no cumulonimbus");
      return true;
    }
  constexpr std::array<std::pair<const char*, CloudLayer::Amount>, 6> amounts = {
      {{"FEW", few}, {"SCT", scattered}, {"BKN", broken}, {"OVC", overcast}, {"VV", hidden}, {"///", not_measured}}};
  constexpr std::array amount_words = {"few cloud",
                                       "scattered cloud",
                                       "broken cloud",
                                       "overcast",
                                       "sky hidden, vertical visibility",
                                       "cloud of unmeasured amount"};
  for (const auto& [word, amount] : amounts) {
    std::string_view rest = g;
    if (!take_start(rest, word)) continue;
    CloudLayer layer;
    layer.amount = amount;
    const int hundreds = whole_number(rest.substr(0, 3));
    if (rest.size() < 3 || (hundreds < 0 && rest.substr(0, 3) != "///") || (c_.sky && c_.sky->statement != Statement::layers))
      return lose(g, c_.unreadable.sky, "sky"), true;
    std::string said = amount_words[static_cast<std::size_t>(amount)];
    if (hundreds >= 0) {
      layer.base = HeightAboveGround::from_si(feet(hundreds * 100.0).si());
      said += " at " + std::to_string(hundreds * 100) + " ft";
    } else {
      said += ", height not measured";
    }
    rest.remove_prefix(3);
    using Convective = CloudLayer::Convective;
    if (rest == "CB")
      layer.convective = Convective::cumulonimbus, said += ", cumulonimbus";
    else if (rest == "TCU")
      layer.convective = Convective::towering_cumulus, said += ", towering cumulus";
    else if (rest == "///")
      layer.convective = Convective::not_measured;
    else if (!rest.empty())
      return lose(g, c_.unreadable.sky, "sky"), true;
    layers().layers.push_back(layer);
    return note(g, said), true;
  }
  return false;
}

namespace {

// WMO-No. 306, FM 15, code table 4678, in words.
std::string_view weather_word(std::string_view code) {
  static constexpr std::pair<std::string_view, std::string_view> kWords[] = {{"MI", "shallow"},
                                                                             {"PR", "partial"},
                                                                             {"BC", "patches of"},
                                                                             {"DR", "low drifting"},
                                                                             {"BL", "blowing"},
                                                                             {"SH", "showers of"},
                                                                             {"TS", "thunderstorm"},
                                                                             {"FZ", "freezing"},
                                                                             {"DZ", "drizzle"},
                                                                             {"RA", "rain"},
                                                                             {"SN", "snow"},
                                                                             {"SG", "snow grains"},
                                                                             {"IC", "ice crystals"},
                                                                             {"PL", "ice pellets"},
                                                                             {"PE", "ice pellets"},
                                                                             {"GR", "hail"},
                                                                             {"GS", "small hail"},
                                                                             {"UP", "precipitation not told apart"},
                                                                             {"BR", "mist"},
                                                                             {"FG", "fog"},
                                                                             {"FU", "smoke"},
                                                                             {"VA", "volcanic ash"},
                                                                             {"DU", "widespread dust"},
                                                                             {"SA", "sand"},
                                                                             {"HZ", "haze"},
                                                                             {"PY", "spray"},
                                                                             {"PO", "dust whirls"},
                                                                             {"SQ", "squalls"},
                                                                             {"FC", "funnel cloud"},
                                                                             {"SS", "sandstorm"},
                                                                             {"DS", "duststorm"}};
  for (const auto& [letters, word] : kWords)
    if (letters == code) return word;
  return {};
}

}  // namespace

bool GroupReader::weather(std::string_view g) {
  auto code = weather_of(g);
  if (!code) return false;
  std::string said = code->vicinity ? "weather in the vicinity:" : "weather:";
  if (code->strength == WeatherCode::Strength::light) said += " light";
  if (code->strength == WeatherCode::Strength::heavy) said += " heavy";
  if (const auto word = weather_word(code->descriptor); !word.empty()) said += " " + std::string(word);
  bool first = true;
  for (const std::string& kind : code->kinds) {
    const auto word = weather_word(kind);
    said += (first ? " " : " and ") + (word.empty() ? kind : std::string(word));
    first = false;
  }
  weather_.push_back(*std::move(code));
  note(g, said);
  return true;
}

bool GroupReader::cavok(std::string_view g) {
  if (g != "CAVOK") return false;
  if (c_.visibility || c_.sky) {
    lose(g, c_.unreadable.visibility, "visibility");
    c_.unreadable.sky = true;
    return true;
  }
  c_.visibility = ReportedVisibility{ReportedVisibility::Bound::at_least, kilometres(10), std::nullopt};
  layers().statement = ReportedSky::Statement::cavok;
  note(g, "visibility 10 km or more, no cloud below 5,000 ft, no cumulonimbus, no significant weather");
  return true;
}

void GroupReader::no_weather(std::string_view g) {
  if (no_weather_ || !weather_.empty()) return lose(g, c_.unreadable.weather, "weather");
  no_weather_ = true;
  note(g, "no significant weather any more");
}

bool GroupReader::suspect(std::string_view g) {
  const bool speed = g.find("KT") != std::string_view::npos || g.find("MPS") != std::string_view::npos;
  if (speed || !c_.wind) c_.unreadable.wind = true;
  if (!speed && !c_.visibility) c_.unreadable.visibility = true;
  return speed;
}

void GroupReader::lose_suspect(std::string_view g, bool like_wind) {
  if (like_wind) return lose(g, c_.unreadable.wind, "wind");
  c_.unreadable.weather = true;
  lose(g, c_.unreadable.sky, "whatever it was meant for, with weather and sky,");
}

void GroupReader::finish(bool silence_is_none) {
  if (no_weather_ && !weather_.empty()) c_.unreadable.weather = true;
  if (c_.unreadable.wind) c_.wind.reset();
  if (c_.unreadable.visibility) c_.visibility.reset();
  if (c_.unreadable.sky) c_.sky.reset();
  // A text cut short says nothing of the weather; a whole one without a code says there is none. What was read stands.
  const bool whole = silence_is_none && c_.visibility && c_.sky;
  const bool cavok = c_.sky && c_.sky->statement == ReportedSky::Statement::cavok;
  if (!c_.unreadable.weather && (whole || cavok || no_weather_ || !weather_.empty())) c_.weather = std::move(weather_);
}

}  // namespace headroom::weather_groups
