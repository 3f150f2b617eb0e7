#include "adapters/http/zip_files.h"

#include <minizip/zip.h>

#include <algorithm>
#include <chrono>

namespace headroom::http {

struct ZipFiles::Archive {
  zipFile zip = nullptr;
  zip_fileinfo info{};
  std::uint64_t begun = 0;  // counts the files; a writer knows its own
  bool open = false;
  bool broken = false;

  [[nodiscard]] tl::unexpected<Error> full(const std::string& path) {
    broken = true;
    return fail(ErrorKind::io, "the archive could not be written: is the disk full?", path);
  }
  [[nodiscard]] Result<void> end(const std::string& path) {
    if (!open) return {};
    open = false;
    if (zipCloseFileInZip(zip) != ZIP_OK) return full(path);
    return {};
  }
  [[nodiscard]] Result<void> begin(const std::string& path) {
    if (zip == nullptr || broken) return full(path);
    if (auto ended = end(path); !ended) return ended;
    constexpr int kLevel = 6;
    if (zipOpenNewFileInZip64(zip, path.c_str(), &info, nullptr, 0, nullptr, 0, nullptr, Z_DEFLATED, kLevel, 0) != ZIP_OK)
      return full(path);
    open = true;
    ++begun;
    return {};
  }
  [[nodiscard]] Result<void> add(const std::string& path, std::string_view bytes) {
    constexpr std::size_t kPiece = 1U << 20;
    while (!bytes.empty()) {
      const auto piece = bytes.substr(0, kPiece);
      if (zipWriteInFileInZip(zip, piece.data(), static_cast<unsigned>(piece.size())) != ZIP_OK) return full(path);
      bytes.remove_prefix(piece.size());
    }
    return {};
  }
  Archive() = default;
  Archive(const Archive&) = delete;
  Archive& operator=(const Archive&) = delete;
  ~Archive() {
    if (zip != nullptr) zipClose(zip, nullptr);
  }
};

class ZipFiles::Writer final : public FileWriter {
 public:
  Writer(std::shared_ptr<Archive> archive, std::string path)
      : archive_(std::move(archive)), path_(std::move(path)), mine_(archive_->begun) {}
  Result<void> write(std::string_view bytes) override {
    if (archive_->begun != mine_ || !archive_->open)
      return fail(ErrorKind::io, "a file of an archive was written to after its end", path_);
    return archive_->add(path_, bytes);
  }
  Result<void> finish() override {
    if (archive_->broken) return archive_->full(path_);
    return archive_->begun == mine_ ? archive_->end(path_) : Result<void>();
  }

 private:
  std::shared_ptr<Archive> archive_;
  std::string path_;
  std::uint64_t mine_;
};

ZipFiles::ZipFiles(const std::string& path, UtcTime at) : archive_(std::make_shared<Archive>()) {
  archive_->zip = zipOpen64(path.c_str(), APPEND_STATUS_CREATE);
  const auto day = std::chrono::floor<std::chrono::days>(at);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss time(std::chrono::floor<std::chrono::seconds>(at - day));
  auto& t = archive_->info.tmz_date;
  t.tm_year = static_cast<unsigned>(static_cast<int>(date.year()));
  t.tm_mon = static_cast<unsigned>(date.month()) - 1;
  t.tm_mday = static_cast<unsigned>(date.day());
  t.tm_hour = static_cast<unsigned>(time.hours().count());
  t.tm_min = static_cast<unsigned>(time.minutes().count());
  t.tm_sec = static_cast<unsigned>(time.seconds().count());
}

ZipFiles::~ZipFiles() = default;

Result<void> ZipFiles::finish() {
  if (archive_->zip == nullptr || archive_->broken) return archive_->full({});
  if (auto ended = archive_->end({}); !ended) return ended;
  const auto closed = zipClose(archive_->zip, nullptr);
  archive_->zip = nullptr;
  if (closed != ZIP_OK) return archive_->full({});
  return {};
}

namespace {

tl::unexpected<Error> not_in_archive(const std::string& path) {
  return fail(ErrorKind::not_found, "an archive that is being written holds nothing to read", path);
}

}  // namespace

Result<void> ZipFiles::read(const std::string& path, std::string&, std::uint64_t) {
  return not_in_archive(path);
}
Result<void> ZipFiles::read_start(const std::string& path, std::string&, std::uint64_t) {
  return not_in_archive(path);
}
Result<std::unique_ptr<LineReader>> ZipFiles::lines(const std::string& path, std::uint64_t) {
  return not_in_archive(path);
}
Result<void> ZipFiles::write(const std::string& path, std::string_view bytes) {
  if (auto begun = archive_->begin(path); !begun) return begun;
  if (auto added = archive_->add(path, bytes); !added) return added;
  return archive_->end(path);
}
Result<std::unique_ptr<FileWriter>> ZipFiles::create(const std::string& path) {
  if (auto begun = archive_->begin(path); !begun) return tl::unexpected<Error>(begun.error());
  return std::unique_ptr<FileWriter>(std::make_unique<Writer>(archive_, path));
}
Result<void> ZipFiles::make_folder(const std::string&) {
  return {};
}
Result<std::vector<std::string>> ZipFiles::list(const std::string&) {
  return std::vector<std::string>();
}
bool ZipFiles::is_folder(const std::string&) {
  return true;
}

}  // namespace headroom::http
