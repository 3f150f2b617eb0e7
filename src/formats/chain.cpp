#include "formats/chain.h"

#include <algorithm>
#include <map>

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

struct ChainCheck::Inner {
  struct Link {
    std::uint64_t place;
    Hash hash, computed;  // as stored, and of the header's bytes: equal unless the entry is damaged
    Hash before;
    EntryId id;
  };
  std::map<WriterId, std::map<std::uint64_t, std::vector<Link>>> chains;
  std::map<EntryId, Hash> ids;
  ChainReport report;
};

ChainCheck::ChainCheck() : inner_(std::make_unique<Inner>()) {}
ChainCheck::~ChainCheck() = default;

namespace {

std::string chain_entry_name(const EntryHeader& h) {
  return "entry " + h.id.text() + " (number " + std::to_string(h.number) + " of writer " + h.writer.text() + ")";
}

}  // namespace

void ChainCheck::add_fault(std::uint64_t place, std::string entry, std::string what) {
  inner_->report.faults.push_back({place, std::move(entry), std::move(what)});
}

bool ChainCheck::add(const EncodedEntry& entry, Entry* read) {
  auto& report = inner_->report;
  const auto place = ++report.entries;
  const auto faults = report.faults.size();
  const Hash computed = sha256(entry.header);
  const auto header = decode_header(entry.header);
  const std::string name = header ? chain_entry_name(*header) : "the entry at place " + std::to_string(place);
  if (computed != entry.hash) add_fault(place, name, "its hash does not fit its header: one of the two was changed");
  if (!header) {
    if (computed == entry.hash) add_fault(place, name, header.error().what);
    return false;
  }
  if (entry.facts && sha256(*entry.facts) != header->facts_hash)
    add_fault(place, name, "its facts were changed: they do not fit the hash in the header");
  if (entry.private_part && sha256(*entry.private_part) != header->private_hash)
    add_fault(place, name, "its private part was changed: it does not fit the hash in the header");
  if (!entry.facts) report.left_out.push_back({place, name, "facts"});
  if (!entry.private_part) report.left_out.push_back({place, name, "private"});
  auto& same_number = inner_->chains[header->writer][header->number];
  const bool again = std::any_of(same_number.begin(), same_number.end(), [&](const auto& l) { return l.hash == entry.hash; });
  if (!again) same_number.push_back({place, entry.hash, computed, header->before, header->id});
  const auto [known, fresh] = inner_->ids.emplace(header->id, entry.hash);
  if (!fresh && known->second != entry.hash) add_fault(place, name, "another entry has the same id");
  if (report.faults.size() != faults) return false;
  auto decoded = decode(entry);
  if (!decoded) {
    add_fault(place, name, decoded.error().what);
    return false;
  }
  if (read != nullptr) *read = std::move(*decoded);
  return true;
}

ChainReport ChainCheck::finish() {
  auto& report = inner_->report;
  for (const auto& [writer, numbers] : inner_->chains) {
    WriterChain chain;
    chain.writer = writer;
    std::uint64_t expected = 1;
    const std::vector<Inner::Link>* previous = nullptr;
    for (const auto& [number, links] : numbers) {
      chain.entries += links.size();
      chain.highest = number;
      if (links.size() > 1) {
        Fork fork{writer, number, {}};
        for (const auto& link : links) fork.entries.push_back(link.id);
        report.forks.push_back(std::move(fork));
      }
      const bool gap = number != expected;
      if (number == 0)
        add_fault(links[0].place, "an entry of writer " + writer.text(), "it has the number 0; a chain begins with 1");
      if (gap && number > expected)
        add_fault(0, "writer " + writer.text(),
                  number - expected == 1
                      ? "entry number " + std::to_string(expected) + " is missing"
                      : "entries number " + std::to_string(expected) + " to " + std::to_string(number - 1) + " are missing");
      for (const auto& link : links) {
        const bool fits = number <= 1 ? link.before == Hash{}
                          : gap       ? true  // said above
                                      : std::any_of(previous->begin(), previous->end(), [&](const Inner::Link& p) {
                                    return p.hash == link.before || p.computed == link.before;
                                  });
        if (!fits)
          add_fault(link.place,
                    "entry " + link.id.text() + " (number " + std::to_string(number) + " of writer " + writer.text() + ")",
                    number <= 1 ? "it names an entry before it, but a chain begins with number 1"
                                : "it does not follow from the entry before it: its link fits none that is there");
      }
      previous = &links;
      expected = number + 1;
    }
    report.writers.push_back(chain);
  }
  std::stable_sort(report.faults.begin(), report.faults.end(),
                   [](const ChainFault& a, const ChainFault& b) { return a.place < b.place; });
  return std::move(report);
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
