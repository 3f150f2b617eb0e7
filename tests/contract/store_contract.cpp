// What any book must do, held against the double and SQLite.
#include <gtest/gtest.h>

#include <memory>

#include "adapters/sqlite/store.h"
#include "formats/hash.h"
#include "support/chain_builder.h"
#include "support/memory_store.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

struct MemoryBook {
  MemoryStore& open() { return store; }
  MemoryStore store;
};
struct SqliteBook {
  // A second object on the same file at every call, so that what one wrote the other must read.
  SqliteStore& open() {
    stores.push_back(std::make_unique<SqliteStore>(folder / "a folder/book.db"));
    return *stores.back();
  }
  TempFolder folder;
  std::vector<std::unique_ptr<SqliteStore>> stores;
};

template <class Book>
class StoreContract : public ::testing::Test {
 protected:
  Store& store() { return book_.open(); }
  std::vector<EncodedEntry> all() {
    std::vector<EncodedEntry> out;
    EXPECT_TRUE(store().read(0, [&](const EncodedEntry& e) { return out.push_back(e), true; }));
    return out;
  }
  void append(const std::vector<EncodedEntry>& entries, const std::vector<NamedBlob>& blobs = {}) {
    const auto done = store().append(entries, blobs, store().heads().value());
    ASSERT_TRUE(done) << done.error().what;
  }
  ChainBuilder chain_{1}, other_{2};
  Book book_;
};

using Books = ::testing::Types<MemoryBook, SqliteBook>;
TYPED_TEST_SUITE(StoreContract, Books);

bool same(const EncodedEntry& a, const EncodedEntry& b) {
  return a.header == b.header && a.facts == b.facts && a.private_part == b.private_part && a.hash == b.hash;
}

TYPED_TEST(StoreContract, AFreshBookIsEmpty) {
  EXPECT_TRUE(this->store().heads().value().empty());
  EXPECT_EQ(this->store().entry_count().value(), 0U);
  EXPECT_EQ(this->store().contents().value(), Hash{});
  EXPECT_TRUE(this->store().blob_hashes().value().empty());
  EXPECT_FALSE(this->store().blob(sha256("x")).value().has_value());
  EXPECT_TRUE(this->all().empty());
  EXPECT_TRUE(this->store().self_check().value().empty());
}

TYPED_TEST(StoreContract, GivesBackTheSameBytesInOrderOfArrival) {
  const std::vector<EncodedEntry> written{this->chain_.note("one \"quoted\" \n\x01"), this->chain_.note("zwei \xc3\xa4"),
                                          this->other_.note("3")};
  this->append(written);
  const auto read = this->all();
  ASSERT_EQ(read.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_TRUE(same(read[i], written[i])) << i;
  EXPECT_EQ(this->store().entry_count().value(), 3U);
}

TYPED_TEST(StoreContract, ReadsOnFromAPlace) {
  this->append({this->chain_.note("1"), this->chain_.note("2"), this->chain_.note("3")});
  int seen = 0;
  ASSERT_TRUE(this->store().read(2, [&](const EncodedEntry&) { return ++seen, true; }));
  EXPECT_EQ(seen, 1);
  ASSERT_TRUE(this->store().read(3, [&](const EncodedEntry&) { return ++seen, true; }));
  EXPECT_EQ(seen, 1);
}

TYPED_TEST(StoreContract, StopsWhenAskedTo) {
  this->append({this->chain_.note("1"), this->chain_.note("2"), this->chain_.note("3")});
  int seen = 0;
  ASSERT_TRUE(this->store().read(0, [&](const EncodedEntry&) { return ++seen < 2; }));
  EXPECT_EQ(seen, 2);
}

TYPED_TEST(StoreContract, HeadsAreTheLastOfEachWriterSortedByWriter) {
  this->append({this->chain_.note("1"), this->other_.note("a"), this->chain_.note("2")});
  Heads expected{this->chain_.head(), this->other_.head()};
  std::sort(expected.begin(), expected.end());
  EXPECT_EQ(this->store().heads().value(), expected);
}

TYPED_TEST(StoreContract, RefusesToAppendToABookThatMovedOn) {
  const auto heads = this->store().heads().value();
  this->append({this->chain_.note("1")});
  const std::vector<EncodedEntry> late{this->other_.note("late")};
  const std::string bytes = "recording";
  const std::vector<NamedBlob> blobs{{sha256(bytes), bytes}};
  const auto done = this->store().append(late, blobs, heads);
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::conflict);
  EXPECT_EQ(this->store().entry_count().value(), 1U);
  EXPECT_TRUE(this->store().blob_hashes().value().empty());
}

TYPED_TEST(StoreContract, AnEntryAlreadyThereIsSkipped) {
  const auto one = this->chain_.note("1"), two = this->chain_.note("2");
  this->append({one});
  this->append({one, two, two});
  EXPECT_EQ(this->store().entry_count().value(), 2U);
  EXPECT_TRUE(this->store().self_check().value().empty());
}

TYPED_TEST(StoreContract, APartThatWasLeftOutIsFilledInLater) {
  const auto whole = this->chain_.note("1");
  auto cut = whole;
  cut.private_part.reset();
  this->append({cut});
  EXPECT_FALSE(this->all()[0].private_part.has_value());
  const auto before = this->store().contents().value();
  this->append({whole});
  EXPECT_TRUE(same(this->all()[0], whole));
  EXPECT_NE(this->store().contents().value(), before);
  EXPECT_EQ(this->store().contents().value(), whole.hash);
  this->append({cut});
  EXPECT_TRUE(same(this->all()[0], whole));
  EXPECT_EQ(this->store().contents().value(), whole.hash);
  EXPECT_TRUE(this->store().self_check().value().empty());
}

TYPED_TEST(StoreContract, AForkIsKeptOnBothSides) {
  const auto one = this->chain_.note("1");
  const auto two = this->chain_.note("2");
  this->chain_.go_back_to(1, one.hash);
  const auto fork = this->chain_.note("2, told otherwise");
  this->append({one, two});
  this->append({fork});
  EXPECT_EQ(this->store().entry_count().value(), 3U);
  const auto heads = this->store().heads().value();
  ASSERT_EQ(heads.size(), 1U);
  EXPECT_EQ(heads[0].number, 2U);
  EXPECT_EQ(heads[0].hash, std::min(two.hash, fork.hash));
}

TYPED_TEST(StoreContract, TheFingerprintDoesNotDependOnTheOrderOfArrival) {
  const auto a = this->chain_.note("1"), b = this->other_.note("a"), c = this->chain_.note("2");
  this->append({a, b, c});
  MemoryStore reversed;
  ASSERT_TRUE(reversed.append(std::vector{c, b, a}, {}, {}));
  EXPECT_EQ(this->store().contents().value(), reversed.contents().value());
  EXPECT_EQ(this->store().heads().value(), reversed.heads().value());
}

TYPED_TEST(StoreContract, RefusesAnEntryWhoseBytesDoNotFitItsHash) {
  auto good = this->chain_.note("1"), bad = this->chain_.note("2");
  bad.private_part->back() = ' ';
  const auto done = this->store().append(std::vector{good, bad}, {}, {});
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::bad_input);
  EXPECT_EQ(this->store().entry_count().value(), 0U);
  EXPECT_TRUE(this->store().heads().value().empty());
}

TYPED_TEST(StoreContract, KeepsBlobsByTheirHashOnce) {
  const std::string empty, text = "AXXX\r\n", rubbish("\x00\xff\x00", 3);
  const std::vector<NamedBlob> blobs{{sha256(empty), empty}, {sha256(text), text}, {sha256(rubbish), rubbish}};
  this->append({}, blobs);
  this->append({this->chain_.note("1")}, blobs);
  for (const auto& b : blobs) EXPECT_EQ(this->store().blob(b.hash).value().value(), b.bytes);
  auto expected = std::vector{blobs[0].hash, blobs[1].hash, blobs[2].hash};
  std::sort(expected.begin(), expected.end());
  EXPECT_EQ(this->store().blob_hashes().value(), expected);
}

// An inflow that breaks off in the middle.
class Broken final : public Inflow {
 public:
  explicit Broken(EncodedEntry e) : entry_(std::move(e)) {}
  Result<const EncodedEntry*> next_entry() override {
    if (++calls_ == 1) return &entry_;
    return fail(ErrorKind::bad_input, "the source broke off");
  }
  Result<std::optional<NamedBlob>> next_blob() override { return std::optional<NamedBlob>(); }

 private:
  EncodedEntry entry_;
  int calls_ = 0;
};

TYPED_TEST(StoreContract, KeepsNothingOfASourceThatBreaksOff) {
  Broken broken(this->chain_.note("1"));
  const auto done = this->store().append_from(broken, {});
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().what, "the source broke off");
  EXPECT_EQ(this->store().entry_count().value(), 0U);
  EXPECT_EQ(this->store().contents().value(), Hash{});
}

}  // namespace
}  // namespace headroom
