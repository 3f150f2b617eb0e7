#pragma once
// What a recorder wrote, as values: the common result of every reader, before any cleaning.
#include <cstdint>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "core/earth/position.h"
#include "core/time.h"
#include "core/units.h"

namespace headroom {

// From which zero a recorder's GNSS heights count.
enum class HeightDatum : std::uint8_t { unknown, ellipsoid, geoid };

// One position line as written. A missing height has its flag off and the value 0, which then means nothing.
struct Fix {
  UtcTime time{};
  GeoPosition position;
  PressureAltitude pressure_altitude;
  GnssHeight gnss_height;
  std::uint32_t line = 0;     // 1-based line of the file (XML: line of the element)
  std::uint16_t segment = 0;  // a break the recorder itself marked (GPX trkseg, several logs run together)
  bool has_time = true;
  bool has_pressure_altitude = false;
  bool has_gnss_height = false;
  bool valid_3d = true;  // IGC validity A; false for V
};

// One extra column, one value a fix. Values are integers as written (IGC) or scaled by `scale` (others).
struct Channel {
  static constexpr std::int32_t missing = std::numeric_limits<std::int32_t>::min();
  std::string code;               // as in the file, upper case: "ENL", "TAS", ... never expanded to a product's name
  double scale = 1;               // value = raw * scale, in the unit the file's format defines for the code
  std::vector<std::int32_t> raw;  // same length as the fixes (or as SlowSeries::times)
};

// Columns written at their own, slower times (IGC K records).
struct SlowSeries {
  std::vector<UtcTime> times;
  std::vector<std::uint32_t> lines;
  std::vector<Channel> channels;
};

struct HeaderField {
  std::string code;  // "HFPLT", "creator", ...
  std::string text;
  std::uint32_t line = 0;
};

// A line that is not a fix, kept by place so that nothing is lost: the bytes stay in the recording.
struct OtherRecord {
  char letter = 0;
  std::uint32_t line = 0;
  std::uint64_t offset = 0;
  std::uint32_t length = 0;
};

// Why a line gave no fix. The number is part of the answer (`warnings[].number`) and never changes its meaning; the list
// with examples is docs/formats/warnings.md.
enum class WarningCode : std::uint16_t {
  none = 0,
  bad_position_line = 1,  // a fix line that cannot be read: dropped
  unknown_record = 2,     // a line of no known kind: kept as other
  no_date = 3,            // fixes before or without a date
  bad_date = 4,
  bad_extension_table = 5,  // I or J record that cannot be read: columns ignored
  bad_time = 6,
  time_went_back = 7,
  midnight = 8,               // date advanced at midnight without a new date record
  midnight_doubtful = 9,      // the same, but a gap surrounds it
  week_rollover = 10,         // date about 19.6 years off: GPS week count rolled over
  no_pressure_altitude = 11,  // all zero or missing
  no_gnss_height = 12,
  several_logs = 13,  // several logs run together
  truncated_end = 14,
  binary_rubbish = 15,
  text_encoding = 16,  // byte-order mark, mixed line ends, UTF-16
  bad_xml = 17,
  no_times = 18,
  line_too_long = 19,
  position_out_of_range = 20,
  extension_cut = 21,    // line too short for a declared column: value missing
  more_not_listed = 22,  // further warnings of one kind are counted, not listed
  bad_slow_record = 23,  // K record that cannot be read
  bad_height = 24,       // a height that cannot be read: the fix is kept without it
  zero_position = 25,    // latitude and longitude both 0: kept, most likely no position at all
  bad_checksum = 26,
  no_checksum = 27,            // read as it stands; told once
  position_not_valid = 28,     // the receiver itself calls it invalid: dropped
  receiver_simulates = 29,     // a receiver in simulator mode
  bytes_before_sentence = 30,  // skipped
  height_doubtful = 31,        // heights whose zero or kind is not what the format says
  no_position_sentence = 32,   // a log of another device
  places_without_times = 33,   // places or lines of a map, not of a recorder
};

struct Warning {
  WarningCode code = WarningCode::none;
  std::uint32_t line = 0;  // 0: the whole file
  std::string text;        // a sentence: what was met and what was dropped or assumed
};

// Lines read = fixes + other records + dropped, for every file. `lines` counts every line, blank ones as other.
struct LineAccount {
  std::uint64_t lines = 0;
  std::uint64_t fixes = 0;
  std::uint64_t other = 0;
  std::uint64_t dropped = 0;
  struct Reason {
    WarningCode code;
    std::uint64_t count;
  };
  std::vector<Reason> dropped_by;                         // sums to `dropped`
  std::vector<std::pair<char, std::uint64_t>> by_letter;  // line kinds met, fixes included
};

struct Recording {
  std::string format;      // "igc", "gpx", ...
  std::vector<Fix> fixes;  // in file order, V fixes included
  std::vector<Channel> channels;
  SlowSeries slow;
  std::vector<HeaderField> header;
  std::vector<OtherRecord> others;
  HeightDatum gnss_datum = HeightDatum::unknown;
  bool simulated = false;  // the file says that it was invented
  std::vector<Warning> warnings;
  LineAccount account;
};

}  // namespace headroom
