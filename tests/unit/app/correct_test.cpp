#include "app/correct.h"

#include <gtest/gtest.h>

#include "app/book_reading.h"
#include "app/book_verify.h"
#include "app/load_state.h"
#include "app/part_history.h"
#include "support/world.h"

namespace headroom {
namespace {

struct CorrectTest : ::testing::Test {
  MemoryWorld world;

  std::uint64_t enter_one(PlainFacts facts, UtcTime at) {
    EnterRequest request;
    request.at = at;
    request.facts = [&](const Subjects&) { return Result<PlainFacts>(facts); };
    const auto answer = enter(request, world.ports);
    EXPECT_TRUE(answer) << answer.error().what;
    later();
    return answer->number;
  }
  std::uint64_t enter_one(PlainFacts facts) { return enter_one(std::move(facts), world.clock.time); }
  void later() { world.clock.time += std::chrono::seconds(10); }

  Result<CorrectionAnswer> amend_to(std::uint64_t number, PlainFacts facts, std::optional<UtcTime> at = {}) {
    AmendRequest request;
    request.entry = std::to_string(number);
    request.facts = [facts](const Subjects&, const PlainFacts&) { return Result<PlainFacts>(facts); };
    request.at = at;
    request.reason = "misread";
    auto answer = amend(request, world.ports);
    later();
    return answer;
  }
  Result<CorrectionAnswer> void_one(std::uint64_t number, std::string reason = "wrong") {
    auto answer = void_entry({std::to_string(number), std::move(reason), 0}, world.ports);
    later();
    return answer;
  }
  State state() { return load_state(world.ports)->state; }
  std::uint64_t count() { return (*world.ports.book.to_read())->entry_count().value(); }
};

CounterRead hours_read(double h) {
  return CounterRead{std::nullopt, Counter::running, h * 3600};
}

TEST_F(CorrectTest, AnAmendmentHoldsAndTheEntryStaysInTheBook) {
  const auto number = enter_one(PlugRead{PlugColour::tan, false, PlugMixture::unsaid});
  const auto before = count();
  const auto answer = amend_to(number, PlugRead{PlugColour::black, true, PlugMixture::unsaid});
  ASSERT_TRUE(answer) << answer.error().what;
  EXPECT_EQ(answer->of_number, number);
  EXPECT_EQ(answer->number, before + 1);
  EXPECT_EQ(count(), before + 1);
  ASSERT_EQ(state().plugs.size(), 1U);
  EXPECT_EQ(state().plugs[0].read.colour, PlugColour::black);
  EXPECT_EQ(std::get<PlugRead>(*answer->before).colour, PlugColour::tan);
  EXPECT_EQ(std::get<PlugRead>(*answer->after).colour, PlugColour::black);
  QuietProgress quiet;
  EXPECT_TRUE(verify_book(**world.ports.book.to_read(), quiet)->sound());
}

TEST_F(CorrectTest, TheTimeAloneCanBeAmended) {
  const auto number = enter_one(Note{"first light"});
  AmendRequest request;
  request.entry = std::to_string(number);
  request.at = world.clock.time - std::chrono::hours(48);
  const auto answer = amend(request, world.ports);
  ASSERT_TRUE(answer) << answer.error().what;
  EXPECT_EQ(answer->at_after, *request.at);
  EXPECT_EQ(std::get<Note>(*answer->after).private_text, "first light");
  request.at = world.clock.time + std::chrono::hours(48);
  EXPECT_EQ(amend(request, world.ports).error().kind, ErrorKind::out_of_range);
  request.at.reset();
  EXPECT_EQ(amend(request, world.ports).error().kind, ErrorKind::bad_input);
}

TEST_F(CorrectTest, AFlightMovesWithItsLaunch) {
  enter_one(Note{"begins the book"});
  FlightEntry flight;
  flight.machine = *state().machine;
  flight.pilot = *state().pilot;
  flight.launch = world.clock.time - std::chrono::hours(5);
  flight.air_time = minutes(45);
  flight.landing = flight.launch + std::chrono::minutes(45);
  const auto number = enter_one(flight, flight.launch);
  AmendRequest request;
  request.entry = std::to_string(number);
  request.at = flight.launch - std::chrono::hours(24);
  ASSERT_TRUE(amend(request, world.ports));
  ASSERT_EQ(state().flights.size(), 1U);
  EXPECT_EQ(state().flights[0].launch, *request.at);
  EXPECT_EQ(state().flights[0].landing, *request.at + std::chrono::minutes(45));
}

TEST_F(CorrectTest, WhatWouldNotBeAnAmendmentIsRefusedAndNothingIsWritten) {
  const auto number = enter_one(hours_read(41.2));
  const auto before = count();
  EXPECT_EQ(amend_to(number, Note{"x"}).error().kind, ErrorKind::bad_input);                               // another kind
  EXPECT_EQ(amend_to(number, Reading{"head_maximum", 2000, "K", {}}).error().kind, ErrorKind::bad_input);  // another kind
  EXPECT_EQ(amend_to(number, hours_read(-3)).error().kind, ErrorKind::out_of_range);
  EXPECT_EQ(amend_to(1, Setting{"book_is", "simulated"}).error().kind, ErrorKind::refused);
  EXPECT_EQ(amend_to(99, hours_read(1)).error().kind, ErrorKind::not_found);
  EXPECT_EQ(void_one(number, "  ").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(void_one(1).error().kind, ErrorKind::refused);
  EXPECT_EQ(count(), before);
}

TEST_F(CorrectTest, AVoidCountsForNothingAndCanBeTakenBack) {
  const auto number = enter_one(Note{"twice"});
  ASSERT_EQ(state().notes, 1U);
  const auto gone = void_one(number);
  ASSERT_TRUE(gone) << gone.error().what;
  EXPECT_FALSE(gone->after);
  EXPECT_EQ(state().notes, 0U);
  EXPECT_EQ(void_one(number).error().kind, ErrorKind::refused);             // already
  EXPECT_EQ(amend_to(number, Note{"y"}).error().kind, ErrorKind::refused);  // first bring it back
  const auto back = void_one(gone->number);
  ASSERT_TRUE(back) << back.error().what;
  EXPECT_TRUE(back->took_back);
  EXPECT_TRUE(back->after);
  EXPECT_EQ(state().notes, 1U);
}

TEST_F(CorrectTest, WhatOthersSpeakOfIsNotVoided) {
  const auto finding = enter_one(Finding{true, {}, "crack"});
  enter_one(FindingClosed{state().findings[0].id, "welded"});
  const auto before = count();
  EXPECT_EQ(void_one(2).error().kind, ErrorKind::refused);  // the machine
  const auto refused = void_one(finding);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.error().what.find("speaks of entry " + std::to_string(finding)), std::string::npos) << refused.error().what;
  EXPECT_EQ(count(), before);
}

TEST_F(CorrectTest, NamingAnAmendmentMeansWhatItAmends) {
  const auto number = enter_one(Note{"a"});
  const auto first = amend_to(number, Note{"b"});
  ASSERT_TRUE(first);
  const auto second = amend_to(first->number, Note{"c"});
  ASSERT_TRUE(second) << second.error().what;
  EXPECT_EQ(second->of_number, number);
  const auto book = read_book(**world.ports.book.to_read());
  ASSERT_TRUE(book);
  const auto& entry = book->entries[number - 1];
  EXPECT_EQ(std::get<Note>(*entry.facts).private_text, "c");
  ASSERT_EQ(entry.corrected.size(), 2U);
  EXPECT_FALSE(entry.corrected[0].holds);
  EXPECT_TRUE(entry.corrected[1].holds);
  EXPECT_EQ(entry.corrected[1].reason, "misread");
}

TEST_F(CorrectTest, AClockThatRunsBehindIsToldInsteadOfALostCorrection) {
  const auto number = enter_one(Note{"a"});
  ASSERT_TRUE(amend_to(number, Note{"b"}));
  const auto before = count();
  world.clock.time -= std::chrono::hours(1);
  EXPECT_EQ(amend_to(number, Note{"c"}).error().kind, ErrorKind::refused);
  EXPECT_EQ(count(), before);
}

TEST_F(CorrectTest, AnEntryIsFoundByNumberIdAndHash) {
  const auto number = enter_one(Note{"a"});
  const auto book = read_book(**world.ports.book.to_read()).value();
  const auto& entry = *book.entries[number - 1].entry;
  for (const auto& word :
       {std::to_string(number), "#" + std::to_string(number), entry.header.id.text(), entry.hash.text().substr(0, 20)}) {
    const auto found = find_entry(book, word);
    ASSERT_TRUE(found) << word << ": " << found.error().what;
    EXPECT_EQ((*found)->number, number) << word;
  }
  EXPECT_EQ(find_entry(book, "0").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(find_entry(book, "").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(find_entry(book, "999999").error().kind, ErrorKind::not_found);
  EXPECT_EQ(find_entry(book, "ffffffff").error().kind, ErrorKind::not_found);
  // All of one moment share the time at the front of their ids.
  EXPECT_EQ(find_entry(book, entry.header.id.text().substr(0, 4)).error().kind, ErrorKind::bad_input);
}

// The owner's own part took the place of an assumed one, and with it what that one had flown was lost: a service done before
// the day on which the book began was not seen.
TEST_F(CorrectTest, TheOwnersPartKeepsWhatTheAssumedOneHadBehindIt) {
  PartRegistered reserve;
  reserve.role = "reserve";
  reserve.private_name = "Own";
  reserve.made = utc(2021, 5, 1);
  enter_one(reserve);
  enter_one(ServiceDone{"reserve_repack", {}, ""}, world.clock.time - std::chrono::hours(24 * 60));
  const auto now = state();
  ASSERT_EQ(now.services.size(), 1U);
  const auto* part = now.part(now.services[0].part);
  ASSERT_NE(part, nullptr);
  EXPECT_EQ(part->name, "Own");
  const auto book = read_book(**world.ports.book.to_read()).value();
  EXPECT_TRUE(speaks_of_part(book.entries.back(), *part, now));
  for (const auto& other : now.parts)
    if (other.id != part->id) {
      EXPECT_FALSE(speaks_of_part(book.entries.back(), other, now)) << other.role;
    }
}

}  // namespace
}  // namespace headroom
