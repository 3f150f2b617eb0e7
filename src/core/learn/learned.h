#pragma once
// What the flights of a book say of machine and pilot, and how unusual one flight was beside the others.
// Notation, equations and choices: docs/analysis/learning.md. Update: normal_inverse_gamma.h with one constant term.
#include <optional>
#include <string>
#include <vector>

#include "core/estimate.h"
#include "core/learn/normal_inverse_gamma.h"
#include "core/learn/regimes.h"
#include "core/result.h"
#include "core/track/measures.h"

namespace headroom {

// Stable key: "trim_airspeed", ... and in words: "trim airspeed", ...
[[nodiscard]] std::string_view learned_key(LearnedKind kind);
[[nodiscard]] std::string_view learned_words(LearnedKind kind);
// The measure a figure is learned from; nothing is learned from the other measures.
[[nodiscard]] MeasureKind measure_of(LearnedKind kind);
[[nodiscard]] std::optional<LearnedKind> learned_of(MeasureKind kind);
// Pilot-bound figures follow the pilot over all machines, the others the machine.
[[nodiscard]] bool of_pilot(LearnedKind kind);

// Room of a run from standing with constant acceleration: v^2 / (2 a), v = 8.5 m/s / sqrt(density ratio) - headwind,
// a = 1 m/s2 (own estimates; 36 m in calm standard air). It holds no surface, slope or mass: the factor learned over it carries
// them as scatter. learn/run_factor.h learns over a force balance instead; this one needs no machine data.
// Range: density ratio 0.5 to 1.3, headwind -5 to 7 m/s, v at least 1.5 m/s. Errors: out_of_range.
[[nodiscard]] Result<Length> plain_run(double density_ratio, Speed headwind);

// A sample as learning takes it: y and one standard deviation of its measurement; logarithms for run factor and roughness.
// `scale` turns exp(y) into the shown unit (the plain run of that day for a run factor, else 1).
struct LearnedObservation {
  double y = 0, error_sd = 0, scale = 1;
};
// The standard value where there is one, else as flown. Errors: refused when not learnable; out_of_range when not finite, out of
// order, not above zero where a logarithm is taken, or a run beyond plain_run's range (density and wind 0 mean not known).
[[nodiscard]] Result<LearnedObservation> observation_of(const MeasureSample& sample);

// One constant with unknown scatter: a NormalInverseGamma of length 1. Weights: s^2 / (s^2 + e^2) for the error of measurement,
// s^2 the scatter expected at the start; an observation z > kFullWeight deviations from the middle counts (kFullWeight / z)^2.
// The order of the observations does not matter beyond rounding.
inline constexpr double kFullWeight = 2.5;  // own choice, no source
[[nodiscard]] Result<NormalInverseGamma> learn_constant(const NormalInverseGamma& start,
                                                        const std::vector<LearnedObservation>& observations);
// The start of a new regime: the same middle and scatter, the spread of the middle kRegimeSpread times as wide, yet no wider than
// that of `prior` unless it was so before.
inline constexpr double kRegimeSpread = 3;
[[nodiscard]] NormalInverseGamma new_regime(const NormalInverseGamma& old, const NormalInverseGamma& prior);

struct Learned {
  LearnedKind kind = LearnedKind::trim_airspeed;
  EntryId subject;  // machine or pilot
  Configuration configuration;
  Amount value;                          // of the mean; basis assumed for n = 0, else learned
  Amount next;                           // one flight, 5, 50 and 95 %; its own error of measurement is not in it
  int n = 0;                             // flights in this configuration
  int n_before = 0;                      // flights in other configurations that its start rests on or that were flown between
  std::vector<EntryId> from;             // the flights of this configuration, oldest first
  std::optional<Amount> without_newest;  // `value` had the last of `from` not been flown; none for n = 0
  NormalInverseGamma posterior;          // of y, see LearnedObservation
};
// Of `machine` (and, for pilot-bound figures, of `pilot` flying it) as it stands after the last entry.
// Errors: out_of_range when the owner's prior has no width or, where a logarithm is taken, is not above zero.
[[nodiscard]] Result<Learned> learned_now(const State& state, LearnedKind kind, const EntryId& machine, const EntryId& pilot);
// What was known before flight number `flight` of State::flights, in its configuration, for its machine and pilot.
// Errors: as above; not_found for a number beyond the list.
[[nodiscard]] Result<Learned> learned_before(const State& state, LearnedKind kind, std::size_t flight);

// A value with a chance below this of anything as far out is called unusual. Own choice, no source: one in twenty.
inline constexpr double kUnusualChance = 0.05;
struct Unusual {
  Amount usual;         // 5 to 95 % of what was to be expected, error of today's measurement in it; a run: metres on that day
  Amount today;         // in the same unit, at standard conditions where the sample has them
  int n = 0;            // earlier flights it rests on
  bool enough = false;  // kUsualNeeds or more; if not, `chance` and `unusual` say nothing
  double chance = 1;    // of something at least as far out
  bool unusual = false;
  std::string why;  // "needs 5 earlier flights, there are 2"; empty when enough
};
// Errors: those of observation_of; bad_input when the sample is of another kind than `without`.
[[nodiscard]] Result<Unusual> how_unusual(const MeasureSample& sample, const Learned& without);

struct UsualOfMeasure {
  MeasureKind measure = MeasureKind::room_used;
  std::optional<Learned> learned;  // from the flights before it
  std::optional<Unusual> answer;
  std::string why_not;  // a sentence when there is no answer
};
// One for each known measure of the flight, in the order of MeasureKind. A flight recorded twice answers for the one that counts.
// Errors: not_found.
[[nodiscard]] Result<std::vector<UsualOfMeasure>> usual_of_flight(const State& state, const EntryId& flight);

}  // namespace headroom
