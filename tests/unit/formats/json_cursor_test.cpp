// The cursor is held against nlohmann::json, another reader of RFC 8259, on texts made and damaged at random.
#include "formats/json_cursor.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <nlohmann/json.hpp>

namespace headroom {
namespace {

using nlohmann::json;

// Rebuilds a tree with the cursor, to compare with the other reader's.
bool take_value(JsonCursor& in, std::string_view text, json& out) {
  std::size_t at = in.offset();
  while (at < text.size() && (text[at] == ' ' || text[at] == '\n' || text[at] == '\t' || text[at] == '\r')) ++at;
  const char c = at < text.size() ? text[at] : '\0';
  std::string_view key;
  if (c == '{') {
    out = json::object();
    if (!in.enter_object()) return false;
    while (in.next_key(key)) {
      const std::string name(key);
      if (!take_value(in, text, out[name])) return false;
    }
    return in.ok();
  }
  if (c == '[') {
    out = json::array();
    if (!in.enter_array()) return false;
    while (in.next_element()) {
      out.push_back(nullptr);
      if (!take_value(in, text, out.back())) return false;
    }
    return in.ok();
  }
  if (c == '"') {
    std::string s;
    const bool fine = in.read(s);
    out = s;
    return fine;
  }
  if (c == 't' || c == 'f') {
    bool b = false;
    const bool fine = in.read(b);
    out = b;
    return fine;
  }
  if (c == 'n') return in.read_null();
  double number = 0;
  const bool fine = in.read(number);
  out = number;
  return fine;
}

// Numbers of the other reader as doubles, as ours are.
json with_doubles(const json& j) {
  if (j.is_number()) return j.get<double>();
  if (!j.is_structured()) return j;
  json out = j;
  for (auto& item : out) item = with_doubles(item);
  return out;
}

json arbitrary_json(int depth) {
  const int kind = *rc::gen::inRange(0, depth > 0 ? 7 : 5);
  if (kind == 0) return nullptr;
  if (kind == 1) return *rc::gen::arbitrary<bool>();
  if (kind == 2) return *rc::gen::arbitrary<int>();
  if (kind == 3) {
    const double d = *rc::gen::arbitrary<double>();
    return std::isfinite(d) ? json(d) : json(0.1);
  }
  if (kind == 4) {
    std::string s;
    const auto points = *rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
        "a", "\"", "\\", "\n", "\x01", "\xc3\xa4", "\xe2\x82\xac", "\xf0\x9f\xaa\x82", "/", "{", "u"));
    for (const auto& p : points) s += p;
    return s;
  }
  const int size = *rc::gen::inRange(0, 4);
  json out = kind == 5 ? json::array() : json::object();
  for (int i = 0; i < size; ++i) {
    if (kind == 5)
      out.push_back(arbitrary_json(depth - 1));
    else
      out["k" + std::to_string(i) + (i == 2 ? "\"\\ \xc3\xa4" : "")] = arbitrary_json(depth - 1);
  }
  return out;
}

RC_GTEST_PROP(JsonCursor, ReadsWhatAnotherReaderReads, ()) {
  const auto tree = arbitrary_json(4);
  const auto text = tree.dump(*rc::gen::element(-1, 0, 3), ' ', *rc::gen::arbitrary<bool>());
  JsonCursor in(text);
  json ours;
  RC_ASSERT(take_value(in, text, ours));
  RC_ASSERT(in.finish());
  RC_ASSERT(ours == with_doubles(json::parse(text)));
}

// The two differ only on a number too small for a double, which the other reads as 0 and the cursor refuses.
RC_GTEST_PROP(JsonCursor, RefusesADamagedTextExactlyWhenTheOtherDoes, ()) {
  auto text = arbitrary_json(3).dump(-1, ' ', *rc::gen::arbitrary<bool>());
  const int cuts = *rc::gen::inRange(1, 4);
  for (int i = 0; i < cuts && !text.empty(); ++i) {
    const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
    const int how = *rc::gen::inRange(0, 3);
    if (how == 0) text.erase(at, 1);
    if (how == 1)
      text[at] = *rc::gen::element('"', '\\', '{', '}', '[', ']', ',', ':', '0', '-', '.', 'e', 'u', ' ', '\x80', '\xff');
    if (how == 2) text.resize(at);
  }
  const auto other = json::parse(text, nullptr, false);
  JsonCursor in(text);
  const bool ours = in.skip() && in.finish();
  if (!ours && in.fault().starts_with("a number out of range")) return;
  RC_ASSERT(ours == !other.is_discarded());
}

RC_GTEST_PROP(JsonCursor, NeverReadsBeyondArbitraryBytes, (const std::string& bytes)) {
  RC_PRE(bytes.find('\0') == std::string::npos);  // which the other reader takes for the end
  // Heap storage of the exact size: the address sanitizer sees a read past it.
  const std::vector<char> exact(bytes.begin(), bytes.end());
  JsonCursor in(std::string_view(exact.data(), exact.size()));
  RC_ASSERT((in.skip() && in.finish()) == !json::parse(bytes, nullptr, false).is_discarded());
}

TEST(JsonCursor, RefusesWhatIsNoUtf8) {
  // RFC 3629, section 3 and 4: overlong forms, surrogates, beyond U+10FFFF, lone tails, cut sequences.
  for (const char* bad : {"\xc0\x80", "\xc1\xbf", "\xe0\x80\x80", "\xed\xa0\x80", "\xf0\x80\x80\x80", "\xf4\x90\x80\x80",
                          "\xf5\x80\x80\x80", "\x80", "\xbf", "\xe2\x82", "\xf0\x9f\xaa"}) {
    const auto text = "\"" + std::string(bad) + "\"";
    EXPECT_FALSE(JsonCursor(text).skip()) << json(text).dump(-1, ' ', true, json::error_handler_t::replace);
    JsonText out;
    out.value(std::string_view(bad));
    std::string back;
    JsonCursor in(out.text());
    EXPECT_TRUE(in.read(back) && in.finish()) << "what is written is always well formed";
    EXPECT_NE(back.find("\xef\xbf\xbd"), std::string::npos);
  }
}

TEST(JsonCursor, RefusesHalfSurrogatesAndReadsWholeOnes) {
  std::string s;
  EXPECT_FALSE(JsonCursor(R"("\ud83e")").read(s));
  EXPECT_FALSE(JsonCursor(R"("\ude82")").read(s));
  EXPECT_FALSE(JsonCursor(R"("\ud83e\u0041")").read(s));
  EXPECT_TRUE(JsonCursor(R"("\ud83e\ude82\u00e4\u0000")").read(s));
  EXPECT_EQ(s, std::string("\xf0\x9f\xaa\x82\xc3\xa4\0", 7));
}

TEST(JsonCursor, IsStrictAboutNumbers) {
  for (const char* bad : {"01", "-", "+1", ".5", "1.", "1e", "1e+", "0x1", "NaN", "Infinity", "1e999", "-1e999"}) {
    double d = 0;
    JsonCursor in(bad);
    EXPECT_FALSE(in.read(d) && in.finish()) << bad;
  }
  std::uint64_t u = 0;
  for (const char* bad : {"1.0", "1e3", "-1", "18446744073709551616", "\"1\""}) EXPECT_FALSE(JsonCursor(bad).read(u)) << bad;
  EXPECT_TRUE(JsonCursor("18446744073709551615").read(u));
  std::int64_t i = 0;
  EXPECT_FALSE(JsonCursor("9223372036854775808").read(i));
  EXPECT_TRUE(JsonCursor("-9223372036854775808").read(i));
}

TEST(JsonCursor, StopsAtDeepNesting) {
  EXPECT_TRUE(JsonCursor(std::string(64, '[') + std::string(64, ']')).skip());
  EXPECT_FALSE(JsonCursor(std::string(65, '[') + std::string(65, ']')).skip());
  const std::string deep(1'000'000, '[');
  EXPECT_FALSE(JsonCursor(deep).skip());
}

TEST(JsonCursor, SaysWhatIsWrongAndWhere) {
  const std::string text = R"({"a": x})";
  JsonCursor in(text);
  EXPECT_FALSE(in.skip());
  EXPECT_EQ(in.fault(), "a number is needed, at byte 6");
}

RC_GTEST_PROP(JsonText, WritesDoublesThatReadBackTheSame, (double number)) {
  RC_PRE(std::isfinite(number));
  JsonText out;
  out.value(number);
  double back = 1;
  JsonCursor in(out.text());
  RC_ASSERT(in.read(back) && in.finish());
  RC_ASSERT(back == number);
  RC_ASSERT(json::parse(out.text()).get<double>() == number);
}

}  // namespace
}  // namespace headroom
