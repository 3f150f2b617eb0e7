// From entries through the fold to what is learned.
#include <gtest/gtest.h>

#include "core/learn/learned.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

using testing::BookBuilder;

UtcTime from_book_day(int k) {
  return UtcTime(std::chrono::hours(24 * (19000 + k) + 9));
}
FlightEntry from_book_flight(BookBuilder& b, int day, double trim) {
  auto flight = b.flight_of(from_book_day(day), hours(1));
  FlightMeasure m;
  m.kind = MeasureKind::trim_airspeed;
  m.as_flown = {Dimension::speed, trim - 0.1, trim, trim + 0.1, measured(), {}};
  m.learnable = true;
  flight.measures = {m};
  return flight;
}
Learned from_book(const BookBuilder& b) {
  const auto s = b.folded();
  return *learned_now(s, LearnedKind::trim_airspeed, *s.machine, *s.pilot);
}

TEST(LearnedFromBook, VoidingTheNewestFlightIsLeavingItOut) {
  BookBuilder b;
  b.own_machine(from_book_day(0));
  std::vector<EntryId> ids;
  for (int k = 1; k <= 6; ++k) ids.push_back(b.say(from_book_day(k), from_book_flight(b, k, 10.5 + 0.1 * k)));
  const auto all = from_book(b);
  EXPECT_EQ(all.from, ids);
  EXPECT_EQ(all.value.basis, learned_from(6));
  b.void_entry(from_book_day(8), ids.back());
  const auto less = from_book(b);
  EXPECT_EQ(less.n, 5);
  EXPECT_EQ(less.value.low, all.without_newest->low);
  EXPECT_EQ(less.value.high, all.without_newest->high);
}

TEST(LearnedFromBook, AnotherWingAndBackAgain) {
  BookBuilder b;
  b.own_machine(from_book_day(0));
  EntryId first;
  for (const auto& part : b.folded().parts)
    if (part.role == "wing") first = part.id;
  for (int k = 1; k <= 6; ++k) b.say(from_book_day(k), from_book_flight(b, k, 10.5));
  const auto before = from_book(b);
  PartRegistered wing;
  wing.role = "wing";
  const auto second = b.say(from_book_day(7), wing);
  b.say(from_book_day(7), PartRemoved{first, {}});
  b.say(from_book_day(7), PartFitted{second, b.machine});
  const auto other = from_book(b);
  EXPECT_EQ(other.n, 0);
  EXPECT_EQ(other.n_before, 6);
  EXPECT_GT(other.value.high - other.value.low, before.value.high - before.value.low);
  for (int k = 8; k <= 10; ++k) b.say(from_book_day(k), from_book_flight(b, k, 12));
  EXPECT_EQ(from_book(b).n, 3);
  b.say(from_book_day(11), PartRemoved{second, {}});
  b.say(from_book_day(11), PartFitted{first, b.machine});
  EXPECT_EQ(from_book(b).value.low, before.value.low);
  EXPECT_EQ(from_book(b).value.high, before.value.high);
}

}  // namespace
}  // namespace headroom
