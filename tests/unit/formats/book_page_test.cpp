// docs/formats/book.md is held to what it says: each example is read and written again, byte for byte, and the script for a
// stranger verifies an export and finds a flipped byte.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <set>
#include <sstream>

#include "adapters/system/files.h"
#include "app/book_export.h"
#include "formats/entry_json.h"
#include "formats/hash.h"
#include "support/chain_builder.h"
#include "support/memory_store.h"
#include "support/quiet_progress.h"
#include "support/sample_facts.h"
#include "support/temp_folder.h"

namespace headroom {
namespace {

std::string book_page() {
  std::ifstream in(HEADROOM_SOURCE_DIR "/docs/formats/book.md");
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

Salt salt_of(const std::string& part) {
  Salt salt{};
  const auto at = part.find("\"salt\":\"") + 8;
  for (std::size_t i = 0; i < 16; ++i) salt[i] = static_cast<std::uint8_t>(std::stoi(part.substr(at + 2 * i, 2), nullptr, 16));
  return salt;
}

TEST(BookPage, EveryKindHasAnExampleThatReadsAndWritesTheSame) {
  std::istringstream page(book_page());
  std::string line, kind;
  std::set<EntryKind> met;
  while (std::getline(page, line)) {
    if (line.starts_with("### ")) kind = line.substr(4);
    if (line != "```json") continue;
    EncodedEntry entry;
    ASSERT_TRUE(std::getline(page, entry.facts.emplace()));
    ASSERT_TRUE(std::getline(page, entry.private_part.emplace()));
    EntryHeader header;
    header.id = sample_id(1);
    header.number = 1;
    // Any header of that kind will do: it is made from a note's and told the kind.
    entry.header = encode(header, PlainFacts(Note{"x"}), {})->header;
    entry.header.replace(entry.header.find("\"note\""), 6, "\"" + kind + "\"");
    const auto read = decode(entry);
    ASSERT_TRUE(read) << kind << ": " << read.error().what;
    ASSERT_NE(read->header.kind, EntryKind::unknown) << kind << " is no kind of ours";
    const auto written = encode(header, read->facts, {salt_of(*entry.facts), salt_of(*entry.private_part)});
    ASSERT_TRUE(written) << kind;
    EXPECT_EQ(*written->facts, *entry.facts);
    EXPECT_EQ(*written->private_part, *entry.private_part);
    met.insert(read->header.kind);
  }
  EXPECT_EQ(met.size(), static_cast<std::size_t>(EntryKind::unknown)) << "every kind has an example";
}

TEST(BookPage, NamesEveryMemberOfEveryKind) {
  const auto page = book_page();
  for (const auto& facts : sample_facts()) {
    const auto name = std::string(kind_name(kind_of(facts)));
    const auto from = page.find("### " + name + "\n");
    ASSERT_NE(from, std::string::npos) << name;
    const auto section = page.substr(from, page.find("\n### ", from + 1) - from);
    const auto e = encode({}, facts, {}).value();
    for (const auto& text : {*e.facts, *e.private_part})
      for (std::size_t at = 0; (at = text.find("\":", at + 1)) != std::string::npos;) {
        const auto open = text.rfind('"', at - 1);
        const auto member = text.substr(open, at + 1 - open);
        EXPECT_NE(section.find(member), std::string::npos) << member << " in " << name;
      }
  }
}

struct Stranger : ::testing::Test {
  void SetUp() override {
    if (std::system("python3 -c '' 2>/dev/null") != 0) GTEST_SKIP() << "no python3 here";
    ChainBuilder chain(1), other(2);
    const std::string recording = "B0710305012345N00612345EA0041200450\r\n";
    RecordingAttached attached;
    attached.recording = sha256(recording);
    attached.format = "igc";
    std::vector<EncodedEntry> entries{chain.add(PlainFacts(attached)), other.note("\xe2\x80\xa8 \xc3\xa4 \x01"),
                                      chain.add(PlainFacts(sample_flight()))};
    const auto two = entries.back();
    chain.go_back_to(1, entries[0].hash);
    entries.push_back(chain.note("a fork"));
    entries.push_back(chain.note("after the fork"));
    entries.back().private_part.reset();
    MemoryStore store;
    ASSERT_TRUE(store.append(entries, std::vector{NamedBlob{sha256(recording), recording}}, {}));
    QuietProgress progress;
    ASSERT_TRUE(export_book({folder / "out"}, store, files, progress));
    ASSERT_TRUE(files.read(folder / "out/entries.jsonl", lines, 1U << 20));
    const auto page = book_page();
    const auto from = page.find("```python\n") + 10;
    script = page.substr(from, page.find("```", from) - from);
    ASSERT_TRUE(files.write(folder / "verify.py", script));
  }
  int verify() {
    return std::system(
        ("python3 '" + (folder / "verify.py") + "' '" + (folder / "out") + "' > '" + (folder / "said") + "' 2>&1").c_str());
  }
  std::string said() {
    std::string text;
    EXPECT_TRUE(files.read(folder / "said", text, 1U << 20));
    return text;
  }
  TempFolder folder;
  SystemFiles files;
  std::string lines, script;
};

TEST_F(Stranger, VerifiesAnExport) {
  EXPECT_EQ(verify(), 0) << said();
  EXPECT_EQ(said(), "5 entries: every hash and link fits\n");
}

TEST_F(Stranger, FindsAFlippedByteAnywhere) {
  // One flip in each member of two lines, before and after the fork: starting Python costs more than looking.
  std::size_t line_from = 0;
  for (int line = 0; line < 5; ++line) {
    for (const char* member : line % 3 != 0 ? std::vector<const char*>()
                                            : std::vector{"\"hash\":\"", "\"header\":\"", "\"facts\":\"", "\"private\":\""}) {
      auto flipped = lines;
      const auto at = flipped.find(member, line_from);
      if (at == std::string::npos || at > flipped.find('\n', line_from)) continue;
      auto& byte = flipped[at + std::string(member).size() + 20];
      byte = byte == '0' ? '1' : '0';
      ASSERT_TRUE(files.write(folder / "out/entries.jsonl", flipped));
      EXPECT_NE(verify(), 0) << "line " << line << " " << member;
    }
    line_from = lines.find('\n', line_from) + 1;
  }
}

TEST_F(Stranger, FindsALineTakenOutAndARecordingChanged) {
  ASSERT_TRUE(files.write(folder / "out/entries.jsonl", lines.substr(lines.find('\n') + 1)));
  EXPECT_NE(verify(), 0);
  EXPECT_NE(said().find("does not follow"), std::string::npos);
  ASSERT_TRUE(files.write(folder / "out/entries.jsonl", lines));
  ASSERT_EQ(verify(), 0);
  const auto recording = files.list(folder / "out/recordings").value().at(0);
  ASSERT_TRUE(files.write(recording, "B0710305012345N00612345EA0041200451\r\n"));
  EXPECT_NE(verify(), 0);
}

TEST_F(Stranger, TheToolIsTheScriptOfThePage) {
  std::string tool;
  ASSERT_TRUE(files.read(HEADROOM_SOURCE_DIR "/tools/verify_book", tool, 1U << 20));
  EXPECT_TRUE(tool.ends_with(script));
}

}  // namespace
}  // namespace headroom
