#include "app/record.h"

#include <gtest/gtest.h>

#include "formats/chain.h"
#include "formats/entry_json.h"
#include "formats/hash.h"
#include "support/chain_builder.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"
#include "support/memory_store.h"

namespace headroom {
namespace {

// Lets another writer slip in right before the first `times` appends.
class Contended final : public MemoryStore {
 public:
  explicit Contended(int times) : left_(times) {}
  Result<void> append_from(Inflow& inflow, const Heads& expected) override {
    if (left_ > 0) {
      --left_;
      const auto note = other_.note("meanwhile");
      struct One final : Inflow {
        explicit One(const EncodedEntry& e) : entry(&e) {}
        Result<const EncodedEntry*> next_entry() override { return std::exchange(entry, nullptr); }
        Result<std::optional<NamedBlob>> next_blob() override { return std::optional<NamedBlob>(); }
        const EncodedEntry* entry;
      } one(note);
      EXPECT_TRUE(MemoryStore::append_from(one, heads().value()));
    }
    return MemoryStore::append_from(inflow, expected);
  }

 private:
  int left_;
  ChainBuilder other_{99};
};

struct RecordTest : ::testing::Test {
  FakeClock clock;
  FakeRandom random{7};
  WriterId writer = fresh_id(clock.time, random);
  std::vector<Draft> drafts{{std::nullopt, PlainFacts(Note{"one"}), utc(2026, 5, 1), 60},
                            {std::nullopt, PlainFacts(Note{"two"}), utc(2026, 5, 1, 12), -90}};
};

TEST_F(RecordTest, ChainsTheEntriesOfOneWriter) {
  MemoryStore store;
  const auto ids = record(drafts, {}, store, writer, clock, random);
  ASSERT_TRUE(ids);
  ASSERT_TRUE(record(drafts, {}, store, writer, clock, random));
  std::vector<EntryHeader> headers;
  std::vector<Hash> hashes;
  ASSERT_TRUE(store.read(0, [&](const EncodedEntry& e) {
    headers.push_back(check_bytes(e).value());
    hashes.push_back(e.hash);
    return true;
  }));
  ASSERT_EQ(headers.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(headers[i].number, i + 1);
    EXPECT_EQ(headers[i].writer, writer);
    EXPECT_EQ(headers[i].before, i == 0 ? Hash{} : hashes[i - 1]);
    EXPECT_EQ(headers[i].written, clock.time);
  }
  EXPECT_EQ(headers[0].id, (*ids)[0]);
  EXPECT_EQ(headers[1].at, utc(2026, 5, 1, 12));
  EXPECT_EQ(headers[1].offset_min, -90);
}

TEST_F(RecordTest, ComputesTheChainAgainWhenTheBookMovedOn) {
  Contended store(4);
  const auto ids = record(drafts, {}, store, writer, clock, random);
  ASSERT_TRUE(ids) << ids.error().what;
  EXPECT_EQ(store.entry_count().value(), 6U);
}

TEST_F(RecordTest, GivesUpWhenTheBookNeverStandsStill) {
  Contended store(5);
  const auto ids = record(drafts, {}, store, writer, clock, random);
  ASSERT_FALSE(ids);
  EXPECT_EQ(ids.error().kind, ErrorKind::conflict);
  EXPECT_EQ(store.entry_count().value(), 5U) << "only what the others wrote";
}

TEST_F(RecordTest, WritesNothingWhenOneOfTheEntriesCannotBeWritten) {
  MemoryStore store;
  drafts[1].facts = PlainFacts(Reading{"head_temperature_highest", std::nan(""), "K", std::nullopt});
  const std::string bytes = "B";
  const std::vector<NamedBlob> blobs{{sha256(bytes), bytes}};
  const auto ids = record(drafts, blobs, store, writer, clock, random);
  ASSERT_FALSE(ids);
  EXPECT_EQ(ids.error().kind, ErrorKind::out_of_range);
  EXPECT_EQ(store.entry_count().value(), 0U);
  EXPECT_TRUE(store.blob_hashes().value().empty());
}

TEST_F(RecordTest, KeepsAGivenIdAndPreviewsTheSame) {
  MemoryStore store;
  drafts[0].id = fresh_id(clock.time, random);
  const auto ids = record(drafts, {}, store, writer, clock, random);
  ASSERT_TRUE(ids);
  EXPECT_EQ((*ids)[0], *drafts[0].id);
  const auto shown = preview(drafts[0], clock.time);
  ASSERT_TRUE(store.read(0, [&](const EncodedEntry& bytes) {
    const auto entry = decode(bytes).value();
    EXPECT_EQ(entry.header.id, shown.header.id);
    EXPECT_EQ(entry.header.kind, shown.header.kind);
    EXPECT_EQ(entry.header.at, shown.header.at);
    EXPECT_EQ(std::get<Note>(std::get<PlainFacts>(entry.facts)).private_text, "one");
    return false;
  }));
}

TEST_F(RecordTest, ABookSaysFromItsFirstEntryWhetherItIsReal) {
  MemoryStore store;
  EXPECT_FALSE(book_is(store).value().has_value());
  const std::vector<Draft> first{{std::nullopt, PlainFacts(Setting{kBookIs, "simulated"}), clock.time, 0}};
  ASSERT_TRUE(record(first, {}, store, writer, clock, random));
  ASSERT_TRUE(record(drafts, {}, store, writer, clock, random));
  const auto is = book_is(store).value();
  EXPECT_EQ(is, BookIs::simulated);
  EXPECT_TRUE(refuse_mixing(is, BookIs::simulated, "the recording"));
  const auto refused = refuse_mixing(is, BookIs::real, "the recording");
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().kind, ErrorKind::refused);
  EXPECT_TRUE(refuse_mixing(std::nullopt, BookIs::real, "the recording"));
}

}  // namespace
}  // namespace headroom
