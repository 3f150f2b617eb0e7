#pragma once
// Reader of NMEA 0183 logs: the sentences of a GNSS receiver, one a line, as loggers and phones write them down.
// Source: what real receivers write, in the files and with the public decoders that docs/formats/nmea.md names; the
// standard itself is sold, and was not read. It keeps the good part of a damaged file and never fails: what it could not
// use is in `warnings` and `account`, and lines = fixes + other + dropped holds always.
//
// Positions: RMC, GGA, GNS, GLL of any talker; the sentences of one time make one fix, whose line is that of the first.
// Times: RMC and ZDA give the day, to the millisecond; fixes before the first date get their day from it. Heights: GGA and
// GNS, metres above the geoid that the receiver holds (`gnss_datum`); pressure height: PGRMZ. Channels, as in the GPX
// reader: SPEED (m/s), COURSE (degrees true), SAT, HDOP, and GEOID (metres, geoid above ellipsoid).
#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "core/track/recording.h"
#include "formats/line_feed.h"
#include "formats/read_options.h"
#include "formats/warning_list.h"
#include "formats/week_rollover.h"

namespace headroom {

class NmeaReader {
 public:
  // Longer lines are dropped with warning 19 and never held in memory.
  static constexpr std::size_t kLongestLine = LineFeed::kLongestLine;
  // Further lines that are no fix are counted, not placed (warning 22).
  static constexpr std::size_t kMostOthers = 2'000'000;

  explicit NmeaReader(ReadOptions options = {}) : NmeaReader(Recording{}, options) {}
  // Reads into the memory of an older recording, whose contents are dropped.
  explicit NmeaReader(Recording&& buffers, ReadOptions options = {});

  // Any cut of the file into chunks gives the same result.
  void feed(std::string_view chunk);
  // Ends the file. The reader is used up.
  [[nodiscard]] Recording finish();

 private:
  enum class Kind : std::uint8_t { rmc, gga, gns, gll, vtg, zda, gsa, rmz, unused };
  enum class Validity : std::uint8_t { measured, reckoned, simulated, invalid };
  enum Column : std::uint8_t { speed, course, satellites, hdop, geoid, kColumns };

  // What one sentence says.
  struct Said {
    Kind kind = Kind::unused;
    Validity validity = Validity::invalid;
    std::optional<std::int64_t> time_of_day_ms;
    std::optional<std::int64_t> day;  // since 1970
    bool has_position = false;        // its columns are not empty
    bool readable = false;            // and can be read
    GeoPosition position;
    std::optional<double> height, pressure_height;
    std::uint8_t dimensions = 0;  // of the fix, as GSA counts: 1 none, 2, 3; 0 not said
    std::array<std::int32_t, kColumns> raw{};
  };
  // The sentences of one time, until a sentence of another comes.
  struct Epoch {
    std::int64_t time_of_day_ms = 0;
    bool open = false;
    bool has_fix = false;
    bool doubted = false;   // by one of its sentences
    bool by_clock = false;  // its day is the clock's guess at midnight
    bool simulated = false;
    bool doubtful_midnight = false;
    unsigned kinds = 0;                    // bits by Kind
    std::uint8_t rank = 0;                 // of the sentence that the position is from
    std::uint8_t dimensions = 0;           // the best of its GSA sentences
    std::array<GeoPosition, 4> positions;  // by Kind
    Fix fix;
    std::array<std::int32_t, kColumns> raw{};
  };

  void line(const char* p, std::size_t size, std::uint64_t offset, bool cut);
  void text_line(const char* p, std::size_t size, std::uint64_t offset);
  void other(char letter, std::size_t size, std::uint64_t offset);
  // The sentence's bytes between '$' and '*', or nothing when it must be dropped (which it then is).
  std::optional<std::string_view> checked(std::string_view sentence, Kind& kind, bool cut);
  bool read(std::string_view body, Kind kind, Said& said);
  // Whether the line is the one that its fix is counted by.
  bool position(const Said& said);
  void supplement(const Said& said);
  void open_epoch(std::int64_t time_of_day_ms);
  void close_epoch();
  void date(std::int64_t day, bool of_zda, std::int64_t time_of_day_ms);
  void shift_fixes(std::int64_t days);
  [[nodiscard]] std::int64_t plausible_day(std::int64_t day);
  void settle_dates();
  void settle_simulation();
  void settle_heights();
  void settle_channels();

  ReadOptions options_;
  PlausibleDays plausible_;
  Recording out_;
  WarningList warnings_;
  LineFeed feed_;
  std::array<std::vector<std::int32_t>, kColumns> columns_;

  std::uint64_t lines_ = 0;
  std::uint64_t letters_[256] = {};
  unsigned kinds_with_checksum_ = 0;
  std::uint64_t sentences_ = 0, position_sentences_ = 0;
  std::vector<std::string> addresses_;  // the first few kinds of sentence met, for a file of another device

  // Where we are in time and in the logs. The day is relative to an unknown one until the first date.
  static constexpr std::int64_t kDayMs = 86'400'000;
  Epoch epoch_;
  std::int64_t day_ = 0;
  std::int64_t clock_ms_ = 0;
  bool clock_runs_ = false;
  bool dated_ = false, dated_by_rmc_ = false;
  std::optional<std::int64_t> doubtful_shift_;   // of a sentence without a fix: used when no better date comes
  std::optional<std::int64_t> doubted_time_ms_;  // of the latest sentence without a fix
  std::size_t log_begin_ = 0;
  std::uint16_t segment_ = 0;

  // Decided for the file as a whole.
  std::vector<std::size_t> simulated_;  // fixes
  std::uint64_t pressures_ = 0, pressures_beside_height_ = 0, pressures_unlike_height_ = 0;
  bool any_pressure_ = false, any_height_ = false;
  std::uint64_t separations_ = 0;
  bool any_separation_ = false;
};

[[nodiscard]] Recording read_nmea(std::string_view bytes, const ReadOptions& options = {});

// Whether a line is a sentence: '$', an address of letters and digits, fields, and a checksum that fits; without a
// checksum, an address that the reader knows.
[[nodiscard]] bool is_nmea_sentence(std::string_view line);

}  // namespace headroom
