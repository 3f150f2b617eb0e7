#pragma once
#include <string>

#include "app/ports.h"

namespace headroom {

// A folder of plain files, one a key, named by a hash of the key. Deleting it costs time only. A file damaged on the disk
// is told by its checksum and passes for absent. Holds `most` bytes at the most; the longest unused go first.
class FolderCache final : public Cache {
 public:
  explicit FolderCache(std::string folder, std::uint64_t most = 256U << 20) : folder_(std::move(folder)), most_(most) {}
  [[nodiscard]] std::optional<std::string> get(std::string_view key) override;
  void put(std::string_view key, std::string_view bytes) override;

 private:
  [[nodiscard]] std::string path_of(std::string_view key) const;
  void make_room(std::uint64_t coming);
  std::string folder_;
  std::uint64_t most_;
};

}  // namespace headroom
