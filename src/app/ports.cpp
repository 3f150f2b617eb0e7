#include "app/ports.h"

namespace headroom {

namespace {

class SpanInflow final : public Inflow {
 public:
  SpanInflow(std::span<const EncodedEntry> entries, std::span<const NamedBlob> blobs) : entries_(entries), blobs_(blobs) {}
  Result<const EncodedEntry*> next_entry() override { return entry_ < entries_.size() ? &entries_[entry_++] : nullptr; }
  Result<std::optional<NamedBlob>> next_blob() override {
    if (blob_ == blobs_.size()) return std::optional<NamedBlob>();
    return std::optional<NamedBlob>(blobs_[blob_++]);
  }

 private:
  std::span<const EncodedEntry> entries_;
  std::span<const NamedBlob> blobs_;
  std::size_t entry_ = 0, blob_ = 0;
};

}  // namespace

Result<void> Store::append(std::span<const EncodedEntry> entries, std::span<const NamedBlob> blobs, const Heads& expected) {
  SpanInflow inflow(entries, blobs);
  return append_from(inflow, expected);
}

}  // namespace headroom
