#include "core/track/flights.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

// ---------------------------------------------------------------------------------------------------------------------
// The hidden Markov model. Densities of ground speed v [m/s] and climb c [m/s]; all figures are common practice or seen in
// recordings, none comes from a publication.

// Still: receiver wander, arms and wind.
constexpr double kStillSpeed = 0.5;   // half-normal scale of v
constexpr double kStillClimb = 0.15;  // of c, besides the smoother's own
// On the ground: walking 1.4 m/s, running to 6 m/s, ground handling, driving. Height follows the slope.
constexpr double kGroundSpeed = 3.5;        // exponential mean of v
constexpr double kGroundClimb = 0.15;       // of c at rest
constexpr double kGroundClimbSlope = 0.12;  // and per m/s of v: slopes met at that speed
// Airborne: a powered paraglider's trim is 10-12 m/s, wind takes or adds as much; sailplanes fly 20-60 m/s.
constexpr double kAirSpeed = 9.0, kAirSpeedSpread = 5.0;  // normal part of v, three quarters of the weight
constexpr double kAirSpeedMax = 70;                       // uniform part, one quarter
constexpr double kAirClimb = 1.6;                         // scale of c (Cauchy: rough air has long tails)

// Fixes a second apart say nearly the same thing: the evidence of this many seconds counts once.
constexpr double kEvidence_s = 6;
// Chance per second of leaving a state. A flight lasts tens of minutes; on the ground one stops and starts.
constexpr double kLeaveAir = 1.0 / 1200, kLeaveGround = 1.0 / 60, kLeaveStill = 1.0 / 120;

constexpr int kStates = 3;
constexpr float kNever = -1e30F;

constexpr std::size_t kSpeedBins = 288;  // of 0.25 m/s
constexpr std::size_t kClimbBins = 128;  // of 0.1 m/s
struct DensityTables {
  std::array<float, kSpeedBins> still_v{}, ground_v{}, air_v{}, ground_c_weight{};
  std::array<float, kClimbBins> still_c{}, air_c{};
};

// Log densities; `climb_variance` is the smoother's typical variance of c in this track.
DensityTables density_tables(double climb_variance, bool heights) {
  DensityTables t;
  const double still_c = std::sqrt(kStillClimb * kStillClimb + climb_variance);
  for (std::size_t i = 0; i < kSpeedBins; ++i) {
    const double v = (static_cast<double>(i) + 0.5) * 0.25;
    // A floor of e^-14 keeps one odd fix from deciding.
    t.still_v[i] =
        static_cast<float>(std::max(-14.0, -0.5 * v * v / (kStillSpeed * kStillSpeed) - std::log(kStillSpeed) - 0.226));
    double ground = -v / kGroundSpeed - std::log(kGroundSpeed);
    const double g = std::sqrt(std::pow(kGroundClimb + kGroundClimbSlope * v, 2) + climb_variance);
    t.ground_c_weight[i] = static_cast<float>(-0.5 / (g * g));
    if (heights) ground -= std::log(g) + 0.919;
    t.ground_v[i] = static_cast<float>(std::max(-14.0, ground));
    const double z = (v - kAirSpeed) / kAirSpeedSpread;
    t.air_v[i] = static_cast<float>(std::log(0.75 * std::exp(-0.5 * z * z) / (kAirSpeedSpread * 2.5066) + 0.25 / kAirSpeedMax));
  }
  for (std::size_t i = 0; i < kClimbBins && heights; ++i) {
    const double c = (static_cast<double>(i) + 0.5) * 0.1;
    t.still_c[i] = static_cast<float>(std::max(-14.0, -0.5 * c * c / (still_c * still_c) - std::log(still_c) - 0.919));
    t.air_c[i] = static_cast<float>(-std::log(3.1416 * kAirClimb * (1 + c * c / (kAirClimb * kAirClimb))));
  }
  return t;
}

double fix_step(const Track& track, std::size_t i) {  // seconds from fix i-1 to i
  return static_cast<double>((track.fixes[i].time - track.fixes[i - 1].time).count()) * 1e-3;
}

const SmoothedHeight& height_at(const SmoothedTrack& smoothed, bool by_pressure, std::size_t i) {
  const SmoothedFix& f = smoothed.fixes[i];
  return by_pressure && f.pressure.known ? f.pressure : f.gnss;
}

void most_likely_motion(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, bool heights, FlightSearch& search) {
  const std::size_t n = track.fixes.size();
  search.motion.resize(n);
  search.back.resize(n);
  search.speed.resize(n);
  search.climb.resize(n);
  double variance = 0.05;
  for (std::size_t i = n / 2; i < n; ++i)
    if (height_at(smoothed, by_pressure, i).known) {
      variance = std::min(1.0, height_at(smoothed, by_pressure, i).covariance.velocity);
      break;
    }
  const DensityTables table = density_tables(variance, heights);
  // Logarithms of staying and leaving, for steps of up to a minute.
  const auto stay_leave = [](double rate, double dt) {
    const double leave = 0.5 * (1 - std::exp(-rate * dt));  // to each of the two others
    return std::array<float, 2>{static_cast<float>(std::log(1 - 2 * leave)), static_cast<float>(std::log(leave))};
  };
  std::array<float, kStates> score{-1.1F, -1.1F, -1.1F};
  double last_dt = -1;
  std::array<std::array<float, 2>, kStates> moves{};
  for (std::size_t i = 0; i < n; ++i) {
    const SmoothedFix& f = smoothed.fixes[i];
    const SmoothedHeight& h = height_at(smoothed, by_pressure, i);
    const auto v = static_cast<float>(std::sqrt(f.east_m_s * f.east_m_s + f.north_m_s * f.north_m_s));
    const auto c = h.known ? static_cast<float>(h.rate_m_s) : 0.0F;
    search.speed[i] = v;
    search.climb[i] = c;
    const auto vb = std::min(kSpeedBins - 1, static_cast<std::size_t>(v * 4.0F));
    const auto cb = std::min(kClimbBins - 1, static_cast<std::size_t>(std::abs(c) * 10.0F));
    const std::array<float, kStates> seen{
        table.still_v[vb] + table.still_c[cb],
        heights ? table.ground_v[vb] + std::max(-14.0F, table.ground_c_weight[vb] * c * c) : table.ground_v[vb],
        table.air_v[vb] + table.air_c[cb]};
    double dt = i == 0 ? track.interval.si() : std::min(kGapMin_s, fix_step(track, i));
    const auto weight = static_cast<float>(std::min(1.0, dt / kEvidence_s));
    if (i == 0) {
      for (std::size_t s = 0; s < kStates; ++s) score[s] += weight * seen[s];
      continue;
    }
    if (dt != last_dt) {
      moves = {stay_leave(kLeaveStill, dt), stay_leave(kLeaveGround, dt), stay_leave(kLeaveAir, dt)};
      last_dt = dt;
    }
    std::array<float, kStates> next{};
    unsigned back = 0;
    for (unsigned to = 0; to < kStates; ++to) {
      float best = kNever;
      unsigned from_best = 0;
      for (unsigned from = 0; from < kStates; ++from) {
        const float s = score[from] + moves[from][from == to ? 0 : 1];
        if (s > best) {
          best = s;
          from_best = from;
        }
      }
      next[to] = best + weight * seen[to];
      back |= from_best << (2 * to);
    }
    search.back[i] = static_cast<std::uint8_t>(back);
    score = next;
    if ((i & 1023U) == 0) {  // keep single precision
      const float top = *std::max_element(score.begin(), score.end());
      for (float& s : score) s -= top;
    }
  }
  auto state = static_cast<unsigned>(std::max_element(score.begin(), score.end()) - score.begin());
  for (std::size_t i = n; i-- > 0;) {
    search.motion[i] = static_cast<Motion>(state);
    if (i > 0) state = (search.back[i] >> (2 * state)) & 3U;
  }
}

struct Stretch {
  std::size_t first = 0, last = 0;
};

std::vector<Stretch> airborne_stretches(const FlightSearch& search) {
  std::vector<Stretch> out;
  for (std::size_t i = 0; i < search.motion.size(); ++i) {
    if (search.motion[i] != Motion::airborne) continue;
    if (i == 0 || search.motion[i - 1] != Motion::airborne) out.push_back({i, i});
    out.back().last = i;
  }
  return out;
}

}  // namespace

void find_flights(const Track& track, const SmoothedTrack& smoothed, FlightSearch& search) {
  search.flights.clear();
  search.refused.clear();
  search.motion.clear();
  if (track.fixes.size() < 2) return;
  const bool by_pressure = track.has_pressure;
  const bool heights = track.has_pressure || track.has_gnss;
  most_likely_motion(track, smoothed, by_pressure, heights, search);
  for (const Stretch& s : airborne_stretches(search)) {
    if (duration_between(track.fixes[s.first].time, track.fixes[s.last].time) < seconds(30)) continue;
    FoundFlight f;
    f.first = s.first;
    f.last = s.last;
    f.launch = track.fixes[s.first].time;
    f.landing = track.fixes[s.last].time;
    f.begins_in_air = s.first == 0;
    f.ends_in_air = s.last + 1 == track.fixes.size();
    f.launch_uncertainty = f.landing_uncertainty = seconds(10);
    search.flights.push_back(f);
  }
}

}  // namespace headroom
