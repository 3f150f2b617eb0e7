#include "formats/nmea.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cmath>
#include <cstring>

#include "formats/digits.h"

namespace headroom {
namespace {

using std::chrono::milliseconds;

constexpr std::int64_t kNmeaHourMs = 3'600'000;
// A step back of more than this is midnight, a smaller one a fix out of order, as in the IGC reader.
constexpr std::int64_t kNmeaMidnightStepMs = 12 * kNmeaHourMs;
constexpr std::int64_t kNmeaDoubtfulGapMs = 10 * 60'000;
// So long after midnight a receiver may still write the date of the day before.
constexpr std::int64_t kDateLagMs = 60'000;
constexpr double kMetresPerFoot = 0.3048;
constexpr double kMetresPerSecondPerKnot = 1852.0 / 3600.0;
constexpr double kHighest = 1e6;  // metres: beyond any recording

struct ColumnKind {
  std::string_view code;
  double scale;
};
constexpr std::array<ColumnKind, 5> kColumnKinds = {
    {{"SPEED", 1e-3}, {"COURSE", 1e-2}, {"SAT", 1}, {"HDOP", 1e-2}, {"GEOID", 1e-3}}};

constexpr std::uint32_t letters3(const char* p) {
  return static_cast<std::uint32_t>(static_cast<unsigned char>(p[0])) << 16U |
         static_cast<std::uint32_t>(static_cast<unsigned char>(p[1])) << 8U | static_cast<unsigned char>(p[2]);
}

// The fields of a sentence after its address, in order; beyond the last they are empty.
class NmeaFields {
 public:
  explicit NmeaFields(std::string_view text) : p_(text.data()), end_(p_ + text.size()) {}
  std::string_view next() {
    const char* const begin = p_;
    while (p_ != end_ && *p_ != ',') ++p_;
    const std::string_view field(begin, static_cast<std::size_t>(p_ - begin));
    if (p_ != end_) ++p_;
    return field;
  }
  void skip(unsigned count) {
    while (count-- > 0) next();
  }

 private:
  const char* p_;
  const char* end_;
};

constexpr std::array<double, 19> kPowersOfTen = {1,    1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                                 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};

// A plain decimal number, all of the field. Up to 15 digits count, further decimals are cut.
std::optional<double> decimal(std::string_view field) {
  const char* p = field.data();
  const char* const end = p + field.size();
  if (p == end) return std::nullopt;
  const bool negative = *p == '-';
  if (*p == '-' || *p == '+') ++p;
  std::int64_t mantissa = 0;
  unsigned digits_met = 0, decimals = 0;
  bool point = false, any = false;
  for (; p != end; ++p) {
    if (*p == '.' && !point) {
      point = true;
    } else if (digits::is_digit(*p)) {
      any = true;
      if (digits_met == 15) {
        if (!point) return std::nullopt;
        continue;
      }
      mantissa = mantissa * 10 + (*p - '0');
      if (mantissa != 0) ++digits_met;
      if (point && ++decimals > 18) return std::nullopt;
    } else {
      return std::nullopt;
    }
  }
  if (!any) return std::nullopt;
  const double value = static_cast<double>(mantissa) / kPowersOfTen[decimals];
  return negative ? -value : value;
}

// "hhmmss" with or without decimals, as milliseconds of the day.
std::optional<std::int64_t> time_of_day(std::string_view field) {
  if (field.size() < 6) return std::nullopt;
  const char* p = field.data();
  const int h = digits::two(p), m = digits::two(p + 2), s = digits::two(p + 4);
  // 60 is a leap second.
  if (h < 0 || h > 23 || m < 0 || m > 59 || s < 0 || s > 60) return std::nullopt;
  std::int64_t ms = ((h * 60 + m) * 60 + s) * std::int64_t{1000};
  if (field.size() == 6) return ms;
  if (p[6] != '.') return std::nullopt;
  std::int64_t unit = 100;
  for (const char c : field.substr(7)) {
    if (!digits::is_digit(c)) return std::nullopt;
    ms += (c - '0') * unit;
    unit /= 10;
  }
  return ms;
}

// "dddmm.mmmm" and its hemisphere, as degrees with one rounding. False when it cannot be read.
bool angle(std::string_view field, std::string_view side, char plus, char minus, double& degrees) {
  if (side.size() != 1 || (side[0] != plus && side[0] != minus)) return false;
  const char* p = field.data();
  const char* const end = p + field.size();
  std::int64_t whole = 0;
  unsigned places = 0;
  for (; p != end && digits::is_digit(*p); ++p, ++places) {
    if (places == 5) return false;
    whole = whole * 10 + (*p - '0');
  }
  if (places < 3) return false;
  std::int64_t fraction = 0, power = 1;
  if (p != end) {
    if (*p != '.') return false;
    for (++p; p != end; ++p) {
      if (!digits::is_digit(*p)) return false;
      if (power < 1'000'000'000) {
        power *= 10;
        fraction = fraction * 10 + (*p - '0');
      }
    }
  }
  const std::int64_t minutes = whole % 100;
  if (minutes >= 60) {
    degrees = 1e9;  // no place: told apart from what cannot be read
    return true;
  }
  degrees = static_cast<double>((whole / 100 * 60 + minutes) * power + fraction) / static_cast<double>(60 * power);
  if (side[0] == minus) degrees = -degrees;
  return true;
}

// "ddmmyy"; years from 70 on are of the last century, as in the IGC reader.
std::optional<std::int64_t> day_of(std::string_view field) {
  if (field.size() != 6) return std::nullopt;
  const int d = digits::two(field.data()), m = digits::two(field.data() + 2), y = digits::two(field.data() + 4);
  if (d < 0 || m < 0 || y < 0) return std::nullopt;
  using namespace std::chrono;
  const year_month_day date(year(y < 70 ? 2000 + y : 1900 + y), month(static_cast<unsigned>(m)), day(static_cast<unsigned>(d)));
  if (!date.ok()) return std::nullopt;
  return sys_days(date).time_since_epoch().count();
}
std::optional<std::int64_t> day_of(std::string_view dd, std::string_view mm, std::string_view yyyy) {
  const auto d = decimal(dd), m = decimal(mm), y = decimal(yyyy);
  if (!d || !m || !y || yyyy.size() != 4 || dd.size() > 2 || mm.size() > 2) return std::nullopt;
  using namespace std::chrono;
  if (!(*d >= 1 && *m >= 1 && *y >= 0)) return std::nullopt;
  const year_month_day date(year(static_cast<int>(*y)), month(static_cast<unsigned>(*m)), day(static_cast<unsigned>(*d)));
  if (!date.ok()) return std::nullopt;
  return sys_days(date).time_since_epoch().count();
}

std::string nmea_day_text(std::int64_t day) {
  return rfc3339(UtcTime(std::chrono::days(day))).substr(0, 10);
}

std::int32_t in_scale(std::optional<double> value, double scale) {
  if (!value) return Channel::missing;
  const double raw = std::round(*value / scale);
  return std::abs(raw) < 2e9 ? static_cast<std::int32_t>(raw) : Channel::missing;
}

int hex_digit(char c) {
  if (digits::is_digit(c)) return c - '0';
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  return -1;
}
// The exclusive or of all bytes.
unsigned checksum_of(std::string_view body) {
  const char* p = body.data();
  std::size_t left = body.size();
  std::uint64_t w = 0;
  for (; left >= 8; p += 8, left -= 8) w ^= digits::load8(p);
  w ^= w >> 32U;
  w ^= w >> 16U;
  w ^= w >> 8U;
  auto sum = static_cast<unsigned char>(w & 0xFFU);
  for (; left > 0; ++p, --left) sum = static_cast<unsigned char>(sum ^ static_cast<unsigned char>(*p));
  return sum;
}
struct Checksum {
  std::string_view body;  // between '$' and '*', or to the end
  bool written = false, fits = false;
};
// `sentence` begins with '$'.
Checksum split_checksum(std::string_view sentence) {
  const std::size_t size = sentence.size();
  const std::size_t star = size >= 4 && sentence[size - 3] == '*' ? size - 3 : sentence.find('*');
  if (star == std::string_view::npos) return {sentence.substr(1), false, false};
  const std::string_view body = sentence.substr(1, star - 1);
  const int high = star + 1 < size ? hex_digit(sentence[star + 1]) : -1,
            low = star + 2 < size ? hex_digit(sentence[star + 2]) : -1;
  const bool fits = size == star + 3 && high >= 0 && low >= 0 && checksum_of(body) == static_cast<unsigned>(high * 16 + low);
  return {body, true, fits};
}

bool is_address_char(char c) {
  return (c >= 'A' && c <= 'Z') || digits::is_digit(c);
}

bool is_binary(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) {
    const auto u = static_cast<unsigned char>(c);
    return u < 0x20 && u != '\t';
  });
}

std::string_view without_blanks_behind(std::string_view s) {
  while (!s.empty() && (s.back() == ' ' || s.back() == '\t')) s.remove_suffix(1);
  return s;
}

}  // namespace

NmeaReader::NmeaReader(Recording&& buffers, ReadOptions options)
    : options_(options), plausible_(options), out_(std::move(buffers)) {
  std::size_t spare = 0;
  for (Channel& channel : out_.channels) {
    if (spare == kColumns) break;
    channel.raw.clear();
    columns_[spare++] = std::move(channel.raw);
  }
  out_.channels.clear();
  out_.slow = {};
  out_.format = "nmea";
  out_.fixes.clear();
  out_.header.clear();
  out_.others.clear();
  out_.gnss_datum = HeightDatum::unknown;
  out_.simulated = false;
  out_.warnings.clear();
  out_.account = {};
}

void NmeaReader::feed(std::string_view chunk) {
  feed_.feed(chunk, [this](const char* p, std::size_t size, std::uint64_t offset, bool cut) { line(p, size, offset, cut); });
}

Recording NmeaReader::finish() {
  feed_.finish([this](const char* p, std::size_t size, std::uint64_t offset, bool cut) { line(p, size, offset, cut); });
  close_epoch();
  if (feed_.mixed_ends())
    warnings_.add(WarningCode::text_encoding, 0, [] { return "line ends of more than one kind: each taken as a line end"; });
  settle_dates();
  settle_simulation();
  settle_heights();
  settle_channels();
  if (position_sentences_ == 0 && sentences_ != 0)
    warnings_.add(WarningCode::no_position_sentence, 0, [&] {
      return fmt::format("none of its {} sentences gives a position (RMC, GGA, GNS, GLL); it holds {}: the log of another device",
                         sentences_, fmt::join(addresses_, ", "));
    });
  if (out_.account.other > out_.others.size() + letters_[static_cast<unsigned char>(' ')])
    warnings_.add(WarningCode::more_not_listed, 0,
                  [] { return "very many lines that are no fix: the later ones are counted, not placed"; });
  out_.account.lines = lines_;
  out_.account.fixes = out_.fixes.size();
  for (unsigned c = 0; c < 256; ++c)
    if (letters_[c] != 0) out_.account.by_letter.emplace_back(static_cast<char>(c), letters_[c]);
  warnings_.write_to(out_);
  return std::move(out_);
}

// ---- lines -----------------------------------------------------------------------------------------------------------

// One line without its end. `size` above kLongestLine: the bytes were not kept. `cut`: the file ends in this line.
void NmeaReader::line(const char* p, std::size_t size, std::uint64_t offset, bool cut) {
  ++lines_;
  if (lines_ == 1 && std::string_view(p, std::min<std::size_t>(size, 3)) == "\xEF\xBB\xBF") {
    warnings_.add(WarningCode::text_encoding, 1, [] { return "byte-order mark at the start: skipped"; });
    p += 3;
    size -= 3;
    offset += 3;
  }
  if (size == 0 || (size == 1 && *p == '\x1A')) {  // an empty line, or the end-of-file mark of old systems
    ++letters_[static_cast<unsigned char>(' ')];
    ++out_.account.other;
    return;
  }
  const char letter = *p;
  ++letters_[static_cast<unsigned char>(letter > ' ' && letter < '\x7F' ? letter : '?')];
  if (size > kLongestLine) {
    warnings_.drop(WarningCode::line_too_long, lines_,
                   [] { return fmt::format("a line of more than {} bytes: dropped", kLongestLine); });
    return;
  }
  std::string_view sentence(p, size);
  // A sentence may stand behind the time that a logger wrote before it, behind a tag block, or behind one that was cut.
  const std::size_t start = sentence.rfind('$');
  if (start == std::string_view::npos) return text_line(p, size, offset);
  if (start != 0) {
    if (!is_nmea_sentence(without_blanks_behind(sentence.substr(start)))) {
      if (letter != '$') return text_line(p, size, offset);
      warnings_.drop(WarningCode::bad_checksum, lines_, [] { return "a damaged sentence: dropped"; });
      return;
    }
    if (letter != '\\')
      warnings_.add(WarningCode::bytes_before_sentence, lines_,
                    [&] { return fmt::format("{} bytes stand before the sentence: skipped", start); });
    sentence.remove_prefix(start);
  }
  Kind kind = Kind::unused;
  const auto body = checked(without_blanks_behind(sentence), kind, cut);
  if (!body) return;
  Said said;
  if (kind == Kind::unused || !read(*body, kind, said)) return other(letter, size, offset);
  const std::uint64_t dropped_before = warnings_.dropped();
  const bool is_fix = position(said);
  if (!is_fix && warnings_.dropped() == dropped_before) other(letter, size, offset);
}

void NmeaReader::text_line(const char* p, std::size_t size, std::uint64_t offset) {
  const std::string_view text(p, size);
  if (is_binary(text)) {
    warnings_.drop(WarningCode::binary_rubbish, lines_, [] { return "bytes that are no text: dropped"; });
    return;
  }
  constexpr std::uint64_t kEarly = 100;
  if (lines_ <= kEarly && says_invented(text)) out_.simulated = true;
  if (*p != '#' && *p != '!' && warnings_.seen(WarningCode::unknown_record) == 0)
    warnings_.add(WarningCode::unknown_record, lines_,
                  [] { return "a line that is no sentence: such lines are kept as other and counted, told once"; });
  other(*p, size, offset);
}

void NmeaReader::other(char letter, std::size_t size, std::uint64_t offset) {
  ++out_.account.other;
  if (out_.others.size() < kMostOthers)
    out_.others.push_back({letter, static_cast<std::uint32_t>(std::min<std::uint64_t>(lines_, UINT32_MAX)), offset,
                           static_cast<std::uint32_t>(size)});
}

std::optional<std::string_view> NmeaReader::checked(std::string_view sentence, Kind& kind, bool cut) {
  const Checksum sum = split_checksum(sentence);
  const std::size_t comma = std::min(sum.body.find(','), sum.body.size());
  const std::string_view address = sum.body.substr(0, comma);
  if (address.size() == 5 && address[0] != 'P') {
    switch (letters3(address.data() + 2)) {
      case letters3("RMC"):
        kind = Kind::rmc;
        break;
      case letters3("GGA"):
        kind = Kind::gga;
        break;
      case letters3("GNS"):
        kind = Kind::gns;
        break;
      case letters3("GLL"):
        kind = Kind::gll;
        break;
      case letters3("VTG"):
        kind = Kind::vtg;
        break;
      case letters3("ZDA"):
        kind = Kind::zda;
        break;
      case letters3("GSA"):
        kind = Kind::gsa;
        break;
      default:
        break;
    }
  } else if (address == "PGRMZ") {
    kind = Kind::rmz;
  }
  const unsigned bit = 1U << static_cast<unsigned>(kind);
  if (sum.fits) {
    kinds_with_checksum_ |= bit;
  } else if (cut) {
    warnings_.drop(WarningCode::truncated_end, lines_, [] { return "the file ends within this sentence: dropped"; });
    return std::nullopt;
  } else if (sum.written) {
    warnings_.drop(WarningCode::bad_checksum, lines_, [] { return "a sentence whose checksum does not fit: dropped"; });
    return std::nullopt;
  } else if (kind == Kind::unused) {
    // Nothing is read of it, so nothing need be proved.
  } else if ((kinds_with_checksum_ & bit) != 0) {
    warnings_.drop(WarningCode::bad_checksum, lines_,
                   [] { return "a sentence without its checksum, among others that have one: cut off, dropped"; });
    return std::nullopt;
  } else if (warnings_.seen(WarningCode::no_checksum) == 0) {
    warnings_.add(WarningCode::no_checksum, lines_,
                  [] { return "a sentence without a checksum: such are read as they stand, unproved; told once"; });
  }
  ++sentences_;
  if (kind <= Kind::gll) {
    ++position_sentences_;
  } else if (constexpr std::size_t kShown = 6; addresses_.size() < kShown && !address.empty()) {
    std::string shown = clean_text(address.substr(0, 8));
    if (std::find(addresses_.begin(), addresses_.end(), shown) == addresses_.end()) addresses_.push_back(std::move(shown));
  }
  return sum.body.substr(std::min(comma + 1, sum.body.size()));
}

// ---- sentences -------------------------------------------------------------------------------------------------------

// Field numbers as in the public descriptions, counted from 1 after the address. False: a sentence that says nothing here.
bool NmeaReader::read(std::string_view body, Kind kind, Said& said) {
  NmeaFields fields(body);
  said.kind = kind;
  said.raw.fill(Channel::missing);
  const auto read_time = [&](std::string_view field) { said.time_of_day_ms = time_of_day(field); };
  const auto read_position = [&] {
    const std::string_view lat = fields.next(), north = fields.next(), lon = fields.next(), east = fields.next();
    said.has_position = !lat.empty() || !lon.empty();
    said.readable = said.has_position && angle(lat, north, 'N', 'S', said.position.latitude_deg) &&
                    angle(lon, east, 'E', 'W', said.position.longitude_deg);
  };
  const auto set = [&](Column column, std::optional<double> value) {
    said.raw[column] = in_scale(value, kColumnKinds[column].scale);
  };
  const auto read_height = [&](std::string_view field) {
    said.height = decimal(field);
    if (said.height && !(std::abs(*said.height) < kHighest)) said.height.reset();
    if (!field.empty() && !said.height)
      warnings_.add(WarningCode::bad_height, lines_, [] { return "a height that cannot be read: the fix is kept without it"; });
  };
  // Of RMC, GLL and VTG: A autonomous, D differential, R and F with carrier phase, P precise; absent in old receivers.
  const auto mode_validity = [](std::string_view mode, bool active) {
    switch (mode.empty() ? 'A' : mode[0]) {
      case 'S':
        return Validity::simulated;  // whatever the status says
      case 'E':
        return active ? Validity::reckoned : Validity::invalid;
      case 'M':
      case 'N':
        return Validity::invalid;
      default:
        return active ? Validity::measured : Validity::invalid;
    }
  };
  switch (kind) {
    case Kind::rmc: {
      read_time(fields.next());
      const std::string_view status = fields.next();
      read_position();
      if (const auto knots = decimal(fields.next())) set(speed, *knots * kMetresPerSecondPerKnot);
      set(course, decimal(fields.next()));
      const std::string_view date = fields.next();
      said.day = day_of(date);
      if (!date.empty() && !said.day)
        warnings_.add(WarningCode::bad_date, lines_, [] { return "a date that cannot be read: not used"; });
      fields.skip(2);
      said.validity = mode_validity(fields.next(), status == "A");
      return true;
    }
    case Kind::gga: {
      read_time(fields.next());
      read_position();
      const std::string_view quality = fields.next();
      switch (quality.size() == 1 ? quality[0] : '0') {
        case '0':
        case '7':  // typed in by hand
          said.validity = Validity::invalid;
          break;
        case '6':
          said.validity = Validity::reckoned;
          break;
        case '8':
          said.validity = Validity::simulated;
          break;
        default:
          said.validity = Validity::measured;
          break;
      }
      set(satellites, decimal(fields.next()));
      set(hdop, decimal(fields.next()));
      read_height(fields.next());
      fields.skip(1);
      set(geoid, decimal(fields.next()));
      return true;
    }
    case Kind::gns: {
      read_time(fields.next());
      read_position();
      // One letter for each constellation; the best of them holds.
      said.validity = Validity::invalid;
      for (const char c : fields.next()) said.validity = std::min(said.validity, mode_validity({&c, 1}, true));
      set(satellites, decimal(fields.next()));
      set(hdop, decimal(fields.next()));
      read_height(fields.next());
      set(geoid, decimal(fields.next()));
      // A constellation's share of a fix that another sentence gives.
      return said.has_position || said.validity != Validity::invalid;
    }
    case Kind::gll: {
      read_position();
      read_time(fields.next());
      const std::string_view status = fields.next();
      said.validity = mode_validity(fields.next(), status == "A");
      return true;
    }
    case Kind::vtg: {
      const std::string_view degrees = fields.next(), is_true = fields.next();
      fields.skip(2);
      const std::string_view knots = fields.next(), is_knots = fields.next();
      if (is_true == "T") set(course, decimal(degrees));
      if (const auto value = decimal(knots); value && is_knots == "N") set(speed, *value * kMetresPerSecondPerKnot);
      return true;
    }
    case Kind::zda: {
      read_time(fields.next());
      const std::string_view dd = fields.next(), mm = fields.next(), yyyy = fields.next();
      said.day = day_of(dd, mm, yyyy);
      if (!dd.empty() && !said.day)
        warnings_.add(WarningCode::bad_date, lines_, [] { return "a date that cannot be read: not used"; });
      return true;
    }
    case Kind::gsa: {
      fields.skip(1);
      const std::string_view mode = fields.next();
      if (mode == "1" || mode == "2" || mode == "3") said.dimensions = static_cast<std::uint8_t>(mode[0] - '0');
      return true;
    }
    case Kind::rmz: {
      const auto value = decimal(fields.next());
      const std::string_view unit = fields.next();
      if (value && (unit == "f" || unit == "F")) said.pressure_height = *value * kMetresPerFoot;
      if (value && (unit == "m" || unit == "M")) said.pressure_height = *value;
      if (said.pressure_height && !(std::abs(*said.pressure_height) < kHighest)) said.pressure_height.reset();
      return true;
    }
    case Kind::unused:
      break;
  }
  return false;
}

bool NmeaReader::position(const Said& said) {
  if (said.kind > Kind::gll) {
    supplement(said);
    return false;
  }
  if (said.validity == Validity::invalid) {
    if (epoch_.open && said.time_of_day_ms == epoch_.time_of_day_ms) epoch_.doubted = true;
    doubted_time_ms_ = said.time_of_day_ms;
    if (said.day && !doubtful_shift_) doubtful_shift_ = plausible_day(*said.day) - day_;
    if (said.has_position)
      warnings_.drop(WarningCode::position_not_valid, lines_,
                     [] { return "the receiver calls this position invalid (status V, quality 0, 7, or mode N, M): dropped"; });
    return false;
  }
  if (!said.has_position) return false;
  if (!said.readable) {
    warnings_.drop(WarningCode::bad_position_line, lines_, [] { return "a latitude or longitude that cannot be read: dropped"; });
    return false;
  }
  if (!(std::abs(said.position.latitude_deg) <= 90) || !(std::abs(said.position.longitude_deg) <= 180)) {
    warnings_.drop(WarningCode::position_out_of_range, lines_,
                   [] { return "a latitude or longitude that does not exist: dropped"; });
    return false;
  }
  if (!said.time_of_day_ms) {
    warnings_.drop(WarningCode::bad_time, lines_, [] { return "a position without a time of day that can be read: dropped"; });
    return false;
  }
  const auto index = static_cast<std::size_t>(said.kind);
  const unsigned bit = 1U << index;
  const bool repeats = (epoch_.kinds & bit) != 0;
  // The same kind again with another position: a receiver whose times are coarser than its fixes.
  if (!epoch_.open || *said.time_of_day_ms != epoch_.time_of_day_ms || (repeats && epoch_.positions[index] != said.position))
    open_epoch(*said.time_of_day_ms);
  if (said.day) date(plausible_day(*said.day), false, *said.time_of_day_ms);

  epoch_.kinds |= bit;
  epoch_.positions[index] = said.position;
  const bool first = !epoch_.has_fix;
  if (first) {
    epoch_.has_fix = true;
    epoch_.fix.line = static_cast<std::uint32_t>(std::min<std::uint64_t>(lines_, UINT32_MAX));
  }
  // The height belongs to the position of its own sentence, so GGA goes before GNS, RMC and GLL.
  constexpr std::array<std::uint8_t, 4> kRank = {2, 4, 3, 1};
  if (kRank[index] > epoch_.rank) {
    epoch_.rank = kRank[index];
    epoch_.fix.position = said.position;
  }
  if (said.validity == Validity::reckoned) epoch_.doubted = true;
  if (said.validity == Validity::simulated) epoch_.simulated = true;
  if (said.height && !epoch_.fix.has_gnss_height) {
    epoch_.fix.has_gnss_height = true;
    epoch_.fix.gnss_height = GnssHeight::from_si(*said.height);
  }
  for (std::size_t c = 0; c < kColumns; ++c)
    if (said.raw[c] != Channel::missing && (epoch_.raw[c] == Channel::missing || said.kind == Kind::rmc))
      epoch_.raw[c] = said.raw[c];
  return first;
}

// What has no position of its own is of the epoch that is open.
void NmeaReader::supplement(const Said& said) {
  if (said.kind == Kind::zda) {
    if (said.day && said.time_of_day_ms) date(plausible_day(*said.day), true, *said.time_of_day_ms);
    return;
  }
  if (!epoch_.open) return;
  if (said.kind == Kind::gsa) epoch_.dimensions = std::max(epoch_.dimensions, said.dimensions);
  if (said.kind == Kind::vtg)
    for (const Column c : {speed, course})
      if (epoch_.raw[c] == Channel::missing) epoch_.raw[c] = said.raw[c];
  if (said.pressure_height) {
    epoch_.fix.has_pressure_altitude = true;
    epoch_.fix.pressure_altitude = PressureAltitude::from_si(*said.pressure_height);
  }
}

// ---- time ------------------------------------------------------------------------------------------------------------

void NmeaReader::open_epoch(std::int64_t time_of_day_ms) {
  close_epoch();
  const std::int64_t step = clock_runs_ ? time_of_day_ms - clock_ms_ : 0;
  bool by_clock = false, doubtful = false;
  if (step < -kNmeaMidnightStepMs) {
    ++day_;
    by_clock = true;
    doubtful = step + kDayMs > kNmeaDoubtfulGapMs;
  } else if (step > 23 * kNmeaHourMs && log_begin_ < out_.fixes.size() &&
             day_ > std::chrono::floor<std::chrono::days>(out_.fixes[log_begin_].time).time_since_epoch().count()) {
    --day_;  // a fix from before midnight, late
  }
  clock_runs_ = true;
  clock_ms_ = time_of_day_ms;
  epoch_.time_of_day_ms = time_of_day_ms;
  epoch_.open = true;
  epoch_.has_fix = false;
  epoch_.doubted = doubted_time_ms_ == time_of_day_ms;
  epoch_.by_clock = by_clock;
  epoch_.doubtful_midnight = doubtful;
  epoch_.simulated = false;
  epoch_.kinds = 0;
  epoch_.rank = 0;
  epoch_.dimensions = 0;
  epoch_.fix = Fix{};
  epoch_.raw.fill(Channel::missing);
}

void NmeaReader::close_epoch() {
  if (!epoch_.open) return;
  epoch_.open = false;
  if (!epoch_.has_fix) return;
  Fix& fix = epoch_.fix;
  fix.time = UtcTime(milliseconds(day_ * kDayMs + epoch_.time_of_day_ms));
  fix.segment = segment_;
  // A sentence for each constellation: the best of them holds.
  constexpr std::uint8_t kThree = 3;
  fix.valid_3d = !epoch_.doubted && (epoch_.dimensions == 0 || epoch_.dimensions == kThree);
  if (epoch_.by_clock)
    warnings_.add(epoch_.doubtful_midnight ? WarningCode::midnight_doubtful : WarningCode::midnight, fix.line, [&] {
      return fmt::format("the clock passed midnight UTC: the date moves on by one day{}",
                         epoch_.doubtful_midnight ? "; doubtful, for there is a gap around it" : "");
    });
  if (!out_.fixes.empty() && out_.fixes.size() > log_begin_ && fix.time < out_.fixes.back().time)
    warnings_.add(WarningCode::time_went_back, fix.line, [&] {
      return fmt::format("the clock went back by {} s: the fix is kept",
                         in_seconds(duration_between(fix.time, out_.fixes.back().time)));
    });
  if (fix.position.latitude_deg == 0 && fix.position.longitude_deg == 0)
    warnings_.add(WarningCode::zero_position, fix.line,
                  [] { return "latitude and longitude are both 0: kept, most likely no position"; });
  if (epoch_.simulated) simulated_.push_back(out_.fixes.size());
  any_height_ |= fix.has_gnss_height && fix.gnss_height.si() != 0;
  if (fix.has_pressure_altitude) {
    ++pressures_;
    any_pressure_ |= fix.pressure_altitude.si() != 0;
    // A foot and a tenth of a metre are the steps in which the two are written.
    constexpr double kSameHeight = 0.5;
    if (fix.has_gnss_height) {
      ++pressures_beside_height_;
      if (!(std::abs(fix.pressure_altitude.si() - fix.gnss_height.si()) <= kSameHeight)) ++pressures_unlike_height_;
    }
  }
  if (epoch_.raw[geoid] != Channel::missing) {
    ++separations_;
    any_separation_ |= epoch_.raw[geoid] != 0;
  }
  out_.fixes.push_back(fix);
  for (std::size_t c = 0; c < kColumns; ++c) columns_[c].push_back(epoch_.raw[c]);
}

// A date met: of the open epoch, or, in ZDA, of a time near it.
void NmeaReader::date(std::int64_t day, bool of_zda, std::int64_t time_of_day_ms) {
  if (of_zda && dated_by_rmc_) return;
  if (!clock_runs_) {
    clock_runs_ = true;
    clock_ms_ = time_of_day_ms;
  }
  const std::int64_t ahead = time_of_day_ms - clock_ms_;
  if (ahead > kNmeaMidnightStepMs) ++day;
  if (ahead < -kNmeaMidnightStepMs) --day;
  const bool had_fixes = out_.fixes.size() > log_begin_;
  if (!dated_) {
    if (had_fixes) {
      warnings_.add(WarningCode::no_date, lines_, [&] {
        return fmt::format("the first date comes after {} fixes: they are dated back from it", out_.fixes.size() - log_begin_);
      });
      shift_fixes(day - day_);
    }
    day_ = day;
  } else if (day != day_) {
    const bool lags = day == day_ - 1 && clock_ms_ < kDateLagMs;
    const bool leads = day == day_ + 1 && clock_ms_ >= kDayMs - kDateLagMs;
    if (lags || leads) {
      if (warnings_.seen(WarningCode::bad_date) == 0)
        warnings_.add(WarningCode::bad_date, lines_,
                      [] { return "around midnight the date does not change with the clock: the clock is followed"; });
      return;
    }
    if (had_fixes) {
      warnings_.add(WarningCode::several_logs, lines_, [&] {
        return fmt::format("the date goes from {} to {}: read as a part of its own", nmea_day_text(day_), nmea_day_text(day));
      });
      if (segment_ != UINT16_MAX) ++segment_;
      log_begin_ = out_.fixes.size();
    }
    day_ = day;
  }
  dated_ = true;
  dated_by_rmc_ |= !of_zda;
  if (epoch_.open) epoch_.by_clock = false;
}

void NmeaReader::shift_fixes(std::int64_t days) {
  for (std::size_t i = log_begin_; i < out_.fixes.size(); ++i) out_.fixes[i].time += std::chrono::days(days);
}

// The day as written, or 1024 weeks away from it when only that is plausible. Told once.
std::int64_t NmeaReader::plausible_day(std::int64_t day) {
  const bool told = warnings_.seen(WarningCode::week_rollover) != 0;
  if (plausible_.holds(day)) {
    if (options_.latest_plausible && day + kRolloverDays <= plausible_.latest && !told)
      warnings_.add(WarningCode::week_rollover, lines_, [&] {
        return fmt::format("the date {} is long ago: kept, but a receiver whose GPS week count rolled over would show it for {}",
                           nmea_day_text(day), nmea_day_text(day + kRolloverDays));
      });
    return day;
  }
  const auto instead = plausible_.instead_of(day);
  if (!told)
    warnings_.add(WarningCode::week_rollover, lines_, [&] {
      return instead
                 ? fmt::format("the date {} cannot be; {}, 1024 weeks {}, is assumed: the receiver's GPS week count rolled over",
                               nmea_day_text(day), nmea_day_text(*instead), *instead > day ? "later" : "earlier")
                 : fmt::format("the date {} cannot be, and neither can one 1024 weeks away: kept as it is", nmea_day_text(day));
    });
  return instead.value_or(day);
}

// ---- the file as a whole ---------------------------------------------------------------------------------------------

void NmeaReader::settle_dates() {
  if (dated_ || out_.fixes.empty()) return;
  if (doubtful_shift_) {
    shift_fixes(*doubtful_shift_);
    warnings_.add(WarningCode::no_date, 0,
                  [] { return "the only date is that of a sentence without a fix: it is used, and may be wrong"; });
  } else {
    warnings_.add(WarningCode::no_date, 0,
                  [] { return "no sentence has a date (RMC, ZDA): the times are times of day only, dated 1970-01-01"; });
  }
}

// A receiver in simulator mode makes its positions up. A file of nothing else is an invented recording; among measured
// fixes they are dropped.
void NmeaReader::settle_simulation() {
  if (simulated_.empty()) return;
  if (simulated_.size() == out_.fixes.size()) {
    out_.simulated = true;
    warnings_.add(WarningCode::receiver_simulates, 0,
                  [] { return "the receiver was in simulator mode (mode S, quality 8): the recording counts as invented"; });
    return;
  }
  std::size_t next = 0, kept = 0;
  for (std::size_t i = 0; i < out_.fixes.size(); ++i) {
    if (next < simulated_.size() && simulated_[next] == i) {
      ++next;
      warnings_.drop(WarningCode::receiver_simulates, out_.fixes[i].line,
                     [] { return "a position made up by the receiver in simulator mode, among measured ones: dropped"; });
      continue;
    }
    out_.fixes[kept] = out_.fixes[i];
    for (auto& column : columns_) column[kept] = column[i];
    ++kept;
  }
  out_.fixes.resize(kept);
  for (auto& column : columns_) column.resize(kept);
}

void NmeaReader::settle_heights() {
  if (out_.fixes.empty()) return;
  const bool repeats = pressures_beside_height_ != 0 && pressures_unlike_height_ == 0;
  if (repeats)
    warnings_.add(WarningCode::height_doubtful, 0,
                  [] { return "PGRMZ only repeats the GNSS height in feet: not taken for a pressure height"; });
  if (!any_pressure_ || repeats) {
    if (pressures_ != 0)
      for (Fix& fix : out_.fixes) fix.has_pressure_altitude = false;
    warnings_.add(WarningCode::no_pressure_altitude, 0,
                  [] { return "no fix has a pressure height: this recorder seems to have no pressure sensor"; });
  }
  if (!any_height_) {
    for (Fix& fix : out_.fixes) fix.has_gnss_height = false;
    warnings_.add(WarningCode::no_gnss_height, 0, [] { return "no fix has a GNSS height"; });
    return;
  }
  if (separations_ != 0 && !any_separation_)
    warnings_.add(WarningCode::height_doubtful, 0, [] {
      return "the geoid stands at 0 m in every sentence, so the receiver holds no geoid: its heights may be over the ellipsoid";
    });
  else
    out_.gnss_datum = HeightDatum::geoid;
}

void NmeaReader::settle_channels() {
  for (std::size_t c = 0; c < kColumns; ++c)
    if (std::any_of(columns_[c].begin(), columns_[c].end(), [](std::int32_t raw) { return raw != Channel::missing; }))
      out_.channels.push_back({std::string(kColumnKinds[c].code), kColumnKinds[c].scale, std::move(columns_[c])});
}

Recording read_nmea(std::string_view bytes, const ReadOptions& options) {
  NmeaReader reader(options);
  reader.feed(bytes);
  return reader.finish();
}

bool is_nmea_sentence(std::string_view line) {
  if (line.size() < 7 || line[0] != '$') return false;
  const Checksum sum = split_checksum(line);
  const std::string_view address = sum.body.substr(0, sum.body.find(','));
  if (address.size() < 3 || address.size() == sum.body.size() || address.size() > 16 ||
      !std::all_of(address.begin(), address.end(), is_address_char))
    return false;
  if (sum.written) return sum.fits;
  if (address == "PGRMZ") return true;
  constexpr std::array<std::string_view, 7> kKnown = {"RMC", "GGA", "GNS", "GLL", "VTG", "ZDA", "GSA"};
  return address.size() == 5 && std::find(kKnown.begin(), kKnown.end(), address.substr(2)) != kKnown.end();
}

}  // namespace headroom
