// The files, places and cache of the real system, in a folder of the test's own.
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <csignal>
#include <cstdlib>
#include <fstream>

#include "adapters/system/cache.h"
#include "adapters/system/files.h"
#include "adapters/system/places.h"
#include "adapters/system/random.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

class WithVariable {
 public:
  WithVariable(const char* name, const char* value) : name_(name) {
    if (const char* old = std::getenv(name)) old_ = old;
    if (value == nullptr)
      ::unsetenv(name);
    else
      ::setenv(name, value, 1);
  }
  WithVariable(const WithVariable&) = delete;
  WithVariable& operator=(const WithVariable&) = delete;
  ~WithVariable() {
    if (old_)
      ::setenv(name_, old_->c_str(), 1);
    else
      ::unsetenv(name_);
  }

 private:
  const char* name_;
  std::optional<std::string> old_;
};

// XDG Base Directory Specification 0.8: a variable that is not an absolute path is to be ignored; defaults below HOME.
TEST(Places, FollowTheXdgSpecification) {
  const WithVariable home("HOME", "/home/owner");
  {
    const WithVariable data("XDG_DATA_HOME", nullptr), state("XDG_STATE_HOME", ""), cache("XDG_CACHE_HOME", "relative/path");
    EXPECT_EQ(default_book_path(), "/home/owner/.local/share/headroom/book.db");
    EXPECT_EQ(state_folder(), "/home/owner/.local/state/headroom");
    EXPECT_EQ(cache_folder(), "/home/owner/.cache/headroom");
  }
  const WithVariable data("XDG_DATA_HOME", "/d"), state("XDG_STATE_HOME", "/s"), cache("XDG_CACHE_HOME", "/c");
  EXPECT_EQ(default_book_path(), "/d/headroom/book.db");
  EXPECT_EQ(state_folder(), "/s/headroom");
  EXPECT_EQ(cache_folder(), "/c/headroom");
}

TEST(WriterId, IsMadeOnceAndKept) {
  const TempFolder folder;
  FakeClock clock;
  FakeRandom random;
  const auto first = writer_id(folder / "a/b", clock, random);
  ASSERT_TRUE(first) << first.error().what;
  EXPECT_EQ(writer_id(folder / "a/b", clock, random).value(), *first);
  EXPECT_NE(writer_id(folder / "other", clock, random).value(), *first);
  // RFC 9562, section 5.7: version 7 in the high half of byte 6, variant 10 in the top bits of byte 8.
  EXPECT_EQ(first->bytes[6] >> 4, 7);
  EXPECT_EQ(first->bytes[8] >> 6, 2);
}

TEST(WriterId, RefusesAFileThatIsNoId) {
  const TempFolder folder;
  FakeClock clock;
  FakeRandom random;
  std::ofstream(folder / "writer") << "rubbish\n";
  const auto id = writer_id(folder.path(), clock, random);
  ASSERT_FALSE(id);
  EXPECT_EQ(id.error().kind, ErrorKind::io);
}

TEST(SystemFiles, ReadsWhatItWrote) {
  const TempFolder folder;
  SystemFiles files;
  const std::string bytes("a\0b\r\n\xff", 6);
  ASSERT_TRUE(files.write(folder / "x", bytes));
  std::string read = "left from before, longer than the file";
  ASSERT_TRUE(files.read(folder / "x", read, 100));
  EXPECT_EQ(read, bytes);
  ASSERT_TRUE(files.read(folder / "x", read, 6));
  EXPECT_EQ(read, bytes);
  EXPECT_EQ(files.read(folder / "x", read, 5).error().kind, ErrorKind::bad_input);
  ASSERT_TRUE(files.read_start(folder / "x", read, 2));
  EXPECT_EQ(read, std::string("a\0", 2));
  ASSERT_TRUE(files.write(folder / "x", ""));
  ASSERT_TRUE(files.read(folder / "x", read, 0));
  EXPECT_TRUE(read.empty());
}

TEST(SystemFiles, SaysWhatCannotBeRead) {
  const TempFolder folder;
  SystemFiles files;
  std::string read;
  EXPECT_EQ(files.read(folder / "absent", read, 10).error().kind, ErrorKind::not_found);
  EXPECT_EQ(files.read(folder.path(), read, 10).error().kind, ErrorKind::bad_input);
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(files.read(folder / "pipe", read, 10).error().kind, ErrorKind::bad_input) << "and it must not wait";
  EXPECT_EQ(files.list(folder / "absent").error().kind, ErrorKind::not_found);
}

TEST(SystemFiles, HandsOutLinesAcrossAnyBuffer) {
  const TempFolder folder;
  SystemFiles files;
  std::string text, longest(600'000, 'x');
  std::vector<std::string> expected;
  for (int i = 0; i < 3000; ++i) {
    expected.push_back(std::string(static_cast<std::size_t>(i * 7 % 900), 'a') + std::to_string(i));
    text += expected.back() + (i % 3 == 0 ? "\r\n" : "\n");
  }
  expected.push_back(longest);
  text += longest + "\n";
  expected.emplace_back("");
  text += "\n";
  expected.emplace_back("last, without an end");
  text += expected.back();
  ASSERT_TRUE(files.write(folder / "x", text));
  auto reader = files.lines(folder / "x", 700'000);
  ASSERT_TRUE(reader);
  std::vector<std::string> lines;
  for (;;) {
    const auto line = (*reader)->next();
    ASSERT_TRUE(line);
    if (!*line) break;
    lines.emplace_back(**line);
  }
  EXPECT_EQ(lines, expected);
  EXPECT_FALSE((*reader)->next().value().has_value());
  reader = files.lines(folder / "x", 100'000);
  ASSERT_TRUE(reader);
  auto line = (*reader)->next();
  while (line && *line) line = (*reader)->next();
  ASSERT_FALSE(line);
  EXPECT_EQ(line.error().kind, ErrorKind::bad_input);
}

TEST(SystemFiles, LeavesNothingOfAWriteThatWasNotFinished) {
  const TempFolder folder;
  SystemFiles files;
  ASSERT_TRUE(files.write(folder / "x", "old"));
  {
    auto writer = files.create(folder / "x");
    ASSERT_TRUE(writer);
    ASSERT_TRUE((*writer)->write("new"));
  }
  std::string read;
  ASSERT_TRUE(files.read(folder / "x", read, 10));
  EXPECT_EQ(read, "old");
  EXPECT_EQ(files.list(folder.path()).value().size(), 1U);
}

TEST(SystemFiles, LeavesTheOldFileWhenTheNewOneDoesNotFit) {
  const TempFolder folder;
  SystemFiles files;
  ASSERT_TRUE(files.write(folder / "x", "old"));
  // A limit on the size of files stands in for a full disk (setrlimit(2)): write(2) fails half way.
  rlimit old{};
  ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &old), 0);
  const rlimit small{100'000, old.rlim_max};
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
  const auto done = files.write(folder / "x", std::string(300'000, 'n'));
  ::setrlimit(RLIMIT_FSIZE, &old);
  std::signal(SIGXFSZ, handler);
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::io);
  std::string read;
  ASSERT_TRUE(files.read(folder / "x", read, 10));
  EXPECT_EQ(read, "old");
  EXPECT_EQ(files.list(folder.path()).value().size(), 1U);
}

TEST(SystemFiles, MakesFoldersForTheOwnerOnly) {
  const TempFolder folder;
  SystemFiles files;
  ASSERT_TRUE(files.make_folder(folder / "a/b/c"));
  ASSERT_TRUE(files.make_folder(folder / "a/b/c"));
  struct stat st {};
  ASSERT_EQ(::stat((folder / "a/b").c_str(), &st), 0);
  EXPECT_EQ(st.st_mode & 0777U, 0700U);
  ASSERT_TRUE(files.write(folder / "a/file", "x"));
  EXPECT_FALSE(files.make_folder(folder / "a/file"));
  EXPECT_FALSE(files.make_folder(folder / "a/file/below"));
}

TEST(FolderCache, GivesBackWhatWasPutUnderItsKey) {
  const TempFolder folder;
  FolderCache cache(folder / "cache");
  EXPECT_FALSE(cache.get("k").has_value());
  cache.put("k", "");
  EXPECT_EQ(cache.get("k"), "");
  const std::string bytes(100'001, '\xfe');
  cache.put("k", bytes);
  cache.put("other", "o");
  EXPECT_EQ(cache.get("k"), bytes);
  EXPECT_EQ(FolderCache(folder / "cache").get("other"), "o");
}

TEST(FolderCache, AnyFlippedByteIsAMiss) {
  const TempFolder folder;
  FolderCache cache(folder.path());
  cache.put("k", "some bytes, more than eight");
  SystemFiles files;
  const auto path = files.list(folder.path()).value().at(0);
  std::string whole;
  ASSERT_TRUE(files.read(path, whole, 1000));
  for (std::size_t i = 0; i < whole.size(); ++i) {
    auto flipped = whole;
    flipped[i] = static_cast<char>(flipped[i] ^ 0x10);
    ASSERT_TRUE(files.write(path, flipped));
    EXPECT_FALSE(cache.get("k").has_value()) << i;
    ASSERT_TRUE(files.write(path, whole.substr(0, i)));
    EXPECT_FALSE(cache.get("k").has_value()) << "cut at " << i;
  }
  ASSERT_TRUE(files.write(path, whole));
  EXPECT_TRUE(cache.get("k").has_value());
}

TEST(FolderCache, StaysWithinItsSize) {
  const TempFolder folder;
  FolderCache cache(folder.path(), 10'000);
  for (int i = 0; i < 30; ++i) cache.put(std::to_string(i), std::string(1000, 'x'));
  cache.put("too large", std::string(20'000, 'x'));
  std::uint64_t total = 0;
  const auto paths = SystemFiles().list(folder.path()).value();
  for (const auto& path : paths) total += std::filesystem::file_size(path);
  EXPECT_LE(total, 10'000U);
  EXPECT_TRUE(cache.get("29").has_value()) << "the newest stays";
  EXPECT_FALSE(cache.get("too large").has_value());
}

TEST(FolderCache, AFolderThatCannotBeMadeIsSilent) {
  FolderCache cache("/proc/headroom-cache");
  cache.put("k", "x");
  EXPECT_FALSE(cache.get("k").has_value());
}

TEST(SystemRandom, FillsEveryByte) {
  SystemRandom random;
  std::array<std::uint8_t, 64> seen{};
  for (int round = 0; round < 40; ++round) {
    std::array<std::uint8_t, 64> bytes{};
    random.fill(bytes);
    for (std::size_t i = 0; i < 64; ++i) seen[i] = static_cast<std::uint8_t>(seen[i] | bytes[i]);
  }
  for (const auto b : seen) EXPECT_NE(b, 0);  // by chance once in 2^314
}

}  // namespace
}  // namespace headroom
