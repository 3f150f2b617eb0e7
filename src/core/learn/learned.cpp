#include "core/learn/learned.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/learn/priors.h"

namespace headroom {

namespace {

// The prior's knowledge of the scatter counts as six flights' would: E[s^2] = b / 2 is the square of the prior's middle scatter.
constexpr double kLearnPriorA = 3;
// Standard deviation of the headwind at the start of a run, which a sample does not carry. Own estimate, no source.
constexpr double kLearnHeadwindSd = 0.7;
constexpr double kPlainLiftOff = 8.5, kPlainAcceleration = 1.0;

struct LearnedRow {
  std::string_view words;
  MeasureKind measure;
  bool pilot, logarithm;
  const Prior* prior;
  const Prior* scatter;
};
constexpr std::array<LearnedRow, kLearnedKinds.size()> kLearnedRows{{
    {"trim airspeed", MeasureKind::trim_airspeed, false, false, &prior::trim_airspeed, &prior::trim_scatter},
    {"airspeed in level flight", MeasureKind::level_speed, false, false, &prior::level_speed, &prior::level_scatter},
    {"sink rate", MeasureKind::sink_rate, false, false, &prior::sink_rate, &prior::sink_scatter},
    {"climb rate", MeasureKind::climb_rate, false, false, &prior::climb_rate, &prior::climb_scatter},
    {"run over the plain rule", MeasureKind::room_used, true, true, &prior::plain_run_factor, &prior::plain_run_scatter},
    {"roughness flown", MeasureKind::roughness, true, true, &prior::roughness, &prior::roughness_scatter},
}};
const LearnedRow& learned_row(LearnedKind kind) {
  return kLearnedRows[static_cast<std::size_t>(kind)];
}

Eigen::VectorXd learn_one() {
  return Eigen::VectorXd::Ones(1);
}
// Half the width from 5 to 95 % of the middle.
double learn_half_width(const NormalInverseGamma& g) {
  const auto t = g.line_at(learn_one());
  return t.quantile(0.95) - t.location;
}
Amount learn_amount(const StudentT& t, LearnedKind kind, double scale, Basis basis) {
  const auto show = [&](double p) {
    const double q = p == 0.5 ? t.location : t.quantile(p);
    return learned_row(kind).logarithm ? scale * std::exp(q) : q;
  };
  return {learned_row(kind).prior->dimension, show(0.05), show(0.5), show(0.95), basis, {}};
}

struct LearnPrior {
  NormalInverseGamma gamma;
  Amount shown;
};
Result<LearnPrior> learn_prior(const State& state, LearnedKind kind) {
  const auto& row = learned_row(kind);
  const auto own = [&](const Prior& p) { return prior_amount(p, state.setting("prior." + std::string(p.key))); };
  const Amount middle = own(*row.prior), scatter = own(*row.scatter);
  if (!(middle.low < middle.high && scatter.mid > 0 && (!row.logarithm || middle.low > 0)))
    return fail(ErrorKind::out_of_range, "what is thought likely before the first flight needs a width, and values above zero",
                "prior." + std::string(row.prior->key));
  const auto y = [&](double v) { return row.logarithm ? std::log(v) : v; };
  const double half = (y(middle.high) - y(middle.low)) / 2, b = (kLearnPriorA - 1) * scatter.mid * scatter.mid;
  // The precision that makes the 5 to 95 % of the middle as wide as the prior's.
  const double t95 = StudentT{2 * kLearnPriorA, 0, 1}.quantile(0.95);
  auto gamma =
      make_normal_inverse_gamma(Eigen::VectorXd::Constant(1, y(middle.mid)),
                                Eigen::MatrixXd::Constant(1, 1, b / kLearnPriorA * t95 * t95 / (half * half)), kLearnPriorA, b);
  if (!gamma) return tl::unexpected(gamma.error());
  return LearnPrior{std::move(*gamma), middle};
}

// All observations at once: what `updated` gives one by one, in the closed form of a single constant.
NormalInverseGamma learn_weighted(const NormalInverseGamma& start, const std::vector<LearnedObservation>& all,
                                  const std::vector<double>& weight) {
  double sum = 0, sum_y = 0, known = 0;
  for (std::size_t k = 0; k < all.size(); ++k) {
    sum += weight[k];
    sum_y += weight[k] * all[k].y;
    known += std::min(weight[k], 1.0);
  }
  if (sum == 0) return start;
  const double middle = sum_y / sum, before = start.precision(0, 0), miss = middle - start.mean(0);
  double square = before * sum / (before + sum) * miss * miss;
  for (std::size_t k = 0; k < all.size(); ++k) square += weight[k] * (all[k].y - middle) * (all[k].y - middle);
  NormalInverseGamma after = start;
  after.precision(0, 0) = before + sum;
  after.mean(0) = start.mean(0) + miss * sum / (before + sum);
  after.a += known / 2;
  after.b += square / 2;
  return after;
}
double learn_median(const std::vector<LearnedObservation>& all) {
  std::vector<double> y;
  for (const auto& o : all) y.push_back(o.y);
  std::sort(y.begin(), y.end());
  return (y[y.size() / 2] + y[(y.size() - 1) / 2]) / 2;
}

// 5, 50 and 95 % of a sample as learning takes it: the standard value where there is one, except for a run.
bool learn_standard(const MeasureSample& s) {
  return s.has_standard && s.kind != MeasureKind::room_used;
}
std::array<double, 3> learn_taken(const MeasureSample& s) {
  const auto of = [](float low, float mid, float high) {
    return std::array{static_cast<double>(low), static_cast<double>(mid), static_cast<double>(high)};
  };
  return learn_standard(s) ? of(s.standard_low, s.standard_mid, s.standard_high) : of(s.low, s.mid, s.high);
}

}  // namespace

std::string_view learned_key(LearnedKind kind) {
  return learned_row(kind).prior->key;
}
std::string_view learned_words(LearnedKind kind) {
  return learned_row(kind).words;
}
MeasureKind measure_of(LearnedKind kind) {
  return learned_row(kind).measure;
}
std::optional<LearnedKind> learned_of(MeasureKind kind) {
  for (const auto k : kLearnedKinds)
    if (measure_of(k) == kind) return k;
  return std::nullopt;
}
bool of_pilot(LearnedKind kind) {
  return learned_row(kind).pilot;
}

Result<Length> plain_run(double density_ratio, Speed headwind) {
  const double wind = headwind.si();
  const double v = kPlainLiftOff / std::sqrt(density_ratio) - wind;
  if (!(density_ratio >= 0.5 && density_ratio <= 1.3 && wind >= -5 && wind <= 7 && v >= 1.5))
    return fail(ErrorKind::out_of_range,
                "the plain run needs a density ratio of 0.5 to 1.3, a headwind of -5 to 7 m/s and 1.5 m/s left to run");
  return metres(v * v / (2 * kPlainAcceleration));
}

Result<LearnedObservation> observation_of(const MeasureSample& s) {
  const auto kind = learned_of(s.kind);
  if (!kind) return fail(ErrorKind::refused, "nothing is learned from this measure");
  if (!s.learnable) return fail(ErrorKind::refused, "this measure was not good enough to learn from");
  const bool room = s.kind == MeasureKind::room_used;
  const auto [low, mid, high] = learn_taken(s);
  const bool logarithm = learned_row(*kind).logarithm;
  if (!(std::isfinite(low) && std::isfinite(high) && low <= mid && mid <= high && (!logarithm || low > 0)))
    return fail(ErrorKind::out_of_range, "this measure is out of order or not above zero");
  if (!logarithm) return LearnedObservation{mid, (high - low) / (2 * kNormal95), 1};
  LearnedObservation out{std::log(mid), std::log(high / low) / (2 * kNormal95), 1};
  if (!room) return out;
  const double density = static_cast<double>(s.density_ratio), headwind = static_cast<double>(s.headwind_m_s);
  if (density == 0 || headwind == 0) return fail(ErrorKind::out_of_range, "density or headwind of this run is not known");
  const auto plain = plain_run(density, metres_per_second(headwind));
  if (!plain) return tl::unexpected(plain.error());
  out.scale = plain->si();
  out.y -= std::log(out.scale);
  // d ln(v^2) / d headwind = 2 / v
  out.error_sd = std::hypot(out.error_sd, 2 * kLearnHeadwindSd / std::sqrt(2 * kPlainAcceleration * out.scale));
  return out;
}

Result<NormalInverseGamma> learn_constant(const NormalInverseGamma& start, const std::vector<LearnedObservation>& all) {
  if (start.mean.size() != 1 || !(start.a > 1))
    return fail(ErrorKind::out_of_range, "a learned figure starts from one mean and an expected scatter");
  for (const auto& o : all)
    if (!(std::isfinite(o.y) && std::isfinite(o.error_sd) && o.error_sd >= 0))
      return fail(ErrorKind::out_of_range, "an observation needs a finite value and error");
  const double s2 = start.scatter_variance();
  std::vector<double> weight(all.size());
  const auto weigh = [&](double middle, double middle_variance, double scatter2) {
    for (std::size_t k = 0; k < all.size(); ++k) {
      const double e2 = all[k].error_sd * all[k].error_sd, miss = all[k].y - middle;
      const double z = std::abs(miss) / std::sqrt(scatter2 + e2 + middle_variance);
      weight[k] = s2 / (s2 + e2) * (z > kFullWeight ? kFullWeight * kFullWeight / (z * z) : 1);
    }
  };
  // One or two cannot tell which of them is odd: they are held against the start. From three on, against their own middle, with
  // no more than four times the expected variance credited, lest an outlier widens the scatter until it fits.
  const double start_variance = s2 / start.precision(0, 0);
  if (all.size() < 3) {
    weigh(start.mean(0), start_variance, s2);
    return learn_weighted(start, all, weight);
  }
  weigh(learn_median(all), 0, s2);
  auto g = learn_weighted(start, all, weight);
  for (int k = 0; k < 25; ++k) {
    const double scatter2 = std::min(g.scatter_variance(), 4 * s2), middle = g.mean(0);
    weigh(middle, scatter2 / g.precision(0, 0), scatter2);
    g = learn_weighted(start, all, weight);
    if (std::abs(g.mean(0) - middle) < 1e-13 * std::sqrt(s2)) break;
  }
  return g;
}

NormalInverseGamma new_regime(const NormalInverseGamma& old, const NormalInverseGamma& prior) {
  const double now = learn_half_width(old);
  const double wide = std::min(kRegimeSpread * now, std::max(now, learn_half_width(prior)));
  NormalInverseGamma out = old;
  out.precision *= now * now / (wide * wide);
  return out;
}

namespace {

struct LearnRegime {
  Configuration configuration;
  NormalInverseGamma start;
  std::vector<LearnedObservation> observations;
  std::vector<EntryId> from;
};
// Every regime of the figure in the order in which it was first flown, and the one of `now` (made if it is new).
struct LearnChain {
  std::vector<LearnRegime> regimes;
  std::size_t at = 0;
};

struct LearnFlight {
  LearnedObservation observation;
  Configuration configuration;
  EntryId id;
};

Result<LearnChain> learn_chain(const std::vector<LearnFlight>& flights, const Configuration& now,
                               const NormalInverseGamma& prior) {
  LearnChain chain;
  const auto go_to = [&](const Configuration& c) -> Result<bool> {
    const auto found =
        std::find_if(chain.regimes.begin(), chain.regimes.end(), [&](const LearnRegime& r) { return r.configuration == c; });
    if (found != chain.regimes.end()) {
      chain.at = static_cast<std::size_t>(found - chain.regimes.begin());
      return true;
    }
    NormalInverseGamma start = prior;
    if (!chain.regimes.empty()) {
      const auto& old = chain.regimes[chain.at];
      const auto learned = learn_constant(old.start, old.observations);
      if (!learned) return tl::unexpected(learned.error());
      start = new_regime(*learned, prior);
    }
    chain.regimes.push_back({c, std::move(start), {}, {}});
    chain.at = chain.regimes.size() - 1;
    return true;
  };
  for (const auto& f : flights) {
    if (const auto went = go_to(f.configuration); !went) return tl::unexpected(went.error());
    chain.regimes[chain.at].observations.push_back(f.observation);
    chain.regimes[chain.at].from.push_back(f.id);
  }
  if (const auto went = go_to(now); !went) return tl::unexpected(went.error());
  return chain;
}

// The flights numbered below `end` that the figure of this machine or pilot can be learned from.
std::vector<LearnFlight> learn_flights(const State& state, LearnedKind kind, const EntryId& subject, std::size_t end) {
  std::vector<LearnFlight> out;
  for (const auto& s : state.measures) {
    if (s.kind != measure_of(kind) || s.flight >= end || s.flight >= state.flights.size()) continue;
    const auto& f = state.flights[s.flight];
    if (!f.counts || (of_pilot(kind) ? f.pilot : f.machine) != subject) continue;
    if (auto o = observation_of(s)) out.push_back({*o, configuration(state, kind, f.machine, f.launch), f.id});
  }
  return out;
}

Result<Learned> learn_figure(const State& state, LearnedKind kind, const EntryId& subject, const Configuration& now,
                             std::size_t end) {
  const auto prior = learn_prior(state, kind);
  if (!prior) return tl::unexpected(prior.error());
  auto flights = learn_flights(state, kind, subject, end);
  struct Told {
    Amount value;
    LearnRegime regime;
    NormalInverseGamma posterior;
  };
  const auto tell = [&]() -> Result<Told> {
    auto chain = learn_chain(flights, now, prior->gamma);
    if (!chain) return tl::unexpected(chain.error());
    auto& regime = chain->regimes[chain->at];
    auto posterior = learn_constant(regime.start, regime.observations);
    if (!posterior) return tl::unexpected(posterior.error());
    const int n = static_cast<int>(regime.from.size());
    Amount value =
        flights.empty() ? prior->shown : learn_amount(posterior->line_at(learn_one()), kind, 1, n ? learned_from(n) : assumed());
    if (n == 0 && !flights.empty()) value.note = "from the configuration before, with more spread";
    return Told{std::move(value), std::move(regime), std::move(*posterior)};
  };
  auto told = tell();
  if (!told) return tl::unexpected(told.error());
  Learned out;
  out.kind = kind;
  out.subject = subject;
  out.configuration = now;
  out.value = std::move(told->value);
  out.next = learn_amount(told->posterior.next_at(learn_one()), kind, 1, out.value.basis);
  out.from = std::move(told->regime.from);
  out.n = static_cast<int>(out.from.size());
  out.n_before = static_cast<int>(flights.size()) - out.n;
  out.posterior = std::move(told->posterior);
  if (out.n > 0) {
    const auto newest =
        std::find_if(flights.rbegin(), flights.rend(), [&](const LearnFlight& f) { return f.id == out.from.back(); });
    flights.erase(std::next(newest).base());
    auto without = tell();
    if (!without) return tl::unexpected(without.error());
    out.without_newest = std::move(without->value);
  }
  return out;
}

}  // namespace

Result<Learned> learned_now(const State& state, LearnedKind kind, const EntryId& machine, const EntryId& pilot) {
  return learn_figure(state, kind, of_pilot(kind) ? pilot : machine, configuration(state, kind, machine, UtcTime::max()),
                      state.flights.size());
}

Result<Learned> learned_before(const State& state, LearnedKind kind, std::size_t flight) {
  if (flight >= state.flights.size()) return fail(ErrorKind::not_found, "there is no such flight in the book");
  const auto& f = state.flights[flight];
  return learn_figure(state, kind, of_pilot(kind) ? f.pilot : f.machine, configuration(state, kind, f.machine, f.launch), flight);
}

Result<Unusual> how_unusual(const MeasureSample& sample, const Learned& without) {
  if (learned_of(sample.kind) != without.kind) return fail(ErrorKind::bad_input, "this sample is of another figure");
  const auto o = observation_of(sample);
  if (!o) return tl::unexpected(o.error());
  auto expected = without.posterior.next_at(learn_one());
  expected.scale = std::hypot(expected.scale, o->error_sd);
  Unusual out;
  out.usual = learn_amount(expected, without.kind, o->scale, without.value.basis);
  out.usual.dimension = measure_dimension(sample.kind);
  const auto [low, mid, high] = learn_taken(sample);
  out.today = {out.usual.dimension, low, mid, high, measured(), {}};
  if (learn_standard(sample)) out.today.note = "at standard conditions";
  out.n = without.n;
  out.enough = out.n >= kUsualNeeds;
  if (!out.enough) {
    out.why = "needs " + std::to_string(kUsualNeeds) + " earlier flights in this configuration, there " +
              (out.n == 1 ? "is " : "are ") + std::to_string(out.n);
    return out;
  }
  out.chance = expected.at_least_as_far(o->y);
  out.unusual = out.chance < kUnusualChance;
  return out;
}

Result<std::vector<UsualOfMeasure>> usual_of_flight(const State& state, const EntryId& flight) {
  const auto at = [&](const EntryId& id) {
    return std::find_if(state.flights.begin(), state.flights.end(), [&](const FlightState& f) { return f.id == id; });
  };
  auto found = at(flight);
  if (found != state.flights.end() && !found->counts) found = at(found->same_as);
  if (found == state.flights.end()) return fail(ErrorKind::not_found, "there is no such flight in the book", flight.text());
  const auto number = static_cast<std::size_t>(found - state.flights.begin());
  std::vector<UsualOfMeasure> out;
  const auto first = std::lower_bound(state.measures.begin(), state.measures.end(), number,
                                      [](const MeasureSample& s, std::size_t n) { return s.flight < n; });
  for (auto s = first; s != state.measures.end() && s->flight == number; ++s) {
    UsualOfMeasure u;
    u.measure = s->kind;
    if (const auto kind = learned_of(s->kind)) {
      auto learned = learned_before(state, *kind, number);
      if (learned) {
        auto answer = how_unusual(*s, *learned);
        if (answer)
          u.answer = std::move(*answer);
        else
          u.why_not = answer.error().what;
        u.learned = std::move(*learned);
      } else {
        u.why_not = learned.error().what;
      }
    } else {
      u.why_not = "nothing is learned from this measure";
    }
    out.push_back(std::move(u));
  }
  return out;
}

}  // namespace headroom
