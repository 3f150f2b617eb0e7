#include <algorithm>
#include <cmath>

#include "core/learn/learned.h"
#include "core/learn/priors.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/draws.h"
#include "core/planning/forecast_words.h"
#include "core/typed.h"

namespace headroom {
namespace {

Margin wind_margin(std::string id, std::string title) {
  Margin m;
  m.kind = MarginKind::wind;
  m.id = std::move(id);
  m.title = std::move(title);
  return m;
}

// A limit of the owner's, or the assumed one where none was entered or somebody else flies.
Amount limit_of(const DayPlan& plan, const MachineFigure& own, const Prior& otherwise, bool& assumed_limit) {
  const auto value = plan.day.borrower ? std::nullopt : figure_of(plan.state, own);
  assumed_limit = !value;
  if (value) return exact_amount(Dimension::speed, *value);
  return prior_of(plan.state, otherwise);
}

// Left = limit less what blows, on the shared draws.
void set_against(Margin& m, const Amount& limit, const Amount& blows) {
  std::vector<double> left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(limit, Factor::rating, i) - draw(blows, Factor::wind, i);
  m.have = limit;
  m.need = blows;
  m.chance_short = share_below_zero(left);
  m.left = from_draws(left, Dimension::speed, limit.basis.kind == BasisKind::assumed ? assumed() : measured());
  m.state = margin_state(m.kind, m.chance_short, m.left.mid < 0, false, m.assumed);
}

void say_unknown(Margin& m, const char* why) {
  m.have = m.need = m.left = unknown_amount(Dimension::speed, why);
  m.state = MarginState::unknown;
}

// One forecast wind against both limits.
struct WindAgainst {
  const ForecastWind* wind = nullptr;
  std::vector<char> is_short;  // by draw, of either limit
  double share = 0;            // of the draws that are short of the limit that binds
  bool by_gust = false;
  Amount need, left;
};

WindAgainst against_limits(const ForecastWind& wind, const Amount& limit, const Amount& gust_limit) {
  WindAgainst out;
  out.wind = &wind;
  out.is_short.assign(kDraws, 0);
  const Amount mean = amount(wind.mean);
  Amount above = mean;
  if (wind.gust) {
    const double mid = std::max(0.0, (wind.gust->mid - wind.mean.mid).si()), half = (wind.gust->high - wind.gust->mid).si();
    above = {Dimension::speed, std::max(0.0, mid - half), mid, mid + half, wind.gust->basis, {}};
  }
  std::vector<double> left(kDraws), gust_left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) {
    left[i] = draw(limit, Factor::rating, i) - draw(mean, Factor::wind, i);
    gust_left[i] = wind.gust ? draw(gust_limit, Factor::rating, i) - draw(above, Factor::wind, i) : left[i];
    out.is_short[i] = left[i] < 0 || gust_left[i] < 0 ? 1 : 0;
  }
  const double by_mean = share_below_zero(left), by_gust = share_below_zero(gust_left);
  const Amount mean_left = from_draws(left, Dimension::speed, assumed());
  out.left = from_draws(gust_left, Dimension::speed, assumed());
  out.by_gust = wind.gust && (by_gust > by_mean || (by_gust == by_mean && out.left.mid < mean_left.mid));
  out.share = out.by_gust ? by_gust : by_mean;
  out.need = out.by_gust ? above : mean;
  if (!out.by_gust) out.left = mean_left;
  return out;
}

// The chance that a flight that lands before `landing` is short by any of the winds: what prevails counts in full, what may come
// on top by its chance, each apart from the others.
double chance_of_any(const std::vector<WindAgainst>& winds, UtcTime landing) {
  double sum = 0;
  for (std::size_t i = 0; i < kDraws; ++i) {
    AnyOf any;
    for (const WindAgainst& w : winds)
      if (w.is_short[i] != 0 && w.wind->group.from < landing) any.add(w.wind->group.chance);
    sum += any.chance();
  }
  return sum / static_cast<double>(kDraws);
}

Sentence words_of(const WindAgainst& w, const std::string& source) {
  std::string text = source.empty() ? "\"{0}\" ({1}): {2}" : "{3}: \"{0}\" ({1}): {2}";
  std::vector<Sentence::Part> parts{w.wind->group.text, firmness_words(w.wind->group), amount(w.wind->mean), source};
  const auto more = [&](const char* words, const Amount& figure) {
    text += words + std::string("{") + std::to_string(parts.size()) + "}";
    parts.emplace_back(figure);
  };
  if (w.wind->from) more(" from ", exact_amount(Dimension::angle, w.wind->from->radians()));
  if (w.wind->gust) more(", gusts of ", amount(*w.wind->gust));
  if (w.by_gust) more(", above the mean by ", w.need);
  return {text + ".", std::move(parts)};
}

// The strongest wind and gusts that a forecast brings while one is in the air. Without a forecast there is no such margin: the
// wind of the launch is then all that is known, and its own margins say whose it is.
void add_wind_forecast(std::vector<Margin>& out, const DayPlan& plan) {
  if (!plan.day.forecast) return;
  const DayForecast& f = *plan.day.forecast;
  auto m = wind_margin("wind_forecast", "Wind until the landing");
  m.assumed = true;  // how far a forecast may be off
  bool wind_assumed = false, gust_assumed = false;
  const auto limit = limit_of(plan, figure::limit_wind, prior::limit_wind, wind_assumed);
  const auto gust_limit = limit_of(plan, figure::limit_gust_spread, prior::limit_gust_spread, gust_assumed);
  std::vector<WindAgainst> winds;
  for (const ForecastWind& w : f.wind) winds.push_back(against_limits(w, limit, gust_limit));
  // What is more likely than not stands for have and need; what is less counts in the chance.
  const WindAgainst* binds = nullptr;
  for (const WindAgainst& w : winds)
    if (w.wind->group.chance >= 0.5 &&
        (!binds || w.share > binds->share || (w.share == binds->share && w.left.mid < binds->left.mid)))
      binds = &w;
  const auto gaps = forecast_gaps(plan, f.unknown.wind, "the wind");
  m.have = m.need = m.left = unknown_amount(Dimension::speed, "not forecast");
  if (binds) {
    const double chance = chance_of_any(winds, UtcTime::max());
    m.have = binds->by_gust ? gust_limit : limit;
    m.need = binds->need;
    m.left = binds->left;
    const auto state = margin_state(m.kind, chance, m.left.mid < 0, false, m.assumed);
    // What is known to be too much stays so, whatever else is not known.
    if (gaps.empty() || state == MarginState::short_of) {
      m.chance_short = chance;
      m.state = state;
    }
    if (chance > 0.05 && m.left.low >= 0) m.why.push_back(kOnTop);
    m.why.push_back(words_of(*binds, f.source));
    for (const WindAgainst& w : winds)
      if (&w != binds && (w.wind->group.prevails() || w.share > 0.05)) m.why.push_back(words_of(w, {}));
    // Landing before the group that brings it.
    std::optional<std::pair<UtcTime, double>> best;
    for (const WindAgainst& w : winds) {
      const UtcTime t = w.wind->group.from;
      if (duration_between(plan.start, t) < minutes(10)) continue;
      const double then = chance_of_any(winds, t);
      if (!best || then < best->second) best = {t, then};
    }
    if (best && best->second < chance - 0.02)
      m.changes.push_back({Sentence("Landing before {0} UTC.", {rfc3339(best->first).substr(11, 5)}), best->second});
    m.why.push_back(Sentence("{0}: {1} of mean wind, gusts {2} above it.",
                             {std::string(wind_assumed && gust_assumed ? "Assumed limits (common practice)"
                                          : wind_assumed               ? "Limits, the first assumed (common practice)"
                                          : gust_assumed               ? "Limits, the second assumed (common practice)"
                                                                       : "Your limits"),
                              limit, gust_limit}));
    m.why.push_back(
        "Counted as right to 5 kt four times in five at its station (what ICAO Annex 3 asks of a forecast); the field is another "
        "place.");
  }
  if (!gaps.empty() && m.state == MarginState::unknown)
    m.have = m.need = m.left = unknown_amount(Dimension::speed, "not known until the landing");
  m.why.insert(m.why.end(), gaps.begin(), gaps.end());
  if (!gaps.empty())
    m.measure.push_back("Take a forecast that goes to the landing and can be read throughout" + typed(": --taf") + ".");
  for (const ForecastShear& s : f.shear)
    m.why.push_back(Sentence("Wind shear is forecast: at {0} above the ground it blows {1} from {2}.",
                             {exact_amount(Dimension::length, s.height.si()), exact_amount(Dimension::speed, s.speed.si()),
                              exact_amount(Dimension::angle, s.from.radians())}));
  if (f.shear_possible) m.why.push_back("Wind shear is forecast to be possible, without figures.");
  if (!f.shear.empty() || f.shear_possible) {
    m.why.push_back("Expect rough air between.");
    if (m.state == MarginState::ample) m.state = MarginState::thin;
  }
  out.push_back(std::move(m));
}

}  // namespace

void add_wind(std::vector<Margin>& out, const DayPlan& plan) {
  const Day& day = plan.day;
  auto mean = wind_margin("wind_mean", "Mean wind");
  bool assumed_limit = false;
  const auto limit = limit_of(plan, figure::limit_wind, prior::limit_wind, assumed_limit);
  mean.assumed = assumed_limit;
  if (!day.wind) {
    say_unknown(mean, "the wind is not said");
    mean.why.push_back("Nothing is said of the wind.");
    mean.measure.push_back("Say the wind at the field" + typed(": --wind \"240/12kt gust 18kt\", --windsock 45, or --metar") +
                           ".");
    out.push_back(std::move(mean));
  } else {
    const Amount blows = amount(day.wind->mean);
    set_against(mean, limit, blows);
    mean.why.push_back(Sentence(assumed_limit
                                    ? "{0} of mean wind ({1}) against an assumed limit of {2} (common practice; enter your own" +
                                          typed(": headroom enter figure limit_wind") + ")."
                                    : "{0} of mean wind ({1}) against your limit of {2}.",
                                {blows, day.wind->source, limit}));
    for (const double more : {-2.572, 2.572}) {  // 5 kt
      Margin other = mean;
      Amount shifted_wind = mean.need;
      shifted_wind.low = std::max(0.0, shifted_wind.low + more);
      shifted_wind.mid = std::max(0.0, shifted_wind.mid + more);
      shifted_wind.high = std::max(0.0, shifted_wind.high + more);
      set_against(other, limit, shifted_wind);
      if (other.chance_short != mean.chance_short)
        mean.changes.push_back(
            {Sentence(more < 0 ? "{0} less wind." : "{0} more wind.", {exact_amount(Dimension::speed, std::abs(more))}),
             other.chance_short});
    }
    out.push_back(std::move(mean));

    auto spread = wind_margin("gust_spread", "Gusts above the mean wind");
    const auto gust_limit = limit_of(plan, figure::limit_gust_spread, prior::limit_gust_spread, assumed_limit);
    spread.assumed = assumed_limit;
    const auto& gust = day.wind->gust;
    Amount above;
    if (gust) {
      const double mid = std::max(0.0, (gust->mid - day.wind->mean.mid).si());
      const double half = std::max(0.5, (gust->high - gust->mid).si());
      above = {Dimension::speed, std::max(0.0, mid - half), mid, mid + half, gust->basis, {}};
      spread.why.push_back(Sentence("Gusts of {0} on {1}: {2} above the mean.", {amount(*gust), amount(day.wind->mean), above}));
    } else {
      const double mean_si = day.wind->mean.mid.si();
      above = {Dimension::speed, 0.1 * mean_si, 0.35 * mean_si, 0.7 * mean_si + 0.5, assumed(), {}};
      // A report without gusts leaves room for some: reports give them from 10 kt above the mean on.
      constexpr double kUnreported_m_s = 5.1;
      if (day.wind->of_report) {
        above.high = std::min(above.high, kUnreported_m_s);
        above.mid = std::min(above.mid, above.high);
        above.low = std::min(above.low, above.mid);
      }
      spread.assumed = true;
      spread.why.push_back(
          day.wind->of_report
              ? "No gusts are said; between a tenth and seven tenths of the mean wind is assumed, and reports leave "
                "out gusts of less than 10 kt above the mean."
              : "No gusts are said; between a tenth and seven tenths of the mean wind is assumed.");
    }
    set_against(spread, gust_limit, above);
    spread.why.push_back(
        Sentence(assumed_limit ? "The limit of {0} is assumed (common practice)." : "Your limit is {0}.", {gust_limit}));
    if (plan.state.machine && plan.state.pilot && !day.borrower) {
      const auto rough = learned_now(plan.state, LearnedKind::roughness, *plan.state.machine, *plan.state.pilot);
      if (rough && rough->n > 0)
        spread.why.push_back(Sentence(
            "The air of {1} flights with a recorder went up and down by {0} within seconds, at the rougher end; gusts like "
            "today's may be more than that.",
            {exact_amount(Dimension::climb, rough->next.high), exact_amount(Dimension::count, rough->n)}));
    }
    out.push_back(std::move(spread));

    if (day.strip) {
      auto across = wind_margin("crosswind", "Wind across the strip");
      const auto cross_limit = limit_of(plan, figure::limit_crosswind, prior::limit_crosswind, assumed_limit);
      across.assumed = assumed_limit;
      Amount part = blows;
      if (day.wind->from) {
        const double towards = day.strip->towards_deg * 0.017453292519943295;
        double least = 1, most = 0;
        for (const double from : wind_directions(*day.wind)) {
          least = std::min(least, std::abs(std::sin(from - towards)));
          most = std::max(most, std::abs(std::sin(from - towards)));
        }
        const double mid = std::abs(std::sin(day.wind->from->radians() - towards));
        part = {Dimension::speed,
                least * day.wind->mean.low.si(),
                mid * day.wind->mean.mid.si(),
                most * day.wind->mean.high.si(),
                day.wind->mean.basis,
                {}};
        part.low = std::min(part.low, part.mid);
        part.high = std::max(part.high, part.mid);
        across.why.push_back(
            Sentence("{0} across the strip {1}, which points {2}.",
                     {part, day.strip->name, exact_amount(Dimension::angle, day.strip->towards_deg * 0.017453292519943295)}));
      } else {
        across.why.push_back("The wind has no one direction: all of it counts across.");
      }
      set_against(across, cross_limit, part);
      across.why.push_back(
          Sentence(assumed_limit ? "The limit of {0} is assumed (common practice)." : "Your limit is {0}.", {cross_limit}));
      if (across.state != MarginState::ample) across.changes.push_back({"Another strip, nearer into the wind.", std::nullopt});
      out.push_back(std::move(across));
    }
  }

  add_wind_forecast(out, plan);

  auto aloft = wind_margin("wind_aloft", "Wind aloft against trim speed");
  aloft.assumed = true;
  const Amount trim = trim_speed_of(plan.state, day);
  if (!day.aloft) {
    say_unknown(aloft, "the wind aloft is not said");
    aloft.why.push_back("Nothing is said of the wind where the flight goes; it is often twice that at the ground.");
    aloft.measure.push_back("Say it from a forecast" + typed(": --wind-aloft 250/25kt") +
                            "; or take it from your last flight of the day" + typed(": --wind-aloft flight") + ".");
  } else {
    Amount half = trim;
    half.low *= 0.5;
    half.mid *= 0.5;
    half.high *= 0.5;
    set_against(aloft, half, amount(day.aloft->mean));
    aloft.why.push_back(
        Sentence("{0} aloft ({1}) against half the trim speed of {2} (common practice: beyond it the way home upwind "
                 "takes more than twice as long).",
                 {amount(day.aloft->mean), day.aloft->source, trim}));
  }
  out.push_back(std::move(aloft));
}

}  // namespace headroom
