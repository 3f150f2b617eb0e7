#include "app/attached.h"

namespace headroom {

std::optional<AttachedBlob> attached_blob(const Entry& entry) {
  const auto* plain = std::get_if<PlainFacts>(&entry.facts);
  if (plain == nullptr) return std::nullopt;
  if (const auto* r = std::get_if<RecordingAttached>(plain)) {
    const bool word = !r->format.empty() && r->format.size() <= 8 &&
                      r->format.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789") == std::string::npos;
    return AttachedBlob{r->recording, word ? r->format : "bin", r->simulated};
  }
  if (const auto* p = std::get_if<PhotoAttached>(plain)) return AttachedBlob{p->photo, "bin", std::nullopt};
  return std::nullopt;
}

}  // namespace headroom
