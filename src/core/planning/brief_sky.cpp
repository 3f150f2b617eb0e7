#include <algorithm>
#include <cmath>
#include <utility>

#include "core/air/carburettor_icing.h"
#include "core/air/wind_chill.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/planning/draws.h"
#include "core/planning/forecast_words.h"
#include "core/planning/light.h"
#include "core/typed.h"

namespace headroom {
namespace {

// Source: 14 CFR 103.23, class G airspace up to 1,200 ft above the ground: 1 statute mile, clear of clouds.
constexpr double kLeastVisibility_m = 1609.344;
// Clear of clouds, with the 500 ft that is asked below them elsewhere (14 CFR 103.23) on top of the 150 m of a flight kept low.
constexpr double kLeastCloudBase_m = 300;

Margin sky_margin(const char* id, const char* title) {
  Margin m;
  m.kind = MarginKind::other;
  m.id = id;
  m.title = title;
  return m;
}

void add_carburettor_icing(std::vector<Margin>& out, const Day& day) {
  auto ice = sky_margin("carburettor_icing", "Carburettor icing");
  ice.have = ice.need = ice.left = unknown_amount(Dimension::none, "words, not figures");
  std::optional<CarburettorIcing> likely;
  if (day.temperature && day.dew_point)
    if (const auto told = carburettor_icing(*day.temperature, *day.dew_point)) likely = *told;
  if (!likely) {
    ice.why.push_back("Temperature and dew point are not both known.");
    ice.measure.push_back("Say the temperature and the dew point" + typed(": --temperature and --dew-point, or --metar") + ".");
  } else {
    const Sentence::Part air = exact_amount(Dimension::temperature, day.temperature->si()),
                         dew = exact_amount(Dimension::temperature, day.dew_point->si());
    ice.state = *likely == CarburettorIcing::any_power ? MarginState::thin : MarginState::ample;
    ice.why.push_back(Sentence(
        *likely == CarburettorIcing::any_power
            ? "{0} with a dew point of {1}: ice is likely at any power, soonest with the throttle part closed (FAA-H-8083-25)."
        : *likely == CarburettorIcing::part_throttle
            ? "{0} with a dew point of {1}: ice is possible with the throttle part closed, in a long descent or at idle."
            : "{0} with a dew point of {1}: ice is unlikely.",
        {air, dew}));
    if (*likely != CarburettorIcing::unlikely)
      ice.why.push_back(
          "The charts are of aircraft engines; give it some power now and then on the way down, and expect the engine to stop.");
  }
  out.push_back(std::move(ice));
}

// Only where the index is defined: air of 10 C and less.
void add_cold(std::vector<Margin>& out, const DayPlan& plan) {
  if (!plan.day.temperature) return;
  const Temperature air = *plan.day.temperature;
  const Amount trim = trim_speed_of(plan.state, plan.day);
  const auto slow = wind_chill_in_flight(air, metres_per_second(trim.low)),
             usual = wind_chill_in_flight(air, metres_per_second(trim.mid)),
             fast = wind_chill_in_flight(air, metres_per_second(trim.high));
  if (!slow || !usual || !fast) return;
  auto cold = sky_margin("wind_chill", "Cold on bare skin in flight");
  cold.have = {Dimension::temperature, fast->si(), usual->si(), slow->si(), trim.basis, {}};
  cold.need = exact_amount(Dimension::temperature, kFrostbiteChill.si());
  const auto less = [](Temperature t) { return (t - kFrostbiteChill).si(); };
  cold.left = {Dimension::temperature_difference, less(*fast), less(*usual), less(*slow), trim.basis, {}};
  std::vector<double> left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(cold.left, Factor::wind, i);
  cold.chance_short = share_below_zero(left);
  cold.state = margin_state(cold.kind, cold.chance_short, cold.left.mid < 0, false, false);
  // Canada's scale: from -10 on, long stays need protection (from memory).
  if (cold.state == MarginState::ample && *usual < celsius(-10)) cold.state = MarginState::thin;
  cold.why.push_back(Sentence(
      "Air of {0} at {1} of airspeed chills bare skin like {2} without wind, at the height of the field; from {3} on it can "
      "freeze within 30 minutes. Cold hands feel neither brakes nor throttle.",
      {exact_amount(Dimension::temperature, air.si()), trim, cold.have, cold.need}));
  out.push_back(std::move(cold));
}

// A distance as told, with its spread: at the launch, or by a group of a forecast.
struct SkyFigure {
  Amount have;
  double chance = 1;  // of being met
  Sentence why;
};

// Of the draws of a figure, those under the need.
double share_under(const SkyFigure& f, const Amount& need) {
  std::vector<double> left(kDraws);
  for (std::size_t i = 0; i < kDraws; ++i) left[i] = draw(f.have, Factor::survey, i) - need.mid;
  return share_below_zero(left);
}

// The worst of several figures against one need. What is more likely than not stands for have; what is less counts in the chance.
void set_worst(Margin& m, const std::vector<SkyFigure>& figures, const Amount& need) {
  const auto share = [&](const SkyFigure& f) { return share_under(f, need); };
  const SkyFigure* binds = nullptr;
  AnyOf any;
  for (const SkyFigure& f : figures) {
    any.add(f.chance * share(f));
    if (f.chance >= 0.5 && (!binds || share(f) > share(*binds) || (share(f) == share(*binds) && f.have.mid < binds->have.mid)))
      binds = &f;
    m.why.push_back(f.why);
  }
  if (!binds) return;
  m.have = binds->have;
  m.need = need;
  m.left = {need.dimension, m.have.low - need.mid, m.have.mid - need.mid, m.have.high - need.mid, m.have.basis, {}};
  m.assumed = m.have.basis == assumed();  // how far a forecast may be off
  m.chance_short = any.chance();
  m.state = margin_state(m.kind, m.chance_short, m.left.mid < 0, false, false);
  if (any.chance() > 0.05 && m.left.low >= 0) m.why.insert(m.why.begin(), kOnTop);
}

// What is not known until the landing takes an ample or thin margin back to unknown; what is short stays so.
void count_gaps(Margin& m, const std::vector<Sentence>& gaps) {
  m.why.insert(m.why.end(), gaps.begin(), gaps.end());
  if (gaps.empty()) return;
  m.measure.push_back("Look at the sky and say it, or take a forecast that goes to the landing and can be read throughout" +
                      typed(": --taf") + ".");
  if (m.state != MarginState::ample && m.state != MarginState::thin) return;
  m.state = MarginState::unknown;
  m.chance_short.reset();
  m.have = m.need = m.left = unknown_amount(m.left.dimension, "not known until the landing");
}

// Common practice, no source.
constexpr const char* kWetWing =
    "a wet wing is kilograms heavier, flies slower, and can stay in a deep stall when it is pulled slow.";

// How far a forecast of visibility and of a cloud base may be off, as parts of it. ICAO Annex 3, attachment B (from memory), asks
// of a TAF that four of five visibilities from 800 m to 10 km, and seven of ten cloud heights from 300 to 3000 m, are right to 30
// in 100: as normal spreads 90 % within 38 and 48 in 100, rounded up.
constexpr double kForecastVisibilityOff = 0.4, kForecastCloudOff = 0.5;

}  // namespace

void add_sky(std::vector<Margin>& out, const DayPlan& plan) {
  const Day& day = plan.day;
  auto seen = sky_margin("visibility", "Visibility");
  auto cloud = sky_margin("cloud_base", "Cloud base");
  auto storm = sky_margin("thunderstorm", "Thunderstorm, rain, fog");
  const ForecastUnknown unread = day.forecast ? day.forecast->unknown : ForecastUnknown{};
  const auto nothing = [&](Margin& m, Dimension dimension, const char* what) {
    m.have = m.need = m.left = unknown_amount(dimension, "not said");
    m.why.push_back(Sentence("Nothing is said of {0}.", {std::string(what)}));
    m.measure.push_back("Look at the sky and say it" + typed(": --visibility, --cloud-base, --sky, or --metar") + ".");
  };
  const auto from_forecast = [&](const ForecastGroup& group, const char* words, const Amount& have) {
    return Sentence(std::string(words) + " in the {1}: \"{2}\" ({3}).",
                    {have, day.forecast->source, group.text, firmness_words(group)});
  };
  std::vector<SkyFigure> seeing;
  // The owner's own rule, where one was entered; a borrower's is not known.
  const auto own_visibility = day.borrower ? std::nullopt : figure_of(plan.state, figure::least_visibility),
             own_cloud = day.borrower ? std::nullopt : figure_of(plan.state, figure::least_cloud_base);
  const Amount least_visibility = exact_amount(Dimension::length, own_visibility.value_or(kLeastVisibility_m));
  const std::string visibility_rule = own_visibility ? "{1}, your own rule."
                                                     : "1 statute mile, 14 CFR 103.23 in uncontrolled airspace near the ground; "
                                                       "elsewhere more is asked, and your own rules come first.";
  const auto distance_seen = [](double v, double off, bool less) {
    return Amount{Dimension::length, less ? 0 : (1 - off) * v, less ? 0.5 * v : v, less ? v : (1 + off) * v, measured(), {}};
  };
  if (day.sky.visibility) {
    SkyFigure now{distance_seen(in_metres(*day.sky.visibility), day.sky.visibility_off, day.sky.visibility_less), 1, {}};
    now.why = Sentence("{0} ({2}) against " + visibility_rule, {now.have, least_visibility, day.sky.visibility_source});
    seeing.push_back(std::move(now));
  }
  if (day.forecast)
    for (const ForecastVisibility& v : day.forecast->visibility) {
      SkyFigure f{distance_seen(in_metres(v.distance), kForecastVisibilityOff, v.less), v.group.chance, {}};
      f.have.basis = assumed();
      f.why = from_forecast(v.group, "{0}", f.have);
      seeing.push_back(std::move(f));
    }
  if (seeing.empty())
    nothing(seen, Dimension::length, "the visibility");
  else {
    set_worst(seen, seeing, least_visibility);
    if (!day.sky.visibility) seen.why.push_back(Sentence("Against " + visibility_rule, {seen.have, least_visibility}));
  }
  count_gaps(seen, forecast_gaps(plan, unread.visibility, "the visibility"));

  std::vector<SkyFigure> bases;
  const Amount least_base =
      exact_amount(Dimension::length, own_cloud.value_or(kLeastCloudBase_m), own_cloud ? measured() : assumed());
  const char* cloud_rule = own_cloud ? "{1} are your own rule."
                                     : "{1} are asked here, which keeps 150 m of flight clear of cloud by 500 ft (14 CFR 103.23 "
                                       "for controlled airspace, taken over).";
  const auto cloud_at = [](double base, double off) {
    return Amount{Dimension::length, (1 - off) * base, base, (1 + off) * base, measured(), {}};
  };
  bool no_cloud_forecast = false;
  if (day.sky.cloud_base) {
    SkyFigure now{cloud_at(in_metres(*day.sky.cloud_base), day.sky.cloud_off), 1, {}};
    now.why = Sentence(std::string("The lowest cloud is {0} above the ground ({2}); ") + cloud_rule,
                       {now.have, least_base, day.sky.cloud_source});
    bases.push_back(std::move(now));
  }
  if (day.forecast)
    for (const ForecastCloud& c : day.forecast->cloud) {
      no_cloud_forecast = no_cloud_forecast || !c.base;
      if (!c.base) continue;
      SkyFigure f{cloud_at(in_metres(*c.base), kForecastCloudOff), c.group.chance, {}};
      f.have.basis = assumed();
      f.why = from_forecast(c.group, "Cloud at {0} above the aerodrome", f.have);
      bases.push_back(std::move(f));
    }
  if (!bases.empty()) {
    // Where only a chance brings cloud there is no base that stands for have.
    cloud.have = cloud.need = cloud.left = unknown_amount(Dimension::length, "no cloud prevails");
    set_worst(cloud, bases, least_base);
    if (!cloud.have.known()) {
      AnyOf any;
      for (const SkyFigure& f : bases) any.add(f.chance * share_under(f, least_base));
      cloud.chance_short = any.chance();
      cloud.state = margin_state(cloud.kind, cloud.chance_short, false, false, false);
    }
    if (!day.sky.cloud_base) cloud.why.push_back(Sentence(cloud_rule, {cloud.have, least_base}));
  } else if (day.sky.cloud_known || no_cloud_forecast) {
    cloud.have = cloud.need = cloud.left = unknown_amount(Dimension::length, "no cloud reported");
    cloud.state = MarginState::ample;
    if (day.sky.cloud_known) cloud.why.push_back(Sentence("No cloud is reported ({0}).", {day.sky.cloud_source}));
    if (no_cloud_forecast) cloud.why.push_back(Sentence("No cloud that counts in the {0}.", {day.forecast->source}));
  } else {
    nothing(cloud, Dimension::length, "the cloud base");
  }
  auto cloud_gaps = forecast_gaps(plan, unread.cloud, "the cloud");
  if (day.sky.cloud_partly)
    cloud_gaps.push_back(Sentence("A layer of cloud is reported without its base ({0}).", {day.sky.cloud_source}));
  count_gaps(cloud, cloud_gaps);
  storm.have = storm.need = storm.left = unknown_amount(Dimension::none, "words, not figures");
  // What is seen counts, whatever else was not said.
  const bool thunder = day.sky.thunder.value_or(false), rain = day.sky.rain.value_or(false), fog = day.sky.fog.value_or(false);
  if (rain) storm.why.push_back(Sentence("Rain ({0}): " + std::string(kWetWing), {day.sky.weather_source}));
  if (fog) storm.why.push_back(Sentence("Fog ({0}).", {day.sky.weather_source}));
  if (thunder) storm.why.push_back(Sentence("A thunderstorm ({0}): its gusts reach far ahead of it.", {day.sky.weather_source}));
  bool foretold = false, rain_foretold = false, thunder_foretold = false;
  AnyOf storm_foretold;
  if (day.forecast)
    for (const ForecastWeather& w : day.forecast->weather) {
      foretold = true;
      if (!w.thunder && !w.rain && !w.fog) continue;
      if (w.thunder || w.fog) storm_foretold.add(w.group.chance);
      rain_foretold = rain_foretold || w.rain;
      thunder_foretold = thunder_foretold || w.thunder;
      std::string what;
      for (const auto& [is, word] : {std::pair(w.thunder, "thunderstorm"), std::pair(w.rain, "rain"), std::pair(w.fog, "fog")})
        if (is) what += (what.empty() ? "" : ", ") + std::string(word);
      what.front() = static_cast<char>(what.front() - 'a' + 'A');
      storm.why.push_back(
          Sentence("{0} in the {1}: \"{2}\" ({3}).", {what, day.forecast->source, w.group.text, firmness_words(w.group)}));
    }
  if (thunder_foretold && !thunder) storm.why.push_back("The gusts of a thunderstorm reach far ahead of it.");
  if (rain_foretold && !rain) storm.why.push_back("Rain: " + std::string(kWetWing));
  const bool now_said = day.sky.thunder && day.sky.rain && day.sky.fog;
  if (rain || rain_foretold) storm.state = MarginState::thin;
  if (fog || thunder) storm_foretold.add(1);
  if (storm_foretold.chance() > 0) {
    storm.chance_short = storm_foretold.chance();
    storm.state = margin_state(storm.kind, storm.chance_short, false, false, false);
  } else if (!rain && !rain_foretold && (now_said || foretold)) {
    storm.state = MarginState::ample;
    if (now_said)
      storm.why.push_back(Sentence(foretold ? "None ({0}); look at the sky." : "None ({0}); look at the sky, and at a forecast.",
                                   {day.sky.weather_source}));
    if (foretold) storm.why.push_back(Sentence("None in the {0}.", {day.forecast->source}));
  } else if (!rain && !rain_foretold) {
    storm.why.push_back(day.sky.none_elsewhere.empty()
                            ? Sentence("Nothing is said of thunderstorms, rain or fog.")
                            : Sentence("None at the station ({0}), which is too far from the field to tell what stands over it.",
                                       {day.sky.none_elsewhere}));
    storm.measure.push_back("Look at the sky and say it" + typed(": --visibility, --cloud-base, --sky, or --metar") + ".");
  }
  count_gaps(storm, forecast_gaps(plan, unread.weather, "the weather"));
  // Fog by the dew point: water comes out of the air when it cools to it. Common practice: within 3 C in the evening, with little
  // wind.
  if (day.temperature && day.dew_point) {
    const double spread =
        *day.temperature - *day.dew_point >= TemperatureDifference{} ? (*day.temperature - *day.dew_point).si() : 0.0;
    if (spread < 3) {
      storm.why.push_back(
          Sentence("Temperature and dew point are {0} apart: fog or low cloud may form as it cools (common practice: under 3 C).",
                   {exact_amount(Dimension::temperature_difference, spread)}));
      if (storm.state == MarginState::ample) storm.state = MarginState::thin;
    }
  }
  out.push_back(std::move(seen));
  out.push_back(std::move(cloud));
  out.push_back(std::move(storm));
  add_carburettor_icing(out, day);
  add_cold(out, plan);
}

namespace {

// The light of the launch's solar day, by the place's own mean time.
Result<Light> light_of(const DayPlan& plan, GeoPosition place) {
  const auto shift = std::chrono::milliseconds(static_cast<std::int64_t>(place.longitude_deg / 15.0 * 3.6e6));
  const auto date = std::chrono::floor<std::chrono::days>(plan.start + shift).time_since_epoch();
  const auto day = sun_day(place, std::chrono::local_days(date));
  if (!day) return tl::unexpected<Error>(day.error());
  return light_of_day(*day, plan.day.light_rule, plan.day.own_light);
}

}  // namespace

std::optional<UtcTime> last_light(const DayPlan& plan) {
  if (!plan.day.field || !plan.day.field->position) return std::nullopt;
  const auto light = light_of(plan, *plan.day.field->position);
  return light && light->kind == Light::Kind::some ? light->last : std::nullopt;
}

void add_light(std::vector<Margin>& out, const DayPlan& plan) {
  Margin m;
  m.kind = MarginKind::light;
  m.id = "light";
  m.title = "Light until the landing";
  m.assumed = true;  // how long one is in the air
  m.have = m.need = m.left = unknown_amount(Dimension::duration, "the place is not known");
  const auto place = plan.day.field ? plan.day.field->position : std::optional<GeoPosition>{};
  if (!place) {
    m.why.push_back("Where the flight begins is not known, so neither is sunset.");
    m.measure.push_back("Name a field whose place is known" + typed(": headroom field describe NAME --place LATITUDE,LONGITUDE") +
                        ".");
    out.push_back(std::move(m));
    return;
  }
  const auto light = light_of(plan, *place);
  if (!light) {
    m.why.push_back(Sentence("The sun cannot be worked out: {0}.", {light.error().what}));
    out.push_back(std::move(m));
    return;
  }
  const bool early = light->first && plan.start < *light->first;
  if (light->kind == Light::Kind::all_day) {
    m.state = MarginState::ample;
    m.why.push_back("It stays light all day here.");
  } else if (light->kind == Light::Kind::none) {
    m.state = MarginState::short_of;
    m.chance_short = 1;
    m.why.push_back("By this rule it does not get light here today.");
  } else if (!light->last) {
    m.state = early ? MarginState::short_of : MarginState::ample;
    m.why.push_back("By this rule the light does not end on this day here.");
  } else {
    const double have = in_seconds(duration_between(plan.start, *light->last));
    const double air = in_seconds(plan.air);
    m.have = exact_amount(Dimension::duration, have);
    // A flight turns out a fifth shorter to a third longer than planned (own estimate); a route has its own spread.
    m.need = {
        Dimension::duration, std::min(0.8 * air, plan.planned.low), air, std::max(1.3 * air, plan.planned.high), assumed(), {}};
    std::vector<double> left(kDraws);
    const auto share_short = [&](double more) {
      for (std::size_t i = 0; i < kDraws; ++i) left[i] = have + more - draw(m.need, Factor::planned, i);
      return share_below_zero(left);
    };
    constexpr double kEarlier_s = 1200;
    const double earlier = share_short(kEarlier_s), as_planned = share_short(0);
    m.chance_short = early ? 1.0 : as_planned;
    m.left = from_draws(left, Dimension::duration, assumed());
    if (early) {
      // The evening is long enough; what is missing is the wait for the morning.
      const double wait = in_seconds(duration_between(plan.start, *light->first));
      m.changes.push_back(
          {Sentence("Launching {0} later, at the first light by this rule.", {exact_amount(Dimension::duration, wait)}),
           share_short(-wait)});
      m.have = unknown_amount(Dimension::duration, "it is dark");
      m.need = exact_amount(Dimension::duration, wait);
      m.left = exact_amount(Dimension::duration, -wait);
    }
    m.state = margin_state(m.kind, m.chance_short, m.left.mid < 0 || early, false, m.assumed);
    static constexpr const char* kRules[] = {"sunset", "30 minutes after sunset with a lit beacon", "the end of civil twilight",
                                             "your own rule"};
    static constexpr const char* kFirst[] = {"sunrise", "30 minutes before sunrise with a lit beacon",
                                             "the beginning of civil twilight", "your own rule"};
    if (early)
      m.why.push_back(Sentence("The launch would be {0} before the first light by this rule ({1}).",
                               {m.need, std::string(kFirst[static_cast<int>(plan.day.light_rule)])}));
    m.why.push_back(Sentence(
        have >= 0 ? "The last light by this rule ({1}) is {0} after the launch."
                  : "The last light by this rule ({1}) was {0} before the launch.",
        {exact_amount(Dimension::duration, std::abs(have)), std::string(kRules[static_cast<int>(plan.day.light_rule)])}));
    if (plan.day.light_rule == LightRule::own)
      m.why.push_back(Sentence(plan.day.own_light.after_sunset.si() < 0 ? "Your own rule ends {0} before sunset."
                                                                        : "Your own rule ends {0} after sunset.",
                               {exact_amount(Dimension::duration, std::abs(plan.day.own_light.after_sunset.si()))}));
    if (m.state != MarginState::ample && !early && duration_between(plan.now, plan.start).si() >= kEarlier_s)
      m.changes.push_back({"Launching 20 minutes earlier.", earlier});
  }
  if (early && !light->last) m.why.push_back("The launch would be before the first light by this rule.");
  for (const auto& caution : light->cautions) m.why.push_back(caution);
  out.push_back(std::move(m));
}

const CheckState* check_for(const State& state, const std::string& key, UtcTime start) {
  const auto it = state.checks.find(key);
  if (it == state.checks.end()) return nullptr;
  const auto at = it->second.at;
  // A minute of grace: it may be said at the very start of the brief.
  if (at > start + std::chrono::minutes(1) || start - at > std::chrono::hours(12)) return nullptr;
  for (const auto& f : state.flights)
    if (f.counts && f.landing <= start && f.landing > at) return nullptr;
  return &it->second;
}

std::vector<LaunchCheck> launch_checks(const DayPlan& plan) {
  // Time to pack and to find a telephone; own estimate, no source.
  constexpr double kOverdueAfter_s = 45 * 60;
  std::vector<LaunchCheck> checks{{"leg_straps", "Leg straps closed", ""},
                                  {"carabiners", "Carabiners closed and locked", ""},
                                  {"reserve_pin", "Reserve pin seated, handle free", ""},
                                  {"throttle_free", "Throttle free, cable clear of the cage", ""},
                                  {"kill_switch", "Kill switch tried", ""},
                                  {"propeller_area", "Area behind the propeller clear", ""},
                                  {"trimmers", "Trimmers even and set", ""},
                                  {"radio", "Radio tried", ""},
                                  {"who_knows",
                                   plan.day.who_knows ? *plan.day.who_knows + " knows where, and from when on you are overdue"
                                                      : "Somebody knows where, and from when on you are overdue",
                                   "", plan.day.overdue ? *plan.day.overdue : shifted(plan.landing, seconds(kOverdueAfter_s))}};
  if (plan.day.over_water) {
    checks.push_back({"flotation", "Flotation worn and armed", ""});
    checks.push_back(
        {"release_order", "Order of release over water gone through: chest strap, one leg, the other, out before the wing", ""});
  }
  for (auto& c : checks)
    if (const auto* said = check_for(plan.state, c.key, plan.start); said != nullptr) c.state = said->state;
  return checks;
}

}  // namespace headroom
