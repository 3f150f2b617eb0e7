// The first byte says how to take the rest: as a part of an entry of some kind, as a header, or as a line of an export. What
// reads must write again and read to the same bytes.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/chain.h"
#include "formats/entry_json.h"
#include "formats/export_line.h"
#include "formats/hash.h"

using namespace headroom;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
  if (data[0] == 255) {
    static_cast<void>(decode_header(bytes));
    return 0;
  }
  EncodedEntry entry;
  if (data[0] == 254) {
    if (!read_export_line(bytes, entry)) return 0;
    EncodedEntry again;
    if (!read_export_line(export_line(entry, true), again)) std::abort();
    if (again.header != entry.header || again.facts != entry.facts || again.private_part != entry.private_part) std::abort();
    ChainCheck check;
    static_cast<void>(check.add(entry));
    static_cast<void>(check.finish());
    return 0;
  }
  const auto kind = static_cast<EntryKind>(data[0] % (static_cast<int>(EntryKind::unknown) + 1));
  const std::string salt = R"({"salt":"00000000000000000000000000000000")";
  // A newline parts facts from private; what it would mean in the text itself is lost, no more.
  const auto split = bytes.find('\n');
  entry.facts = salt + std::string(bytes.substr(0, split));
  entry.private_part = split == std::string_view::npos ? salt + "}" : salt + std::string(bytes.substr(split + 1));
  const std::string zeros(64, '0'), id = "00000000-0000-0000-0000-000000000000";
  entry.header = R"({"id":")" + id + R"(","writer":")" + id +
                 R"(","number":1,"at":"2026-05-02T07:10:00Z","offset_min":0,"written":"2026-05-02T07:10:00Z","kind":")" +
                 std::string(kind_name(kind)) + R"(","version":1,"before":")" + zeros + R"(","facts":")" + zeros +
                 R"(","private":")" + zeros + R"("})";
  const auto read = decode(entry);
  if (!read || kind == EntryKind::unknown) return 0;
  const auto written = encode(read->header, read->facts, {});
  if (!written) {
    if (written.error().kind != ErrorKind::out_of_range) std::abort();  // a time beyond the years that have a text
    return 0;
  }
  const auto again = decode(*written);
  if (!again) std::abort();
  const auto twice = encode(again->header, again->facts, {});
  if (!twice || twice->facts != written->facts || twice->private_part != written->private_part) std::abort();
  return 0;
}
