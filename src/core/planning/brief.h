#pragma once
// The margins before a flight, thinnest first, as far as they can be told from the book.
#include <optional>
#include <string>
#include <vector>

#include "core/book/state.h"
#include "core/margin.h"
#include "core/planning/brief_day.h"
#include "core/planning/day.h"

namespace headroom {

struct BriefRequest {
  UtcTime now{};
  std::optional<Duration> planned;       // air time of the planned flight; absent: one hour, assumed
  std::optional<UtcTime> planned_start;  // absent: now
  Day day = {};                          // what is known of it; nothing: unknown, and said
  bool with_changes = true;              // what would change the thinnest margins, with the chance then
};

// A figure against this machine's own past: said in words, never a state.
struct Observation {
  std::string id;  // "head_maximum", "plug"
  Sentence text;
  bool unusual = false;
  bool enough = false;      // at least five earlier values
  bool has_margin = false;  // it stands among the margins too
};

struct Brief {
  UtcTime now{}, start{};
  Duration planned;
  bool planned_assumed = false;
  std::vector<Margin> margins;  // thinnest first
  std::vector<Observation> observations;
  std::vector<Sentence> headlines;  // what stands first: what is short, what is unknown
  std::vector<Sentence> warnings;   // of the book, as far as they touch a margin
  std::vector<LaunchCheck> checks;  // last before launch
  Sentence not_covered;             // what this brief does not look at
  std::string caution;              // kCaution
};

// When such a flight lands: as planned, or when the route is done if that takes longer.
[[nodiscard]] UtcTime planned_landing(const State& state, const BriefRequest& request);

[[nodiscard]] Brief make_brief(const State& state, const BriefRequest& request);

// Margins of `after` that are short, thin or unknown and were not so in `before`, or have gone from thin to short.
[[nodiscard]] std::vector<Margin> newly_thin(const Brief& before, const Brief& after);

}  // namespace headroom
