// What a page is sent of the brief's answers: sentences that are whole without how things are typed on the command line.
#include <gtest/gtest.h>

#include <functional>
#include <regex>
#include <set>
#include <vector>

#include "core/typed.h"
#include "formats/answer_json.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

const UtcTime kPageStart = utc(2026, 6, 20, 12);

void each_text(const AnswerJson& answer, const std::function<void(const std::string&)>& see) {
  if (answer.is_string()) see(answer.get<std::string>());
  if (answer.is_structured())
    for (const auto& one : answer) each_text(one, see);
}

State page_state() {
  State state;
  PilotState pilot;
  pilot.mass = kilograms(78);
  state.pilots.push_back(pilot);
  state.pilot = pilot.id;
  const auto put = [&](const char* key, double value, const char* unit) {
    Sample s;
    s.value = value;
    s.unit = unit;
    state.readings[key].push_back(s);
  };
  put("machine_mass", 31, "kg");
  put("wing_mass", 6, "kg");
  put("wing_area", 26, "m2");
  put("static_thrust", 560, "N");
  put("limit_head", 500, "K");
  put("head_maximum", 470, "K");  // one: too few to say what to expect
  return state;
}

Day page_day() {
  Day day;
  FieldState field;
  field.name = "invented";
  field.height = AltitudeMsl::from_si(100);
  field.position = GeoPosition{52.3, 0.4};
  const FieldStrip strip{"27", 270, metres(300), 0, FieldSurface::short_grass, {}, utc(2026, 6, 1)};
  field.strips.push_back(strip);
  day.field = field;
  day.strip = strip;
  DayWind wind;
  wind.from = wind_from_degrees(270);
  wind.mean = exactly(metres_per_second(5));
  wind.source = "told";
  day.wind = wind;
  return day;
}

// Briefs that between them lack whatever a brief can ask for.
std::vector<Brief> briefs_to_walk() {
  std::vector<std::pair<State, Day>> made;
  made.emplace_back(State{}, Day{});
  made.emplace_back(State{}, page_day());  // neither masses nor thrust nor wing area
  made.emplace_back(page_state(), page_day());
  auto with = [&](const std::function<void(State&, Day&)>& change) {
    made.emplace_back(page_state(), page_day());
    change(made.back().first, made.back().second);
  };
  with([](State&, Day& d) { d.strip.reset(); });
  with([](State&, Day& d) { d.strip->walked.reset(), d.wind.reset(); });
  with([](State&, Day& d) { d.field->height.reset(), d.field->position.reset(); });
  with([](State&, Day& d) { d.borrower = true; });
  with([](State&, Day& d) {
    d.airspace.emplace_back();
    d.airspace.back().name = "invented area";
  });
  with([](State&, Day& d) {
    d.route = {{"A", {52.3, 0.4}}, {"B", {52.4, 0.5}}};
    d.wind.reset();
  });
  with([](State&, Day& d) {
    DayForecast forecast;
    forecast.source = "EGXX forecast of 11:00 UTC";
    forecast.from = kPageStart;
    forecast.to = kPageStart + std::chrono::minutes(20);  // ends before the landing
    d.forecast = forecast;
  });
  with([](State&, Day& d) { d.in_tank = exactly(litres(8)); });
  with([](State& s, Day&) {
    RunState by_hand;  // neither wind nor mass told
    by_hand.at = kPageStart - std::chrono::hours(48);
    by_hand.run.room = metres(20);
    s.runs.push_back(by_hand);
  });
  std::vector<Brief> out;
  for (const auto& [state, day] : made) {
    BriefRequest request;
    request.now = kPageStart;
    request.day = day;
    request.with_changes = false;
    out.push_back(make_brief(state, request));
  }
  return out;
}

TEST(AnswerForPage, NoSentenceOfABriefTellsWhatToTypeAndEachIsWhole) {
  const std::regex typed_words("headroom [a-z]|--[a-z]");
  // What a part taken out of the middle, or all of a sentence's sense taken with it, would leave behind.
  const std::regex not_whole("  | [.,;:)]|\\(\\)|[:;,(]\\.|[:;,(]$|^ | $|^\\.?$");
  std::set<std::string> left_out;
  for (const Brief& brief : briefs_to_walk()) {
    const auto answer = brief_json(brief, UnitChoice{});
    const auto page_text = answer_text_for_page(answer), line_text = answer_text(answer);
    EXPECT_EQ(page_text.find(kTypedFrom), std::string::npos);
    EXPECT_EQ(line_text.find(kTypedFrom), std::string::npos);
    EXPECT_EQ(line_text.find(kTypedTo), std::string::npos);
    each_text(AnswerJson::parse(page_text), [&](const std::string& text) {
      EXPECT_FALSE(std::regex_search(text, typed_words)) << text;
      EXPECT_FALSE(!text.empty() && std::regex_search(text, not_whole)) << '"' << text << '"';
    });
    each_text(answer, [&](const std::string& text) {
      if (without_typed(text) != with_typed(text)) left_out.insert(with_typed(text));
    });
  }
  for (const auto& text : left_out) EXPECT_TRUE(std::regex_search(text, typed_words)) << text;
  EXPECT_GE(left_out.size(), 28U) << "these briefs are meant to ask for everything that can be asked for";
}

TEST(AnswerForPage, TheCommandLineIsToldWhatToTypeAndThePageIsNot) {
  const AnswerJson answer = {{"a", "x" + typed(" \"{[\\") + "y"}, {"b", {1, {{"c", typed("z") + "}"}}}}, {"d", nullptr}};
  const auto line = AnswerJson::parse(answer_text(answer)), page = AnswerJson::parse(answer_text_for_page(answer));
  EXPECT_EQ(line, AnswerJson({{"a", "x \"{[\\y"}, {"b", {1, {{"c", "z}"}}}}, {"d", nullptr}}));
  EXPECT_EQ(page, AnswerJson({{"a", "xy"}, {"b", {1, {{"c", "}"}}}}, {"d", nullptr}}));
}

}  // namespace
}  // namespace headroom
