#include "formats/taf.h"

#include <array>
#include <utility>

#include "formats/digits.h"
#include "formats/weather_groups.h"

namespace headroom {
namespace {

using weather_groups::day_time_near;
using weather_groups::GroupReader;
using weather_groups::is_like;
using weather_groups::is_station;
using weather_groups::split_groups;
using weather_groups::take_start;
using weather_groups::time_near;
using weather_groups::whole_number;

// FM 51 has 30 h at most; an amendment may begin a little earlier than what it mends.
constexpr auto kLongestValidity = std::chrono::hours(36);

tl::unexpected<Error> no_taf(std::string what) {
  return fail(ErrorKind::bad_input, std::move(what), "TAF");
}

struct TafPeriod {
  UtcTime from{}, to{};
};

// ddhh/ddhh; nothing when the times do not exist or end before they begin.
std::optional<TafPeriod> taf_period(std::string_view g, UtcTime near) {
  const auto from = time_near(whole_number(g.substr(0, 2)), whole_number(g.substr(2, 2)), 0, near);
  if (!from) return std::nullopt;
  const auto to = time_near(whole_number(g.substr(5, 2)), whole_number(g.substr(7, 2)), 0, *from);
  if (!to || *to <= *from) return std::nullopt;
  return TafPeriod{*from, *to};
}
bool is_period(std::string_view g) {
  return is_like(g, "dddd/dddd");
}
std::string period_words(const TafPeriod& p) {
  return "from " + rfc3339(p.from) + " to " + rfc3339(p.to);
}

// RMK, or the words that end a forecast of a military or part-time station: LAST NO AMDS AFT 2322, AMD NOT SKED.
bool ends_forecast(std::string_view g, std::string_view next) {
  return g == "RMK" || (g == "LAST" && next == "NO") || (g == "NO" && next == "AMDS") ||
         (g == "AMD" && (next == "NOT" || next == "LTD" || next == "LIMITED"));
}

// Where a part of the text begins: PROB30 TEMPO 2014/2016 has its time in the third group.
struct TafChange {
  ChangeKind kind = ChangeKind::from;
  int percent = 0;
  std::size_t groups = 0;  // how many it takes, 0: none begins here
  TafPeriod period;
};

class TafText {
 public:
  TafText(std::vector<std::string_view> groups, UtcTime reference) : groups_(std::move(groups)), reference_(reference) {}

  Result<Forecast> read();

 private:
  [[nodiscard]] std::string_view at(std::size_t i) const { return i < groups_.size() ? groups_[i] : std::string_view{}; }
  void note(std::string_view g, std::string said, ReadGroup::Fate fate = ReadGroup::Fate::read) {
    f_.groups.push_back({fate, std::string(g), std::move(said)});
  }
  Result<void> header();
  [[nodiscard]] bool begins_change(std::size_t i) const;
  Result<TafChange> change() const;
  Result<void> part(const TafChange& begin);
  void body_group(GroupReader& in, ForecastPart& part);
  bool shear(std::string_view g, ForecastPart& part);
  bool temperature(std::string_view g);

  std::vector<std::string_view> groups_;
  UtcTime reference_;
  std::size_t at_ = 0;
  Forecast f_;
};

Result<void> TafText::header() {
  while (at(at_) == "TAF") note(at(at_), "forecast of an aerodrome"), ++at_;
  for (; at(at_) == "AMD" || at(at_) == "COR"; ++at_) {
    const bool amended = at(at_) == "AMD";
    (amended ? f_.amended : f_.corrected) = true;
    note(at(at_), amended ? "amended" : "corrected");
  }
  if (at(at_) == "METAR" || at(at_) == "SPECI") return no_taf("a report (METAR), not a forecast");
  if (!is_station(at(at_))) return no_taf("no TAF: a station of four letters must stand first");
  f_.station = at(at_);
  note(at(at_++), "station");
  if (!is_like(at(at_), "ddddddZ")) return no_taf("no TAF: after the station must stand day and time, as 031120Z");
  const auto issued = day_time_near(at(at_), reference_);
  if (!issued) return no_taf("day and time " + std::string(at(at_)) + " do not exist");
  f_.issued = *issued;
  note(at(at_++), "issued " + rfc3339(*issued));
  for (; at(at_) == "AMD" || at(at_) == "COR"; ++at_) {
    const bool amended = at(at_) == "AMD";
    (amended ? f_.amended : f_.corrected) = true;
    note(at(at_), amended ? "amended" : "corrected");
  }
  if (at(at_) == "NIL") return no_taf("NIL: the station sent no forecast");
  if (!is_period(at(at_)))
    return no_taf("no TAF: after the time of issue must stand the period it is for, as 0312/0412 (a report? then it is a METAR)");
  const auto valid = taf_period(at(at_), f_.issued);
  if (!valid || valid->to - valid->from > kLongestValidity || valid->to < f_.issued)
    return no_taf("the period " + std::string(at(at_)) + " does not exist, or is not one of a forecast of that time");
  f_.from = valid->from;
  f_.to = valid->to;
  note(at(at_++), "valid " + period_words(*valid));
  if (at(at_) == "CNL") return no_taf("CNL: this forecast was cancelled");
  if (at(at_) == "NIL") return no_taf("NIL: the station sent no forecast");
  return {};
}

bool TafText::begins_change(std::size_t i) const {
  const std::string_view g = at(i);
  return g == "TEMPO" || g == "BECMG" || g == "INTER" || g == "FM" || g.starts_with("PROB") ||
         (g.starts_with("FM") && g.size() > 2 && digits::is_digit(g[2]));
}

// The change that begins at the current group.
Result<TafChange> TafText::change() const {
  TafChange c;
  std::string_view g = at(at_);
  const auto refused = [&](const std::string& why) {
    return no_taf(std::string(g) + " " + std::string(at(at_ + 1)) + ": " + why +
                  "; without it nothing after it can be placed, so the forecast is not used");
  };
  if (take_start(g, "FM")) {
    const auto t = is_like(g, "dddddd") ? time_near(whole_number(g.substr(0, 2)), whole_number(g.substr(2, 2)),
                                                    whole_number(g.substr(4, 2)), f_.from)
                                        : std::nullopt;
    g = at(at_);
    if (!t) return refused("FM needs a day and a time that exist, as FM031430");
    if (*t < f_.from || *t >= f_.to) return refused("this is outside of the period that the forecast is for");
    c.groups = 1;
    c.period = {*t, f_.to};
    return c;
  }
  std::size_t i = at_;
  if (g.starts_with("PROB")) {
    if (g != "PROB30" && g != "PROB40") return refused("a probability is 30 or 40 in 100");
    c.kind = ChangeKind::probable;
    c.percent = g == "PROB30" ? 30 : 40;
    ++i;
    if (at(i) == "TEMPO" || at(i) == "INTER") c.kind = ChangeKind::probable_temporary, ++i;
  } else {
    c.kind = g == "BECMG" ? ChangeKind::becoming : ChangeKind::temporary;
    ++i;
  }
  const auto period = is_period(at(i)) ? taf_period(at(i), f_.from) : std::nullopt;
  if (!period) return refused("a change needs a period that exists, as 0314/0316");
  if (period->to <= f_.from || period->from >= f_.to) return refused("this is outside of the period that the forecast is for");
  c.period = *period;
  c.groups = i + 1 - at_;
  return c;
}

// WS020/24045KT
bool TafText::shear(std::string_view g, ForecastPart& part) {
  if (!is_like(g, "WSddd/dddddKT") && !is_like(g, "WSddd/ddddddKT")) return false;
  const int hundreds = whole_number(g.substr(2, 3)), degrees = whole_number(g.substr(6, 3)),
            speed = whole_number(g.substr(9, g.size() - 11));
  if (degrees > 360 || speed > 250 || part.shear) return false;
  part.shear = ForecastShear{HeightAboveGround::from_si(feet(hundreds * 100.0).si()), wind_from_degrees(degrees), knots(speed)};
  note(g, "wind shear below " + std::to_string(hundreds * 100) + " ft: there " + std::to_string(speed) + " kt from " +
              std::to_string(degrees) + " degrees true");
  return true;
}

// TX17/2419Z, TNM04/2510Z
bool TafText::temperature(std::string_view g) {
  std::string_view rest = g;
  const bool highest = take_start(rest, "TX");
  if (!highest && !take_start(rest, "TN")) return false;
  const bool minus = take_start(rest, "M");
  if (!is_like(rest, "dd/ddddZ")) return false;
  const int degrees = whole_number(rest.substr(0, 2));
  const auto t = time_near(whole_number(rest.substr(3, 2)), whole_number(rest.substr(5, 2)), 0, f_.from);
  if (!t || degrees > 60) return false;
  (highest ? f_.highest : f_.lowest).push_back({celsius(minus ? -degrees : degrees), *t});
  note(g, std::string(highest ? "highest" : "lowest") + " temperature " + (minus && degrees > 0 ? "-" : "") +
              std::to_string(degrees) + " C, " + rfc3339(*t));
  return true;
}

void TafText::body_group(GroupReader& in, ForecastPart& part) {
  const std::string_view g = at(at_);
  if (g == "NSW") return in.no_weather(g);
  if (g == "WSCONDS") return part.shear_possible = true, note(g, "wind shear possible, without figures");
  if (shear(g, part)) return;
  if (g.starts_with("TX") || g.starts_with("TN")) {
    // Of the pieces used none is a temperature: what is unread here makes nothing else unknown.
    if (!temperature(g)) note(g, "not read: a highest or lowest temperature is unknown", ReadGroup::Fate::not_read);
    return;
  }
  if (is_like(g, "QNHddddINS")) return note(g, "lowest altimeter setting, not used", ReadGroup::Fate::left_out);
  if (g.size() == 6 && (g[0] == '5' || g[0] == '6') && g.find_first_not_of("0123456789X") == std::string_view::npos)
    return note(g, g[0] == '5' ? "turbulence aloft, not used" : "icing aloft, not used", ReadGroup::Fate::left_out);
  bool took_next = false;
  if (in.cavok(g) || in.weather(g) || in.wind(g) || in.visibility(g, at(at_ + 1), took_next) || in.sky(g)) {
    if (took_next) ++at_;
    return;
  }
  in.lose_suspect(g, in.suspect(g));
}

// The groups up to the next change. Remarks end at a change too: some stations write them in the middle.
Result<void> TafText::part(const TafChange& begin) {
  ForecastPart p;
  p.kind = begin.kind;
  p.percent = begin.percent;
  p.from = begin.period.from;
  p.to = begin.period.to;
  for (std::size_t i = 0; i < begin.groups; ++i) p.text += (i > 0 ? " " : "") + std::string(at(at_ + i));
  if (begin.groups > 0) {
    static constexpr std::array kSaid = {"",
                                         "from then on",
                                         "becoming, within the period",
                                         "for a while, within the period",
                                         "with that probability",
                                         "with that probability, for a while, within the period"};
    note(p.text, std::string(kSaid[static_cast<std::size_t>(p.kind)]) + ": " +
                     (p.kind == ChangeKind::from ? "from " + rfc3339(p.from) : period_words(begin.period)));
  }
  at_ += begin.groups;
  GroupReader in(p.conditions, f_.groups);
  bool remarks = false;
  for (; at_ < groups_.size() && !begins_change(at_); ++at_) {
    const std::string_view g = at(at_);
    if (remarks) {
      note(g, "remark, not used", ReadGroup::Fate::left_out);
      continue;
    }
    if (g == "TAF" || g == "METAR") return no_taf("more than one TAF: give one at a time");
    if (g == "CNL") return no_taf("CNL: this forecast was cancelled");
    if (is_period(g)) return no_taf(std::string(g) + ": a period without a change before it, so the forecast is not used");
    if (ends_forecast(g, at(at_ + 1))) {
      remarks = true;
      note(g, "remarks follow", ReadGroup::Fate::left_out);
      continue;
    }
    const std::size_t first = at_;
    body_group(in, p);
    for (std::size_t i = first; i <= at_; ++i) p.text += (p.text.empty() ? "" : " ") + std::string(at(i));
  }
  in.finish(p.kind == ChangeKind::base || p.kind == ChangeKind::from);
  f_.parts.push_back(std::move(p));
  return {};
}

Result<Forecast> TafText::read() {
  if (auto head = header(); !head) return tl::unexpected<Error>(head.error());
  TafChange begin;
  begin.kind = ChangeKind::base;
  begin.period = {f_.from, f_.to};
  for (;;) {
    if (auto done = part(begin); !done) return tl::unexpected<Error>(done.error());
    if (at_ >= groups_.size()) break;
    auto next = change();
    if (!next) return tl::unexpected<Error>(next.error());
    begin = *next;
  }
  for (const ForecastPart& p : f_.parts) {
    const Conditions& c = p.conditions;
    if (c.wind || c.visibility || c.weather || c.sky || p.shear || !f_.highest.empty() || !f_.lowest.empty())
      return std::move(f_);
  }
  return no_taf("no TAF: not one group after the period can be used");
}

}  // namespace

Result<Forecast> read_taf(std::string_view text, UtcTime reference) {
  if (text.size() > kLongestTaf) return no_taf("longer than any forecast: give one forecast at a time");
  auto groups = split_groups(text, "TAF");
  if (!groups) return tl::unexpected<Error>(groups.error());
  return TafText(std::move(*groups), reference).read();
}

}  // namespace headroom
