#pragma once
// The book in memory: the double of SqliteStore, held to the same contract (tests/contract/store_contract.cpp).
#include <algorithm>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "app/ports.h"
#include "formats/chain.h"

namespace headroom {

class MemoryStore : public Store {
 public:
  Result<Heads> heads() override {
    std::map<WriterId, Head> best;
    for (const auto& [entry, header] : entries_) {
      auto& head = best[header.writer];
      if (header.number > head.number || (header.number == head.number && entry.hash < head.hash))
        head = {header.writer, header.number, entry.hash};
    }
    Heads heads;
    for (const auto& [writer, head] : best) heads.push_back(head);
    return heads;
  }

  Result<void> append_from(Inflow& inflow, const Heads& expected) override {
    if (const auto now = heads(); *now != expected) return fail(ErrorKind::conflict, "the book has moved on");
    auto entries = entries_;
    auto blobs = blobs_;
    for (;;) {
      const auto next = inflow.next_entry();
      if (!next) return tl::unexpected(next.error());
      if (*next == nullptr) break;
      const EncodedEntry& entry = **next;
      const auto header = check_bytes(entry);
      if (!header) return fail(ErrorKind::bad_input, header.error().what, header.error().where);
      const auto there = std::find_if(entries.begin(), entries.end(), [&](const auto& e) { return e.first.hash == entry.hash; });
      if (there == entries.end()) {
        entries.emplace_back(entry, *header);
        continue;
      }
      if (!there->first.facts) there->first.facts = entry.facts;
      if (!there->first.private_part) there->first.private_part = entry.private_part;
    }
    for (;;) {
      const auto next = inflow.next_blob();
      if (!next) return tl::unexpected(next.error());
      if (!*next) break;
      blobs.emplace((*next)->hash, std::string((*next)->bytes));
    }
    entries_ = std::move(entries);
    blobs_ = std::move(blobs);
    return {};
  }

  Result<void> read(std::uint64_t skip, const std::function<bool(const EncodedEntry&)>& each) override {
    for (auto i = static_cast<std::size_t>(skip); i < entries_.size(); ++i)
      if (!each(entries_[i].first)) break;
    return {};
  }
  Result<std::uint64_t> entry_count() override { return entries_.size(); }
  Result<Hash> contents() override {
    Hash mixed;
    for (const auto& [e, header] : entries_) mix_into(mixed, e.hash, e.facts.has_value(), e.private_part.has_value());
    return mixed;
  }
  Result<std::optional<std::string>> blob(const Hash& hash) override {
    const auto found = blobs_.find(hash);
    if (found == blobs_.end()) return std::optional<std::string>();
    return std::optional<std::string>(found->second);
  }
  Result<std::vector<Hash>> blob_hashes() override {
    std::vector<Hash> hashes;
    for (const auto& [hash, bytes] : blobs_) hashes.push_back(hash);
    return hashes;
  }
  Result<std::vector<std::string>> self_check() override { return std::vector<std::string>(); }

  // For tests that damage a book: the bytes as they are kept.
  EncodedEntry& raw(std::size_t i) { return entries_.at(i).first; }
  std::string& raw_blob(const Hash& hash) { return blobs_.at(hash); }
  void remove_raw(std::size_t i) { entries_.erase(entries_.begin() + static_cast<std::ptrdiff_t>(i)); }

 private:
  std::vector<std::pair<EncodedEntry, EntryHeader>> entries_;
  std::map<Hash, std::string> blobs_;
};

}  // namespace headroom
