#include "formats/igc.h"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>

#include "formats/digits.h"
#include "formats/week_rollover.h"

namespace headroom {
namespace {

using std::chrono::milliseconds;

constexpr std::size_t kPositionSize = 35;  // a B record without extensions
constexpr std::int64_t kHourMs = 3'600'000;
// A step back of more than this is midnight, a smaller one a fix out of order (docs/formats/igc.md).
constexpr std::int64_t kMidnightStepMs = 12 * kHourMs;
// A gap above this around midnight, or before a repeated date record, makes us doubt.
constexpr std::int64_t kDoubtfulGapMs = 10 * 60'000;

constexpr std::string_view kKnownLetters = "ABCDEFGHIJKLMN";

std::string day_text(std::int64_t day) {
  return rfc3339(UtcTime(std::chrono::days(day))).substr(0, 10);
}
std::string clock_text(std::int64_t time_of_day_ms) {
  const auto s = time_of_day_ms / 1000;
  return fmt::format("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60);
}
bool may_be_height(char c) {
  return digits::is_digit(c) || c == ' ' || c == '-' || c == '+';
}
}  // namespace

IgcReader::IgcReader(Recording&& buffers, ReadOptions options) : options_(options), out_(std::move(buffers)) {
  for (auto* channels : {&out_.channels, &out_.slow.channels}) {
    for (Channel& channel : *channels) {
      channel.raw.clear();
      spare_.push_back(std::move(channel.raw));
    }
    channels->clear();
  }
  out_.format = "igc";
  out_.fixes.clear();
  out_.slow.times.clear();
  out_.slow.lines.clear();
  out_.header.clear();
  out_.others.clear();
  out_.gnss_datum = HeightDatum::unknown;
  out_.simulated = false;
  out_.warnings.clear();
  out_.account = {};
}

void IgcReader::feed(std::string_view chunk) {
  feed_.feed(chunk, [this](const char* p, std::size_t size, std::uint64_t offset, bool cut) {
    line_offset_ = offset;
    line(p, size, cut);
  });
}

Recording IgcReader::finish() {
  feed_.finish([this](const char* p, std::size_t size, std::uint64_t offset, bool cut) {
    line_offset_ = offset;
    line(p, size, cut);
  });
  if (feed_.mixed_ends())
    warnings_.add(WarningCode::text_encoding, 0, [] { return "line ends of more than one kind: each taken as a line end"; });
  if (utf16_)
    warnings_.add(WarningCode::text_encoding, 1, [] { return "the text is UTF-16, which is not read: save it as plain text"; });
  settle_heights();
  if (out_.account.other > out_.others.size() + letters_[static_cast<unsigned char>(' ')])
    warnings_.add(WarningCode::more_not_listed, 0,
                  [] { return "very many lines that are no fix: the later ones are counted, not placed"; });
  if (datum_clash_) out_.gnss_datum = HeightDatum::unknown;
  out_.account.lines = lines_;
  out_.account.fixes = out_.fixes.size();
  for (unsigned c = 0; c < 256; ++c)
    if (letters_[c] != 0) out_.account.by_letter.emplace_back(static_cast<char>(c), letters_[c]);
  warnings_.write_to(out_);
  return std::move(out_);
}

// One line without its end. `size` above kLongestLine: the bytes were not kept. `cut`: the file ends in this line.
void IgcReader::line(const char* p, std::size_t size, bool cut) {
  ++lines_;
  const bool too_long = size > kLongestLine;
  if (lines_ == 1 && size >= 2) {
    const std::string_view start(p, std::min<std::size_t>(size, 3));
    if (start == "\xEF\xBB\xBF") {
      warnings_.add(WarningCode::text_encoding, 1, [] { return "byte-order mark at the start: skipped"; });
      p += 3;
      size -= 3;
      line_offset_ += 3;
    }
    utf16_ = start.starts_with("\xFF\xFE") || start.starts_with("\xFE\xFF");
  }
  if (utf16_) {
    ++letters_[static_cast<unsigned char>('?')];
    warnings_.drop(WarningCode::text_encoding, lines_, [] { return "a line of UTF-16 text: dropped"; });
    return;
  }
  if (size == 0 || (size == 1 && *p == '\x1A')) {  // an empty line, or the end-of-file mark of old systems
    ++letters_[static_cast<unsigned char>(' ')];
    ++out_.account.other;
    return;
  }
  const char letter = *p;
  ++letters_[static_cast<unsigned char>(letter >= 'A' && letter <= 'Z' ? letter : '?')];
  if (too_long) {
    warnings_.drop(WarningCode::line_too_long, lines_,
                   [] { return fmt::format("a line of more than {} bytes: dropped", kLongestLine); });
  } else if (letter == 'B') {
    position_line(p, size, cut);
  } else {
    other_line(p, size);
  }
}

void IgcReader::other_line(const char* p, std::size_t size) {
  const std::string_view text(p, size);
  const char letter = *p;
  if (kKnownLetters.find(letter) == std::string_view::npos) {
    const bool binary = std::any_of(text.begin(), text.end(), [](char c) {
      const auto u = static_cast<unsigned char>(c);
      return (u < 0x20 && u != '\t') || u >= 0x7F;
    });
    if (binary) {
      warnings_.drop(WarningCode::binary_rubbish, lines_, [] { return "bytes that are no text: dropped"; });
      return;
    }
    warnings_.add(WarningCode::unknown_record, lines_, [] { return "a line of no known kind: kept, not used"; });
  }
  const std::uint64_t dropped_before = warnings_.dropped();
  switch (letter) {
    case 'A':
      maker_line(text);
      break;
    case 'H':
      header_line(text);
      break;
    case 'I':
      table_line(text, false);
      break;
    case 'J':
      table_line(text, true);
      break;
    case 'K':
      slow_line(text);
      break;
    case 'L':
      if (out_.fixes.empty() && says_invented(text)) out_.simulated = true;
      break;
    default:
      break;
  }
  if (warnings_.dropped() != dropped_before) return;
  ++out_.account.other;
  if (out_.others.size() < kMostOthers)
    out_.others.push_back({letter, static_cast<std::uint32_t>(std::min<std::uint64_t>(lines_, UINT32_MAX)), line_offset_,
                           static_cast<std::uint32_t>(size)});
}

// ---- positions -----------------------------------------------------------------------------------------------------

void IgcReader::position_line(const char* p, std::size_t size, bool cut) {
  using namespace digits;
  if (size < kPositionSize) return bad_position(p, size, cut);
  // B HHMMSS DDMMmmm N DDDMMmmm E V PPPPP GGGGG: four overlapping groups of eight digits, four letters, two heights.
  const std::uint64_t clock = load8(p + 1), north = load8(p + 6), east = load8(p + 15);
  const bool south = p[14] == 'S', west = p[23] == 'W', flat = p[24] == 'V';
  const bool letters = (south | (p[14] == 'N')) & (west | (p[23] == 'E')) & (flat | (p[24] == 'A'));
  if ((not_digits(clock) | not_digits(north) | not_digits(east)) != 0 || !letters) return bad_position(p, size, cut);

  const std::uint64_t hms = pairs(clock);
  const auto hour = static_cast<std::uint32_t>(hms & 0xFF), minute = static_cast<std::uint32_t>(hms >> 16U & 0xFF),
             second = static_cast<std::uint32_t>(hms >> 32U & 0xFF);
  const std::uint32_t lat = eight(last(north, 7)), lon = eight(east);
  const std::uint32_t lat_degrees = lat / 100000, lon_degrees = lon / 100000;
  const std::uint32_t lat_minutes = lat % 100000, lon_minutes = lon % 100000;  // thousandths
  // Recorders that round write 60.000 minutes: that is the next degree.
  const std::uint32_t lat_all = lat_degrees * 60000 + lat_minutes, lon_all = lon_degrees * 60000 + lon_minutes;
  if (hour > 23 || minute > 59 || second > 60 || lat_minutes > 60000 || lon_minutes > 60000 || lat_all > 90 * 60000 ||
      lon_all > 180 * 60000)
    return bad_position(p, size, cut);

  std::int64_t time_of_day_ms = static_cast<std::int64_t>(hour * 3600 + minute * 60 + second) * 1000;
  GeoPosition at{lat_all / 60000.0, lon_all / 60000.0};
  if (refines_) refine(p, size, time_of_day_ms, lat_all, lon_all, at);

  Fix fix;
  const std::uint64_t pressure = last(load8(p + 22), 5), gnss = last(load8(p + 27), 5);
  double pressure_m = 0, gnss_m = 0;
  fix.has_pressure_altitude = fix.has_gnss_height = true;
  if ((not_digits(pressure) | not_digits(gnss)) == 0) [[likely]] {
    pressure_m = eight(pressure);
    gnss_m = eight(gnss);
  } else {
    // Letters among the heights: two lines ran into one another, so the position is not to be trusted either.
    if (!std::all_of(p + 25, p + 35, may_be_height)) return bad_position(p, size, cut);
    fix.has_pressure_altitude = read_height(p + 25, pressure_m);
    fix.has_gnss_height = read_height(p + 30, gnss_m);
  }
  any_pressure_ |= pressure_m != 0;
  any_gnss_ |= gnss_m != 0;
  // V: two-dimensional, so a GNSS height of 0 is none.
  if (flat && gnss_m == 0) fix.has_gnss_height = false;
  if ((lat_all | lon_all) == 0)
    warnings_.add(WarningCode::zero_position, lines_,
                  [] { return "latitude and longitude are both 0: kept, most likely no position"; });

  const auto step = static_cast<std::uint64_t>(time_of_day_ms - before_ms_);
  if (step > static_cast<std::uint64_t>(23 * kHourMs) || new_maker_ || new_date_ || !log_has_fix_) [[unlikely]]
    place_in_time(time_of_day_ms);
  before_ms_ = time_of_day_ms;
  fix.time = UtcTime(milliseconds(day_ms_ + time_of_day_ms));
  fix.position = {south ? -at.latitude_deg : at.latitude_deg, west ? -at.longitude_deg : at.longitude_deg};
  fix.pressure_altitude = PressureAltitude::from_si(pressure_m);
  fix.gnss_height = GnssHeight::from_si(gnss_m);
  fix.line = static_cast<std::uint32_t>(lines_);
  fix.segment = segment_;
  fix.valid_3d = !flat;
  out_.fixes.push_back(fix);
  read_columns(p, size);
}

// Says why a B line gave no fix.
void IgcReader::bad_position(const char* p, std::size_t size, bool cut) {
  const auto number = [&](std::size_t at) { return at + 2 <= size ? digits::two(p + at) : -1; };
  const auto clock_is_digits = number(1) >= 0 && number(3) >= 0 && number(5) >= 0;
  if (cut && size < kPositionSize) {
    warnings_.drop(WarningCode::truncated_end, lines_,
                   [&] { return fmt::format("the file ends within a position line ({} characters): dropped", size); });
  } else if (size < kPositionSize) {
    warnings_.drop(WarningCode::bad_position_line, lines_,
                   [&] { return fmt::format("a position line of {} characters, 35 at least: dropped", size); });
  } else if (clock_is_digits && (number(1) > 23 || number(3) > 59 || number(5) > 60)) {
    warnings_.drop(WarningCode::bad_time, lines_,
                   [] { return "a position line with a time of day that does not exist: dropped"; });
  } else if (std::all_of(p + 25, p + 35, may_be_height) && std::all_of(p + 7, p + 14, digits::is_digit) &&
             std::all_of(p + 15, p + 23, digits::is_digit) && clock_is_digits && (p[14] == 'N' || p[14] == 'S') &&
             (p[23] == 'E' || p[23] == 'W') && (p[24] == 'A' || p[24] == 'V')) {
    warnings_.drop(WarningCode::position_out_of_range, lines_,
                   [] { return "a position line with a latitude, longitude or minutes that do not exist: dropped"; });
  } else {
    warnings_.drop(WarningCode::bad_position_line, lines_, [] { return "a position line that cannot be read: dropped"; });
  }
}

// Five characters: digits, with spaces before and one sign allowed. False and a warning for anything else.
bool IgcReader::read_height(const char* p, double& metres) {
  const char* const end = p + 5;
  while (p != end && *p == ' ') ++p;
  const bool negative = p != end && *p == '-';
  if (p != end && (*p == '-' || *p == '+')) ++p;
  int value = 0;
  bool any = false;
  for (; p != end && digits::is_digit(*p); ++p) {
    value = value * 10 + (*p - '0');
    any = true;
  }
  if (!any || p != end) {
    warnings_.add(WarningCode::bad_height, lines_, [] { return "a height that cannot be read: the fix is kept without it"; });
    return false;
  }
  metres = negative ? -value : value;
  return true;
}

void IgcReader::read_columns(const char* p, std::size_t size) {
  for (const Column column : fast_.columns) {
    std::int32_t value = Channel::missing;
    const std::uint32_t width = column.end - column.begin;
    if (column.end <= size) {
      const std::uint64_t w = digits::last(digits::load8(p + column.end - 8), width);
      if (width <= 8 && digits::not_digits(w) == 0) [[likely]]
        value = static_cast<std::int32_t>(digits::eight(w));
      else
        value = read_unusual_value({p + column.begin, width});
    } else {
      warnings_.add(WarningCode::extension_cut, lines_, [&] {
        return fmt::format("too short for the column {}: that value is missing", out_.channels[column.channel].code);
      });
    }
    out_.channels[column.channel].raw.push_back(value);
  }
  for (const std::uint32_t channel : fast_.absent) out_.channels[channel].raw.push_back(Channel::missing);
}

// Spaces, a sign, digits; else missing. Recorders also fill columns that they cannot measure with spaces, dashes or letters.
std::int32_t IgcReader::read_unusual_value(std::string_view text) {
  const char* p = text.data();
  const char* const end = p + text.size();
  while (p != end && *p == ' ') ++p;
  if (p != end && *p == '+') ++p;
  std::int32_t value = 0;
  const auto [stop, error] = std::from_chars(p, end, value);
  return error == std::errc{} && stop == end && value != Channel::missing ? value : Channel::missing;
}

void IgcReader::refine(const char* p, std::size_t size, std::int64_t& time_of_day_ms, std::uint32_t lat, std::uint32_t lon,
                       GeoPosition& at) {
  const auto read = [&](const Refinement& column, std::uint32_t& value) {
    if (column.width == 0 || column.begin + column.width > size) return false;
    const std::uint64_t w = digits::last(digits::load8(p + column.begin + column.width - 8), column.width);
    if (digits::not_digits(w) != 0) return false;
    value = digits::eight(w);
    return true;
  };
  std::uint32_t extra = 0;
  const auto finer = [&](std::uint32_t thousandths, std::uint32_t power) {
    return static_cast<double>(std::uint64_t{thousandths} * power + extra) / (60000.0 * power);
  };
  if (read(lad_, extra)) at.latitude_deg = std::min(finer(lat, lad_.power), 90.0);
  if (read(lod_, extra)) at.longitude_deg = std::min(finer(lon, lod_.power), 180.0);
  if (read(tds_, extra)) time_of_day_ms += static_cast<std::int64_t>(std::uint64_t{extra} * 1000 / tds_.power);
}

// ---- time ----------------------------------------------------------------------------------------------------------

// A B record has a time of day only. Called for a fix whose clock stands before, or a day after, the fix before it, and for
// the first fix of a log; sets the day.
void IgcReader::place_in_time(std::int64_t time_of_day_ms) {
  start_log_if_new(time_of_day_ms);
  const std::int64_t step = time_of_day_ms - before_ms_;
  if (step < -kMidnightStepMs) {
    day_ms_ += kDayMs;
    if (day_ms_ <= latest_day_ms_) return;  // back again after a fix from before midnight
    latest_day_ms_ = day_ms_;
    const std::int64_t gap = step + kDayMs;
    warnings_.add(gap > kDoubtfulGapMs ? WarningCode::midnight_doubtful : WarningCode::midnight, lines_, [&] {
      return fmt::format("the clock went from {} to {}: taken for midnight UTC, the date moves on by one day{}",
                         clock_text(before_ms_), clock_text(time_of_day_ms),
                         gap > kDoubtfulGapMs ? "; doubtful, for there is a gap around it" : "");
    });
  } else if (step < 0) {
    warnings_.add(WarningCode::time_went_back, lines_,
                  [&] { return fmt::format("the clock went back by {} s: the fix is kept", static_cast<double>(-step) / 1000); });
  } else if (step > 23 * kHourMs && log_begin_ < out_.fixes.size() &&
             day_ms_ > std::chrono::floor<std::chrono::days>(out_.fixes[log_begin_].time).time_since_epoch() / milliseconds(1)) {
    day_ms_ -= kDayMs;
    warnings_.add(WarningCode::time_went_back, lines_, [] { return "the clock went back across midnight: the fix is kept"; });
  }
}

void IgcReader::start_log_if_new(std::int64_t time_of_day_ms) {
  if (log_has_fix_ && (new_maker_ || new_date_)) {
    const std::int64_t step = next_day_ms_ + time_of_day_ms - (day_ms_ + before_ms_);
    if (new_date_ && !new_maker_ && step >= 0 && step <= kDoubtfulGapMs) {
      // The date was only repeated, or moved on at midnight, within one log.
      new_date_ = false;
      before_ms_ = time_of_day_ms;
      day_ms_ = next_day_ms_;
      latest_day_ms_ = std::max(latest_day_ms_, day_ms_);
      return;
    }
    warnings_.add(WarningCode::several_logs, lines_,
                  [] { return "another log begins in the same file: read as a part of its own"; });
    if (segment_ != UINT16_MAX) ++segment_;
    if (new_date_) day_ms_ = next_day_ms_;
    log_begin_ = out_.fixes.size();
    log_has_fix_ = new_maker_ = new_date_ = false;
  }
  if (log_has_fix_) return;
  if (!has_date_)
    warnings_.add(WarningCode::no_date, lines_,
                  [] { return "no date before the first fix: the times are times of day only, until a date comes"; });
  else if (date_is_old_)
    warnings_.add(WarningCode::no_date, lines_,
                  [] { return "this log has no date of its own: that of the log before is assumed"; });
  log_has_fix_ = true;
  before_ms_ = time_of_day_ms;
  latest_day_ms_ = day_ms_;
}

void IgcReader::date_line(std::string_view text) {
  // DDMMYY after "HFDTE", or after "HFDTEDATE:" with a flight number behind a comma.
  const auto first = std::find_if(text.begin(), text.end(), digits::is_digit);
  const auto count = std::find_if_not(first, text.end(), digits::is_digit) - first;
  using namespace std::chrono;
  year_month_day date{};
  if (count >= 6) {
    const char* p = &*first;
    const int yy = digits::two(p + 4);
    date = year_month_day(year(yy < 70 ? 2000 + yy : 1900 + yy), month(static_cast<unsigned>(digits::two(p + 2))),
                          day(static_cast<unsigned>(digits::two(p))));
  }
  if (count < 6 || !date.ok()) {
    warnings_.drop(WarningCode::bad_date, lines_, [] { return "a date that cannot be read: dropped"; });
    return;
  }
  const std::int64_t day_ms = plausible_day(sys_days(date).time_since_epoch().count()) * kDayMs;
  if (log_has_fix_ && !has_date_ && !new_maker_) {
    // The date came late: the fixes before it get their day from it.
    const milliseconds shift(day_ms - day_ms_);
    for (std::size_t i = log_begin_; i < out_.fixes.size(); ++i) out_.fixes[i].time += shift;
    for (std::size_t i = 0; i < out_.slow.times.size(); ++i) out_.slow.times[i] += shift;
    day_ms_ = latest_day_ms_ = day_ms;
  } else if (log_has_fix_) {
    next_day_ms_ = day_ms;
    new_date_ = true;
  } else {
    day_ms_ = day_ms;
  }
  has_date_ = true;
  date_is_old_ = false;
}

// The day as written, or 1024 weeks away from it when only that is plausible. Never without a warning.
std::int64_t IgcReader::plausible_day(std::int64_t day) {
  const PlausibleDays plausible(options_);
  if (plausible.holds(day)) {
    if (options_.latest_plausible && day + kRolloverDays <= plausible.latest)
      warnings_.add(WarningCode::week_rollover, lines_, [&] {
        return fmt::format("the date {} is long ago: kept, but a recorder whose GPS week count rolled over would show it for {}",
                           day_text(day), day_text(day + kRolloverDays));
      });
    return day;
  }
  const auto other = plausible.instead_of(day);
  warnings_.add(WarningCode::week_rollover, lines_, [&] {
    return other ? fmt::format("the date {} cannot be; {}, 1024 weeks {}, is assumed: the recorder's GPS week count rolled over",
                               day_text(day), day_text(*other), *other > day ? "later" : "earlier")
                 : fmt::format("the date {} cannot be, and neither can one 1024 weeks away: kept as it is", day_text(day));
  });
  return other.value_or(day);
}

// ---- headers and tables --------------------------------------------------------------------------------------------

void IgcReader::maker_line(std::string_view text) {
  add_header("A", text.substr(1));
  if (says_invented(text)) out_.simulated = true;
  if (!log_has_fix_ || new_maker_) return;
  // A second log: its columns are its own.
  new_maker_ = true;
  new_date_ = false;
  date_is_old_ = true;
  for (ColumnTable* table : {&fast_, &slow_}) {
    for (const Column column : table->columns) table->absent.push_back(column.channel);
    table->columns.clear();
  }
  refines_ = false;
  lad_ = lod_ = tds_ = {};
}

void IgcReader::header_line(std::string_view text) {
  if (text.size() < 5) return;
  const std::string_view kind = text.substr(2, 3);
  const std::string_view rest = text.substr(5);
  if (kind == "DTE") return date_line(rest);
  if (says_invented(text)) out_.simulated = true;
  if (kind == "ALG") {
    const bool geoid = rest.find("GEO") != std::string_view::npos;
    const bool ellipsoid = rest.find("ELL") != std::string_view::npos;
    if (geoid != ellipsoid) {
      const HeightDatum datum = geoid ? HeightDatum::geoid : HeightDatum::ellipsoid;
      datum_clash_ |= out_.gnss_datum != HeightDatum::unknown && out_.gnss_datum != datum;
      out_.gnss_datum = datum;
    }
  }
  const auto colon = rest.find(':');
  add_header(clean_text(text.substr(0, 5)), colon == std::string_view::npos ? rest : rest.substr(colon + 1));
}

void IgcReader::add_header(std::string code, std::string_view text) {
  if (out_.header.size() < kMostHeaders)
    out_.header.push_back({std::move(code), clean_text(text), static_cast<std::uint32_t>(lines_)});
}

// I (slow = false) or J: a count of two digits, then first byte, last byte and code of each column. Several may stand on
// one line, each with its letter, and several lines add up.
void IgcReader::table_line(std::string_view text, bool slow) {
  const char letter = slow ? 'J' : 'I';
  const std::uint32_t least = slow ? 8 : 36;
  std::size_t good = 0, bad = 0;
  while (!text.empty() && text.front() == letter) {
    const int count = text.size() >= 3 ? digits::two(text.data() + 1) : -1;
    if (count < 0) {
      ++bad;
      break;
    }
    text.remove_prefix(3);
    for (int i = 0; i < count; ++i) {
      if (text.size() < 7) {
        ++bad;
        break;
      }
      const int first = digits::two(text.data()), last = digits::two(text.data() + 2);
      const std::string_view code = text.substr(4, 3);
      const bool named =
          std::all_of(code.begin(), code.end(), [](char c) { return (c >= 'A' && c <= 'Z') || digits::is_digit(c); });
      if (first >= static_cast<int>(least) && last >= first && named) {
        add_column(code, static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(last), slow);
        ++good;
      } else {
        ++bad;
      }
      text.remove_prefix(7);
    }
  }
  if (bad != 0 && good == 0) {
    warnings_.drop(WarningCode::bad_extension_table, lines_,
                   [&] { return fmt::format("{} record that cannot be read: dropped, its columns are unknown", letter); });
  } else if (bad != 0) {
    warnings_.add(WarningCode::bad_extension_table, lines_,
                  [&] { return fmt::format("{} record of which only {} columns can be read", letter, good); });
  }
  if (slow) return;
  lad_ = lod_ = tds_ = {};
  for (const Column column : fast_.columns) {
    const std::string& code = out_.channels[column.channel].code;
    Refinement* target = code == "LAD" ? &lad_ : code == "LOD" ? &lod_ : code == "TDS" ? &tds_ : nullptr;
    const std::uint32_t width = column.end - column.begin;
    if (target == nullptr || width > 6) continue;
    *target = {column.begin, width, 1};
    for (std::uint32_t i = 0; i < width; ++i) target->power *= 10;
  }
  refines_ = (lad_.width | lod_.width | tds_.width) != 0;
}

// Bytes first..last, counted from 1.
void IgcReader::add_column(std::string_view code, std::uint32_t first, std::uint32_t last, bool slow) {
  auto& channels = slow ? out_.slow.channels : out_.channels;
  ColumnTable& table = slow ? slow_ : fast_;
  const std::size_t rows = slow ? out_.slow.times.size() : out_.fixes.size();
  auto channel = static_cast<std::size_t>(
      std::find_if(channels.begin(), channels.end(), [&](const Channel& c) { return c.code == code; }) - channels.begin());
  if (channel == channels.size()) {
    if (channels.size() == kMostChannels) {
      warnings_.add(WarningCode::bad_extension_table, lines_,
                    [&] { return fmt::format("more than {} columns: {} is not read", kMostChannels, code); });
      return;
    }
    channels.push_back({std::string(code), 1, spare_column()});
    channels.back().raw.assign(rows, Channel::missing);
    table.absent.push_back(static_cast<std::uint32_t>(channel));
  }
  const Column column{first - 1, last, static_cast<std::uint32_t>(channel)};
  // A later record holds: what it overlaps is gone, and so is the same code elsewhere.
  std::erase_if(table.columns, [&](const Column& old) {
    const bool gone = old.channel == column.channel || (old.begin < column.end && column.begin < old.end);
    if (gone) table.absent.push_back(old.channel);
    return gone;
  });
  std::erase(table.absent, column.channel);
  table.columns.push_back(column);
}

void IgcReader::slow_line(std::string_view text) {
  const int hour = text.size() >= 7 ? digits::two(text.data() + 1) : -1,
            minute = text.size() >= 7 ? digits::two(text.data() + 3) : -1,
            second = text.size() >= 7 ? digits::two(text.data() + 5) : -1;
  if (hour < 0 || minute < 0 || second < 0 || hour > 23 || minute > 59 || second > 60) {
    warnings_.drop(WarningCode::bad_slow_record, lines_, [] { return "a K record without a readable time: dropped"; });
    return;
  }
  if (slow_.columns.empty()) {
    warnings_.add(WarningCode::bad_slow_record, lines_,
                  [] { return "a K record without a J record before it: kept, its columns are unknown"; });
    return;
  }
  // The day that brings it nearest to the fix before it.
  const std::int64_t time_of_day_ms = (hour * 3600 + minute * 60 + second) * 1000;
  std::int64_t day_ms = day_ms_;
  if (log_has_fix_ && !new_maker_) {
    if (time_of_day_ms - before_ms_ < -kMidnightStepMs) day_ms += kDayMs;
    if (time_of_day_ms - before_ms_ > kMidnightStepMs) day_ms -= kDayMs;
  } else if (new_date_) {
    day_ms = next_day_ms_;
  }
  out_.slow.times.emplace_back(milliseconds(day_ms + time_of_day_ms));
  out_.slow.lines.push_back(static_cast<std::uint32_t>(lines_));
  for (const Column column : slow_.columns) {
    std::int32_t value = Channel::missing;
    if (column.end <= text.size())
      value = read_unusual_value(text.substr(column.begin, column.end - column.begin));
    else
      warnings_.add(WarningCode::extension_cut, lines_, [&] {
        return fmt::format("too short for the column {}: that value is missing", out_.slow.channels[column.channel].code);
      });
    out_.slow.channels[column.channel].raw.push_back(value);
  }
  for (const std::uint32_t channel : slow_.absent) out_.slow.channels[channel].raw.push_back(Channel::missing);
}

std::vector<std::int32_t> IgcReader::spare_column() {
  if (spare_.empty()) return {};
  auto column = std::move(spare_.back());
  spare_.pop_back();
  return column;
}

// A height that is 0 in every fix was not measured; a single 0 is a real one at sea level.
void IgcReader::settle_heights() {
  if (out_.fixes.empty()) return;
  if (!any_pressure_) {
    for (Fix& fix : out_.fixes) fix.has_pressure_altitude = false;
    warnings_.add(WarningCode::no_pressure_altitude, 0,
                  [] { return "no fix has a pressure height: this recorder seems to have no pressure sensor"; });
  }
  if (!any_gnss_) {
    for (Fix& fix : out_.fixes) fix.has_gnss_height = false;
    warnings_.add(WarningCode::no_gnss_height, 0, [] { return "no fix has a GNSS height"; });
  }
}

Recording read_igc(std::string_view bytes, const ReadOptions& options) {
  IgcReader reader(options);
  reader.feed(bytes);
  return reader.finish();
}

void read_igc(std::string_view bytes, Recording& into, const ReadOptions& options) {
  IgcReader reader(std::move(into), options);
  reader.feed(bytes);
  into = reader.finish();
}

}  // namespace headroom
