#pragma once
// An invented season: forty flights of one invented machine at an invented place, and what its owner wrote down by hand, in the
// order in which it happened. What is hidden in it is told in docs/simulated-season.md.
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/machine/default_machine.h"
#include "core/simulate/recorder.h"
#include "core/upkeep/service_list.h"

namespace headroom::simulate {

inline constexpr std::string_view kInventedPilot = "R. Tansley, invented";
inline constexpr std::string_view kInventedAircraft = "Larkrise 130 on Quillet 26, invented";
inline constexpr std::string_view kHomeStrip = "Sallow Piece (invented)";
inline constexpr std::string_view kOtherStrip = "Teasel Bank (invented)";

enum class RecordingKind : std::uint8_t {
  flight,           // one, from before launch until after landing
  second_recorder,  // the flight of the recording before, by another recorder
  begins_in_air,    // one flight, switched on after launch
  two_flights,      // the recorder was left on between them
  flight_and_ride,  // one flight, and the drive home
  ride              // by car alone: no flight
};

struct SeasonFlight {
  int number = 0;  // 1 to kSeasonFlights
  FlightScript script;
  Truth truth;  // its steps only when asked for
};

struct SeasonRecording {
  std::string name;  // "01.igc"
  RecordingKind kind = RecordingKind::flight;
  Recording recording;
  std::vector<SeasonFlight> flights;  // that are in it
  bool long_date = false;
  bool left = false;  // for whoever opens the season: the owner has not debriefed it yet
};

// One thing that happened. Either a recording to debrief or a fact to enter (with the id its entry must take, if it
// registers a subject or is named by a later step; all zero: any).
struct SeasonStep {
  UtcTime at{};
  std::optional<SeasonRecording> recording;
  DraftFact fact;
};

struct SeasonRequest {
  UtcTime end{};  // the day after which nothing has happened; its time of day is not used
  std::uint64_t seed = 26;
  std::span<const ServiceLine> services;  // the list that the owner works by (default_service_list)
  bool keep_steps = false;                // of each flight's truth
};

// Ids that entries of the season take: machine, pilot, 7 parts (kDefaultRoles), 3 findings, 2 fields.
inline constexpr std::size_t kSeasonIdCount = 2 + kDefaultPartCount + 3 + 2;
inline constexpr int kSeasonFlights = 40;
inline constexpr int kSeasonRecordings = 42;  // one holds two of the flights, one is a second of the same, two are rides
inline constexpr int kSeasonDays = 212;       // from the first entry to `end`
inline constexpr int kSeasonOffsetMin = 0;    // the invented place keeps UTC

// Steps in the order of writing, which is the order of `at` but for services done before the book began. Nothing happens
// after midnight at the beginning of `end`'s day. The last recording is `left`, and nothing is written of its flight. `ids`
// are kSeasonIdCount fresh ids. `done(n)` is told after each flight; false stops with ErrorKind::refused. The same request
// gives the same steps.
[[nodiscard]] Result<std::vector<SeasonStep>> invent_season(const SeasonRequest& request, std::span<const EntryId> ids,
                                                            const std::function<bool(int)>& done = {});

}  // namespace headroom::simulate
