#pragma once
// Which learned figures each kind of change to a machine touches, and the configuration a figure was flown in. A figure learned
// in one configuration is the start for the next (three times the spread, learned.h); the same configuration is one regime,
// however often it is gone back to. The table is the project's own, no source. Said in docs/analysis/learning.md.
#include <array>
#include <compare>
#include <cstdint>
#include <string_view>
#include <vector>

#include "core/book/state.h"

namespace headroom {

enum class LearnedKind : std::uint8_t {
  trim_airspeed,  // of the machine
  level_speed,
  sink_rate,
  climb_rate,
  plain_run_factor,  // of the pilot
  roughness,
};
inline constexpr std::array kLearnedKinds{LearnedKind::trim_airspeed, LearnedKind::level_speed,      LearnedKind::sink_rate,
                                          LearnedKind::climb_rate,    LearnedKind::plain_run_factor, LearnedKind::roughness};

struct RegimeRow {
  std::string_view area;  // of an alteration, as entered
  std::array<bool, kLearnedKinds.size()> touches{};
};
//                                                     trim   level  sink   climb  run    roughness
inline constexpr RegimeRow kRegimeTable[] = {
    {"wing", {true, true, true, true, true, false}},
    {"lines", {true, true, true, true, true, false}},
    {"propeller", {false, false, false, true, true, false}},
    {"jet", {false, false, false, true, true, false}},
    {"plug", {false, false, false, false, false, false}},  // head temperature, not power
    {"oil", {false, false, false, false, false, false}},   // the same
    {"exhaust", {false, false, false, true, true, false}},
    {"undercarriage", {false, false, true, true, true, false}},  // drag, and feet or wheels
    {"seats", {true, true, true, true, true, false}},            // one or two aboard
    {"other", {true, true, true, true, true, false}},            // not known what: every figure of the machine
};
// Whether a change there touches the figure; an area that is not in the table counts as "other".
[[nodiscard]] bool touches(std::string_view area, LearnedKind kind);

// What a figure depends on, in ascending order: fitted wing and propeller parts and the alterations in force, by entry id, so
// that equal means the same configuration. An alteration said of a part is in force while that part is fitted; one of the wing,
// lines or propeller without a part is taken as of the part fitted then. Other alterations stay in force on the machine flown
// last before them (else the first flown after).
struct Configuration {
  std::vector<EntryId> ids;
  auto operator<=>(const Configuration&) const = default;
};
[[nodiscard]] Configuration configuration(const State& state, LearnedKind kind, const EntryId& machine, UtcTime at);

}  // namespace headroom
