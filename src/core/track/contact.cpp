#include "core/track/contact.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace headroom {
namespace {

// All of it is common practice or judged, none from a publication; see docs/analysis/measures.md.
constexpr double kStepContact_s = 0.2;
constexpr double kGroundBefore_s = 12;   // of ground looked at before the earliest instant
constexpr double kAirAfter_s = 7;        // of flight looked at after the latest
constexpr double kTrimUsual_m_s = 10.5;  // airspeed of what flies slowly
// How long the path takes to bend into its climb; a flare takes longer, and holds off some height above the ground before it.
constexpr std::array<double, 3> kBendLeaving_s{0.5, 1.3, 2.6}, kBendMeeting_s{1.2, 2.2, 3.5};
constexpr double kFloat_m = 0.7, kFloatSpread_m = 0.6, kFloat_s = 0.7;
constexpr double kClimbUsual = 1.8, kClimbSpread = 1.0;  // m/s: climbing away, coming down
constexpr double kBendSpread = 0.15;                     // m/s2
constexpr double kSlopeSpread = 0.02;                    // of the ground
constexpr double kRushSpread_m = 0.5;                    // what 10 m/s of speed does to a pressure height
constexpr double kDriftGnss_m = 0.8;                     // a GNSS height wanders by this times the square root of the seconds
constexpr double kSwing_m = 0.10;                        // the pilot swings under the wing: times seconds^1.3 after lift-off
// Neighbouring errors are alike: the evidence counts for this much. A flare is less like the model than a start is.
constexpr double kWitnessLeaving = 1.0, kWitnessMeeting = 0.5;
// Slower on leaving (meeting) the ground than in the flight beside it, as a share of airspeed: flown braked.
constexpr double kSlowerLeaving = 0.18, kSlowerMeeting = 0.34, kSlowerSpread = 0.07;

constexpr std::size_t kTerms = 6;  // height of the ground, its slope, rush of air, climb, bend, holding off
using ContactRow = std::array<double, kTerms>;

struct ContactSample {
  double t = 0;       // seconds from the guess, into the flight
  double height = 0;  // above that at the guess
  double way = 0;     // along the ground from the guess, into the flight
  double speed = 0;
};

// Log likelihood of z = A x + e with x ~ N(mean, P), e ~ N(0, R diagonal), constants aside: information form.
class ContactEvidence {
 public:
  ContactEvidence(const ContactRow& mean, const ContactRow& spread) : mean_(mean) {
    for (std::size_t i = 0; i < kTerms; ++i) {
      information_[i][i] = 1 / (spread[i] * spread[i]);
      log_ += std::log(spread[i]);
    }
  }
  void add(const ContactRow& row, double value, double variance) {
    double rest = value;
    for (std::size_t i = 0; i < kTerms; ++i) rest -= row[i] * mean_[i];
    for (std::size_t i = 0; i < kTerms; ++i) {
      const double w = row[i] / variance;
      vector_[i] += w * rest;
      for (std::size_t j = 0; j <= i; ++j) information_[i][j] += w * row[j];
    }
    sum2_ += rest * rest / variance;
    log_ += 0.5 * std::log(variance);
  }
  // By Cholesky's decomposition, in place.
  [[nodiscard]] double log_likelihood() {
    double determinant = 0;
    for (std::size_t i = 0; i < kTerms; ++i) {
      for (std::size_t j = 0; j <= i; ++j) {
        double s = information_[i][j];
        for (std::size_t k = 0; k < j; ++k) s -= information_[i][k] * information_[j][k];
        information_[i][j] = i == j ? std::sqrt(s) : s / information_[j][j];
      }
      determinant += std::log(information_[i][i]);
    }
    double explained = 0;
    ContactRow y{};
    for (std::size_t i = 0; i < kTerms; ++i) {
      double s = vector_[i];
      for (std::size_t k = 0; k < i; ++k) s -= information_[i][k] * y[k];
      y[i] = s / information_[i][i];
      explained += y[i] * y[i];
    }
    return -0.5 * (sum2_ - explained) - log_ - determinant;
  }

 private:
  std::array<ContactRow, kTerms> information_{};
  ContactRow vector_{}, mean_;
  double sum2_ = 0, log_ = 0;
};

double contact_speed(const SmoothedFix& f) {
  return std::hypot(f.east_m_s, f.north_m_s);
}

double contact_speed_at(const std::vector<ContactSample>& samples, double t) {
  const auto after =
      std::lower_bound(samples.begin(), samples.end(), t, [](const ContactSample& s, double x) { return s.t < x; });
  if (after == samples.begin()) return samples.front().speed;
  if (after == samples.end()) return samples.back().speed;
  const ContactSample& before = *(after - 1);
  return before.speed + (after->speed - before.speed) * (t - before.t) / (after->t - before.t);
}

}  // namespace

double ContactTimes::quantile_s(double share) const {
  double below = 0;
  for (std::size_t i = 0; i < weight.size(); ++i) {
    if (below + weight[i] >= share && weight[i] > 0)
      return first_s + step_s * (static_cast<double>(i) - 0.5 + (share - below) / weight[i]);
    below += weight[i];
  }
  return first_s + step_s * static_cast<double>(weight.size() - 1);
}

ContactTimes find_contact(const Track& track, const SmoothedTrack& smoothed, std::size_t guess, ContactKind kind,
                          double reach_s) {
  ContactTimes out;
  const bool by_pressure = track.has_pressure;
  if (!(by_pressure || track.has_gnss) || track.interval.si() > kContactSlowest_s || guess >= track.fixes.size()) return out;
  const auto time = [&](std::size_t i) { return duration_between(track.fixes.front().time, track.fixes[i].time).si(); };
  const double into = kind == ContactKind::lift_off ? 1 : -1;  // direction of time into the flight
  const double at = time(guess);
  // The fixes looked at, in order of the time into the flight.
  std::vector<ContactSample> samples;
  {
    const double early = at - (into > 0 ? kGroundBefore_s : kAirAfter_s) - reach_s;
    const double late = at + (into > 0 ? kAirAfter_s : kGroundBefore_s) + reach_s;
    std::size_t i = guess, end = guess;
    while (i > 0 && time(i - 1) >= early && time(i) - time(i - 1) <= kSmoothGap_s) --i;
    while (end + 1 < track.fixes.size() && time(end + 1) <= late && time(end + 1) - time(end) <= kSmoothGap_s) ++end;
    double way = 0, way_guess = 0, height_guess = 0;
    std::size_t before = i;
    for (; i <= end; ++i) {
      const TrackFix& f = track.fixes[i];
      way += 0.5 * (contact_speed(smoothed.fixes[i]) + contact_speed(smoothed.fixes[before])) * (time(i) - time(before));
      before = i;
      if (i == guess)
        way_guess = way, height_guess = by_pressure ? smoothed.fixes[i].pressure.height_m : smoothed.fixes[i].gnss.height_m;
      if (by_pressure ? !f.has_pressure_altitude : !f.has_gnss_height) continue;
      samples.push_back({into * (time(i) - at), by_pressure ? f.pressure_altitude.si() : f.gnss_height.si(), way,
                         contact_speed(smoothed.fixes[i])});
    }
    for (ContactSample& s : samples) s.height -= height_guess, s.way = into * (s.way - way_guess);
    if (into < 0) std::reverse(samples.begin(), samples.end());
  }
  if (samples.size() < 5 || samples.front().t > -track.interval.si() || samples.back().t < 2 * track.interval.si()) return out;

  // The speed in the flight beside it, and how much slower the contact is expected to be.
  double flying = 0, count = 0;
  for (const ContactSample& s : samples)
    if (s.t >= std::min(4.0, samples.back().t) && s.t <= 4.0 + std::max(6.0, track.interval.si())) flying += s.speed, count += 1;
  if (count < 1) flying = samples.back().speed, count = 1;
  flying /= count;
  const double airspeed = flying < 14 ? kTrimUsual_m_s : flying;
  const double slower = airspeed * (kind == ContactKind::lift_off ? kSlowerLeaving : kSlowerMeeting);
  const double slower_sd = std::hypot(airspeed * kSlowerSpread, 0.4 + 0.15 * track.interval.si());

  const double r =
      std::max(by_pressure ? smoothed.pressure.measurement_variance_m2 : smoothed.gnss.measurement_variance_m2, 0.12);
  const bool leaving = kind == ContactKind::lift_off;
  const auto& bends = leaving ? kBendLeaving_s : kBendMeeting_s;
  const ContactRow mean{0, 0, 0, kClimbUsual, 0, leaving ? 0 : kFloat_m};
  const ContactRow spread{
      5, kSlopeSpread, by_pressure ? kRushSpread_m : 0.02, kClimbSpread, kBendSpread, leaving ? 1e-3 : kFloatSpread_m};
  const auto steps = static_cast<std::size_t>(2 * reach_s / kStepContact_s) + 1;
  std::vector<double> logs(steps);
  double best = -1e300;
  for (std::size_t k = 0; k < steps; ++k) {
    const double t0 = -reach_s + kStepContact_s * static_cast<double>(k);
    double sum = 0;
    for (std::size_t s = 0; s < bends.size(); ++s) {
      ContactEvidence evidence(mean, spread);
      for (const ContactSample& z : samples) {
        const double tau = z.t - t0;
        if (tau > kAirAfter_s + 0.5 * track.interval.si() || tau < -kGroundBefore_s) continue;
        const double risen = tau > 0 ? tau - bends[s] * (1 - std::exp(-tau / bends[s])) : 0;
        const double swing = tau > 0 ? kSwing_m * tau * std::sqrt(std::sqrt(tau)) : 0;
        const double drift = by_pressure ? 0 : kDriftGnss_m * kDriftGnss_m * std::abs(tau);
        evidence.add({1, z.way, z.speed * z.speed / 100, risen, tau > 0 ? 0.5 * tau * tau : 0,
                      leaving || tau <= 0 ? 0 : 1 - std::exp(-tau / kFloat_s)},
                     z.height, r + swing * swing + drift);
      }
      const double l = evidence.log_likelihood();
      sum = s == 0 ? l : std::max(sum, l) + std::log1p(std::exp(-std::abs(sum - l)));
    }
    const double off = (flying - contact_speed_at(samples, t0) - slower) / slower_sd;
    logs[k] = (leaving && by_pressure ? kWitnessLeaving : kWitnessMeeting) * sum - 0.5 * off * off;
    best = std::max(best, logs[k]);
  }
  out.step_s = kStepContact_s;
  out.first_s = into > 0 ? at - reach_s : at + reach_s - kStepContact_s * static_cast<double>(steps - 1);
  out.weight.resize(steps);
  double total = 0;
  for (std::size_t k = 0; k < steps; ++k) total += out.weight[k] = std::exp(logs[k] - best);
  for (double& w : out.weight) w /= total;
  if (into < 0) std::reverse(out.weight.begin(), out.weight.end());
  return out;
}

}  // namespace headroom
