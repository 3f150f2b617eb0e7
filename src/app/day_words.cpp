#include "app/day_words.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "app/said_day.h"
#include "app/said_time.h"
#include "core/machine/figures.h"
#include "core/planning/brief_day.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom {

namespace {

std::string wind_words(const DayWind& wind, const UnitChoice& units) {
  std::string out;
  if (wind.from) {
    const int degrees = static_cast<int>(std::lround(wind.from->degrees())) % 360;
    out += fmt::format("from {}°, ", degrees == 0 ? 360 : degrees);
  }
  out += wind.mean.mid.si() < 0.3 ? "calm" : say_speed(wind.mean.mid, units);
  if (wind.gust) out += " gusting " + say_speed(wind.gust->mid, units);
  return out;
}

const PilotState* who_flies(const State& state) {
  return state.pilot ? state.find_pilot(*state.pilot) : nullptr;
}

}  // namespace

std::string day_sentence(const Day& day, const Session& session) {
  const auto& u = session.units;
  std::vector<std::string> said;
  if (day.field) said.push_back(day.field->name + (day.strip ? ", strip " + day.strip->name : ""));
  said.push_back(day.wind ? "wind " + wind_words(*day.wind, u) : "wind not said");
  if (day.aloft) said.push_back("aloft " + wind_words(*day.aloft, u));
  if (day.temperature) said.push_back(say_temperature(*day.temperature, u));
  if (day.qnh) said.push_back("QNH " + say_measure(Measure::pressure, day.qnh->si(), u));
  if (day.ground_said) said.push_back(std::string(ground_words(day.ground)));
  if (day.mown) said.push_back("mown");
  said.push_back(day.in_tank ? say_volume(day.in_tank->mid, u) + " in the tank" : "fuel in the tank as the book has it");
  if (day.passenger) said.push_back("a passenger of " + say_mass(*day.passenger, u));
  if (day.borrower) {
    said.push_back("somebody else flies" + (day.borrower_mass ? ", " + say_mass(*day.borrower_mass, u) : std::string()));
  } else if (const auto* pilot = who_flies(session.state); pilot != nullptr) {
    said.push_back((pilot->name.empty() ? "the owner" : pilot->name) + std::string(" flies") +
                   (pilot->mass ? ", " + say_mass(*pilot->mass, u) : ""));
  }
  std::string out;
  for (const auto& s : said) out += (out.empty() ? "" : "; ") + s;
  if (!out.empty() && out.front() >= 'a' && out.front() <= 'z') out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out + ".";
}

std::vector<DayCheck> day_checks(const State& state, const Brief& brief) {
  std::vector<DayCheck> out;
  const auto add = [&](CheckTime when, std::string key, std::string words, std::optional<UtcTime> from = {}) {
    DayCheck check{when, std::move(key), std::move(words), {}, {}, from};
    if (const auto* said = check_for(state, check.key, brief.start); said != nullptr) {
      check.state = said->state;
      check.at = said->at;
    }
    out.push_back(std::move(check));
  };
  for (const auto& item : arriving_checks()) add(CheckTime::arriving, std::string(item.check), std::string(item.title));
  for (const auto& item : each_flight_checks()) add(CheckTime::before_start, std::string(item.check), std::string(item.title));
  for (const auto& item : brief.checks) add(CheckTime::before_launch, item.key, item.words, item.from);
  return out;
}

std::vector<std::string> emergency_card(const Session& session, const BriefRequest& request, const Brief& brief, Clock& clock) {
  const auto& state = session.state;
  const auto& day = request.day;
  std::vector<std::string> out;
  const auto* pilot = who_flies(state);
  if (day.borrower) {
    out.emplace_back("Pilot: somebody who borrows the machine; write the name here");
  } else {
    out.push_back("Pilot: " + (pilot == nullptr || pilot->name.empty() ? std::string("write the name here") : pilot->name));
  }
  const auto* machine = state.machine ? state.find_machine(*state.machine) : nullptr;
  std::string craft = "Powered paraglider";
  if (machine != nullptr && !machine->name.empty()) craft += ": " + machine->name;
  if (machine != nullptr)
    for (const auto* part : state.fitted_parts(machine->id))
      if (part->role == "wing" && !part->name.empty()) craft += ", wing " + part->name;
  out.push_back(craft);
  if (day.passenger) out.emplace_back("On board: two, pilot and passenger");
  if (day.field) {
    std::string where = "Launches at: " + day.field->name;
    if (day.field->position)
      where += fmt::format(", {:.5f}, {:.5f} (WGS 84)", day.field->position->latitude_deg, day.field->position->longitude_deg);
    out.push_back(where);
  } else {
    out.emplace_back("Launches at: write the place here");
  }
  const auto when = [&](UtcTime t) {
    const int offset = clock.offset_minutes(t, session.zone).value_or(0);
    return local_text(t, clock, session.zone) +
           fmt::format(" (UTC{}{:02}:{:02})", offset < 0 ? '-' : '+', std::abs(offset) / 60, std::abs(offset) % 60);
  };
  out.push_back("Launch planned: " + when(brief.start) + ", for " + say_duration(brief.planned));
  for (const auto& check : brief.checks)
    if (check.key == "who_knows" && check.from) out.push_back("Look for the pilot from: " + when(*check.from));
  out.push_back("Who knows: " + day.who_knows.value_or("write the name and number here"));
  out.emplace_back("Emergency number: 112 in Europe; write yours here");
  out.emplace_back("For helpers: keep away from the propeller, stop the engine (kill switch), fuel is petrol with oil");
  return out;
}

}  // namespace headroom
