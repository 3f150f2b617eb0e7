#pragma once
// What an aerodrome forecast says, as values, and what of it counts for a stretch of time.
// Source: WMO-No. 306, Manual on Codes, FM 51 (TAF), and its definitions, which are those of ICAO Annex 3, appendix 5.
//
// Wind is true, cloud bases are above the aerodrome, times are UTC. A forecast is of the aerodrome it names and of nowhere else.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/time.h"
#include "core/units.h"
#include "core/weather/report.h"

namespace headroom {

// Wind at a height between which and the ground it changes: WS020/24045KT.
struct ForecastShear {
  HeightAboveGround height;
  WindFrom from;
  Speed speed;
};

enum class ChangeKind : std::uint8_t {
  base,                // what stands before the first change
  from,                // FM: everything is replaced from that time on
  becoming,            // BECMG: what it names changes within the period, at a time that is not said, and stays so
  temporary,           // TEMPO: less than an hour at a time, under half of the period in all; INTER (Australia): shorter still
  probable,            // PROB30, PROB40: with that probability, through the period
  probable_temporary,  // PROB30 TEMPO, PROB40 TEMPO
};

// One self-contained part, or one change to it. What a change does not name it leaves as it is.
struct ForecastPart {
  ChangeKind kind = ChangeKind::base;
  int percent = 0;       // of the probable ones: 30 or 40
  UtcTime from{}, to{};  // of `base` and `from`: `to` is the end of the forecast
  Conditions conditions;
  std::optional<ForecastShear> shear;
  bool shear_possible = false;  // WSCONDS: without figures
  std::string text;             // as written
};

struct ForecastTemperature {
  Temperature value;
  UtcTime at{};
};

struct Forecast {
  std::string station;
  UtcTime issued{}, from{}, to{};
  bool amended = false, corrected = false;
  std::vector<ForecastPart> parts;                   // the base first, the rest in the order written
  std::vector<ForecastTemperature> highest, lowest;  // TX, TN
  std::vector<ReadGroup> groups;
};

// "PROB30 TEMPO" and the like in words: "30 in 100, for less than an hour at a time". Empty for what prevails.
[[nodiscard]] std::string chance_words(ChangeKind kind, int percent);

// A piece of a part: the part it comes from by its place in `parts`, and when within the asked time it counts.
template <class T>
struct Foretold {
  T value{};
  std::size_t part = 0;
  UtcTime from{}, to{};
};

// One piece (the wind, say) over the asked time.
template <class T>
struct PieceOutlook {
  // Everything that prevails at some time of it, the worst first: of a gradual change what was before and what will be.
  std::vector<Foretold<T>> prevailing;
  // What may come on top for a while or with a probability, the worst first; only what is worse than all that prevails by then.
  std::vector<Foretold<T>> passing;
  // Parts that may be about this piece and could not be read, or do not name it though they replace everything. Where this is
  // not empty the piece is not known throughout.
  std::vector<std::size_t> unknown;
  [[nodiscard]] bool known() const { return unknown.empty() && !prevailing.empty(); }
};

// What a sky is worth to a flight clear of cloud: the lowest layer of any amount. Without a base there is no cloud that counts.
struct CloudOutlook {
  std::optional<HeightAboveGround> lowest;
};
// Weather as far as a flight asks for it. Cumulonimbus counts as thunder.
struct WeatherOutlook {
  bool thunder = false, rain = false, fog = false;
};

struct ForecastOutlook {
  UtcTime from{}, to{};             // the asked time as far as the forecast goes; empty: `from` is not before `to`
  bool covered = false;             // the forecast goes through all of it
  PieceOutlook<ReportedWind> wind;  // by its mean; a gust is its own
  PieceOutlook<Speed> gust;         // forecast gusts; none where no part names any
  PieceOutlook<ReportedVisibility> visibility;
  PieceOutlook<CloudOutlook> cloud;
  PieceOutlook<WeatherOutlook> weather;
  std::vector<std::size_t> shear;  // parts that name a wind shear
};

// The asked time may be one instant. FM replaces everything from its time. Through the period of a BECMG what was and what will
// be both count; after it only the new. TEMPO and PROB count within their period. Where a group without gusts replaces one with
// them, there are none.
[[nodiscard]] ForecastOutlook conditions_over(const Forecast& forecast, UtcTime from, UtcTime to);

// The chance that a flight meets what a part foretells within `overlap` [0 to 1].
//   What prevails: 1. PROBnn: nn in 100, whether TEMPO or not.
//   TEMPO: min(1, 1/2 + overlap / 2 h). Spells of an hour with an hour between them are the most that FM 51 allows; a stretch of
//   length L begins in a spell with chance 1/2, or meets the next within L. Assumed: the most.
[[nodiscard]] double chance_met(const ForecastPart& part, Duration overlap);

}  // namespace headroom
