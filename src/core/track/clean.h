#pragma once
// From what a recorder wrote to fixes that can be computed with: in time order, one an instant, none in impossible places.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/earth/position.h"
#include "core/result.h"
#include "core/time.h"
#include "core/track/recording.h"
#include "core/units.h"

namespace headroom {

// One kept fix. Heights keep their kinds; a height whose flag is off was missing or set aside and means nothing.
struct TrackFix {
  UtcTime time{};
  GeoPosition position;
  PressureAltitude pressure_altitude;
  GnssHeight gnss_height;
  std::uint32_t source = 0;  // index into Recording::fixes
  bool has_pressure_altitude = false;
  bool has_gnss_height = false;
};

// Invariants: times strictly increase; positions are within range and not 0,0; no step between neighbours is faster than
// kStepSpeedMax. `source` increases unless the recorder's own segments had to be put in order of time.
struct Track {
  std::vector<TrackFix> fixes;
  HeightDatum gnss_datum = HeightDatum::unknown;
  bool has_pressure = false;  // pressure heights are there and move; all zero or stuck ones are set aside as a whole
  bool has_gnss = false;      // the same of GNSS heights
  Duration interval;          // the commonest step between fixes (median)
};

enum class DropReason : std::uint8_t {
  kept,             // not dropped
  no_time,          // a fix without a time in a recording that has times
  no_position,      // 0,0: what receivers write before they know
  out_of_range,     // latitude, longitude not a place
  repeated_time,    // second fix of one instant
  clock_went_back,  // its time does not fit the order of the others
  frozen,           // position repeated while moving, then caught up in one step
  jump,             // unreachable from its neighbours
};
inline constexpr std::size_t kDropReasons = 8;
[[nodiscard]] std::string_view drop_reason_text(DropReason reason);

struct TrackGap {
  UtcTime from{}, to{};
  Length distance;  // between the two fixes
};

// Every fix of the recording is accounted for: kept + the sum of dropped = fixes.
struct CleanReport {
  std::uint64_t fixes = 0, kept = 0;
  std::array<std::uint64_t, kDropReasons> dropped{};  // by reason; [kept] stays 0
  std::vector<DropReason> fate;                       // one a fix of the recording
  std::uint64_t gnss_heights_set_aside = 0;           // V fixes, spikes, zeros among others
  std::uint64_t pressure_heights_set_aside = 0;
  std::uint64_t steps_kept = 0;          // impossible steps after which the positions stayed: both sides are kept
  std::uint64_t segments_reordered = 0;  // recorder's segments put in order of time
  std::vector<TrackGap> gaps;            // longer than kGapMin
  std::vector<std::string> notes;        // sentences for the person
};

// Faster than any aircraft this tool meets (432 km/h); sailplanes dive to 280 km/h.
inline constexpr double kStepSpeedMax_m_s = 120;
// Slack on that, for two fixes written within the same rounded second.
inline constexpr double kStepSlack_m = 60;
// Vertical steps beyond this are the receiver's: a terminal dive is about 60 m/s.
inline constexpr double kHeightSpeedMax_m_s = 70;
inline constexpr double kHeightSlack_m = 15;
// A gap worth telling of.
inline constexpr double kGapMin_s = 60;

// Buffers that clean() uses again from call to call.
struct CleanScratch {
  std::vector<std::uint32_t> order, chain, chain_from;
  std::vector<std::int64_t> tails;
};

// Errors bad_input: no fixes; no times at all (a GPX route or drawing); nothing left.
// A V fix (2D) keeps its place and loses its GNSS height. Cleaning is idempotent.
// `track` and `report` are overwritten; their memory is reused.
[[nodiscard]] Result<void> clean(const Recording& recording, Track& track, CleanReport& report, CleanScratch& scratch);

}  // namespace headroom
