#pragma once
// What the book says today: the result of the fold (fold.h). A plain value without pointers, so that it can be compared,
// kept as a snapshot (formats/state_snapshot.h) and handed to the planning functions. All SI, all lists in a fixed order.
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/book/facts.h"
#include "core/sentence.h"

namespace headroom {

// Names of quantities that the tool itself reads from `reading` entries; any other name is kept and shown as it is.
inline constexpr std::string_view kHeadMaximum = "head_maximum";  // of one flight or run [K]
inline constexpr std::string_view kPorosity = "porosity";         // of the wing's cloth [s]

// What a part has been through. `launches` may carry a spread when a reading corrected it.
struct Counters {
  Estimate<Duration> running, air, ground_handling;
  Estimate<Count> launches;
};

struct MachineState {
  EntryId id;
  UtcTime at{};
  bool assumed = false;
  std::string name;
};
struct PilotState {
  EntryId id;
  UtcTime at{};
  bool assumed = false;
  std::optional<Mass> mass;
  std::string name;
};

// Time on a machine. `from_before`: fitted since before the book began (an assumed part); `to` absent: still fitted.
struct Fitted {
  EntryId machine;
  UtcTime from{};
  bool from_before = false;
  std::optional<UtcTime> to;
};
struct PartState {
  EntryId id;
  UtcTime at{};
  PartRole role;
  bool assumed = false;
  std::string name;
  std::optional<UtcTime> made, bought;
  std::optional<Duration> running_before, air_before, ground_handling_before;
  std::optional<int> launches_before;
  std::vector<Fitted> fitted;
  Counters in_book;  // since the book began
  Counters life;     // with the life before the book; a counter whose life before is not known is unknown
  [[nodiscard]] bool is_fitted() const { return !fitted.empty() && !fitted.back().to; }
};

// One flight, compactly. Which entry's hours count is `counts`; a second recording of the same flight stays with
// `counts` off and the counting one in `same_as`.
struct FlightState {
  EntryId id, machine, pilot;
  EntryId same_as;  // all zero: this one counts
  Hash recording;   // all zero: entered by hand
  UtcTime launch{}, landing{}, written{};
  Duration air_time;                                // accepted
  Duration running_low, running_mid, running_high;  // accepted, or from air time by the prior
  BasisKind running_basis = BasisKind::unknown;
  std::int32_t offset_min = 0;
  std::int32_t launches = 1;
  std::int32_t analysis_version = 0;
  std::int32_t remeasured_version = 0;  // 0: never; the accepted hours above stay as they are
  Length track_length, farthest_distance;
  std::optional<AltitudeMsl> highest;
  bool begins_in_air = false, ends_in_air = false;
  bool counts = true;
};

// One measure of a counting flight, as learning reads it (core/learn/learned.h); compact, because a long book holds a hundred
// thousand. Single precision is far finer than any spread here.
struct MeasureSample {
  std::uint32_t flight = 0;  // its place in State::flights: machine, pilot and launch stand there
  MeasureKind kind = MeasureKind::room_used;
  bool learnable = false, has_standard = false;
  float low = 0, mid = 0, high = 0;                             // as flown, SI
  float standard_low = 0, standard_mid = 0, standard_high = 0;  // at standard conditions; only with has_standard
  float density_ratio = 0, headwind_m_s = 0;                    // 0: not known
};

// The last time a line of the service list was done on a part, and what the part has been through since.
struct ServiceState {
  std::string line;
  EntryId part;  // all zero: the part was not said and none of that role was fitted
  EntryId entry;
  UtcTime at{};
  int times = 0;  // how often it was done in all
  Counters since;
};

struct FindingState {
  EntryId id;
  UtcTime at{};
  bool grounding = false;
  std::optional<EntryId> part;
  std::string text;
  std::optional<UtcTime> closed;
  std::optional<EntryId> closed_by;
};
struct Sample {
  EntryId entry;
  UtcTime at{};
  double value = 0;
  std::string unit;
  std::optional<EntryId> part;
};
struct PlugState {
  EntryId entry;
  UtcTime at{};
  PlugRead read;
};
struct FuelEvent {
  enum class Kind : std::uint8_t { mixed, filled, left };
  Kind kind = Kind::mixed;
  EntryId entry;
  UtcTime at{};
  Volume volume;                        // mixed, added or left
  std::optional<Volume> in_tank_after;  // filled
  std::optional<double> ratio;          // mixed; from the oil when the ratio was not said
};
// What is known of the tank of the machine flown last.
struct FuelState {
  std::optional<UtcTime> known_at;   // last time the contents were said, or the first fill (older contents count as none)
  bool from_fill_only = false;       // nobody ever said what was in the tank: only fills are counted
  Volume known;                      // contents then
  Volume added_since;                // fills since
  Estimate<Duration> running_since;  // engine time since, which burnt from it
};
struct AlterationState {
  EntryId id;
  UtcTime at{};
  std::string area, text;
  std::optional<EntryId> part;
};
struct DrillState {
  EntryId entry;
  UtcTime at{};
  std::string drill;
};
struct RunState {
  EntryId entry;
  UtcTime at{};
  RunMeasured run;
};
struct CheckState {
  EntryId entry;
  UtcTime at{};
  std::string check, state;
};
struct FieldState {
  EntryId id;
  UtcTime at{};
  std::string name, text;
  std::optional<AltitudeMsl> height;
  std::optional<GeoPosition> position;
  std::vector<FieldStrip> strips;
  std::string landable;
  Hash photo = {};  // all zero: none
};
struct RecordingState {
  Hash hash;
  EntryId entry;
  std::string format, file_name;
  std::uint64_t bytes = 0, fixes = 0;
  bool simulated = false;
};
struct ServiceLineState {
  EntryId entry;
  ServiceLineSet set;
};
struct SettingState {
  EntryId entry;
  UtcTime at{};
  std::string value;
};

// One amendment or void, whether it holds or not: nothing disappears.
struct Correction {
  EntryId by, of;  // the correcting entry, the corrected one
  UtcTime written{};
  bool voids = false;
  bool holds = false;      // this one is in force for at least one part of `of`
  bool contested = false;  // another in force did not know this one, nor this one the other
  std::string reason;
};

struct StateWarning {
  enum class Kind : std::uint8_t {
    contested,        // two corrections of one entry that did not know each other
    fork,             // the same writer and number twice
    same_id,          // two entries under one id
    unknown_kind,     // written by a newer program: kept, not counted
    left_out,         // a part of the entry is not in this copy
    missing_subject,  // names an entry that is not in this book
    bad_correction,   // cannot be applied: circular, or it changes the kind
    counter_doubt,    // an hour-meter reading that does not fit
    same_flight,      // recorded twice, counted once
    overlapping,      // two flights of one machine at one time, counted twice
    flight_doubt,     // times or hours that do not fit together
  };
  Kind kind = Kind::unknown_kind;
  EntryId entry;
  Sentence text;
};

struct State {
  std::vector<MachineState> machines;  // by (at, id), as all lists below unless said
  std::vector<PilotState> pilots;
  std::vector<PartState> parts;
  std::vector<FlightState> flights;                       // by (launch, id)
  std::vector<MeasureSample> measures;                    // by (flight, kind); of flights that count, known ones only
  std::vector<ServiceState> services;                     // by (line, part)
  std::map<std::string, ServiceLineState> service_lines;  // the owner's changes to the default list, by key
  std::vector<FindingState> findings;
  std::map<std::string, std::vector<Sample>> readings;  // by quantity, then by time
  std::vector<PlugState> plugs;
  std::vector<FuelEvent> fuel;
  FuelState tank;
  std::vector<AlterationState> alterations;
  std::vector<DrillState> drills;
  std::vector<RunState> runs;                // take-off runs measured by hand
  std::map<std::string, CheckState> checks;  // the last of each
  std::vector<FieldState> fields;
  std::vector<RecordingState> recordings;
  std::map<std::string, SettingState> settings;
  std::map<std::string, std::int64_t> money_cents;  // by currency
  std::uint64_t money_entries = 0, notes = 0, photos = 0, entries = 0;
  std::vector<Correction> corrections;  // by (written, by)
  std::vector<StateWarning> warnings;
  std::optional<EntryId> machine, pilot;  // of the latest counting flight; else the first registered
  std::optional<UtcTime> first_at, last_at;

  [[nodiscard]] const PartState* part(const EntryId& id) const;
  [[nodiscard]] const MachineState* find_machine(const EntryId& id) const;
  [[nodiscard]] const PilotState* find_pilot(const EntryId& id) const;
  // Parts fitted now to `machine`, in order of registration.
  [[nodiscard]] std::vector<const PartState*> fitted_parts(const EntryId& machine) const;
  [[nodiscard]] bool knows_recording(const Hash& hash) const;
  [[nodiscard]] std::string setting(std::string_view name, std::string_view otherwise = {}) const;
};

}  // namespace headroom
