// What only a file can suffer: each step of an append made to fail, another process, another version, damage, a disk that is
// full or cannot be written. Told plainly, and the book as it was.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <sstream>
#include <thread>

#include "adapters/sqlite/store.h"
#include "app/book_verify.h"
#include "app/record.h"
#include "formats/hash.h"
#include "support/chain_builder.h"
#include "support/fake_clock.h"
#include "support/fault_vfs.h"
#include "support/quiet_progress.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

void write_bytes(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

bool exists(const std::string& path) {
  struct stat st {};
  return ::stat(path.c_str(), &st) == 0;
}

// A book with one entry and one blob, closed.
struct SqliteStoreTest : ::testing::Test {
  SqliteStoreTest() {
    SqliteStore store(path);
    EXPECT_TRUE(store.append(std::vector{first}, std::vector{NamedBlob{sha256(old_blob), old_blob}}, {}));
  }
  std::string sound(Store& store) {
    QuietProgress progress;
    const auto answer = verify_book(store, progress);
    if (!answer) return answer.error().what;
    std::string all;
    for (const auto& f : answer->chain.faults) all += f.entry + ": " + f.what + "\n";
    return all;
  }
  Result<void> append_more(SqliteStore& store) {
    return store.append(more, std::vector{NamedBlob{sha256(new_blob), new_blob}}, Heads{head});
  }
  TempFolder folder;
  std::string path = folder / "book.db";
  std::string old_blob = "an old recording", new_blob = std::string(40'000, 'r');
  ChainBuilder chain{3};
  EncodedEntry first = chain.note("first");
  Head head = chain.head();
  std::vector<EncodedEntry> more{chain.note("second"), chain.note(std::string(9000, 'x')), chain.note("fourth")};
};

TEST_F(SqliteStoreTest, IsForTheOwnerOnly) {
  struct stat st {};
  ASSERT_EQ(::stat(path.c_str(), &st), 0);
  EXPECT_EQ(st.st_mode & 0777U, 0600U);
  SqliteStore deep(folder / "a/b/book.db");
  ASSERT_TRUE(deep.append(std::vector{first}, {}, {}));
  ASSERT_EQ(::stat((folder / "a/b").c_str(), &st), 0);
  EXPECT_EQ(st.st_mode & 0777U, 0700U);
}

TEST_F(SqliteStoreTest, ReadingMakesNoFile) {
  SqliteStore store(folder / "x/none.db");
  EXPECT_EQ(store.entry_count().value(), 0U);
  EXPECT_FALSE(exists(folder / "x"));
  EXPECT_TRUE(store.append(std::vector{first}, {}, {})) << "the same object then makes it";
  EXPECT_EQ(store.entry_count().value(), 1U);
}

TEST_F(SqliteStoreTest, LeavesNoSideFilesBehind) {
  {
    SqliteStore store(path);
    EXPECT_EQ(store.entry_count().value(), 1U);
    EXPECT_TRUE(append_more(store));
  }
  EXPECT_FALSE(exists(path + "-wal"));
  EXPECT_FALSE(exists(path + "-shm"));
}

TEST_F(SqliteStoreTest, AnEmptyFileIsAFreshBook) {
  write_bytes(folder / "empty.db", "");
  SqliteStore store(folder / "empty.db");
  EXPECT_EQ(store.entry_count().value(), 0U);
  EXPECT_TRUE(store.append(std::vector{first}, {}, {}));
  EXPECT_EQ(store.entry_count().value(), 1U);
}

// Every write, sync, open, truncation and deletion of an append fails in turn, once or from then on, by an I/O error or a full
// disk. Whatever the append answered, a fresh look at the file finds all of it or nothing.
TEST_F(SqliteStoreTest, EveryStepOfAnAppendMayFailAndTheBookIsWhole) {
  FaultVfs::install();
  const auto before = bytes_of(path);
  int failed = 0, nothing = 0, kept_after_error = 0;
  for (const int code : {SQLITE_IOERR_WRITE, SQLITE_FULL})
    for (const bool stays : {false, true})
      for (int step = 1;; ++step) {
        write_bytes(path, before);
        ::unlink((path + "-wal").c_str());
        ::unlink((path + "-shm").c_str());
        Result<void> done;
        bool fired = false;
        {
          SqliteStore store(path, {std::chrono::milliseconds(200), FaultVfs::name});
          FaultVfs::arm(step, code, stays);
          done = append_more(store);
          fired = FaultVfs::fired;
          if (!done && !stays) {
            // The disk works again: the same object must see the book as it was, and can go on.
            FaultVfs::disarm();
            EXPECT_EQ(store.entry_count().value(), 1U) << "step " << step;
            EXPECT_EQ(store.heads().value(), Heads{head});
          }
          // The close, with its own steps, may fail as well.
        }
        FaultVfs::disarm();
        SqliteStore again(path, {std::chrono::milliseconds(200), FaultVfs::name});
        EXPECT_EQ(sound(again), "") << "step " << step << " code " << code << " stays " << stays;
        const auto count = again.entry_count().value();
        const auto blobs = again.blob_hashes().value().size();
        EXPECT_TRUE((count == 1 && blobs == 1) || (count == 4 && blobs == 2))
            << count << " entries, " << blobs << " blobs, step " << step;
        if (done) {
          EXPECT_EQ(count, 4U) << "said done at step " << step;
        } else {
          ++failed;
          EXPECT_TRUE(done.error().kind == ErrorKind::io) << done.error().what;
          count == 1 ? ++nothing : ++kept_after_error;
          if (!stays) {
            EXPECT_EQ(count, 1U) << "step " << step;
          }
          if (count == 1) {
            EXPECT_TRUE(append_more(again)) << "and the book takes it later";
          }
        }
        if (!fired) break;
        ASSERT_LT(step, 400);
      }
  EXPECT_GT(failed, 20);
  EXPECT_GT(nothing, 20);
  RecordProperty("kept_after_error", kept_after_error);
}

// The same while a book is made.
TEST_F(SqliteStoreTest, EveryStepOfMakingABookMayFail) {
  FaultVfs::install();
  int failed = 0;
  for (int step = 1;; ++step) {
    const auto fresh = folder / ("fresh" + std::to_string(step) + ".db");
    bool fired = false;
    {
      SqliteStore store(fresh, {std::chrono::milliseconds(200), FaultVfs::name});
      FaultVfs::arm(step, SQLITE_FULL, true);
      const auto done = store.append(std::vector{first}, {}, {});
      fired = FaultVfs::fired;
      if (!done) ++failed;
    }
    FaultVfs::disarm();
    SqliteStore again(fresh, {std::chrono::milliseconds(200), FaultVfs::name});
    EXPECT_EQ(sound(again), "");
    const auto count = again.entry_count();
    ASSERT_TRUE(count) << count.error().what << " step " << step;
    if (*count == 0) {
      EXPECT_TRUE(again.append(std::vector{first}, {}, {})) << step;
    }
    EXPECT_EQ(again.entry_count().value(), 1U);
    if (!fired) break;
    ASSERT_LT(step, 200);
  }
  EXPECT_GT(failed, 5);
}

TEST_F(SqliteStoreTest, SaysThatTheDiskIsFull) {
  FaultVfs::install();
  SqliteStore store(path, {std::chrono::milliseconds(200), FaultVfs::name});
  EXPECT_EQ(store.entry_count().value(), 1U);
  FaultVfs::arm(1, SQLITE_FULL, true);
  const auto done = append_more(store);
  FaultVfs::disarm();
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::io);
  EXPECT_NE(done.error().what.find("full"), std::string::npos) << done.error().what;
  EXPECT_EQ(store.entry_count().value(), 1U);
}

TEST_F(SqliteStoreTest, WaitsForAnotherProcessUpToItsTimeoutThenSaysSo) {
  int ready[2];
  ASSERT_EQ(::pipe(ready), 0);
  int release[2];
  ASSERT_EQ(::pipe(release), 0);
  const auto child = ::fork();
  if (child == 0) {
    {
      sqlite::Database db;
      int rc = db.open(path, SQLITE_OPEN_READWRITE, nullptr, std::chrono::seconds(5));
      if (rc == SQLITE_OK) rc = db.run("BEGIN IMMEDIATE");
      char c = rc == SQLITE_OK ? '1' : '0';
      static_cast<void>(!::write(ready[1], &c, 1));
      static_cast<void>(!::read(release[0], &c, 1));
    }
    ::_exit(0);
  }
  char c = 0;
  ASSERT_EQ(::read(ready[0], &c, 1), 1);
  ASSERT_EQ(c, '1');
  SqliteStore store(path, {std::chrono::milliseconds(150)});
  EXPECT_EQ(store.entry_count().value(), 1U) << "reading goes on";
  const auto started = std::chrono::steady_clock::now();
  const auto done = append_more(store);
  EXPECT_GE(std::chrono::steady_clock::now() - started, std::chrono::milliseconds(100));
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::locked);
  EXPECT_NE(done.error().what.find("150 ms"), std::string::npos) << done.error().what;
  EXPECT_EQ(::write(release[1], &c, 1), 1);
  ::waitpid(child, nullptr, 0);
  EXPECT_TRUE(append_more(store)) << "free again";
  for (const int fd : {ready[0], ready[1], release[0], release[1]}) ::close(fd);
}

TEST_F(SqliteStoreTest, TwoWritersAtOnceLoseNothing) {
  const auto fresh = folder / "shared.db";
  std::vector<std::thread> writers;
  std::atomic<int> failures = 0;
  for (int w = 0; w < 4; ++w)
    writers.emplace_back([&, w] {
      FakeClock clock;
      FakeRandom random(static_cast<std::uint64_t>(w) + 50);
      const auto writer = fresh_id(clock.time, random);
      SqliteStore store(fresh, {std::chrono::seconds(30)});
      for (int i = 0; i < 5; ++i) {
        const std::vector<Draft> draft{{std::nullopt, PlainFacts(Note{std::to_string(i)}), clock.time, 0}};
        // Four writers may outrun five tries; the caller then tries again, as a person would.
        auto done = record(draft, {}, store, writer, clock, random);
        while (!done && done.error().kind == ErrorKind::conflict) done = record(draft, {}, store, writer, clock, random);
        if (!done) {
          ++failures;
          ADD_FAILURE() << done.error().what << " " << done.error().where;
        }
      }
    });
  for (auto& t : writers) t.join();
  EXPECT_EQ(failures, 0);
  SqliteStore store(fresh);
  EXPECT_EQ(store.entry_count().value(), 20U);
  EXPECT_EQ(store.heads().value().size(), 4U);
  EXPECT_EQ(sound(store), "");
}

void expect_untouched(const std::string& path, ErrorKind kind, const char* word, const std::vector<EncodedEntry>& entries) {
  const auto before = bytes_of(path);
  {
    SqliteStore store(path);
    const auto read = store.entry_count();
    ASSERT_FALSE(read);
    EXPECT_EQ(read.error().kind, kind) << read.error().what;
    EXPECT_NE(read.error().what.find(word), std::string::npos) << read.error().what;
    EXPECT_EQ(read.error().where, path);
    const auto done = store.append(entries, {}, {});
    ASSERT_FALSE(done);
    EXPECT_EQ(done.error().kind, kind) << done.error().what;
    EXPECT_FALSE(store.heads());
    EXPECT_FALSE(store.read(0, [](const EncodedEntry&) { return true; }));
  }
  EXPECT_EQ(bytes_of(path), before);
  EXPECT_FALSE(exists(path + "-wal"));
  EXPECT_FALSE(exists(path + "-journal"));
}

TEST_F(SqliteStoreTest, LeavesABookOfANewerVersionAlone) {
  {
    sqlite::Database db;
    ASSERT_EQ(db.open(path, SQLITE_OPEN_READWRITE, nullptr, std::chrono::seconds(1)), SQLITE_OK);
    ASSERT_EQ(db.run("PRAGMA user_version = 2"), SQLITE_OK);
  }
  expect_untouched(path, ErrorKind::newer_version, "newer", more);
}

TEST_F(SqliteStoreTest, LeavesWhatIsNoBookAlone) {
  write_bytes(folder / "text.db",
              "this is a letter, not a book, and longer than a header of SQLite, which has 100 bytes: ........\n");
  expect_untouched(folder / "text.db", ErrorKind::damaged, "not a book", more);
  {
    sqlite::Database db;
    write_bytes(folder / "other.db", "");
    ASSERT_EQ(db.open(folder / "other.db", SQLITE_OPEN_READWRITE, nullptr, std::chrono::seconds(1)), SQLITE_OK);
    ASSERT_EQ(db.run("CREATE TABLE t(x); INSERT INTO t VALUES(1)"), SQLITE_OK);
  }
  expect_untouched(folder / "other.db", ErrorKind::damaged, "another program", more);
}

// A file cut short, or with a page overwritten: an error of the right kind or a fault in verify, and never a crash.
TEST_F(SqliteStoreTest, FindsDamageOfTheFile) {
  {
    SqliteStore store(path);
    ASSERT_TRUE(append_more(store));
  }
  const auto whole = bytes_of(path);
  for (std::size_t from = 0; from < whole.size(); from += 1024) {
    for (const bool cut : {true, false}) {
      auto bytes = whole;
      if (cut) {
        if (from == 0) continue;  // an empty file is a fresh book
        bytes.resize(from);
      } else {
        for (std::size_t i = from; i < std::min(from + 200, bytes.size()); ++i) bytes[i] = static_cast<char>(bytes[i] ^ 0x5a);
      }
      write_bytes(path, bytes);
      SqliteStore store(path);
      QuietProgress progress;
      const auto answer = verify_book(store, progress);
      if (!answer) {
        EXPECT_EQ(answer.error().kind, ErrorKind::damaged) << answer.error().what;
      } else if (!cut && answer->sound()) {
        // 200 bytes that belong to nothing: free space of a page. Then all is there.
        EXPECT_EQ(answer->chain.entries, 4U) << from;
      } else {
        EXPECT_FALSE(answer->sound()) << (cut ? "cut at " : "overwritten at ") << from;
      }
    }
  }
}

// Runs `body` as a user who owns nothing here, since root may write whatever it likes. The answer is what it returns.
template <class Body>
int as_nobody(const Body& body) {
  const auto child = ::fork();
  if (child == 0) {
    if (::geteuid() == 0 && (::setegid(65534) != 0 || ::seteuid(65534) != 0)) ::_exit(99);
    ::_exit(body());
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 98;
}

int read_only_check(const std::string& path, const std::vector<EncodedEntry>& entries, const Heads& heads) {
  SqliteStore store(path, {std::chrono::milliseconds(100)});
  const auto count = store.entry_count();
  if (!count || *count != 1) return 1;
  int seen = 0;
  if (!store.read(0, [&](const EncodedEntry&) { return ++seen, true; }) || seen != 1) return 2;
  const auto done = store.append(entries, {}, heads);
  if (done) return 3;
  if (done.error().kind != ErrorKind::io) return 4;
  if (done.error().what.find("not written") == std::string::npos) return 5;
  if (store.entry_count().value_or(0) != 1) return 6;
  return 0;
}

TEST_F(SqliteStoreTest, ReadsABookThatCannotBeWritten) {
  // The file may not be written, its folder may.
  ASSERT_EQ(::chmod(path.c_str(), 0444), 0);
  ASSERT_EQ(::chmod(folder.path().c_str(), 0777), 0);
  EXPECT_EQ(as_nobody([&] { return read_only_check(path, more, {head}); }), 0);
  // Neither may: as on a disc or a card behind its lock.
  ASSERT_EQ(::chmod(folder.path().c_str(), 0555), 0);
  EXPECT_EQ(as_nobody([&] { return read_only_check(path, more, {head}); }), 0);
  // Not even read.
  ASSERT_EQ(::chmod(path.c_str(), 0000), 0);
  EXPECT_EQ(as_nobody([&] {
              SqliteStore store(path);
              const auto count = store.entry_count();
              return count ? 1 : count.error().kind == ErrorKind::io ? 0 : 2;
            }),
            0);
  // A folder in which no book can be made.
  EXPECT_EQ(as_nobody([&] {
              SqliteStore store(folder / "sub/new.db");
              const auto done = store.append(std::vector{first}, {}, {});
              return done ? 1 : done.error().kind == ErrorKind::io ? 0 : 2;
            }),
            0);
  ASSERT_EQ(::chmod(folder.path().c_str(), 0700), 0);
}

// tests/data/books/v1.db was written by the first version of the file and is never written again.
TEST(SqliteBookSample, Version1OpensVerifiesAndReads) {
  const TempFolder folder;
  const auto path = folder / "v1.db";
  write_bytes(path, bytes_of(HEADROOM_SOURCE_DIR "/tests/data/books/v1.db"));
  SqliteStore store(path);
  QuietProgress progress;
  const auto answer = verify_book(store, progress);
  ASSERT_TRUE(answer) << answer.error().what;
  for (const auto& f : answer->chain.faults) ADD_FAILURE() << f.entry << ": " << f.what;
  // Counted with the sqlite3 shell and hashed with sha256sum when the sample was made.
  EXPECT_EQ(answer->chain.entries, 33U);
  EXPECT_EQ(answer->blobs, 2U);
  EXPECT_EQ(book_is(store).value(), BookIs::simulated);
  std::string last;
  int unread = 0;
  ASSERT_TRUE(store.read(0, [&](const EncodedEntry& bytes) {
    last = bytes.hash.text();
    unread += decode(bytes) ? 0 : 1;
    return true;
  }));
  EXPECT_EQ(unread, 0);
  EXPECT_EQ(last, "bfb425d17fd50b9eda174c56a0e43fe087ea5ac2988f3e74d4ff963af4eea0f7");
}

}  // namespace
}  // namespace headroom
