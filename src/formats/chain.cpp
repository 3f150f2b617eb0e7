#include "formats/chain.h"

#include "formats/entry_json.h"
#include "formats/hash.h"

namespace headroom {

Result<EntryHeader> check_bytes(const EncodedEntry& entry) {
  if (sha256(entry.header) != entry.hash) return fail(ErrorKind::damaged, "the hash does not fit the header");
  auto header = decode_header(entry.header);
  if (!header) return header;
  if (entry.facts && sha256(*entry.facts) != header->facts_hash)
    return fail(ErrorKind::damaged, "the facts do not fit the hash in the header", "entry " + header->id.text());
  if (entry.private_part && sha256(*entry.private_part) != header->private_hash)
    return fail(ErrorKind::damaged, "the private part does not fit the hash in the header", "entry " + header->id.text());
  return header;
}

void mix_into(Hash& contents, const Hash& entry, bool has_facts, bool has_private) {
  Hash term = entry;
  if (!has_facts || !has_private) {
    // Hashed again, so that two entries lacking the same part do not cancel the mark of each other.
    std::string bytes(entry.bytes.begin(), entry.bytes.end());
    bytes += static_cast<char>((has_facts ? 1 : 0) + (has_private ? 2 : 0));
    term = sha256(bytes);
  }
  for (std::size_t i = 0; i < term.bytes.size(); ++i) contents.bytes[i] ^= term.bytes[i];
}

}  // namespace headroom
