// A small book is damaged, exported, imported and merged: what must be found, and what must come back.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "adapters/sqlite/database.h"
#include "adapters/sqlite/store.h"
#include "adapters/system/files.h"
#include "app/book_export.h"
#include "app/book_import.h"
#include "app/book_list.h"
#include "app/book_verify.h"
#include "app/record.h"
#include "formats/hash.h"
#include "support/chain_builder.h"
#include "support/memory_files.h"
#include "support/memory_store.h"
#include "support/quiet_progress.h"
#include "support/sample_facts.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

const std::string kRecording = "AXXX001\r\nB0710305012345N00612345EA0041200450\r\n";

Facts book_setting(const char* is) {
  return PlainFacts(Setting{kBookIs, is});
}

RecordingAttached attached(const std::string& bytes, bool simulated = false) {
  RecordingAttached r;
  r.recording = sha256(bytes);
  r.bytes = bytes.size();
  r.format = "igc";
  r.fixes = 1;
  r.lines = 2;
  r.simulated = simulated;
  r.private_file_name = "a.igc";
  return r;
}

// A book of a setting, a recording, a flight, and notes; and a second writer.
std::vector<EncodedEntry> small_book(std::uint64_t seed = 1) {
  ChainBuilder chain(seed), other(seed + 100);
  std::vector<EncodedEntry> entries{chain.add(book_setting("real")), chain.add(PlainFacts(attached(kRecording))),
                                    chain.add(PlainFacts(sample_flight()))};
  entries.push_back(other.note("from the phone"));
  entries.push_back(chain.note("\xc3\xa4 \"quoted\" \\ \n"));
  entries.push_back(other.note(""));
  return entries;
}

void fill(Store& store, const std::vector<EncodedEntry>& entries, bool with_blob = true) {
  std::vector<NamedBlob> blobs;
  if (with_blob) blobs.push_back({sha256(kRecording), kRecording});
  const auto done = store.append(entries, blobs, store.heads().value());
  ASSERT_TRUE(done) << done.error().what;
}

VerifyAnswer verify(Store& store) {
  QuietProgress progress;
  return verify_book(store, progress).value();
}

std::string said(const VerifyAnswer& answer) {
  std::string all;
  for (const auto& f : answer.chain.faults) all += std::to_string(f.place) + ": " + f.entry + ": " + f.what + "\n";
  return all;
}

std::vector<Hash> hashes_of(Store& store) {
  std::vector<Hash> hashes;
  EXPECT_TRUE(store.read(0, [&](const EncodedEntry& e) { return hashes.push_back(e.hash), true; }));
  std::sort(hashes.begin(), hashes.end());
  return hashes;
}

bool names_place(const VerifyAnswer& answer, std::uint64_t place) {
  return std::any_of(answer.chain.faults.begin(), answer.chain.faults.end(),
                     [&](const ChainFault& f) { return f.place == place; });
}

TEST(BookVerify, AnUntouchedBookIsSound) {
  MemoryStore store;
  fill(store, small_book());
  const auto answer = verify(store);
  EXPECT_TRUE(answer.sound()) << said(answer);
  EXPECT_EQ(answer.chain.entries, 6U);
  EXPECT_EQ(answer.chain.writers.size(), 2U);
  EXPECT_EQ(answer.blobs, 1U);
  EXPECT_EQ(answer.blob_bytes, kRecording.size());
  EXPECT_TRUE(answer.chain.left_out.empty());
}

// Every byte of every header, part, hash and recording, one at a time.
TEST(BookVerify, NamesTheEntryOfAnyFlippedByte) {
  MemoryStore store;
  fill(store, small_book());
  std::size_t flips = 0;
  for (std::size_t i = 0; i < 6; ++i) {
    auto& e = store.raw(i);
    const auto flip = [&](auto& bytes, const char* what) {
      for (std::size_t b = 0; b < bytes.size(); ++b, ++flips) {
        const auto kept = bytes[b];
        bytes[b] = static_cast<std::decay_t<decltype(kept)>>(kept ^ (1 << (b % 8)));
        const auto answer = verify(store);
        EXPECT_TRUE(names_place(answer, i + 1)) << what << " byte " << b << " of entry " << i + 1 << "\n" << said(answer);
        bytes[b] = kept;
      }
    };
    flip(e.header, "header");
    flip(*e.facts, "facts");
    flip(*e.private_part, "private");
    flip(e.hash.bytes, "hash");
  }
  auto& blob = store.raw_blob(sha256(kRecording));
  for (auto& c : blob) {
    c = static_cast<char>(c ^ 4);
    EXPECT_TRUE(names_place(verify(store), 2)) << "the entry that attaches the recording";
    c = static_cast<char>(c ^ 4);
  }
  EXPECT_GT(flips, 4000U);
  EXPECT_TRUE(verify(store).sound());
}

TEST(BookVerify, NamesTheIdAndNumberOfADamagedPart) {
  MemoryStore store;
  const auto entries = small_book();
  fill(store, entries);
  store.raw(2).facts->at(60) ^= 1;
  const auto header = decode_header(entries[2].header).value();
  const auto answer = verify(store);
  ASSERT_EQ(answer.chain.faults.size(), 1U) << said(answer);
  EXPECT_NE(answer.chain.faults[0].entry.find(header.id.text()), std::string::npos);
  EXPECT_NE(answer.chain.faults[0].entry.find("number 3 of writer " + header.writer.text()), std::string::npos);
}

// The same in the rows of the file, by a stranger's connection.
TEST(BookVerify, NamesTheEntryOfAByteFlippedInTheFile) {
  const TempFolder folder;
  SqliteStore store(folder / "book.db");
  fill(store, small_book());
  ASSERT_TRUE(verify(store).sound()) << said(verify(store));
  sqlite::Database db;
  ASSERT_EQ(db.open(folder / "book.db", SQLITE_OPEN_READWRITE, nullptr, std::chrono::seconds(1)), SQLITE_OK);
  ASSERT_EQ(db.run("PRAGMA foreign_keys = OFF; PRAGMA synchronous = OFF"), SQLITE_OK);
  for (const std::string column : {"hash", "header", "facts", "private"}) {
    for (int place = 1; place <= 6; ++place) {
      std::string bytes;
      {
        sqlite::Statement s(db, "SELECT " + column + " FROM entries WHERE place = " + std::to_string(place));
        ASSERT_EQ(s.step(), SQLITE_ROW);
        bytes = s.bytes(0);
      }
      const auto put = [&](const std::string& text) {
        sqlite::Statement s(db, "UPDATE entries SET " + column + " = ? WHERE place = " + std::to_string(place));
        (column == "hash" ? s.blob(1, text) : s.text(1, text));
        ASSERT_EQ(s.step(), SQLITE_DONE) << sqlite3_errmsg(db.handle());
      };
      for (std::size_t b = 0; b < bytes.size(); b += 37) {
        auto flipped = bytes;
        flipped[b] = static_cast<char>(flipped[b] ^ (1 << (b % 8)));
        put(flipped);
        EXPECT_TRUE(names_place(verify(store), static_cast<std::uint64_t>(place))) << column << " " << place << " " << b;
      }
      put(bytes);
    }
  }
  EXPECT_TRUE(verify(store).sound()) << said(verify(store));
}

TEST(BookVerify, SaysWhatWasTakenOut) {
  {
    MemoryStore store;
    fill(store, small_book());
    store.remove_raw(1);
    const auto answer = verify(store);
    ASSERT_FALSE(answer.sound());
    EXPECT_NE(said(answer).find("entry number 2 is missing"), std::string::npos) << said(answer);
  }
  // The last entry of a chain is missed by no link; the file's own fingerprint misses it.
  const TempFolder folder;
  SqliteStore store(folder / "book.db");
  fill(store, small_book());
  sqlite::Database db;
  ASSERT_EQ(db.open(folder / "book.db", SQLITE_OPEN_READWRITE, nullptr, std::chrono::seconds(1)), SQLITE_OK);
  ASSERT_EQ(db.run("DELETE FROM entries WHERE place = 6"), SQLITE_OK);
  EXPECT_FALSE(verify(store).sound());
  ASSERT_EQ(db.run("DELETE FROM blobs"), SQLITE_OK);
  EXPECT_NE(said(verify(store)).find("recording that it attaches is not in the book"), std::string::npos);
}

TEST(BookVerify, SaysWhatWasLeftOutAndThatTheGapIsProven) {
  MemoryStore store;
  auto entries = small_book();
  entries[1].private_part.reset();
  entries[4].private_part.reset();
  entries[4].facts.reset();
  fill(store, entries, false);
  const auto answer = verify(store);
  EXPECT_TRUE(answer.sound()) << said(answer);
  ASSERT_EQ(answer.chain.left_out.size(), 3U);
  EXPECT_EQ(answer.chain.left_out[0].place, 2U);
  EXPECT_EQ(answer.chain.left_out[0].part, "private");
  EXPECT_EQ(answer.chain.left_out[1].part, "facts");
  EXPECT_EQ(answer.chain.left_out[2].place, 5U);
  ASSERT_EQ(answer.blobs_left_out.size(), 1U) << "the recording of an entry without its private part";
}

TEST(BookVerify, ListsForksWithoutCallingThemDamage) {
  MemoryStore store;
  ChainBuilder chain;
  const auto one = chain.note("1");
  const auto two = chain.note("2"), three = chain.note("3");
  chain.go_back_to(1, one.hash);
  const auto fork = chain.note("2, told otherwise");
  fill(store, {one, two, three, fork}, false);
  const auto answer = verify(store);
  EXPECT_TRUE(answer.sound()) << said(answer);
  ASSERT_EQ(answer.chain.forks.size(), 1U);
  EXPECT_EQ(answer.chain.forks[0].number, 2U);
  EXPECT_EQ(answer.chain.forks[0].entries.size(), 2U);
}

TEST(BookVerify, StopsWhenAsked) {
  MemoryStore store;
  fill(store, small_book());
  QuietProgress progress;
  progress.stop_after = 0;
  EXPECT_FALSE(verify_book(store, progress));
}

struct Moved {
  MemoryFiles files;
  QuietProgress progress;
  Result<ExportAnswer> out(Store& store, bool private_parts = true) {
    return export_book({"/out", private_parts}, store, files, progress);
  }
  Result<ImportAnswer> in(Store& store) { return import_book({"/out"}, store, files, progress); }
};

TEST(BookExport, ImportGivesBackEveryByte) {
  MemoryStore store, copy;
  fill(store, small_book());
  Moved moved;
  const auto out = moved.out(store);
  ASSERT_TRUE(out) << out.error().what;
  EXPECT_EQ(out->entries, 6U);
  EXPECT_EQ(out->recordings, 1U);
  EXPECT_EQ(moved.files.files.count("/out/recordings/" + sha256(kRecording).text() + ".igc"), 1U);
  const auto in = moved.in(copy);
  ASSERT_TRUE(in) << in.error().what << " " << in.error().where;
  EXPECT_EQ(in->entries_new, 6U);
  EXPECT_EQ(in->recordings_new, 1U);
  EXPECT_EQ(in->recordings_missing, 0U);
  EXPECT_EQ(copy.contents().value(), store.contents().value());
  EXPECT_EQ(copy.heads().value(), store.heads().value());
  EXPECT_EQ(copy.blob(sha256(kRecording)).value(), kRecording);
  EXPECT_TRUE(verify(copy).sound());
  const auto again = moved.in(copy);
  ASSERT_TRUE(again);
  EXPECT_EQ(again->entries_new, 0U);
  EXPECT_EQ(copy.entry_count().value(), 6U);
}

TEST(BookExport, LeavesPrivatePartsAndRecordingsOutTogether) {
  MemoryStore store, copy;
  fill(store, small_book());
  Moved moved;
  ASSERT_TRUE(moved.out(store, false));
  ASSERT_EQ(moved.files.files.size(), 1U);
  EXPECT_EQ(moved.files.files.begin()->second.find("from the phone"), std::string::npos);
  const auto in = moved.in(copy);
  ASSERT_TRUE(in) << in.error().what;
  EXPECT_EQ(in->parts_left_out, 6U);
  EXPECT_EQ(in->recordings_missing, 1U);
  EXPECT_EQ(hashes_of(copy), hashes_of(store));
  EXPECT_TRUE(verify(copy).sound()) << said(verify(copy));
  // The whole export later fills the gaps.
  ASSERT_TRUE(moved.out(store));
  ASSERT_TRUE(moved.in(copy));
  EXPECT_EQ(copy.contents().value(), store.contents().value());
  EXPECT_EQ(verify(copy).chain.left_out.size(), 0U);
}

TEST(BookExport, RefusesADamagedBookAndWritesNoEntries) {
  MemoryStore store;
  fill(store, small_book());
  store.raw(4).private_part->at(50) ^= 1;
  Moved moved;
  const auto out = moved.out(store);
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::damaged);
  EXPECT_EQ(moved.files.files.count("/out/entries.jsonl"), 0U);
}

TEST(BookExport, RefusesAFolderWithOtherEntries) {
  MemoryStore store;
  fill(store, small_book());
  Moved moved;
  moved.files.folders.insert("/out");
  moved.files.files["/out/other.jsonl"] = "";
  EXPECT_EQ(moved.out(store).error().kind, ErrorKind::refused);
}

TEST(BookExport, SaysThatTheDiskIsFull) {
  MemoryStore store;
  fill(store, small_book());
  for (int writes = 0; writes < 2; ++writes) {
    Moved moved;
    moved.files.writes_left = writes;
    const auto out = moved.out(store);
    ASSERT_FALSE(out);
    EXPECT_EQ(out.error().kind, ErrorKind::io);
    EXPECT_EQ(moved.files.files.count("/out/entries.jsonl"), 0U);
  }
}

struct ImportRefuses : ::testing::Test {
  ImportRefuses() {
    fill(store, small_book());
    EXPECT_TRUE(moved.out(store));
  }
  std::string& lines() { return moved.files.files["/out/entries.jsonl"]; }
  Error refused() {
    MemoryStore fresh;
    const auto in = moved.in(fresh);
    EXPECT_FALSE(in);
    EXPECT_EQ(fresh.entry_count().value(), 0U) << "nothing may be written";
    EXPECT_TRUE(fresh.blob_hashes().value().empty());
    return in ? Error{ErrorKind::io, "it was taken", ""} : in.error();
  }
  MemoryStore store;
  Moved moved;
};

TEST_F(ImportRefuses, AFolderThatIsNotThereOrHoldsNothing) {
  moved.files.files.clear();
  EXPECT_EQ(refused().kind, ErrorKind::bad_input);
  moved.files.files["/out/entries.jsonl"] = "\n\n";
  EXPECT_EQ(refused().kind, ErrorKind::bad_input);
  moved.files.folders.clear();
  EXPECT_EQ(refused().kind, ErrorKind::not_found);
}

TEST_F(ImportRefuses, RubbishByFileAndLine) {
  lines() += "rubbish\n";
  const auto error = refused();
  EXPECT_EQ(error.kind, ErrorKind::bad_input);
  EXPECT_EQ(error.where, "/out/entries.jsonl, line 7");
}

TEST_F(ImportRefuses, ALineThatWasTakenOut) {
  const auto second = lines().find('\n') + 1;
  lines().erase(second, lines().find('\n', second) + 1 - second);
  const auto error = refused();
  EXPECT_NE(error.what.find("entry number 2 is missing"), std::string::npos) << error.what;
}

TEST_F(ImportRefuses, ARecordingThatWasChangedOrIsNoRecording) {
  const auto path = "/out/recordings/" + sha256(kRecording).text() + ".igc";
  moved.files.files[path][10] ^= 1;
  auto error = refused();
  EXPECT_EQ(error.kind, ErrorKind::bad_input);
  EXPECT_EQ(error.where, path);
  moved.files.files.erase(path);
  moved.files.files["/out/recordings/notes.txt"] = "x";
  EXPECT_EQ(refused().where, "/out/recordings/notes.txt");
}

TEST_F(ImportRefuses, AnyFlippedBitOfAnyLine) {
  auto& text = lines();
  for (std::size_t b = 0; b < text.size(); b += 3) {
    const char kept = text[b];
    text[b] = static_cast<char>(kept ^ (1 << (b % 7)));
    MemoryStore fresh;
    const auto in = moved.in(fresh);
    // A flip may leave the same meaning (a space for a tab between members has none here), but never other bytes.
    if (in) {
      EXPECT_EQ(hashes_of(fresh), hashes_of(store)) << b;
      EXPECT_EQ(fresh.contents().value(), store.contents().value()) << b;
    } else {
      EXPECT_EQ(fresh.entry_count().value(), 0U);
    }
    text[b] = kept;
  }
}

TEST_F(ImportRefuses, ASimulatedFolderForARealBookAndTheOtherWayRound) {
  for (const char* is : {"real", "simulated"}) {
    const bool simulated = std::string(is) == "simulated";
    MemoryStore source, target;
    ChainBuilder from(5), to(6);
    fill(source, {from.add(book_setting(simulated ? "real" : "simulated")), from.note("x")}, false);
    fill(target, {to.add(book_setting(is))}, false);
    Moved other;
    ASSERT_TRUE(other.out(source));
    const auto in = other.in(target);
    ASSERT_FALSE(in);
    EXPECT_EQ(in.error().kind, ErrorKind::refused);
    EXPECT_EQ(target.entry_count().value(), 1U);
    MemoryStore with_recording;
    ChainBuilder third(7);
    fill(with_recording, {third.add(PlainFacts(attached(kRecording, !simulated)))});
    ASSERT_TRUE(other.out(with_recording));
    EXPECT_EQ(other.in(target).error().kind, ErrorKind::refused);
  }
}

TEST(BookImport, IsAUnionAndSaysForks) {
  MemoryStore a, b;
  ChainBuilder chain;
  const auto one = chain.add(book_setting("real"));
  const auto two = chain.note("2");
  chain.go_back_to(1, one.hash);
  const auto fork = chain.note("2, told otherwise");
  fill(a, {one, two}, false);
  fill(b, {one, fork}, false);
  Moved moved;
  ASSERT_TRUE(moved.out(b));
  const auto in = moved.in(a);
  ASSERT_TRUE(in) << in.error().what;
  EXPECT_EQ(in->entries_new, 1U);
  EXPECT_EQ(a.entry_count().value(), 3U);
  EXPECT_EQ(verify(a).chain.forks.size(), 1U);
}

TEST(BookImport, TakesWhatFollowsFromEntriesTheBookHas) {
  MemoryStore book;
  ChainBuilder chain;
  const auto one = chain.note("1");
  fill(book, {one}, false);
  MemoryStore next_only;
  fill(next_only, {chain.note("2")}, false);
  Moved moved;
  ASSERT_TRUE(moved.out(next_only));
  EXPECT_TRUE(moved.in(book));
  MemoryStore fresh;
  EXPECT_FALSE(moved.in(fresh)) << "its entry before is nowhere";
}

TEST(BookExport, GoesFromFileToFileThroughRealFolders) {
  const TempFolder folder;
  SqliteStore store(folder / "book.db"), copy(folder / "copy.db");
  fill(store, small_book());
  SystemFiles files;
  QuietProgress progress;
  const auto out = export_book({folder / "out"}, store, files, progress);
  ASSERT_TRUE(out) << out.error().what;
  const auto in = import_book({folder / "out"}, copy, files, progress);
  ASSERT_TRUE(in) << in.error().what;
  EXPECT_EQ(in->recordings_new, 1U);
  EXPECT_EQ(copy.contents().value(), store.contents().value());
  EXPECT_TRUE(verify(copy).sound()) << said(verify(copy));
  EXPECT_EQ(export_book({folder / "out"}, store, files, progress)->recordings_there_already, 1U);
}

RC_GTEST_PROP(BookExport, ThenImportGivesEqualHashes, ()) {
  ChainBuilder chains[3]{ChainBuilder(11), ChainBuilder(12), ChainBuilder(13)};
  const auto samples = sample_facts();
  std::vector<EncodedEntry> entries;
  const int count = *rc::gen::inRange(1, 30);
  for (int i = 0; i < count; ++i) {
    auto e = chains[*rc::gen::inRange(0, 3)].add(samples[*rc::gen::inRange<std::size_t>(0, samples.size())]);
    if (*rc::gen::inRange(0, 5) == 0) e.private_part.reset();
    // The sample recording says it was simulated, the sample flight does not care.
    entries.push_back(std::move(e));
  }
  MemoryStore store;
  RC_ASSERT(store.append(entries, {}, {}).has_value());
  Moved moved;
  RC_ASSERT(moved.out(store).has_value());
  MemoryStore copy;
  const auto in = moved.in(copy);
  if (!in) RC_FAIL(in.error().what);
  RC_ASSERT(hashes_of(copy) == hashes_of(store));
  RC_ASSERT(copy.contents().value() == store.contents().value());
  RC_ASSERT(copy.heads().value() == store.heads().value());
}

RC_GTEST_PROP(BookImport, TheOrderOfTheUnionDoesNotMatter, ()) {
  const auto all = small_book();
  MemoryStore books[2];
  Moved moved;
  // Two owners hold overlapping prefixes of the same chains; whoever imports from whom ends with the same set.
  const auto cut_a = *rc::gen::inRange<std::size_t>(1, 7), cut_b = *rc::gen::inRange<std::size_t>(1, 7);
  const auto chain_order = [&](std::size_t n) {
    return std::vector<EncodedEntry>(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(n));
  };
  fill(books[0], chain_order(cut_a), false);
  fill(books[1], chain_order(cut_b), false);
  MemoryStore ab = books[0], ba = books[1];
  RC_ASSERT(moved.out(books[1]).has_value());
  RC_ASSERT(moved.in(ab).has_value());
  RC_ASSERT(moved.out(books[0]).has_value());
  RC_ASSERT(moved.in(ba).has_value());
  RC_ASSERT(hashes_of(ab) == hashes_of(ba));
  RC_ASSERT(ab.contents().value() == ba.contents().value());
  RC_ASSERT(ab.heads().value() == ba.heads().value());
}

TEST(BookList, ShowsEveryEntryAndWhatCannotBeRead) {
  MemoryStore store;
  const auto entries = small_book();
  fill(store, entries);
  store.raw(4).facts = "{}";
  int seen = 0, unreadable = 0;
  ASSERT_TRUE(list_entries(store, 1, [&](const ListedEntry& e, const std::string& why) {
    ++seen;
    EXPECT_EQ(e.place, static_cast<std::uint64_t>(seen) + 1);
    unreadable += why.empty() ? 0 : 1;
    return true;
  }));
  EXPECT_EQ(seen, 5);
  EXPECT_EQ(unreadable, 1);
}

TEST(BookShow, FindsOneEntryAndItsCorrections) {
  MemoryStore store;
  ChainBuilder chain;
  const auto note = chain.note("wrong");
  const auto id = decode_header(note.header)->id;
  fill(store,
       {note, chain.add(Amended{id, "typing", {}, {}, Note{"right"}}), chain.add(PlainFacts(Voided{id, "twice"})),
        chain.note("other")},
       false);
  const auto shown = show_entry(store, id.text());
  ASSERT_TRUE(shown) << shown.error().what;
  EXPECT_EQ(shown->place, 1U);
  EXPECT_EQ(shown->bytes.header, note.header);
  EXPECT_EQ(shown->corrected_by.size(), 2U);
  EXPECT_EQ(shown->fault, "");
  EXPECT_EQ(show_entry(store, note.hash.text().substr(0, 12))->place, 1U);
  EXPECT_EQ(show_entry(store, "ffff-not-there").error().kind, ErrorKind::not_found);
  EXPECT_EQ(show_entry(store, id.text().substr(0, 8)).error().kind, ErrorKind::bad_input) << "several begin so";
  EXPECT_EQ(show_entry(store, "01").error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace headroom
