#pragma once
#include <optional>
#include <string>

#include "core/book/facts.h"

namespace headroom {

// "igc" of a recording's format if that is a plain short word, else "bin": what the name of a file can end with.
[[nodiscard]] std::string blob_extension(const std::string& format);

// The blob that an entry brings into the book, if it is of a kind that does.
struct AttachedBlob {
  Hash hash;
  std::string extension;  // for a file of its own
  std::optional<bool> simulated;
};
[[nodiscard]] std::optional<AttachedBlob> attached_blob(const Entry& entry);

}  // namespace headroom
