#pragma once
// What is left before a limit. The states and their thresholds are the table in docs/architecture.md ("States of a
// margin"); the table is the project's own decision, not a published standard.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/estimate.h"
#include "core/sentence.h"

namespace headroom {

enum class MarginState : std::uint8_t { short_of, thin, ample, unknown };
// The words of docs/words.md: "short", "thin", "ample", "unknown".
[[nodiscard]] std::string_view state_word(MarginState state);

// Stands wherever margins are shown.
inline constexpr std::string_view kCaution =
    "Advice from your own book, not permission; your manual, local rules and licensed practice come first.";

// A kind of margin is deadly when being short of it can kill within the flight.
enum class MarginKind : std::uint8_t {
  take_off_room,
  fuel,
  wind,
  light,
  load_on_wing,
  load_on_reserve,
  glide_to_land,
  fuel_mix,  // deadly
  service,
  part_age,
  reserve_repack,
  finding,
  head_temperature,
  plug,
  recent_practice,
  drill,
  other,
};
[[nodiscard]] constexpr bool is_deadly(MarginKind kind) {
  return kind <= MarginKind::fuel_mix;
}

// One thing that would change a margin, in words, with what the chance of being short would become.
struct Change {
  Sentence what;
  std::optional<double> chance_short;
};

struct Margin {
  MarginKind kind = MarginKind::other;
  std::string id;     // stable, for programs: "service:plug"
  std::string title;  // for people, without figures: "Spark plug: renew"
  Amount have, need, left;
  // Probability of being short, 0 to 1; nothing when it cannot be told. Shown no finer than "1 in 20 or less".
  std::optional<double> chance_short;
  MarginState state = MarginState::unknown;
  std::vector<Sentence> why;      // most telling first
  std::vector<Change> changes;    // most effective first
  std::vector<Sentence> measure;  // when unknown: what to measure or enter
  bool assumed = false;           // an input is assumed: the word stands beside the state
  bool grounding = false;         // a grounding finding is open here
};

// True of a life or habit that is used up towards its limit (`have`), and not a stock against what is needed of it.
[[nodiscard]] bool counts_up(const Margin& margin);

// The state by the table: short at a chance of 20 % or more (deadly) or 50 % or more (others), or when the limit is
// passed or a grounding finding is open; thin over 5 %; ample at 5 % or less, but for a deadly kind on an assumed basis
// at 1 % or less; unknown without a chance. A chance outside 0..1 or NaN counts as none.
[[nodiscard]] MarginState margin_state(MarginKind kind, std::optional<double> chance_short, bool limit_passed, bool grounding,
                                       bool assumed);
// Order of a brief: grounding and deadly unknown first, then by the chance of being short, then by the share left.
[[nodiscard]] bool thinner(const Margin& a, const Margin& b);

}  // namespace headroom
