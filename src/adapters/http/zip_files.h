#pragma once
// Files written into one zip archive (APPNOTE.TXT 6.3), so that a copy of the book leaves as one file.
#include <memory>
#include <string>
#include <vector>

#include "app/ports.h"

namespace headroom::http {

// For writing alone, one file after the other: a file begun with create() is written to its end before the next one begins, or
// it is an error. Paths become names in the archive as they stand. Each file holds less than 4 GB. Nothing here is read back.
class ZipFiles final : public Files {
 public:
  // `path`: of the archive, made anew; `at`: the time that stands beside each file, in the owner's zone.
  ZipFiles(const std::string& path, UtcTime at);
  ~ZipFiles() override;
  ZipFiles(const ZipFiles&) = delete;
  ZipFiles& operator=(const ZipFiles&) = delete;
  // The archive is whole only after this. io when the disk is full.
  [[nodiscard]] Result<void> finish();

  [[nodiscard]] Result<void> read(const std::string& path, std::string& into, std::uint64_t most) override;
  [[nodiscard]] Result<void> read_start(const std::string& path, std::string& into, std::uint64_t most) override;
  [[nodiscard]] Result<std::unique_ptr<LineReader>> lines(const std::string& path, std::uint64_t most) override;
  [[nodiscard]] Result<void> write(const std::string& path, std::string_view bytes) override;
  [[nodiscard]] Result<std::unique_ptr<FileWriter>> create(const std::string& path) override;
  [[nodiscard]] Result<void> make_folder(const std::string& path) override;
  [[nodiscard]] Result<std::vector<std::string>> list(const std::string& folder) override;
  [[nodiscard]] bool is_folder(const std::string& path) override;

 private:
  struct Archive;
  class Writer;
  std::shared_ptr<Archive> archive_;
};

}  // namespace headroom::http
