#pragma once
// Reads JSON (RFC 8259) member by member from bytes, without building a tree: the fast and quiet way for entries, of which
// a book holds tens of thousands (docs/decisions: entries are read by a cursor). Accepts exactly valid JSON in valid UTF-8,
// save that nesting is limited to 64; never throws on bad bytes, never reads out of bounds. After the first fault every
// call returns false and `fault()` says what and where.
//
//   JsonCursor in(text);
//   std::string_view key;
//   if (in.enter_object())
//     while (in.next_key(key))
//       if (key == "value") in.read(value); else in.skip();
//   if (!in.finish()) ... in.fault()
#include <cstdint>
#include <string>
#include <string_view>

namespace headroom {

class JsonCursor {
 public:
  static constexpr int kDeepest = 64;
  explicit JsonCursor(std::string_view text) : begin_(text.data()), at_(text.data()), end_(text.data() + text.size()) {}

  bool enter_object();
  // The next member's key; false at the closing brace (which is consumed) or after a fault. The view holds until the next
  // call that reads a key.
  bool next_key(std::string_view& key);
  bool enter_array();
  bool next_element();  // false at the closing bracket (which is consumed) or after a fault

  bool read(std::string& value);
  // The text of a string value; the view holds until the next call.
  bool read_view(std::string_view& value);
  bool read(bool& value);
  bool read(double& value);         // finite; a number too large or too small for a double is a fault
  bool read(std::uint64_t& value);  // written without fraction or exponent
  bool read(std::int64_t& value);
  bool read_null();  // true and consumed if the value is null; otherwise untouched, and no fault
  bool skip();       // any value

  // True if nothing but white space is left and no fault was met.
  bool finish();
  // Makes the caller's complaint about the value just read the fault.
  bool reject(std::string_view what);
  [[nodiscard]] bool ok() const { return fault_.empty(); }
  [[nodiscard]] std::string fault() const;  // "a number is needed, at byte 17"
  [[nodiscard]] std::size_t offset() const { return static_cast<std::size_t>(at_ - begin_); }

 private:
  void space() {
    while (at_ != end_ && (*at_ == ' ' || *at_ == '\n' || *at_ == '\r' || *at_ == '\t')) ++at_;
  }
  bool string_token(std::string_view& value, std::string& scratch);
  bool number_token(std::string_view& token, bool& integer);
  bool literal(std::string_view word);
  bool enter(char open);
  bool more(char close);

  const char* begin_;
  const char* at_;
  const char* end_;
  int depth_ = 0;
  bool first_ = false;  // right after an opening brace or bracket
  std::string_view fault_;
  std::string key_scratch_, value_scratch_;
};

// Whether the bytes are well-formed UTF-8 (RFC 3629), so that a JSON string can hold them unchanged.
[[nodiscard]] bool is_utf8(std::string_view bytes);

// JSON text being written: commas are placed by themselves. Invalid UTF-8 becomes U+FFFD; a number must be finite, which
// the caller checks (`finite` tells afterwards).
class JsonText {
 public:
  void open_object();
  void close_object();
  void open_array();
  void close_array();
  void key(std::string_view key);  // plain ASCII, written as it is
  void value(std::string_view text);
  void value(const char* text) { value(std::string_view(text)); }
  void value(bool b);
  void value(double number);  // shortest text that reads back to the same double
  void value(std::int64_t number);
  void value(std::uint64_t number);
  void null();
  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] std::string take() { return std::move(text_); }
  [[nodiscard]] bool finite() const { return finite_; }

 private:
  void comma();
  std::string text_;
  bool fresh_ = true;  // no comma is due
  bool finite_ = true;
};

}  // namespace headroom
