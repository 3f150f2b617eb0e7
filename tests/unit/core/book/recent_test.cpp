// What is due and the brief must not depend on whether the whole state or its recent part was loaded.
#include "core/book/recent.h"

#include <gtest/gtest.h>

#include "app/enter.h"
#include "app/load_state.h"
#include "core/planning/brief.h"
#include "core/upkeep/due.h"
#include "support/world.h"

namespace headroom {
namespace {

std::string told(const Brief& brief) {
  std::string all;
  for (const auto& m : brief.margins) {
    all += m.id + " " + std::string(state_word(m.state)) + " " + std::to_string(m.left.mid) + " " +
           std::to_string(m.chance_short.value_or(-1));
    for (const auto& why : m.why) all += render(why, [](const Amount& a) { return std::to_string(a.mid); });
    all += "\n";
  }
  for (const auto& o : brief.observations) all += render(o.text, [](const Amount& a) { return std::to_string(a.mid); });
  return all;
}

TEST(RecentState, GivesTheSameBriefAndTheSameDueAsTheWhole) {
  MemoryWorld world;
  const auto begin = utc(2023, 1, 10, 12);
  const auto at = [&](PlainFacts facts, UtcTime t) {
    world.clock.time = t;
    EnterRequest request;
    request.at = t;
    request.facts = [&](const Subjects&) { return Result<PlainFacts>(facts); };
    ASSERT_TRUE(enter(request, world.ports));
  };
  for (int i = 0; i < 60; ++i) {
    const auto t = begin + std::chrono::days(20 * i);
    world.clock.time = t + std::chrono::hours(2);
    EnterRequest request;
    request.at = t;
    request.facts = [&](const Subjects& subjects) {
      FlightEntry f;
      f.machine = *subjects.machine("");
      f.pilot = *subjects.pilot("");
      f.launch = t;
      f.landing = t + std::chrono::minutes(50);
      f.air_time = minutes(50);
      f.summary.air_time = minutes(50);
      return Result<PlainFacts>(PlainFacts(f));
    };
    ASSERT_TRUE(enter(request, world.ports));
    if (i % 7 == 0) at(FuelMixed{litres(10), 50.0, std::nullopt, ""}, t);
    if (i % 5 == 0) at(FuelLeft{litres(3)}, t);
    if (i % 11 == 0) at(ServiceDone{"plug", std::nullopt, ""}, t);
    if (i % 3 == 0) at(Reading{"head_maximum", 440.0 + i, "K", std::nullopt}, t);
    if (i % 9 == 0) at(FuelFilled{litres(4), std::nullopt}, t);
  }
  const auto state = load_state(world.ports)->state;
  const auto recent = recent_of(state);
  EXPECT_LT(recent.flights.size(), 30U);
  EXPECT_EQ(state.flights.size(), 60U);
  for (const int days_on : {0, 3, 90, 700}) {
    BriefRequest request;
    request.now = *state.last_at + std::chrono::days(days_on);
    EXPECT_EQ(told(make_brief(state, request)), told(make_brief(recent, request))) << days_on;
    const auto a = due(state, request.now, use_rate(state, request.now)),
               b = due(recent, request.now, use_rate(recent, request.now));
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_EQ(a[i].line.line, b[i].line.line);
      EXPECT_EQ(a[i].date.mid, b[i].date.mid);
      EXPECT_EQ(a[i].chance_by, b[i].chance_by);
    }
  }
}

}  // namespace
}  // namespace headroom
