#pragma once
// Reader of FAI/IGC flight recordings.
// Source: FAI, Technical Specification for GNSS Flight Recorders, appendix A; what real files need beyond it is in
// docs/formats/igc.md. It keeps the good part of a damaged file and never fails: what it could not use is in
// `warnings` and `account`, and lines = fixes + other + dropped holds always.
//
// Times are UTC to the millisecond, positions WGS 84 (0.001 minute as written, finer with LAD/LOD columns), pressure
// heights metres in the standard atmosphere from 1013.25 hPa, GNSS heights metres from `gnss_datum`.
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/track/recording.h"
#include "formats/line_feed.h"
#include "formats/read_options.h"
#include "formats/warning_list.h"

namespace headroom {

class IgcReader {
 public:
  // Longer lines are dropped with warning 19 and never held in memory.
  static constexpr std::size_t kLongestLine = LineFeed::kLongestLine;
  // Further lines that are no fix are counted, not placed (warning 22).
  static constexpr std::size_t kMostOthers = 2'000'000;
  static constexpr std::size_t kMostHeaders = 4096;
  static constexpr std::size_t kMostChannels = 64;

  explicit IgcReader(ReadOptions options = {}) : IgcReader(Recording{}, options) {}
  // Reads into the memory of an older recording, whose contents are dropped.
  explicit IgcReader(Recording&& buffers, ReadOptions options = {});

  // Any cut of the file into chunks gives the same result.
  void feed(std::string_view chunk);
  // Ends the file. The reader is used up.
  [[nodiscard]] Recording finish();

 private:
  // A column of the B or K record: bytes [begin, end) of the line.
  struct Column {
    std::uint32_t begin = 0, end = 0;
    std::uint32_t channel = 0;
  };
  struct ColumnTable {
    std::vector<Column> columns;
    std::vector<std::uint32_t> absent;  // channels of the recording that this log does not write
  };
  // A refinement of position or time by a column of extra digits (LAD, LOD, TDS).
  struct Refinement {
    std::uint32_t begin = 0, width = 0;
    std::uint32_t power = 1;  // 10^width
  };

  void line(const char* p, std::size_t size, bool cut);
  void other_line(const char* p, std::size_t size);
  void position_line(const char* p, std::size_t size, bool cut);
  void bad_position(const char* p, std::size_t size, bool cut);
  bool read_height(const char* p, double& metres);
  void read_columns(const char* p, std::size_t size);
  std::int32_t read_unusual_value(std::string_view text);
  void refine(const char* p, std::size_t size, std::int64_t& time_of_day_ms, std::uint32_t lat, std::uint32_t lon,
              GeoPosition& at);
  void place_in_time(std::int64_t time_of_day_ms);
  void start_log_if_new(std::int64_t time_of_day_ms);
  void maker_line(std::string_view text);
  void header_line(std::string_view text);
  void date_line(std::string_view digits_text);
  std::int64_t plausible_day(std::int64_t day);
  void table_line(std::string_view text, bool slow);
  void add_column(std::string_view code, std::uint32_t first, std::uint32_t last, bool slow);
  void slow_line(std::string_view text);
  void add_header(std::string code, std::string_view text);
  void settle_heights();
  [[nodiscard]] std::vector<std::int32_t> spare_column();

  ReadOptions options_;
  Recording out_;
  WarningList warnings_;
  std::vector<std::vector<std::int32_t>> spare_;

  // Where we are in the bytes.
  std::uint64_t lines_ = 0;
  LineFeed feed_;
  std::uint64_t line_offset_ = 0;  // of the line being read
  bool utf16_ = false;
  std::uint64_t letters_[256] = {};

  // Where we are in time and in the logs.
  static constexpr std::int64_t kDayMs = 86'400'000;
  std::int64_t day_ms_ = 0;         // midnight before the current fix
  std::int64_t latest_day_ms_ = 0;  // the latest midnight reached in this log
  std::int64_t before_ms_ = 0;      // time of day of the fix before
  std::int64_t next_day_ms_ = 0;    // from a date record met after fixes, until the next fix
  bool has_date_ = false;
  bool date_is_old_ = false;  // of the log before
  bool log_has_fix_ = false;
  bool new_maker_ = false, new_date_ = false;
  std::size_t log_begin_ = 0;  // first fix of this log
  std::uint16_t segment_ = 0;
  bool datum_clash_ = false;

  // Columns.
  ColumnTable fast_, slow_;
  Refinement lad_, lod_, tds_;
  bool refines_ = false;

  // Heights decided for the file as a whole.
  bool any_pressure_ = false, any_gnss_ = false;
};

[[nodiscard]] Recording read_igc(std::string_view bytes, const ReadOptions& options = {});
// Reuses the memory of `into`; what it held is dropped.
void read_igc(std::string_view bytes, Recording& into, const ReadOptions& options = {});

}  // namespace headroom
