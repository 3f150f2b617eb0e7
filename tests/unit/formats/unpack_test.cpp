// Archives. tests/data/archives was packed by Info-ZIP's zip 3.0 and gzip 1.12; the hostile ones are made here.
#include "formats/unpack.h"

#include <gtest/gtest.h>

#include <string>

#include "formats/recording_reader.h"
#include "support/shared_data.h"
#include "support/zip_builder.h"

namespace headroom {
namespace {

using test::ZipBuilder;

const std::string kLine = "$GPRMC,030000,A,4740.36415,N,12225.35953,W,000.02,059.5,160612,016.6,E*52\n";

std::vector<UnpackedFile> files_in(const std::string& bytes, const UnpackLimits& limits = {}) {
  auto files = unpack(bytes, limits);
  EXPECT_TRUE(files) << files.error().what;
  return files ? std::move(*files) : std::vector<UnpackedFile>{};
}
// Why it was refused; empty when it was not.
std::string refusal(const UnpackedFile& file) {
  if (file.content) return {};
  EXPECT_EQ(file.content.error().kind, ErrorKind::bad_input);
  return file.content.error().what;
}
bool says(const std::string& sentence, const char* words) {
  return sentence.find(words) != std::string::npos;
}
std::string archive(const char* name) {
  return test::bytes_of(test::data_folder() / "archives" / name);
}

TEST(Unpack, GivesTheFilesOfAZip) {
  const auto files = files_in(archive("two_recordings.zip"));
  ASSERT_EQ(files.size(), 2u);
  EXPECT_EQ(files[0].name, "one.nmea");
  EXPECT_EQ(files[0].content.value(), "# invented\n" + kLine);
  EXPECT_EQ(files[1].name, "day/s_038.igc");
  EXPECT_EQ(files[1].content.value(), test::bytes_of(test::data_folder() / "igc" / "s_038.igc"));
}

TEST(Unpack, GivesTheFileOfAGzipWithItsName) {
  const auto files = files_in(archive("one.nmea.gz"));
  ASSERT_EQ(files.size(), 1u);
  EXPECT_EQ(files[0].name, "one.nmea");
  EXPECT_EQ(files[0].content.value(), "# invented\n" + kLine);
}

TEST(Unpack, JoinsTheMembersOfAGzipAndSkipsZeros) {
  const auto files = files_in(test::gzipped(kLine) + test::gzipped(kLine) + std::string(512, '\0'));
  EXPECT_EQ(files.at(0).content.value(), kLine + kLine);
}

TEST(Unpack, TellsAnEncryptedFile) {
  const auto files = files_in(archive("encrypted.zip"));
  ASSERT_EQ(files.size(), 1u);
  EXPECT_TRUE(says(refusal(files[0]), "encrypted"));
}

TEST(Unpack, LeavesOutFoldersAndSideFiles) {
  const auto files = files_in(ZipBuilder().add("day/", "").add("__MACOSX/._a", "x").add("a.nmea", kLine).bytes());
  ASSERT_EQ(files.size(), 1u);
  EXPECT_EQ(files[0].name, "a.nmea");
}

TEST(Unpack, OpensNoArchiveWithinAnArchive) {
  const std::string inner = ZipBuilder().add("a.nmea", kLine).bytes();
  const auto files =
      files_in(ZipBuilder().add("inner.zip", inner, {0, 0}).add("inner.gz", test::gzipped(kLine)).add("a.nmea", kLine).bytes());
  ASSERT_EQ(files.size(), 3u);
  EXPECT_TRUE(says(refusal(files[0]), "archive within an archive"));
  EXPECT_TRUE(says(refusal(files[1]), "archive within an archive"));
  EXPECT_EQ(refusal(files[2]), "");
  EXPECT_TRUE(says(refusal(files_in(test::gzipped(test::gzipped(kLine))).at(0)), "archive within an archive"));
}

TEST(Unpack, StopsABombAndGivesTheOthers) {
  const std::string zeros(std::size_t{4} << 20U, '\0');  // packs about 1000 to 1
  const auto files = files_in(ZipBuilder().add("bomb.igc", zeros).add("a.nmea", kLine).bytes());
  ASSERT_EQ(files.size(), 2u);
  EXPECT_TRUE(says(refusal(files[0]), "200 times"));
  EXPECT_EQ(refusal(files[1]), "");
  EXPECT_TRUE(says(refusal(files_in(test::gzipped(zeros)).at(0)), "200 times"));
}

TEST(Unpack, LetsAnEmptySmallFilePackAsItLikes) {
  EXPECT_EQ(refusal(files_in(test::gzipped(std::string(1000 * 1000, ' '))).at(0)), "");
}

TEST(Unpack, HoldsAllFilesTogetherToTheLimit) {
  UnpackLimits limits;
  limits.most_bytes = 100'000;
  std::string text;
  for (unsigned i = 0; i < 60'000; ++i) text += static_cast<char>('0' + i * i % 71 % 10);
  const std::string bytes = ZipBuilder().add("a", text).list_again().list_again().add("b", kLine).bytes();
  const auto files = files_in(bytes, limits);
  ASSERT_EQ(files.size(), 4u);
  EXPECT_EQ(refusal(files[0]), "");
  for (std::size_t i = 1; i < 4; ++i) EXPECT_TRUE(says(refusal(files[i]), "unpacks to")) << i;
}

// Work is bounded too: what refused files unpacked to counts.
TEST(Unpack, CountsWhatBombsUnpackedTo) {
  UnpackLimits limits;
  limits.most_bytes = std::uint64_t{8} << 20U;
  ZipBuilder zip;
  zip.add("bomb", std::string(std::size_t{4} << 20U, '\0'));
  for (int i = 0; i < 30; ++i) zip.list_again();
  const auto files = files_in(zip.add("late", kLine).bytes(), limits);
  EXPECT_TRUE(says(refusal(files.front()), "200 times"));
  EXPECT_TRUE(says(refusal(files.back()), "unpacks to too much"));
}

TEST(Unpack, RefusesAnArchiveOfTooManyFiles) {
  ZipBuilder zip;
  zip.add("a", kLine);
  for (int i = 0; i < 1000; ++i) zip.list_again();
  const auto files = unpack(zip.bytes());
  ASSERT_FALSE(files);
  EXPECT_TRUE(says(files.error().what, "1001 files"));
}

TEST(Unpack, TellsADamagedFileAndGivesTheOthers) {
  const auto files = files_in(ZipBuilder()
                                  .add("crc", kLine, {0, 8, 1})
                                  .add("size", kLine, {0, 8, 0, 7})
                                  .add("method", kLine, {0, 9})
                                  .add("good", kLine)
                                  .bytes());
  ASSERT_EQ(files.size(), 4u);
  EXPECT_TRUE(says(refusal(files[0]), "damaged"));
  EXPECT_TRUE(says(refusal(files[1]), "damaged"));
  EXPECT_TRUE(says(refusal(files[2]), "method 9"));
  EXPECT_EQ(refusal(files[3]), "");
}

// No cut of an archive gives a wrong content, and each is told.
TEST(Unpack, TellsACutArchiveWhereverItIsCut) {
  for (const std::string& whole : {archive("two_recordings.zip"), archive("one.nmea.gz")})
    for (std::size_t size = 2; size<whole.size(); size += whole.size()> 1000 ? 97U : 1U) {
      const auto files = unpack(whole.substr(0, size));
      if (!files) continue;
      for (const UnpackedFile& file : *files) EXPECT_FALSE(file.content) << size;
    }
}

TEST(Unpack, TellsBytesBehindAGzip) {
  EXPECT_TRUE(says(refusal(files_in(test::gzipped(kLine) + "more").at(0)), "follow its end"));
}

TEST(Unpack, ShowsNamesWithoutControlCharacters) {
  const auto files = files_in(ZipBuilder().add("a\x1B[31m\nb.nmea", kLine).add(std::string(3000, 'n'), kLine).bytes());
  ASSERT_EQ(files.size(), 2u);
  EXPECT_EQ(files[0].name, "a[31mb.nmea");
  EXPECT_EQ(files[1].name.size(), 255u);
  EXPECT_EQ(refusal(files[1]), "");
}

TEST(Unpack, GivesNothingForAnEmptyZip) {
  EXPECT_TRUE(files_in(ZipBuilder().bytes()).empty());
}

TEST(Unpack, RefusesWhatIsNoArchive) {
  EXPECT_FALSE(unpack(kLine));
  EXPECT_FALSE(unpack(""));
  EXPECT_FALSE(unpack("PK\x03\x04"));
}

TEST(ReadRecording, LeavesArchivesToBeUnpacked) {
  for (const char* name : {"two_recordings.zip", "one.nmea.gz"}) {
    const auto r = read_recording(archive(name));
    ASSERT_FALSE(r);
    EXPECT_TRUE(says(r.error().what, "archive"));
  }
}

}  // namespace
}  // namespace headroom
