#include "app/next_entry.h"

#include <gtest/gtest.h>

#include "core/upkeep/service_list.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

using What = NextEntry::What;
using headroom::testing::BookBuilder;

What next_of(const BookBuilder& book, UtcTime now) {
  const auto state = fold(book.entries);
  BriefRequest request;
  request.now = now;
  return next_entry(state, make_brief(state, request)).what;
}

// Whatever is asked for, entering it must lead to another question, until nothing is asked: an owner is never sent in a circle.
TEST(NextEntry, LeadsFromAnEmptyBookToOneThatLacksNothing) {
  BookBuilder book;
  auto now = utc(2026, 5, 1, 12);
  EXPECT_EQ(next_of(book, now), What::first_recording);
  book.assumed_machine(now);
  std::vector<What> asked;
  const auto fitted = [&](std::string_view role) {
    const auto state = fold(book.entries);
    for (const auto* p : state.fitted_parts(*state.machine))
      if (p->role == role) return *p;
    ADD_FAILURE() << role;
    return PartState{};
  };
  for (int i = 0; i < 60; ++i) {
    now += std::chrono::minutes(1);
    const auto state = fold(book.entries);
    BriefRequest request;
    request.now = now;
    const auto next = next_entry(state, make_brief(state, request));
    if (asked.empty() || asked.back() != next.what) asked.push_back(next.what);
    switch (next.what) {
      case What::fuel_left:
        book.say(now, FuelLeft{litres(5)});
        break;
      case What::fuel_mixed:
        book.say(now, FuelMixed{litres(10), 50.0, {}, ""});
        break;
      case What::hours:
        book.say(now, CounterRead{{}, Counter::running, 41 * 3600.0});
        break;
      case What::flights: {
        FlightEntry f;
        f.machine = *state.machine;
        f.pilot = *state.pilot;
        f.launch = now - std::chrono::hours(3);
        f.landing = now - std::chrono::hours(2);
        f.air_time = hours(1);
        book.say(f.launch, f);
        break;
      }
      case What::service:
        EXPECT_FALSE(next.word.empty());
        EXPECT_FALSE(next.title.empty());
        book.say(now - std::chrono::hours(24 * 30), ServiceDone{next.word, {}, ""});
        break;
      case What::use_since: {
        // As the question's own command writes it.
        ASSERT_TRUE(next.at);
        std::optional<EntryId> wing;
        if (next.of_wing) wing = fitted("wing").id;
        book.say(*next.at, CounterRead{wing, next.of_wing ? Counter::air : Counter::running, 30 * 3600.0});
        break;
      }
      case What::part_made: {
        PartRegistered reserve;
        reserve.role = "reserve";
        reserve.made = utc(2021, 1, 1);
        book.amend(now, fitted("reserve").id, reserve);
        break;
      }
      case What::drill:
        book.say(now - std::chrono::hours(24), DrillPractised{"reserve", ""});
        break;
      case What::pilot:
        book.amend(now, *state.pilot, PilotRegistered{false, kilograms(80), "Kim"});
        break;
      case What::machine:
        book.amend(now, *state.machine, MachineRegistered{false, "Own"});
        break;
      case What::nothing:
      case What::first_recording:
      case What::close_finding:
        break;
    }
    if (next.what == What::nothing) break;
  }
  ASSERT_FALSE(asked.empty());
  EXPECT_EQ(asked.front(), What::fuel_left);  // what can hurt comes first
  EXPECT_EQ(asked.back(), What::nothing);
}

TEST(NextEntry, AGroundedMachineComesFirst) {
  BookBuilder book;
  const auto now = utc(2026, 5, 1, 12);
  book.assumed_machine(now);
  book.say(now, Finding{false, {}, "exhaust spring worn"});
  book.say(now, Finding{true, {}, "crack in the exhaust bracket"});
  const auto state = fold(book.entries);
  BriefRequest request;
  request.now = now;
  const auto next = next_entry(state, make_brief(state, request));
  EXPECT_EQ(next.what, What::close_finding);
  EXPECT_EQ(next.word, "bracket");  // "exhaust" would fit both
}

}  // namespace
}  // namespace headroom
