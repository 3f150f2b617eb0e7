#pragma once
// A value with its spread and what it rests on. The stored and shown form is the 5, 50 and 95 % quantile.
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "core/result.h"
#include "core/time.h"
#include "core/units.h"

namespace headroom {

// 95 % quantile of the standard normal distribution: from the middle to either end of an estimate that is normal, in deviations.
inline constexpr double kNormal95 = 1.6448536269514722;

enum class BasisKind : std::uint8_t { unknown, assumed, learned, measured };

// What a value rests on. `n` is how many flights, readings or runs it was learned from (0 unless learned).
struct Basis {
  BasisKind kind = BasisKind::unknown;
  int n = 0;
  auto operator<=>(const Basis&) const = default;
};
constexpr Basis assumed() {
  return {BasisKind::assumed, 0};
}
constexpr Basis measured() {
  return {BasisKind::measured, 0};
}
constexpr Basis learned_from(int n) {
  return {BasisKind::learned, n};
}

// What a bare number in an estimate or margin counts, in SI, so that one encoder and one printer serve all.
enum class Dimension : std::uint8_t {
  none,
  length,
  speed,
  duration,
  temperature,
  temperature_difference,
  mass,
  volume,
  volume_flow,
  pressure,
  count,
  calendar,   // a stretch of calendar time, seconds; shown in days, months or years
  instant,    // a moment, seconds since 1970-01-01T00:00Z; shown as a date in the owner's zone
  ratio,      // petrol to oil: 50 means 50:1
  climb,      // upward or downward speed, which people tell in other units than speed
  angle,      // radians; shown in degrees
  turn_rate,  // radians a second; shown in degrees a second
};
template <class Q>
inline constexpr Dimension dimension_of = Dimension::none;
template <>
inline constexpr Dimension dimension_of<Length> = Dimension::length;
template <>
inline constexpr Dimension dimension_of<Speed> = Dimension::speed;
template <>
inline constexpr Dimension dimension_of<Duration> = Dimension::duration;
template <>
inline constexpr Dimension dimension_of<Temperature> = Dimension::temperature;
template <>
inline constexpr Dimension dimension_of<TemperatureDifference> = Dimension::temperature_difference;
template <>
inline constexpr Dimension dimension_of<Mass> = Dimension::mass;
template <>
inline constexpr Dimension dimension_of<Volume> = Dimension::volume;
template <>
inline constexpr Dimension dimension_of<VolumeFlow> = Dimension::volume_flow;
template <>
inline constexpr Dimension dimension_of<Pressure> = Dimension::pressure;
template <>
inline constexpr Dimension dimension_of<Count> = Dimension::count;

// An estimate of a typed quantity. Invariant, kept by make_estimate: low <= mid <= high, all finite. An estimate whose
// basis is `unknown` has no meaningful value and carries the reason in `note`.
template <class Q>
struct Estimate {
  Q low{}, mid{}, high{};  // 5 %, 50 %, 95 %
  Basis basis;
  std::string note;  // why unknown, or what the reader should know; may be empty
  [[nodiscard]] bool known() const { return basis.kind != BasisKind::unknown; }
};

template <class Q>
Result<Estimate<Q>> make_estimate(Q low, Q mid, Q high, Basis basis, std::string note = {}) {
  if (!(std::isfinite(low.si()) && std::isfinite(high.si()) && low <= mid && mid <= high))
    return fail(ErrorKind::out_of_range, "an estimate needs 5 % <= 50 % <= 95 %, all finite");
  return Estimate<Q>{low, mid, high, basis, std::move(note)};
}
template <class Q>
Estimate<Q> exactly(Q value, Basis basis = measured()) {
  return {value, value, value, basis, {}};
}
template <class Q>
Estimate<Q> unknown_estimate(std::string why) {
  return {Q{}, Q{}, Q{}, Basis{}, std::move(why)};
}

// The same with its type erased: what margins, answers and pages carry.
struct Amount {
  Dimension dimension = Dimension::none;
  double low = 0, mid = 0, high = 0;  // SI; for Dimension::duration seconds, for temperature kelvin
  Basis basis;
  std::string note;
  [[nodiscard]] bool known() const { return basis.kind != BasisKind::unknown; }
};
template <class Q>
Amount amount(const Estimate<Q>& e) {
  static_assert(dimension_of<Q> != Dimension::none);
  return {dimension_of<Q>, e.low.si(), e.mid.si(), e.high.si(), e.basis, e.note};
}

// A stretch of calendar time, which is shown in days and not in hours.
inline Amount calendar_amount(const Estimate<Duration>& e) {
  Amount a = amount(e);
  a.dimension = Dimension::calendar;
  return a;
}
inline Amount exact_amount(Dimension dimension, double si, Basis basis = measured()) {
  return {dimension, si, si, si, basis, {}};
}
inline Amount instant_amount(UtcTime t, Basis basis = measured()) {
  return exact_amount(Dimension::instant, static_cast<double>(t.time_since_epoch().count()) * 1e-3, basis);
}
inline Amount unknown_amount(Dimension dimension, std::string why) {
  return {dimension, 0, 0, 0, Basis{}, std::move(why)};
}

}  // namespace headroom
