#include "core/typed.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <vector>

namespace headroom {
namespace {

const std::string kMarkFrom(kTypedFrom), kMarkTo(kTypedTo);

TEST(Typed, TheMarksAreTwoNoncharactersOfTheUnicodeStandard) {
  // The Unicode Standard, section 23.7: U+FDD0 to U+FDEF are noncharacters. In UTF-8 (RFC 3629) a code point of the basic plane
  // above U+07FF is three bytes: 1110xxxx 10xxxxxx 10xxxxxx.
  const auto code_point = [](std::string_view s) {
    return (s.size() == 3 ? 0 : 0x10000) + ((s[0] & 0x0F) << 12) + ((s[1] & 0x3F) << 6) + (s[2] & 0x3F);
  };
  EXPECT_EQ(code_point(kTypedFrom), 0xFDD4);
  EXPECT_EQ(code_point(kTypedTo), 0xFDD5);
}

TEST(Typed, IsShownOnTheCommandLineAndLeftOutElsewhere) {
  const auto sentence = "Name the strip" + typed(": --strip NAME") + ", or describe one" + typed(": headroom field strip") + ".";
  EXPECT_EQ(with_typed(sentence), "Name the strip: --strip NAME, or describe one: headroom field strip.");
  EXPECT_EQ(without_typed(sentence), "Name the strip, or describe one.");
  EXPECT_EQ(without_typed(typed("all of it")), "");
  EXPECT_EQ(without_typed(""), "");
}

TEST(Typed, WithinTypedIsOneTypedPart) {
  const auto nested = "a" + typed("b" + typed("c") + "d") + "e";
  EXPECT_EQ(with_typed(nested), "abcde");
  EXPECT_EQ(without_typed(nested), "ae");
}

TEST(Typed, AMarkWithoutItsOtherHalfTakesNothingWithIt) {
  EXPECT_EQ(without_typed("a" + kMarkFrom + "b"), "ab");
  EXPECT_EQ(without_typed("a" + kMarkTo + "b"), "ab");
  EXPECT_EQ(without_typed(kMarkTo + "a" + kMarkFrom + "b"), "ab");
  EXPECT_EQ(without_typed("a" + kMarkFrom + "b" + typed("c") + "d" + kMarkTo + "e"), "abde");
  EXPECT_EQ(with_typed("a" + kMarkFrom + "b" + kMarkTo + kMarkTo), "ab");
  // Part of a mark, and a neighbour of the marks, are no marks.
  EXPECT_EQ(without_typed("a" + kMarkFrom.substr(0, 2)), "a" + kMarkFrom.substr(0, 2));
  EXPECT_EQ(with_typed("\xEF\xB7\x93"), "\xEF\xB7\x93");
}

RC_GTEST_PROP(Typed, NoMarkStaysAndWhatIsLeftIsInTheOrderItWas, ()) {
  const std::vector<std::string> kinds{kMarkFrom, kMarkTo, "a", "b", " ", "\xEF", "\xB7", "\xC3\xA9"};
  const auto pieces = *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(kinds));
  std::string text;
  for (const auto& p : pieces) text += p;
  const auto with = with_typed(text), without = without_typed(text);
  RC_ASSERT(without.size() <= with.size());
  std::size_t at = 0;
  for (const char c : without) {
    at = with.find(c, at);
    RC_ASSERT(at != std::string::npos);
    ++at;
  }
}

}  // namespace
}  // namespace headroom
