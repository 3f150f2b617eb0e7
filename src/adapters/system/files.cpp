#include "adapters/system/files.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "adapters/system/descriptor.h"

namespace headroom {

namespace {

tl::unexpected<Error> file_error(const std::string& path, const char* doing) {
  const int error = errno;
  if (error == ENOENT || error == ENOTDIR) return fail(ErrorKind::not_found, "there is no such file or folder", path);
  if (error == ENOSPC || error == EDQUOT) return fail(ErrorKind::io, "the disk is full", path);
  return fail(ErrorKind::io, std::string(doing) + " failed: " + std::strerror(error), path);
}

std::string parent_of(const std::string& path) {
  const auto slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

std::string size_text(std::uint64_t bytes) {
  return bytes >= (1U << 20) ? std::to_string(bytes >> 20) + " MiB" : std::to_string(bytes) + " bytes";
}

// Opens a regular file for reading, or says why not.
Result<int> open_regular(const std::string& path, struct stat& st) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);  // not waiting for the other end of a pipe
  if (fd < 0) return file_error(path, "reading");
  if (::fstat(fd, &st) != 0) {
    const auto error = file_error(path, "reading");
    ::close(fd);
    return error;
  }
  if (!S_ISREG(st.st_mode)) {
    ::close(fd);
    return fail(ErrorKind::bad_input, S_ISDIR(st.st_mode) ? "this is a folder, not a file" : "this is not a plain file", path);
  }
  return fd;
}

// Reads until `into` holds `most` bytes or the file ends. `into` keeps its size from one use to the next where it can, so
// that memory already touched is not cleared again.
Result<void> fill(int fd, const std::string& path, std::string& into, std::uint64_t expected, std::uint64_t most) {
  std::size_t have = 0;
  into.resize(static_cast<std::size_t>(std::min(expected + 1, most)));
  for (;;) {
    if (have == into.size()) {
      if (have >= most) break;
      into.resize(static_cast<std::size_t>(std::min<std::uint64_t>(most, have * 2 + 4096)));
    }
    const auto n = ::read(fd, into.data() + have, into.size() - have);
    if (n < 0) {
      if (errno == EINTR) continue;
      return file_error(path, "reading");
    }
    if (n == 0) break;
    have += static_cast<std::size_t>(n);
  }
  into.resize(have);
  return {};
}

bool write_all(int fd, std::string_view bytes) {
  while (!bytes.empty()) {
    const auto n = ::write(fd, bytes.data(), bytes.size());
    if (n < 0) {
      if (errno == EINTR) continue;
      return false;
    }
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
  return true;
}

class SystemLineReader final : public LineReader {
 public:
  SystemLineReader(std::string path, int fd, std::uint64_t most) : path_(std::move(path)), fd_(fd), most_(most) {}

  Result<std::optional<std::string_view>> next() override {
    for (;;) {
      const auto* found = static_cast<const char*>(std::memchr(buffer_.data() + searched_, '\n', have_ - searched_));
      if (found != nullptr) return line(static_cast<std::size_t>(found - buffer_.data()), 1);
      searched_ = have_;
      if (have_ - from_ > most_)
        return fail(ErrorKind::bad_input, "line " + std::to_string(number_ + 1) + " is longer than " + size_text(most_), path_);
      if (ended_) return from_ < have_ ? line(have_, 0) : std::optional<std::string_view>();
      if (from_ > 0) {
        std::memmove(buffer_.data(), buffer_.data() + from_, have_ - from_);
        have_ -= from_;
        searched_ -= from_;
        from_ = 0;
      }
      if (have_ == buffer_.size()) buffer_.resize(buffer_.size() * 2);
      const auto n = ::read(fd_.get(), buffer_.data() + have_, buffer_.size() - have_);
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) return file_error(path_, "reading");
      ended_ = n == 0;
      have_ += static_cast<std::size_t>(n);
    }
  }

 private:
  std::optional<std::string_view> line(std::size_t end, std::size_t mark) {
    std::string_view text(buffer_.data() + from_, end - from_);
    if (text.ends_with('\r')) text.remove_suffix(1);
    from_ = searched_ = end + mark;
    ++number_;
    return text;
  }

  std::string path_;
  Descriptor fd_;
  std::uint64_t most_;
  std::string buffer_ = std::string(1U << 18, '\0');
  std::size_t from_ = 0, have_ = 0, searched_ = 0;  // buffer_[from_, have_) is not handed out; no LF before searched_
  std::uint64_t number_ = 0;
  bool ended_ = false;
};

class SystemFileWriter final : public FileWriter {
 public:
  SystemFileWriter(std::string path, std::string beside, int fd) : path_(std::move(path)), beside_(std::move(beside)), fd_(fd) {}
  ~SystemFileWriter() override {
    if (!finished_) ::unlink(beside_.c_str());
  }
  Result<void> write(std::string_view bytes) override {
    if (buffer_.size() + bytes.size() < kBuffer) {
      buffer_ += bytes;
      return {};
    }
    if (!write_all(fd_.get(), buffer_) || !write_all(fd_.get(), bytes)) return file_error(path_, "writing");
    buffer_.clear();
    return {};
  }
  Result<void> finish() override {
    if (!write_all(fd_.get(), buffer_) || ::fsync(fd_.get()) != 0 || fd_.close() != 0) return file_error(path_, "writing");
    if (::rename(beside_.c_str(), path_.c_str()) != 0) return file_error(path_, "writing");
    finished_ = true;
    const Descriptor folder(::open(parent_of(path_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (folder.open()) ::fsync(folder.get());
    return {};
  }

 private:
  static constexpr std::size_t kBuffer = 1U << 16;
  std::string path_, beside_;
  Descriptor fd_;
  std::string buffer_;
  bool finished_ = false;
};

}  // namespace

Result<void> SystemFiles::read(const std::string& path, std::string& into, std::uint64_t most) {
  struct stat st {};
  const auto opened = open_regular(path, st);
  if (!opened) return tl::unexpected(opened.error());
  const Descriptor fd(*opened);
  const auto size = static_cast<std::uint64_t>(st.st_size);
  const auto too_large = [&] { return fail(ErrorKind::bad_input, "the file is larger than " + size_text(most), path); };
  if (size > most) return too_large();
  if (auto filled = fill(fd.get(), path, into, size, most + 1); !filled) return filled;
  if (into.size() > most) return too_large();
  return {};
}

Result<void> SystemFiles::read_start(const std::string& path, std::string& into, std::uint64_t most) {
  struct stat st {};
  const auto opened = open_regular(path, st);
  if (!opened) return tl::unexpected(opened.error());
  const Descriptor fd(*opened);
  return fill(fd.get(), path, into, static_cast<std::uint64_t>(st.st_size), most);
}

Result<std::unique_ptr<LineReader>> SystemFiles::lines(const std::string& path, std::uint64_t most) {
  struct stat st {};
  const auto opened = open_regular(path, st);
  if (!opened) return tl::unexpected(opened.error());
  return std::unique_ptr<LineReader>(std::make_unique<SystemLineReader>(path, *opened, most));
}

Result<std::unique_ptr<FileWriter>> SystemFiles::create(const std::string& path) {
  std::string beside = path + ".part-XXXXXX";
  const int fd = ::mkostemp(beside.data(), O_CLOEXEC);
  if (fd < 0) return file_error(path, "writing");
  // mkostemp makes 0600; the file is to be like any other that the owner makes.
  const auto mask = ::umask(0);
  ::umask(mask);
  ::fchmod(fd, 0666 & ~mask);
  return std::unique_ptr<FileWriter>(std::make_unique<SystemFileWriter>(path, beside, fd));
}

Result<void> SystemFiles::write(const std::string& path, std::string_view bytes) {
  auto writer = create(path);
  if (!writer) return tl::unexpected(writer.error());
  if (auto written = (*writer)->write(bytes); !written) return written;
  return (*writer)->finish();
}

Result<void> SystemFiles::make_folder(const std::string& path) {
  if (is_folder(path)) return {};
  const auto above = parent_of(path);
  if (above != path)
    if (auto made = make_folder(above); !made) return made;
  if (::mkdir(path.c_str(), 0700) != 0 && !(errno == EEXIST && is_folder(path))) {
    if (errno == EEXIST) return fail(ErrorKind::bad_input, "this is a file, not a folder", path);
    return file_error(path, "making the folder");
  }
  return {};
}

Result<std::vector<std::string>> SystemFiles::list(const std::string& folder) {
  DIR* dir = ::opendir(folder.c_str());
  if (dir == nullptr) return file_error(folder, "reading the folder");
  std::vector<std::string> paths;
  while (const dirent* item = ::readdir(dir)) {
    const std::string path = folder + (folder.ends_with('/') ? "" : "/") + item->d_name;
    struct stat st {};
    if (::stat(path.c_str(), &st) == 0 && S_ISREG(st.st_mode)) paths.push_back(path);
  }
  ::closedir(dir);
  std::sort(paths.begin(), paths.end());
  return paths;
}

bool SystemFiles::is_folder(const std::string& path) {
  struct stat st {};
  return ::stat(path.c_str(), &st) == 0 && S_ISDIR(st.st_mode);
}

}  // namespace headroom
