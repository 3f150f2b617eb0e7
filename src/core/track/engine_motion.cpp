// What the motion alone tells of the power: a Markov-switching autoregression over levels of energy put in, and the launch.
// Sources: Hamilton, Econometrica 57 (1989) 357-384 (switching autoregression); Rabiner, Proc. IEEE 77 (1989) 257-286.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "core/track/engine_parts.h"

namespace headroom::engine_parts {
namespace {

constexpr std::size_t kLevels = 8;
using Row = std::array<float, kLevels>;

constexpr double kPi = std::numbers::pi;
constexpr double kShortestAirTime_s = 5, kLongestAirTime_s = 40, kLeastSpread_m_s = 0.2;
constexpr double kAirTime_s = 25;        // correlation of what no level explains: the air, and thrust between two levels
constexpr double kGlideDwell_s = 60;     // mean times; common practice, no source
constexpr double kPowerDwell_s = 150;    // until the throttle is closed
constexpr double kThrottleDwell_s = 30;  // at one setting
constexpr float kStudent = 1.0F / 3;     // 3 degrees of freedom: density ~ (1 + z^2 / 3)^-2

// What no level explains: the air's own motion, thrust between two levels, errors of height.
struct Residual {
  double variance = 0.5, time_s = kAirTime_s;
};

struct Model {
  Row level{};  // energy put in, m/s; 0 is idle or off
  std::array<Row, kLevels> stay{};
  std::array<Row, kLevels> back{};  // stay, turned round: [to][from]
  float rho = 0, scale = 0, scale_alone = 0;
  double built_for = -1;

  Model(double sink) {
    const auto s = static_cast<float>(sink);
    level = {0.0F, 0.35F * s, 0.68F * s, s, s + 0.65F, s + 1.3F, s + 2.1F, s + 3.1F};
  }
  // Transition over dt seconds. From any power the throttle may be closed; from the glide most often to level or climb.
  void build(double dt, const Residual& residual) {
    if (std::abs(dt - built_for) < 1e-3) return;
    built_for = dt;
    const double close = -std::expm1(-dt / kPowerDwell_s), open = -std::expm1(-dt / kGlideDwell_s),
                 change = -std::expm1(-dt / kThrottleDwell_s);
    constexpr Row opened = {0, 0.03F, 0.05F, 0.22F, 0.22F, 0.20F, 0.16F, 0.12F};
    for (std::size_t a = 0; a < kLevels; ++a) {
      if (a == 0) {
        for (std::size_t b = 1; b < kLevels; ++b) stay[a][b] = static_cast<float>(open) * opened[b];
        stay[a][0] = static_cast<float>(1 - open);
        continue;
      }
      double sum = 0;
      std::array<double, kLevels> w{};
      for (std::size_t b = 1; b < kLevels; ++b)
        if (b != a) sum += w[b] = (b + 1 == a || a + 1 == b) ? 1.0 : 0.35;
      for (std::size_t b = 1; b < kLevels; ++b)
        stay[a][b] = static_cast<float>((1 - close) * (b == a ? 1 - change : change * w[b] / sum));
      stay[a][0] = static_cast<float>(close);
    }
    const double r = std::exp(-dt / residual.time_s);
    rho = static_cast<float>(r);
    scale = kStudent / static_cast<float>(residual.variance * (1 - r * r));
    scale_alone = kStudent / static_cast<float>(residual.variance);
    for (std::size_t a = 0; a < kLevels; ++a)
      for (std::size_t b = 0; b < kLevels; ++b) back[b][a] = stay[a][b];
  }
};

float at_least_tiny(float x) {
  return std::max(x, 1e-30F);
}

// Forward pass with moments of the time of gain, and backward pass for probabilities.
class Chain {
 public:
  Chain(const EnergySeries& energy, double sink, const Residual& residual, bool launched, bool powered)
      : energy_(energy),
        model_(sink),
        sink_(static_cast<float>(sink)),
        residual_(residual),
        launched_(launched),
        powered_(powered) {}

  struct Moments {
    double mean = 0, sd = 0;
  };

  // `keep`: filtered rows, one a step, or nullptr.
  Moments forward(std::vector<Row>* keep) {
    Row p = first(), m1{}, m2{};  // p times the time of gain so far less `reference`, and of its square
    double reference = 0;
    bool before = false;
    for (const EnergyStep& e : energy_.steps) {
      reference += advance(e, before, p, m1, m2);
      if (keep) keep->push_back(p);
      previous_ = value(e), before = e.known;
    }
    const Row end = last();
    double w = 0, s1 = 0, s2 = 0;
    for (std::size_t a = 0; a < kLevels; ++a) {
      w += static_cast<double>(p[a] * end[a]);
      s1 += static_cast<double>(end[a] * m1[a]), s2 += static_cast<double>(end[a] * m2[a]);
    }
    if (!(w > 0)) return {};
    return {reference + s1 / w, std::sqrt(std::max(0.0, s2 / w - (s1 / w) * (s1 / w)))};
  }

  // Turns filtered rows into probabilities of gain; returns the mean sink seen in the glide with its weight in seconds.
  void backward(std::vector<Row>& rows, std::vector<float>& gain, double& glide_sink, double& glide_s, double& glide_sq) {
    Row beta = last();
    const std::size_t n = rows.size();
    gain.assign(n, 0.0F);
    glide_sink = glide_s = glide_sq = 0;
    for (std::size_t k = n; k-- > 0;) {
      const EnergyStep& e = energy_.steps[k];
      float sum = 0, glide = 0;
      for (std::size_t a = 0; a < kLevels; ++a) {
        const float x = rows[k][a] * beta[a];
        sum += x;
        if (a == 0) glide = x;
      }
      const float p0 = sum > 0 ? glide / sum : 0.5F;
      gain[k] = 1 - p0;
      if (e.known && p0 > 0.5F) {
        const double w = static_cast<double>(p0 * e.dt_s), s = -static_cast<double>(e.rate_m_s / e.polar);
        glide_s += w, glide_sink += w * s, glide_sq += w * s * s;
      }
      if (k == 0) break;
      // beta before: sum over b of transition * density * beta.
      model_.build(static_cast<double>(e.dt_s), residual_);
      const EnergyStep& was = energy_.steps[k - 1];
      const Likelihood like = likelihood(e, was.known, value(was));
      Row next{};
      for (std::size_t b = 0; b < kLevels; ++b)
        for (std::size_t a = 0; a < kLevels; ++a) {
          const float u = like.at - model_.level[b] + like.rho * model_.level[a], z = 1 + u * u * like.scale;
          next[a] += model_.back[b][a] * beta[b] / (z * z);
        }
      float most = 0;
      for (const float x : next) most = std::max(most, x);
      most = at_least_tiny(most);
      for (std::size_t a = 0; a < kLevels; ++a) beta[a] = next[a] / most;
    }
    if (glide_s > 0) glide_sink /= glide_s, glide_sq = std::max(0.0, glide_sq / glide_s - glide_sink * glide_sink);
  }

 private:
  [[nodiscard]] Row first() const {
    if (!launched_) return {0.3F, 0.05F, 0.1F, 0.25F, 0.1F, 0.1F, 0.05F, 0.05F};
    if (powered_) return {0.02F, 0.01F, 0.02F, 0.05F, 0.2F, 0.25F, 0.25F, 0.2F};
    return {0.5F, 0.05F, 0.05F, 0.1F, 0.1F, 0.1F, 0.05F, 0.05F};
  }
  // On final approach the throttle is closed or nearly so.
  [[nodiscard]] Row last() const {
    if (!powered_) return {1, 1, 1, 1, 1, 1, 1, 1};
    return {1, 0.2F, 0.1F, 0.05F, 0.02F, 0.01F, 0.01F, 0.01F};
  }
  [[nodiscard]] float value(const EnergyStep& e) const { return e.rate_m_s + sink_ * e.polar; }
  // The innovation is at - level[b] + rho level[a]; its density 1 / (1 + scale u^2)^2.
  struct Likelihood {
    float at, rho, scale;
  };
  [[nodiscard]] Likelihood likelihood(const EnergyStep& e, bool before, float was) const {
    if (!e.known) return {0, 0, 0};
    // Without a step before, the whole spread and not that of the innovation.
    if (!before) return {value(e), 0, model_.scale_alone};
    return {value(e) - model_.rho * was, model_.rho, model_.scale};
  }
  // One step on; returns by how much the reference of the moments moves.
  double advance(const EnergyStep& e, bool before, Row& p, Row& m1, Row& m2) {
    model_.build(static_cast<double>(e.dt_s), residual_);
    const Likelihood like = likelihood(e, before, previous_);
    Row n0{}, n1{}, n2{};
    for (std::size_t a = 0; a < kLevels; ++a) {
      Row w;
      const float from = like.at + like.rho * model_.level[a];
      for (std::size_t b = 0; b < kLevels; ++b) {
        const float u = from - model_.level[b], z = 1 + u * u * like.scale;
        w[b] = model_.stay[a][b] / (z * z);
      }
      for (std::size_t b = 0; b < kLevels; ++b) {
        n0[b] += w[b] * p[a];
        n1[b] += w[b] * m1[a];
        n2[b] += w[b] * m2[a];
      }
    }
    const float dt = e.dt_s;
    float sum = 0, mean = 0;
    for (std::size_t b = 0; b < kLevels; ++b) {
      if (b > 0) {  // powered during this step
        n2[b] += 2 * dt * n1[b] + dt * dt * n0[b];
        n1[b] += dt * n0[b];
      }
      sum += n0[b], mean += n1[b];
    }
    sum = at_least_tiny(sum);
    mean /= sum;
    for (std::size_t b = 0; b < kLevels; ++b) {
      p[b] = n0[b] / sum;
      // Moments about a reference that moves with their mean: no large numbers that cancel.
      m2[b] = n2[b] / sum - 2 * mean * n1[b] / sum + mean * mean * p[b];
      m1[b] = n1[b] / sum - mean * p[b];
    }
    return static_cast<double>(mean);
  }

  const EnergySeries& energy_;
  Model model_;
  float sink_;
  Residual residual_;
  bool launched_, powered_;
  float previous_ = 0;
};

// Spread and correlation time of what no level explains, from differences one and four steps apart: for an autoregression of
// variance s^2 and correlation r they have variance 2 s^2 (1 - r^n). Robust, so that throttle cuts do not count.
Residual residual_of(const EnergySeries& energy) {
  std::vector<float> one, four, steps;
  one.reserve(energy.steps.size()), four.reserve(energy.steps.size()), steps.reserve(energy.steps.size());
  const auto& s = energy.steps;
  for (std::size_t k = 1; k < s.size(); ++k) {
    if (s[k].known && s[k - 1].known) one.push_back(std::abs(s[k].rate_m_s - s[k - 1].rate_m_s)), steps.push_back(s[k].dt_s);
    if (k >= 4 && s[k].known && s[k - 4].known) four.push_back(std::abs(s[k].rate_m_s - s[k - 4].rate_m_s));
  }
  Residual out;
  if (one.size() < 8 || four.size() < 8) return out;
  const auto variance = [](std::vector<float>& d) {
    const auto middle = d.begin() + static_cast<std::ptrdiff_t>(d.size() / 2);
    std::nth_element(d.begin(), middle, d.end());
    const double sd = 1.4826 * static_cast<double>(*middle);
    return std::max(sd * sd, 1e-6);
  };
  const double d1 = variance(one), ratio = variance(four) / d1;
  double low = 0, high = 0.95;  // 1 + r + r^2 + r^3 = ratio
  for (int i = 0; i < 20; ++i) {
    const double r = 0.5 * (low + high);
    (1 + r + r * r + r * r * r < ratio ? low : high) = r;
  }
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  const auto dt = static_cast<double>(*middle);
  out.time_s = std::clamp(-dt / std::log(std::max(low, 1e-3)), kShortestAirTime_s, kLongestAirTime_s);
  const double r = std::exp(-dt / out.time_s);
  out.variance = std::clamp(d1 / (2 * (1 - r)), kLeastSpread_m_s * kLeastSpread_m_s, 4.0);
  return out;
}

}  // namespace

SinkPrior sink_prior(const EnergySeries& energy, AircraftKnown aircraft) {
  if (aircraft == AircraftKnown::unknown && energy.airspeed_m_s >= kFastAircraft_m_s) return {0.9, 0.3};
  return {1.6, 0.3};
}

GainSolution find_gain(const EnergySeries& energy, SinkPrior prior, bool launched, bool powered) {
  GainSolution out;
  const Residual residual = residual_of(energy);
  double sink = prior.mean, sd = prior.sd;
  std::vector<Row> rows;
  rows.reserve(energy.steps.size());
  for (int round = 0; round < 2; ++round) {
    Chain chain(energy, sink, residual, launched, powered);
    rows.clear();
    const auto m = chain.forward(&rows);
    out.seconds_mean = m.mean, out.seconds_sd = m.sd;
    double seen = 0, seconds = 0, spread = 0;
    chain.backward(rows, out.gain, seen, seconds, spread);
    if (round == 1) break;
    // Witnesses are worth one for every two correlation times.
    const double weight = std::min(25.0, seconds / (2 * kAirTime_s) / (spread + 0.1)), w0 = 1 / (prior.sd * prior.sd);
    // What cannot be a glide must not become one by being learned: level flight in rising air.
    seen = std::clamp(seen, prior.mean - 2 * prior.sd, prior.mean + 3 * prior.sd);
    sink = (prior.mean * w0 + seen * weight) / (w0 + weight);
    sd = 1 / std::sqrt(w0 + weight);
  }
  out.roughness_m_s = std::sqrt(residual.variance);
  // The sink is not known exactly: what one standard deviation of it does to the answer.
  const auto up = Chain(energy, sink + sd, residual, launched, powered).forward(nullptr);
  const auto down = Chain(energy, std::max(0.3, sink - sd), residual, launched, powered).forward(nullptr);
  const double half = 0.5 * (up.mean - down.mean);
  out.seconds_sd = std::sqrt(out.seconds_sd * out.seconds_sd + half * half);
  return out;
}

Pull find_pull(const EnergySeries& energy, const FoundFlight& flight) {
  Pull out;
  if (flight.begins_in_air || energy.airspeed_m_s < kFastAircraft_m_s) return out;
  const auto& s = energy.steps;
  // Mean rate over the next `seconds` from step k.
  const auto ahead = [&](std::size_t k, double seconds) {
    double t = 0, sum = 0;
    for (; k < s.size() && t < seconds; ++k) {
      if (!s[k].known) continue;
      t += static_cast<double>(s[k].dt_s);
      sum += static_cast<double>(s[k].dt_s * s[k].rate_m_s);
    }
    return t > 0 ? sum / t : 0.0;
  };
  std::size_t k = 0;
  double circled = 0, gained = 0, seconds = 0;
  double circling_s = 0;
  std::size_t circle_from = 0;
  for (; k < s.size(); ++k) {
    if (!s[k].known) break;
    const double rate = seconds > 0 ? gained / seconds : 2.0;
    if (seconds >= 12 && ahead(k, 24) < std::max(0.3, 0.2 * rate)) break;
    // Round and round in a thermal: steeper than behind a tug, a full circle of it; or twice round.
    const double turn = static_cast<double>(s[k].turn_rad_s) * static_cast<double>(s[k].dt_s);
    if (std::abs(s[k].turn_rad_s) > 0.09F && (circled == 0 || (circled > 0) == (turn > 0))) {
      if (circled == 0) circle_from = k, circling_s = 0;
      circled += turn;
      circling_s += static_cast<double>(s[k].dt_s);
    } else {
      circled = 0;
    }
    const double turned = std::abs(circled);
    if (turned > 4 * kPi || (turned > 2 * kPi && turned / circling_s > 0.17)) {
      k = circle_from;
      break;
    }
    gained += static_cast<double>(s[k].dt_s * s[k].rate_m_s);
    seconds += static_cast<double>(s[k].dt_s);
  }
  gained = seconds = 0;
  for (std::size_t i = 0; i < k; ++i) {
    gained += static_cast<double>(s[i].dt_s * s[i].rate_m_s);
    seconds += static_cast<double>(s[i].dt_s);
  }
  if (gained < 60 || seconds <= 0 || gained / seconds < 0.7) return out;
  out.end = k, out.seconds = seconds, out.rate_m_s = gained / seconds;
  out.winch = out.rate_m_s > 5.5 && seconds <= 100;
  return out;
}

}  // namespace headroom::engine_parts
