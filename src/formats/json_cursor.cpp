#include "formats/json_cursor.h"

#include <charconv>
#include <cmath>
#include <cstring>

#include "formats/digits.h"

namespace headroom {

namespace {

// Length of the well-formed UTF-8 sequence at `at` (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF), or 0.
std::size_t utf8_sequence(const char* at, const char* end) {
  const auto byte = [&](std::ptrdiff_t i) { return static_cast<unsigned char>(at[i]); };
  const auto left = end - at;
  const auto tail = [&](std::ptrdiff_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned char b = byte(0);
  if (b < 0x80) return 1;
  if (b >= 0xC2 && b <= 0xDF) return left >= 2 && tail(1) ? 2 : 0;
  if (b >= 0xE0 && b <= 0xEF) {
    if (left < 3 || !tail(1) || !tail(2)) return 0;
    if (b == 0xE0 && byte(1) < 0xA0) return 0;
    if (b == 0xED && byte(1) > 0x9F) return 0;
    return 3;
  }
  if (b >= 0xF0 && b <= 0xF4) {
    if (left < 4 || !tail(1) || !tail(2) || !tail(3)) return 0;
    if (b == 0xF0 && byte(1) < 0x90) return 0;
    if (b == 0xF4 && byte(1) > 0x8F) return 0;
    return 4;
  }
  return 0;
}

// Whether the 8 bytes at `at` are all ASCII that stands for itself in a string: no control, quote or backslash. Each test
// sets the top bit of a byte that fails it (the carries of a failing byte can only fail more).
bool eight_plain(const char* at) {
  constexpr std::uint64_t ones = 0x0101010101010101U, tops = 0x8080808080808080U;
  std::uint64_t w = 0;
  std::memcpy(&w, at, 8);
  const auto zero_byte = [&](std::uint64_t x) { return (x - ones) & ~x; };
  return ((w | (w - ones * 0x20) | zero_byte(w ^ (ones * 0x22)) | zero_byte(w ^ (ones * 0x5c))) & tops) == 0;
}

void put_utf8(std::string& out, std::uint32_t c) {
  if (c < 0x80) {
    out += static_cast<char>(c);
  } else if (c < 0x800) {
    out += static_cast<char>(0xC0 | (c >> 6));
    out += static_cast<char>(0x80 | (c & 0x3F));
  } else if (c < 0x10000) {
    out += static_cast<char>(0xE0 | (c >> 12));
    out += static_cast<char>(0x80 | ((c >> 6) & 0x3F));
    out += static_cast<char>(0x80 | (c & 0x3F));
  } else {
    out += static_cast<char>(0xF0 | (c >> 18));
    out += static_cast<char>(0x80 | ((c >> 12) & 0x3F));
    out += static_cast<char>(0x80 | ((c >> 6) & 0x3F));
    out += static_cast<char>(0x80 | (c & 0x3F));
  }
}

// Four hex digits at `at`, or -1.
int hex4(const char* at, const char* end) {
  if (end - at < 4) return -1;
  int value = 0;
  for (int i = 0; i < 4; ++i) {
    const char c = at[i];
    int digit = 0;
    if (c >= '0' && c <= '9')
      digit = c - '0';
    else if (c >= 'a' && c <= 'f')
      digit = c - 'a' + 10;
    else if (c >= 'A' && c <= 'F')
      digit = c - 'A' + 10;
    else
      return -1;
    value = value * 16 + digit;
  }
  return value;
}

}  // namespace

bool JsonCursor::reject(std::string_view what) {
  if (fault_.empty()) fault_ = what;
  return false;
}

std::string JsonCursor::fault() const {
  return std::string(fault_) + ", at byte " + std::to_string(offset());
}

bool JsonCursor::enter(char open) {
  if (!ok()) return false;
  space();
  if (at_ == end_ || *at_ != open) return reject(open == '{' ? "an object is needed" : "an array is needed");
  if (++depth_ > kDeepest) return reject("nested too deeply");
  ++at_;
  first_ = true;
  return true;
}

bool JsonCursor::enter_object() {
  return enter('{');
}
bool JsonCursor::enter_array() {
  return enter('[');
}

bool JsonCursor::more(char close) {
  if (!ok()) return false;
  space();
  if (at_ == end_) return reject("cut short");
  if (*at_ == close) {
    ++at_;
    --depth_;
    first_ = false;
    return false;
  }
  if (!first_) {
    if (*at_ != ',') return reject("a comma is needed");
    ++at_;
    space();
  }
  first_ = false;
  return true;
}

bool JsonCursor::next_key(std::string_view& key) {
  if (!more('}')) return false;
  if (!string_token(key, key_scratch_)) return false;
  space();
  if (at_ == end_ || *at_ != ':') return reject("a colon is needed");
  ++at_;
  return true;
}

bool JsonCursor::next_element() {
  return more(']');
}

bool JsonCursor::string_token(std::string_view& value, std::string& scratch) {
  space();
  if (at_ == end_ || *at_ != '"') return reject("a string is needed");
  const char* from = ++at_;
  bool copied = false;
  for (;;) {
    while (end_ - at_ >= 8 && eight_plain(at_)) at_ += 8;
    if (at_ == end_) return reject("a string without end");
    const auto c = static_cast<unsigned char>(*at_);
    if (c == '"') {
      if (copied) {
        scratch.append(from, at_);
        value = scratch;
      } else {
        value = {from, static_cast<std::size_t>(at_ - from)};
      }
      ++at_;
      return true;
    }
    if (c < 0x20) return reject("a control character in a string");
    if (c == '\\') {
      if (!copied) scratch.clear();
      copied = true;
      scratch.append(from, at_);
      if (end_ - at_ < 2) return reject("a string without end");
      const char escape = at_[1];
      at_ += 2;
      switch (escape) {
        case '"':
        case '\\':
        case '/':
          scratch += escape;
          break;
        case 'b':
          scratch += '\b';
          break;
        case 'f':
          scratch += '\f';
          break;
        case 'n':
          scratch += '\n';
          break;
        case 'r':
          scratch += '\r';
          break;
        case 't':
          scratch += '\t';
          break;
        case 'u': {
          const int high = hex4(at_, end_);
          if (high < 0) return reject("a bad \\u escape");
          at_ += 4;
          auto c32 = static_cast<std::uint32_t>(high);
          if (c32 >= 0xDC00 && c32 <= 0xDFFF) return reject("half a surrogate pair");
          if (c32 >= 0xD800 && c32 <= 0xDBFF) {
            if (end_ - at_ < 6 || at_[0] != '\\' || at_[1] != 'u') return reject("half a surrogate pair");
            const int low = hex4(at_ + 2, end_);
            if (low < 0xDC00 || low > 0xDFFF) return reject("half a surrogate pair");
            at_ += 6;
            c32 = 0x10000 + ((c32 - 0xD800) << 10) + (static_cast<std::uint32_t>(low) - 0xDC00);
          }
          put_utf8(scratch, c32);
          break;
        }
        default:
          return reject("an unknown escape");
      }
      from = at_;
      continue;
    }
    if (c < 0x80) {
      ++at_;
      continue;
    }
    const std::size_t length = utf8_sequence(at_, end_);
    if (length == 0) return reject("not UTF-8");
    at_ += length;
  }
}

bool JsonCursor::read_view(std::string_view& value) {
  return ok() && string_token(value, value_scratch_);
}

bool JsonCursor::read(std::string& value) {
  std::string_view view;
  if (!read_view(view)) return false;
  value.assign(view);
  return true;
}

bool JsonCursor::literal(std::string_view word) {
  if (static_cast<std::size_t>(end_ - at_) < word.size() || std::string_view(at_, word.size()) != word) return false;
  at_ += word.size();
  return true;
}

bool JsonCursor::read(bool& value) {
  if (!ok()) return false;
  space();
  if (literal("true")) return value = true;
  if (literal("false")) {
    value = false;
    return true;
  }
  return reject("true or false is needed");
}

bool JsonCursor::read_null() {
  if (!ok()) return false;
  space();
  return literal("null");
}

bool JsonCursor::number_token(std::string_view& token, bool& integer) {
  if (!ok()) return false;
  space();
  const char* from = at_;
  const char* p = at_;
  if (p != end_ && *p == '-') ++p;
  if (p == end_ || !digits::is_digit(*p)) return reject("a number is needed");
  if (*p == '0')
    ++p;
  else
    while (p != end_ && digits::is_digit(*p)) ++p;
  integer = true;
  if (p != end_ && *p == '.') {
    integer = false;
    ++p;
    if (p == end_ || !digits::is_digit(*p)) return reject("a bad number");
    while (p != end_ && digits::is_digit(*p)) ++p;
  }
  if (p != end_ && (*p == 'e' || *p == 'E')) {
    integer = false;
    ++p;
    if (p != end_ && (*p == '+' || *p == '-')) ++p;
    if (p == end_ || !digits::is_digit(*p)) return reject("a bad number");
    while (p != end_ && digits::is_digit(*p)) ++p;
  }
  token = {from, static_cast<std::size_t>(p - from)};
  at_ = p;
  return true;
}

bool JsonCursor::read(double& value) {
  std::string_view token;
  bool integer = false;
  if (!number_token(token, integer)) return false;
  const auto result = std::from_chars(token.data(), token.data() + token.size(), value);
  if (result.ec != std::errc{} || !std::isfinite(value)) return reject("a number out of range");
  return true;
}

bool JsonCursor::read(std::uint64_t& value) {
  std::string_view token;
  bool integer = false;
  if (!number_token(token, integer)) return false;
  const auto result = std::from_chars(token.data(), token.data() + token.size(), value);
  if (!integer || result.ec != std::errc{} || result.ptr != token.data() + token.size())
    return reject("a whole number is needed");
  return true;
}

bool JsonCursor::read(std::int64_t& value) {
  std::string_view token;
  bool integer = false;
  if (!number_token(token, integer)) return false;
  const auto result = std::from_chars(token.data(), token.data() + token.size(), value);
  if (!integer || result.ec != std::errc{} || result.ptr != token.data() + token.size())
    return reject("a whole number is needed");
  return true;
}

bool JsonCursor::skip() {
  if (!ok()) return false;
  space();
  if (at_ == end_) return reject("cut short");
  std::string_view view;
  switch (*at_) {
    case '"':
      return read_view(view);
    case '{':
      if (!enter_object()) return false;
      while (next_key(view))
        if (!skip()) return false;
      return ok();
    case '[':
      if (!enter_array()) return false;
      while (next_element())
        if (!skip()) return false;
      return ok();
    case 't':
    case 'f': {
      bool b = false;
      return read(b);
    }
    case 'n':
      return read_null() || reject("null is needed");
    default: {
      double number = 0;
      return read(number);
    }
  }
}

bool JsonCursor::finish() {
  if (!ok()) return false;
  space();
  if (at_ != end_) return reject("something follows the end");
  return true;
}

bool is_utf8(std::string_view bytes) {
  const char* end = bytes.data() + bytes.size();
  for (const char* p = bytes.data(); p != end;) {
    const auto length = utf8_sequence(p, end);
    if (length == 0) return false;
    p += length;
  }
  return true;
}

void JsonText::comma() {
  if (!fresh_) text_ += ',';
  fresh_ = false;
}
void JsonText::open_object() {
  comma();
  text_ += '{';
  fresh_ = true;
}
void JsonText::close_object() {
  text_ += '}';
  fresh_ = false;
}
void JsonText::open_array() {
  comma();
  text_ += '[';
  fresh_ = true;
}
void JsonText::close_array() {
  text_ += ']';
  fresh_ = false;
}
void JsonText::key(std::string_view key) {
  comma();
  text_ += '"';
  text_ += key;
  text_ += "\":";
  fresh_ = true;
}
void JsonText::value(std::string_view text) {
  comma();
  text_ += '"';
  const char* end = text.data() + text.size();
  for (const char* p = text.data(); p != end;) {
    const auto c = static_cast<unsigned char>(*p);
    if (c == '"' || c == '\\') {
      text_ += '\\';
      text_ += *p++;
    } else if (c < 0x20) {
      constexpr char hex[] = "0123456789abcdef";
      switch (c) {
        case '\n':
          text_ += "\\n";
          break;
        case '\r':
          text_ += "\\r";
          break;
        case '\t':
          text_ += "\\t";
          break;
        default:
          text_ += "\\u00";
          text_ += hex[c >> 4];
          text_ += hex[c & 15];
      }
      ++p;
    } else if (c < 0x80) {
      text_ += *p++;
    } else {
      const std::size_t length = utf8_sequence(p, end);
      if (length == 0) {
        text_ += "\xEF\xBF\xBD";
        ++p;
      } else {
        text_.append(p, length);
        p += length;
      }
    }
  }
  text_ += '"';
}
void JsonText::value(bool b) {
  comma();
  text_ += b ? "true" : "false";
}
void JsonText::value(double number) {
  comma();
  if (!std::isfinite(number)) {
    finite_ = false;
    text_ += "0";
    return;
  }
  char buffer[40];
  const auto result = std::to_chars(buffer, buffer + sizeof buffer, number == 0 ? 0.0 : number);
  text_.append(buffer, result.ptr);
}
void JsonText::value(std::int64_t number) {
  comma();
  text_ += std::to_string(number);
}
void JsonText::value(std::uint64_t number) {
  comma();
  text_ += std::to_string(number);
}
void JsonText::null() {
  comma();
  text_ += "null";
}

}  // namespace headroom
