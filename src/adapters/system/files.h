#pragma once
#include "app/ports.h"

namespace headroom {

// Read with read(2) into the caller's buffer, never mapped: first touch of memory is what costs, and a buffer is used again.
// Written to a file beside, synced, then renamed. Folders are made for the owner only (0700).
class SystemFiles final : public Files {
 public:
  [[nodiscard]] Result<void> read(const std::string& path, std::string& into, std::uint64_t most) override;
  [[nodiscard]] Result<void> read_start(const std::string& path, std::string& into, std::uint64_t most) override;
  [[nodiscard]] Result<std::unique_ptr<LineReader>> lines(const std::string& path, std::uint64_t most) override;
  [[nodiscard]] Result<void> write(const std::string& path, std::string_view bytes) override;
  [[nodiscard]] Result<std::unique_ptr<FileWriter>> create(const std::string& path) override;
  [[nodiscard]] Result<void> make_folder(const std::string& path) override;
  [[nodiscard]] Result<std::vector<std::string>> list(const std::string& folder) override;
  [[nodiscard]] bool is_folder(const std::string& path) override;
};

}  // namespace headroom
