#include "formats/export_line.h"

#include "formats/json_cursor.h"

namespace headroom {

std::string export_line(const EncodedEntry& entry, bool with_private) {
  JsonText out;
  out.open_object();
  out.key("hash");
  out.value(std::string_view(entry.hash.text()));
  out.key("header");
  out.value(std::string_view(entry.header));
  out.key("facts");
  if (entry.facts)
    out.value(std::string_view(*entry.facts));
  else
    out.null();
  out.key("private");
  if (entry.private_part && with_private)
    out.value(std::string_view(*entry.private_part));
  else
    out.null();
  out.close_object();
  return out.take() + "\n";
}

Result<void> read_export_line(std::string_view line, EncodedEntry& into) {
  JsonCursor in(line);
  std::string_view key;
  unsigned seen = 0;
  const auto part = [&](std::optional<std::string>& text) {
    if (in.read_null()) {
      text.reset();
      return true;
    }
    if (!text) text.emplace();
    return in.read(*text);
  };
  const auto once = [&](unsigned bit) {
    const bool fresh = (seen & bit) == 0;
    seen |= bit;
    return fresh || in.reject("a member that stands there twice");
  };
  if (in.enter_object()) {
    while (in.next_key(key)) {
      bool fine = true;
      if (key == "hash") {
        std::string_view text;
        fine = once(1) && in.read_view(text);
        if (fine) {
          const auto hash = Hash::parse(text);
          if (hash) into.hash = *hash;
          if (!hash) fine = in.reject("a SHA-256 in hex is needed");
        }
      } else if (key == "header") {
        fine = once(2) && in.read(into.header);
      } else if (key == "facts") {
        fine = once(4) && part(into.facts);
      } else if (key == "private") {
        fine = once(8) && part(into.private_part);
      } else {
        fine = in.skip();
      }
      if (!fine) break;
    }
  }
  if (!in.finish()) return fail(ErrorKind::bad_input, "this is no line of an exported book: " + in.fault());
  if (seen != 15)
    return fail(ErrorKind::bad_input, "this is no line of an exported book: hash, header, facts and private must all be there");
  return {};
}

}  // namespace headroom
