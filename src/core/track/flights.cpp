#include "core/track/flights.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

#include "core/earth/geodesy.h"
#include "core/track/contact.h"

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
constexpr double kGroundClimbSlope = 0.06;  // and per m/s of v: slopes met at that speed
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
      variance = std::min<double>(1.0, height_at(smoothed, by_pressure, i).covariance.velocity);
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
constexpr double kShortestStretch_s = 30;
// Across a longer gap than this nobody knows: the recording then holds two flights, one ending and one beginning in it.
constexpr double kLongestGapInFlight_s = 3600;

// ---------------------------------------------------------------------------------------------------------------------
// Evidence. A stretch is cut into windows of about kWindow_s; each has its way, rise and turn.

constexpr double kWindow_s = 8;

struct Window {
  double seconds = 0, way = 0, rise = 0, turn_sum = 0, speed = 0;
};

std::vector<Window> windows_of(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, const FlightSearch& search,
                               std::size_t first, std::size_t last) {
  std::vector<Window> out;
  Window w;
  std::size_t begin = first;
  double before = 0;
  bool has_before = false;
  for (std::size_t i = first + 1; i <= last; ++i) {
    const double dt = fix_step(track, i);
    if (dt > kSmoothGap_s) {
      w = {};
      begin = i;
      has_before = false;
      continue;
    }
    w.seconds += dt;
    w.way += 0.5 * dt * static_cast<double>(search.speed[i - 1] + search.speed[i]);
    const SmoothedFix& f = smoothed.fixes[i];
    if (search.speed[i] > 1.5F) {
      const double heading = std::atan2(f.east_m_s, f.north_m_s);
      if (has_before) {
        double d = heading - before;
        if (d > std::numbers::pi) d -= 2 * std::numbers::pi;
        if (d < -std::numbers::pi) d += 2 * std::numbers::pi;
        w.turn_sum += d;
      }
      before = heading;
      has_before = true;
    }
    if (w.seconds >= kWindow_s) {
      w.rise = height_at(smoothed, by_pressure, i).height_m - height_at(smoothed, by_pressure, begin).height_m;
      w.speed = w.way / w.seconds;
      out.push_back(w);
      w = {};
      begin = i;
    }
  }
  return out;
}

// Roads and tracks driven at speed seldom exceed 14 % (common practice); gliding down is 10 to 25 %, climbing under power
// as much, a winch over 50 %.
constexpr double kSteepGrade = 0.14;
constexpr double kSteepSpeed = 4;      // m/s: walkers do go up steps
constexpr double kSteepForSure = 150;  // m: no road is that long at that grade, so it is not doubted to be a flight
constexpr double kSteepRise = 2.5;     // m within one window, beyond height noise

double median_of(std::vector<double>& v) {
  if (v.empty()) return 0;
  const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
  std::nth_element(v.begin(), middle, v.end());
  return *middle;
}

StretchEvidence evidence_of(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, const FlightSearch& search,
                            std::size_t first, std::size_t last) {
  StretchEvidence e;
  e.duration_s = duration_between(track.fixes[first].time, track.fixes[last].time).si();
  e.heights = track.has_pressure || track.has_gnss;
  const auto windows = windows_of(track, smoothed, by_pressure, search, first, last);
  if (windows.empty()) return e;
  std::vector<double> speeds, rough;
  double run = 0, way = 0, up = 0, down = 0, sum = 0, sum2 = 0;
  const auto close_run = [&] {
    if (std::abs(run) >= 4 * std::numbers::pi) e.circles += std::floor(std::abs(run) / (2 * std::numbers::pi));
    run = 0;
  };
  for (std::size_t k = 0; k < windows.size(); ++k) {
    const Window& w = windows[k];
    speeds.push_back(w.speed);
    sum += w.speed;
    sum2 += w.speed * w.speed;
    way += w.way;
    (w.rise > 0 ? up : down) += std::abs(w.rise);
    if (std::abs(w.rise) > kSteepGrade * w.way && std::abs(w.rise) > kSteepRise && w.speed > kSteepSpeed)
      e.steep_height_m += std::abs(w.rise);
    if (k > 0 && w.way > 5 && windows[k - 1].way > 5) {
      const Window& b = windows[k - 1];
      rough.push_back(std::abs(w.rise / w.seconds - b.rise / b.way * w.way / w.seconds));
    }
    // A circle of aircraft takes 10 to 60 s; slower turning is a valley road.
    if ((w.turn_sum > 0) != (run > 0) || std::abs(w.turn_sum) < 0.1 * w.seconds) close_run();
    run += w.turn_sum;
  }
  close_run();
  const auto n = static_cast<double>(windows.size());
  e.speed_median_m_s = median_of(speeds);
  e.climb_roughness_m_s = median_of(rough);
  e.speed_spread = sum > 0 ? std::sqrt(std::max(0.0, sum2 / n - sum * sum / (n * n))) / (sum / n) : 0;
  e.one_way = up + down > 0 ? std::max(up, down) / (up + down) : 0;
  double low = 1e9, high = -1e9;
  for (std::size_t i = first; i <= last; ++i) {
    const SmoothedHeight& h = height_at(smoothed, by_pressure, i);
    if (!h.known) continue;
    low = std::min(low, h.height_m);
    high = std::max(high, h.height_m);
  }
  e.height_range_m = high > low ? high - low : 0;
  e.straightness = way > 0 ? geodesic_distance(smoothed.fixes[first].position, smoothed.fixes[last].position).si() / way : 0;
  return e;
}

// Log-odds for a flight against everything else that moves. The weights are judged, not fitted: each kind of evidence is
// worth what it rules out, and the sum is kept small where one kind alone could mislead.
void judge(StretchEvidence& e, Declared declared) {
  // A stretch that moved like an aircraft by speed is more often a car than not, until height says more.
  double score = -2.5;
  e.against = "its speeds and heights are those of a ride";
  const auto blame = [&](double weight, const char* why) {
    score -= weight;
    e.against = why;
  };
  score += std::min(4.0, e.steep_height_m / 10);
  score += std::min(4.0, e.circles);
  score += std::clamp((e.climb_roughness_m_s - 0.3) * 3, -1.0, 1.5);
  // Nobody drives at over 25 m/s for minutes and changes height by hundreds of metres without a steep stretch or a stop.
  if (e.speed_median_m_s > 22 && e.height_range_m > 400) score += 2;
  if (!e.heights) {
    // Speed and turns are all there is: a ride and a flight then differ by circles only.
    score += 1.5;
    e.against = "without heights it cannot be told from a ride";
  } else if (e.height_range_m < 6) {
    blame(6, "its height never changed: a boat or a level road");
  } else if (e.height_range_m < 12) {
    blame(1.5, "its height hardly changed: a boat or a level road");
  }
  // A lift or cable car: one straight line, one way up or down, at one speed.
  if (e.straightness > 0.98 && e.one_way > 0.97 && e.speed_spread < 0.12 && e.speed_median_m_s < 14)
    blame(10, "one straight line, one way, at one speed: a lift");
  if (declared == Declared::ground_vehicle) blame(8, "the recording says that it was made on the ground");
  if (e.duration_s < 40) blame(2, "it is too short to be told");
  e.score = score;
}

struct Quiet {
  double seconds = 0, speed = 0, fastest = 0, climb = 0;
};

// Mean speed and net climb rate over about `span` seconds of fixes on one side of fix i (towards = -1: before, +1: after).
Quiet quiet_over(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, const FlightSearch& search, std::size_t i,
                 int towards, double span) {
  Quiet q;
  std::size_t j = i;
  double way = 0;
  while (q.seconds < span) {
    if (towards < 0 ? j == 0 : j + 1 == track.fixes.size()) break;
    const std::size_t k = towards < 0 ? j - 1 : j + 1;
    const double dt = fix_step(track, std::max(j, k));
    if (dt > kSmoothGap_s) break;
    way += 0.5 * dt * static_cast<double>(search.speed[j] + search.speed[k]);
    q.fastest = std::max(q.fastest, static_cast<double>(search.speed[k]));
    q.seconds += dt;
    j = k;
  }
  if (q.seconds <= 0) return q;
  q.speed = way / q.seconds;
  q.climb = std::abs(height_at(smoothed, by_pressure, i).height_m - height_at(smoothed, by_pressure, j).height_m) / q.seconds;
  return q;
}

// On the ground before launch and after landing one stands or walks: slower than kSlow and level for kQuiet_s.
// Nobody runs faster than kRun with a paraglider or a motor on the back for long.
constexpr double kSlow = 4, kRun = 6, kLevel = 0.35, kQuiet_s = 20;
// Lift-off and touch-down: from where the height first is kOff from the ground's, outward to where the climb or sink has
// died away: under kDead, or under a third of the steepest within kSteepest_s of there. (The height itself is no better: a
// pressure height changes by metres while an aircraft slows down, and runways slope.)
constexpr double kOff = 4, kDead = 0.35, kSteepest_s = 10;
// A recording that begins (ends) with less than this share of the flight's speed begins (ends) on the ground.
constexpr double kRollShare = 0.65;
// Mean speed of the first (last) two minutes under which it was launched (landed) on foot.
constexpr double kFootSpeed = 14;
// How far outside the model's stretch the ground is looked for.
constexpr double kLookOut_s = 600;

struct Contact {
  std::size_t fix = 0;
  bool in_air = false;      // the recording begins (ends) in the air
  bool across_gap = false;  // the contact lies in a gap
  bool clear = false;       // the ground beside it was seen
};

// Where the stretch [first, last] leaves the ground (towards = -1: launch) or meets it (+1: landing).
Contact contact_of(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, const FlightSearch& search,
                   std::size_t first, std::size_t last, int towards) {
  const std::size_t n = track.fixes.size();
  const std::size_t edge = towards < 0 ? first : last, inner = towards < 0 ? last : first;
  const bool heights = track.has_pressure || track.has_gnss;
  const auto height = [&](std::size_t i) { return height_at(smoothed, by_pressure, i).height_m; };
  const auto at_end = [&](std::size_t i) { return towards < 0 ? i == 0 : i + 1 == n; };
  const auto outward = [&](std::size_t i) { return towards < 0 ? i - 1 : i + 1; };
  const auto inward = [&](std::size_t i) { return towards < 0 ? i + 1 : i - 1; };
  Contact c;
  c.fix = edge;
  std::size_t anchor = edge;
  double looked = 0;
  for (;;) {
    const Quiet q = quiet_over(track, smoothed, by_pressure, search, anchor, towards, kQuiet_s);
    if (q.seconds >= 0.5 * kQuiet_s && q.speed < kSlow && q.fastest < kRun && (!heights || q.climb < kLevel)) {
      c.clear = true;
      break;
    }
    if (at_end(anchor)) break;
    const std::size_t next = outward(anchor);
    const double dt = fix_step(track, std::max(anchor, next));
    if (dt > kSmoothGap_s) {
      c.across_gap = true;
      break;
    }
    looked += dt;
    if (looked > kLookOut_s || (search.motion[next] == Motion::airborne && anchor != edge)) {
      anchor = edge;  // no quiet ground near: the model's own edge stands
      return c;
    }
    anchor = next;
  }
  if (c.across_gap) {
    c.fix = anchor;
    return c;
  }
  if (!c.clear) {  // the end of the recording: in the air, or in the run
    std::vector<double> speeds;
    double seen = 0;
    for (std::size_t i = anchor; i != inner && seen < 60; i = inward(i)) {
      speeds.push_back(static_cast<double>(search.speed[i]));
      seen += fix_step(track, std::max(i, inward(i)));
    }
    const double usual = median_of(speeds);
    const Quiet q = quiet_over(track, smoothed, by_pressure, search, anchor, -towards, 2.5);
    if (static_cast<double>(search.speed[anchor]) >= kRollShare * usual || (heights && q.climb > 3)) {
      c.fix = anchor;
      c.in_air = true;
      return c;
    }
  }
  if (!heights) {  // from the ground to where running ends: half the usual speed
    std::size_t i = anchor;
    while (i != inner && static_cast<double>(search.speed[i]) < kSlow) i = inward(i);
    c.fix = i;
    return c;
  }
  const double ground = height(anchor);
  double way = 0, flown = 0;
  for (std::size_t k = anchor; k != inner && flown < 120; k = inward(k)) {
    const double dt = fix_step(track, std::max(k, inward(k)));
    way += dt * static_cast<double>(search.speed[k]);
    flown += dt;
  }
  const bool slow_flyer = way < kFootSpeed * flown;
  std::size_t i = anchor;
  while (i != inner && std::abs(height(i) - ground) < kOff) i = inward(i);
  const auto rate = [&](std::size_t k) { return std::abs(static_cast<double>(search.climb[k])); };
  double steepest = 0, seen = 0;
  for (std::size_t k = i; k != inner && seen < kSteepest_s; k = inward(k)) {
    steepest = std::max(steepest, rate(k));
    seen += fix_step(track, std::max(k, inward(k)));
  }
  const double dead = std::max(kDead, steepest / 3);
  // The height may pass through the ground's own value in flight, level for a moment: start from the steepest part.
  while (i != inner && rate(i) < dead) i = inward(i);
  while (i != anchor && rate(i) > dead) i = outward(i);
  // A foot launch may go on level, as in ridge lift: what moves faster than a run, between the ground and here, flies.
  // Wheels roll at any speed, so this holds only for what flies slowly.
  if (slow_flyer)
    for (std::size_t k = anchor; k != i; k = inward(k))
      if (static_cast<double>(search.speed[k]) > kRun) {
        i = k;
        break;
      }
  c.fix = i;
  return c;
}

// Between two stretches in the air: was the aircraft on the ground? It has to have been quiet, at a height at which ground
// can be, seen from the places where it is known to have stood.
constexpr double kStandSpeed = 1.0;   // m/s, mean over the quiet time
constexpr double kStand_s = 15;       // of it
constexpr double kHoverAbove_m = 12;  // higher above known ground than this ...
constexpr double kHoverRise = 0.3;    // m/s: one who arrives there climbing has not come to land ...
constexpr double kHillSlope = 0.15;   // ... if it is also steeper than most hills above known ground
constexpr double kHoverSlope = 0.5;   // ... plus this much for each metre away from it is air

struct GroundPlace {
  GeoPosition position;
  double height_m = 0;
};

// Climb rate over the `span` seconds before fix i.
double rise_before(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, std::size_t i, double span) {
  std::size_t j = i;
  double seconds_back = 0;
  while (j > 0 && seconds_back < span) {
    seconds_back += fix_step(track, j);
    --j;
  }
  if (seconds_back <= 0) return 0;
  return (height_at(smoothed, by_pressure, i).height_m - height_at(smoothed, by_pressure, j).height_m) / seconds_back;
}

bool landed_between(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, const FlightSearch& search,
                    std::size_t first, std::size_t last, const std::vector<GroundPlace>& known) {
  const bool heights = track.has_pressure || track.has_gnss;
  bool hovering = false;
  for (std::size_t i = first; i < last; ++i) {
    // Longest quiet time from i on: slow, and no higher or lower than noise allows.
    double seconds_quiet = 0, way = 0, low = height_at(smoothed, by_pressure, i).height_m, high = low;
    std::size_t j = i;
    while (j < last) {
      const double dt = fix_step(track, j + 1);
      const double h = height_at(smoothed, by_pressure, j + 1).height_m;
      const double way_next = way + dt * static_cast<double>(search.speed[j + 1]);
      if (dt > kSmoothGap_s || way_next > kStandSpeed * (seconds_quiet + dt) + 3) break;
      if (heights && std::max(high, h) - std::min(low, h) > (by_pressure ? 2.0 : 3.5)) break;
      way = way_next;
      low = std::min(low, h);
      high = std::max(high, h);
      seconds_quiet += dt;
      ++j;
    }
    if (seconds_quiet < kStand_s) continue;
    if (!heights) return true;
    // A hover goes on until it has come down: what is quiet up there afterwards is no landing either.
    const double middle = 0.5 * (low + high);
    const double rise = rise_before(track, smoothed, by_pressure, i, kSteepest_s);
    bool air = false;
    for (const GroundPlace& g : known) {
      const double away = short_distance(g.position, smoothed.fixes[i].position).si();
      const double above = std::abs(middle - g.height_m);
      air = air || above > kHoverAbove_m + kHoverSlope * away ||
            (above > kHoverAbove_m + kHillSlope * away && (hovering || rise > kHoverRise));
    }
    hovering = air;
    if (!air) return true;
    i = j;
  }
  return false;
}

// One standard deviation: two seconds or the recorder's interval where the ground was seen beside it and there are
// heights; far more otherwise.
Duration contact_uncertainty(const Track& track, const Contact& c, bool heights) {
  const double fixes_apart = track.interval.si();
  if (c.in_air) return seconds(0);
  if (c.across_gap) return seconds(300);
  if (!c.clear || !heights) return seconds(std::max(10.0, fixes_apart));
  return seconds(std::max(2.0, fixes_apart));
}

// How far to either side of a contact its instant is looked for.
constexpr double kRefineClose_s = 8, kRefineApart_s = 12;

// The instant of a contact seen with the ground beside it, from the bend of the height; the first guess stands where that tells
// nothing.
void refine_contact(const Track& track, const SmoothedTrack& smoothed, ContactKind kind, std::size_t taken, FoundFlight& f) {
  const bool leaving = kind == ContactKind::lift_off;
  const double reach = track.interval.si() > 2 ? kRefineApart_s : kRefineClose_s;
  ContactTimes at = find_contact(track, smoothed, leaving ? f.first : f.last, kind, reach);
  if (!at.known()) return;
  const UtcTime when = shifted(track.fixes.front().time, seconds(std::round(at.quantile_s(0.5))));
  const Duration spread = seconds(std::max(0.5, 0.5 * (at.quantile_s(0.84) - at.quantile_s(0.16))));
  if (leaving) {
    std::size_t i = f.first;
    while (i > taken && track.fixes[i - 1].time >= when) --i;
    while (i + 1 < f.last && track.fixes[i].time < when) ++i;
    f.first = i;
    f.launch = std::min(when, track.fixes[i].time);
    f.launch_uncertainty = spread;
    f.lift_off = std::move(at);
  } else {
    std::size_t i = f.last;
    while (i + 1 < track.fixes.size() && track.fixes[i + 1].time <= when) ++i;
    while (i > f.first + 1 && track.fixes[i].time > when) --i;
    f.last = i;
    f.landing = std::max(when, track.fixes[i].time);
    f.landing_uncertainty = spread;
  }
}

std::vector<Stretch> airborne_stretches(const Track& track, const FlightSearch& search) {
  std::vector<Stretch> out;
  for (std::size_t i = 0; i < search.motion.size(); ++i) {
    if (search.motion[i] != Motion::airborne) continue;
    if (i == 0 || search.motion[i - 1] != Motion::airborne || fix_step(track, i) > kLongestGapInFlight_s) out.push_back({i, i});
    out.back().last = i;
  }
  return out;
}

// Joins stretches between which nothing stood on the ground.
void join_stretches(const Track& track, const SmoothedTrack& smoothed, bool by_pressure, FlightSearch& search,
                    std::vector<Stretch>& stretches) {
  std::vector<Stretch> joined;
  std::vector<GroundPlace> known;
  for (const Stretch& s : stretches) {
    if (!joined.empty()) {
      const std::size_t from = joined.back().last, to = s.first;
      double longest = 0;
      for (std::size_t i = from + 1; i <= to; ++i) longest = std::max(longest, fix_step(track, i));
      if (longest <= kLongestGapInFlight_s && !landed_between(track, smoothed, by_pressure, search, from, to, known)) {
        for (std::size_t i = from; i <= to; ++i) search.motion[i] = Motion::airborne;
        joined.back().last = s.last;
        continue;
      }
    }
    const Contact c = contact_of(track, smoothed, by_pressure, search, s.first, s.last, -1);
    if (c.clear) known.push_back({smoothed.fixes[c.fix].position, height_at(smoothed, by_pressure, c.fix).height_m});
    joined.push_back(s);
  }
  stretches = std::move(joined);
}

// Words for what moves on the ground or water, as whole words in a header. None is a maker's or model's name.
constexpr std::array<std::string_view, 22> kGroundWords{
    "vehicle", "car",  "truck",   "van",  "bus",     "train", "bike",   "bicycle", "cycling", "motorcycle", "motorbike",
    "boat",    "ship", "sailing", "walk", "walking", "hike",  "hiking", "running", "ski",     "skiing",     "driving"};

bool has_ground_word(std::string_view text) {
  std::string word;
  const auto is_ground = [&] { return std::find(kGroundWords.begin(), kGroundWords.end(), word) != kGroundWords.end(); };
  for (const char ch : text) {
    const char lower = ch >= 'A' && ch <= 'Z' ? static_cast<char>(ch - 'A' + 'a') : ch;
    if (lower >= 'a' && lower <= 'z') {
      word.push_back(lower);
    } else {
      if (is_ground()) return true;
      word.clear();
    }
  }
  return is_ground();
}

}  // namespace

Declared declared_carrier(const Recording& recording) {
  for (const HeaderField& field : recording.header) {
    const bool carrier =
        (field.code.size() >= 5 && field.code[0] == 'H' && field.code.substr(2, 3) == "GTY") || field.code == "type";
    if (carrier && has_ground_word(field.text)) return Declared::ground_vehicle;
  }
  return Declared::nothing;
}

void find_flights(const Track& track, const SmoothedTrack& smoothed, Declared declared, FlightSearch& search) {
  search.flights.clear();
  search.refused.clear();
  search.motion.clear();
  if (track.fixes.size() < 2) return;
  const bool by_pressure = track.has_pressure;
  const bool heights = track.has_pressure || track.has_gnss;
  most_likely_motion(track, smoothed, by_pressure, heights, search);
  std::vector<Stretch> stretches = airborne_stretches(track, search);
  join_stretches(track, smoothed, by_pressure, search, stretches);
  std::size_t taken = 0;  // fixes before this belong to an earlier flight
  for (const Stretch& s : stretches) {
    if (duration_between(track.fixes[s.first].time, track.fixes[s.last].time) < seconds(kShortestStretch_s)) continue;
    StretchEvidence evidence = evidence_of(track, smoothed, by_pressure, search, s.first, s.last);
    judge(evidence, declared);
    if (evidence.score <= 0) {
      search.refused.push_back({s.first, s.last, std::move(evidence)});
      continue;
    }
    const Contact launch = contact_of(track, smoothed, by_pressure, search, s.first, s.last, -1);
    const Contact landing = contact_of(track, smoothed, by_pressure, search, s.first, s.last, +1);
    FoundFlight f;
    f.first = std::max(taken, launch.fix);
    f.last = std::max(f.first, landing.fix);
    f.launch = track.fixes[f.first].time;
    f.landing = track.fixes[f.last].time;
    f.begins_in_air = launch.in_air;
    f.ends_in_air = landing.in_air;
    f.launch_uncertainty = contact_uncertainty(track, launch, heights);
    f.landing_uncertainty = contact_uncertainty(track, landing, heights);
    if (launch.clear) refine_contact(track, smoothed, ContactKind::lift_off, taken, f);
    if (landing.clear) refine_contact(track, smoothed, ContactKind::touch_down, taken, f);
    taken = f.last + 1;
    if (launch.across_gap) f.doubts.emplace_back("no fixes just before the first one in the air: the launch lies in a gap");
    if (landing.across_gap) f.doubts.emplace_back("no fixes just after the last one in the air: the landing lies in a gap");
    for (std::size_t i = f.first + 1; i <= f.last; ++i)
      if (const double dt = fix_step(track, i); dt > kGapMin_s)
        f.doubts.push_back("no fixes for " + std::to_string(std::lround(dt)) + " s in flight from " +
                           rfc3339(track.fixes[i - 1].time));
    if (evidence.score < 1.5 && evidence.steep_height_m < kSteepForSure)
      f.doubts.push_back("it may have been no flight: " + evidence.against);
    f.evidence = std::move(evidence);
    search.flights.push_back(std::move(f));
  }
}

}  // namespace headroom
