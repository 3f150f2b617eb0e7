#pragma once
// The groups that reports (FM 15) and forecasts (FM 51) of an aerodrome share: wind, visibility, weather, cloud; and the pieces
// of text both are made of. Source: WMO-No. 306, Manual on Codes; for the forms of the United States, Federal Meteorological
// Handbook No. 1 and FAA Aeronautical Information Manual 7-1.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "core/time.h"
#include "core/weather/report.h"

namespace headroom::weather_groups {

// d a digit, A a capital letter, anything else itself.
[[nodiscard]] bool is_like(std::string_view text, std::string_view form);
// Digits only, at most six; -1 otherwise.
[[nodiscard]] int whole_number(std::string_view text);
// True when `text` begins or ends with it; it is then taken off.
bool take_start(std::string_view& text, std::string_view start);
bool take_end(std::string_view& text, std::string_view end);
[[nodiscard]] std::string decimal_text(double value, int decimals);

// Four characters, the first a letter.
[[nodiscard]] bool is_station(std::string_view text);
// The instant with this day of the month and time that is nearest to the reference. Hour 24 is the end of that day. Nothing when
// no month beside the reference has it.
[[nodiscard]] std::optional<UtcTime> time_near(int day, int hour, int minute, UtcTime reference);
// ddhhmm, hour 0 to 23.
[[nodiscard]] std::optional<UtcTime> day_time_near(std::string_view text, UtcTime reference);

// Split at blanks up to the = that ends it. Errors, bad_input: more text after the = (`where` is the code's name).
[[nodiscard]] Result<std::vector<std::string_view>> split_groups(std::string_view text, const char* code);

// One group of weather, as +TSRA; nothing when it is none.
[[nodiscard]] std::optional<WeatherCode> weather_of(std::string_view text);

// Reads one group after the other into conditions. Each reader says whether the group is of its form; one that is and cannot be
// read makes its piece unreadable. Absurd values are unreadable: wind above 250 kt or its direction not in tens of degrees,
// visibility above 100 miles.
class GroupReader {
 public:
  GroupReader(Conditions& conditions, std::vector<ReadGroup>& groups) : c_(conditions), groups_(groups) {}

  bool wind(std::string_view g);
  // A whole number of miles has its fraction in the next group: then `took_next`.
  bool visibility(std::string_view g, std::string_view next, bool& took_next);
  bool sky(std::string_view g);
  bool weather(std::string_view g);
  bool cavok(std::string_view g);
  // NSW: what was said of weather before ends, and there is none.
  void no_weather(std::string_view g);
  // A group of no known form makes unreadable whatever it may have been meant for: first the wind and the visibility that are
  // still missing (true: it looks like a wind), then the rest.
  bool suspect(std::string_view g);
  void lose_suspect(std::string_view g, bool like_wind);

  void note(std::string_view g, std::string said, ReadGroup::Fate fate = ReadGroup::Fate::read) {
    groups_.push_back({fate, std::string(g), std::move(said)});
  }
  void lose(std::string_view g, bool& piece, const char* name) {
    piece = true;
    note(g, std::string("not read: ") + name + " is unknown", ReadGroup::Fate::not_read);
  }
  // Clears what is unreadable. Weather that no group names: there is none where the text is whole (visibility and sky) and
  // `silence_is_none`.
  void finish(bool silence_is_none);

 private:
  ReportedSky& layers() {
    if (!c_.sky) c_.sky.emplace();
    return *c_.sky;
  }

  Conditions& c_;
  std::vector<ReadGroup>& groups_;
  std::vector<WeatherCode> weather_;
  bool no_weather_ = false;
};

}  // namespace headroom::weather_groups
