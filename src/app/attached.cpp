#include "app/attached.h"

namespace headroom {

std::string blob_extension(const std::string& format) {
  constexpr std::size_t kLongest = 8;
  const bool word = !format.empty() && format.size() <= kLongest &&
                    format.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789") == std::string::npos;
  return word ? format : "bin";
}

std::optional<AttachedBlob> attached_blob(const Entry& entry) {
  const auto* plain = std::get_if<PlainFacts>(&entry.facts);
  if (plain == nullptr) return std::nullopt;
  if (const auto* r = std::get_if<RecordingAttached>(plain))
    return AttachedBlob{r->recording, blob_extension(r->format), r->simulated};
  if (const auto* f = std::get_if<FieldDescribed>(plain); f != nullptr && f->private_photo != Hash{})
    return AttachedBlob{f->private_photo, "bin", std::nullopt};
  if (const auto* p = std::get_if<PhotoAttached>(plain)) return AttachedBlob{p->photo, "bin", std::nullopt};
  return std::nullopt;
}

}  // namespace headroom
