#pragma once
// What each kind of entry says, typed. `private_` members (free text, names, positions, money) go into the private part,
// the rest into facts. All SI. Ids name the entry that registered the subject.
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/book/entry.h"
#include "core/book/field.h"
#include "core/surface.h"
#include "core/track/flight.h"
#include "core/track/measures.h"

namespace headroom {

// Where on the machine a part belongs; free words are allowed for parts of the owner's own.
//   engine drive propeller frame harness wing reserve carburettor exhaust ignition fuel_system instrument cart other
using PartRole = std::string;

struct MachineRegistered {
  bool assumed = false;
  std::string private_name;
};
struct PilotRegistered {
  bool assumed = false;
  std::optional<Mass> mass;
  std::string private_name;
};
struct PartRegistered {
  PartRole role;
  std::optional<UtcTime> made;  // date of manufacture
  std::optional<UtcTime> bought;
  // Life before this book. Absent: not known, which is not the same as none.
  std::optional<Duration> running_before, air_before, ground_handling_before;
  std::optional<int> launches_before;
  bool assumed = false;
  std::string private_name;
};
struct PartFitted {
  EntryId part, machine;
};
struct PartRemoved {
  EntryId part;
  std::string private_reason;
};

// One line of the service list. Due at the earliest of the limits that are set.
struct ServiceLineSet {
  std::string line;   // stable key: "plug", "crank_bearings"
  std::string title;  // "Spark plug: renew"
  PartRole role;      // whose counters
  std::optional<Duration> running, air, calendar;
  std::optional<int> launches;
  bool reserve = false;  // reserve repack or life: its own kind of margin
  bool dropped = false;  // the owner took the line off
  std::string basis;     // "common practice; your manual comes first"
};
struct ServiceDone {
  std::string line;
  std::optional<EntryId> part;
  std::string private_note;
};
enum class Counter : std::uint8_t { running, air, ground_handling, launches };
struct CounterRead {
  std::optional<EntryId> part;
  Counter counter = Counter::running;
  double value = 0; /* seconds, or launches */
};
struct Reading {
  std::string quantity;
  double value = 0;
  std::string unit; /* SI: "K", "s", "m", "Pa", "1" */
  std::optional<EntryId> part;
};
enum class PlugColour : std::uint8_t { white, pale, tan, dark, black };
enum class PlugMixture : std::uint8_t { unsaid, lean, right, rich };
struct PlugRead {
  PlugColour colour = PlugColour::tan;
  bool wet = false;
  PlugMixture mixture = PlugMixture::unsaid;
};
struct RecordingAttached {
  Hash recording;  // SHA-256 of the bytes
  std::uint64_t bytes = 0;
  std::string format;
  std::uint64_t fixes = 0, lines = 0;
  bool simulated = false;
  std::vector<Warning> warnings;
  std::string private_file_name;
};
struct FlightEntry {
  Hash recording;  // all zero: entered by hand
  EntryId machine, pilot;
  UtcTime launch{}, landing{};
  bool begins_in_air = false, ends_in_air = false;
  Duration air_time;
  Estimate<Duration> running_time;  // accepted hours for the engine; basis unknown if nothing is known
  int launches = 1;
  int analysis_version = 0;
  FlightSummary summary;                // positions in it go to the private part
  std::vector<FlightMeasure> measures;  // accepted, made with fixed wide priors; what is left out was not told
  std::vector<std::string> doubts;
  GeoPosition private_launch, private_landing;
  bool has_positions = false;
  std::string private_path;  // thinned path for telling the same flight again, see book.md
};
struct Remeasured {
  EntryId flight;
  int analysis_version = 0;
  FlightSummary summary;
  std::vector<FlightMeasure> measures = {};  // take the place of the flight's, all of them; none: the flight's stand
};
struct EngineRun {
  EntryId machine;
  Duration running;
  std::string private_note;
};
struct GroundHandling {
  EntryId machine;
  Duration duration;
};
struct FuelMixed {
  Volume fuel;
  std::optional<double> ratio; /* petrol : oil, 50 means 50:1 */
  std::optional<Volume> oil;
  std::string private_note;
};
struct FuelFilled {
  Volume added;
  std::optional<Volume> in_tank_after;
};
struct FuelLeft {
  Volume left;
};
struct Finding {
  bool grounding = false;
  std::optional<EntryId> part;
  std::string private_text;
};
struct FindingClosed {
  EntryId finding;
  std::string private_text;
};
struct Alteration {
  std::string area; /* wing lines propeller jet plug oil exhaust undercarriage seats other */
  std::optional<EntryId> part;
  std::string private_text;
};
struct MoneySpent {
  std::int64_t private_cents = 0;
  std::string private_currency;
  std::string private_what;
};
struct DrillPractised {
  std::string drill; /* reserve engine_off_landing start other */
  std::string private_note;
};
// A take-off run measured on the ground by the owner. The entry's time is the launch.
struct RunMeasured {
  EntryId machine, pilot;
  Length room;               // from the first step (or roll) with the wing overhead to lift-off: the inflation is not in it
  std::optional<int> steps;  // how many of the owner's own it was walked in; absent: taped, or told in metres
  // What it was met with. Absent: not told.
  std::optional<Speed> headwind;  // along the run at 2 m, tail wind negative
  std::optional<Temperature> temperature;
  std::optional<AltitudeMsl> height;  // of the field
  std::optional<double> slope;        // rise over run, up positive
  std::optional<Surface> surface;
  std::optional<Mass> all_up;
  bool wheels = false;
  std::string private_note;
};
struct FieldDescribed {
  EntryId same_as; /* all zero: new */
  std::optional<AltitudeMsl> height;
  std::vector<FieldStrip> strips;  // their names are the owner's and stay with the facts
  std::string private_name;
  std::optional<GeoPosition> private_position;
  std::string private_text;
  std::string private_landable = {};  // where around it one can land, in words
  Hash private_photo = {};            // SHA-256 of a JPEG or PNG kept with the book; all zero: none
};
struct CheckDone {
  std::string check;
  std::string state; /* done not_done not_applicable */
};
struct Setting {
  std::string name, value;
};
struct Note {
  std::string private_text;
};
struct PhotoAttached {
  Hash photo;
  std::uint64_t bytes = 0;
  std::optional<EntryId> of;
  std::string private_text;
};
// Replaces what `entry` says. `facts` are the whole new words, of the kind of the amended entry.
struct Amended;
struct Voided {
  EntryId entry;
  std::string private_reason;
};

struct UnknownFacts {};

using PlainFacts =
    std::variant<UnknownFacts, MachineRegistered, PilotRegistered, PartRegistered, PartFitted, PartRemoved, ServiceLineSet,
                 ServiceDone, CounterRead, Reading, PlugRead, RecordingAttached, FlightEntry, Remeasured, EngineRun,
                 GroundHandling, FuelMixed, FuelFilled, FuelLeft, Finding, FindingClosed, Alteration, MoneySpent, DrillPractised,
                 RunMeasured, FieldDescribed, CheckDone, Setting, Note, PhotoAttached, Voided>;
struct Amended {
  EntryId entry;
  std::string private_reason;
  std::optional<UtcTime> at;      // new time of happening, if that was wrong
  std::optional<EntryKind> kind;  // kind of `facts`, the amended entry's own
  PlainFacts facts;               // what it should have said; UnknownFacts if only `at` changes
};

using Facts = std::variant<PlainFacts, Amended>;

// A decoded entry. `private_missing` / `facts_missing` when that part was left out.
struct Entry {
  EntryHeader header;
  Hash hash;
  Facts facts;
  bool facts_missing = false, private_missing = false;
};

}  // namespace headroom
