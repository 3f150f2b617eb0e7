#include "adapters/http/map_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace headroom::http {

namespace {

class OpenMap {
 public:
  // Without waiting: a pipe of that name would never open.
  explicit OpenMap(const std::string& path) : descriptor_(open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)) {}
  OpenMap(const OpenMap&) = delete;
  OpenMap& operator=(const OpenMap&) = delete;
  ~OpenMap() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  [[nodiscard]] Result<MapPiece> read(const std::string& path, std::uint64_t offset, std::uint64_t length) const {
    struct stat told {};
    if (descriptor_ < 0 || fstat(descriptor_, &told) != 0)
      return fail(errno == ENOENT ? ErrorKind::not_found : ErrorKind::io,
                  "the map cannot be read: " + std::string(std::strerror(errno)), path);
    if (!S_ISREG(told.st_mode)) return fail(ErrorKind::bad_input, "the map is no file", path);
    MapPiece out;
    out.size = static_cast<std::uint64_t>(told.st_size);
    out.tag = std::to_string(out.size) + "-" + std::to_string(told.st_mtim.tv_sec) + "-" + std::to_string(told.st_mtim.tv_nsec);
    if (offset >= out.size) return fail(ErrorKind::out_of_range, "the map ends before that", "offset");
    out.bytes.resize(static_cast<std::size_t>(std::min(length, out.size - offset)));
    std::size_t done = 0;
    while (done < out.bytes.size()) {
      const auto n = pread(descriptor_, out.bytes.data() + done, out.bytes.size() - done, static_cast<off_t>(offset + done));
      if (n < 0 && errno == EINTR) continue;
      if (n <= 0) return fail(ErrorKind::io, "the map cannot be read to its end", path);
      done += static_cast<std::size_t>(n);
    }
    return out;
  }

 private:
  int descriptor_;
};

}  // namespace

Result<MapPiece> read_map_piece(const std::string& path, std::uint64_t offset, std::uint64_t length) {
  if (length == 0 || length > kMostMapBytes)
    return fail(ErrorKind::out_of_range, "a piece of a map has at most 4 MB, and something in it", "length");
  return OpenMap(path).read(path, offset, length);
}

Result<void> check_map_file(const std::string& path) {
  constexpr std::size_t kHeader = 127;
  constexpr std::string_view kMagic = "PMTiles\x03";
  const auto start = OpenMap(path).read(path, 0, kHeader);
  // An empty file ends before its beginning.
  if (!start && start.error().kind != ErrorKind::out_of_range) return tl::unexpected<Error>(start.error());
  if (!start || start->bytes.size() < kHeader || !start->bytes.starts_with(kMagic))
    return fail(ErrorKind::bad_input, "this is no PMTiles file of version 3", path);
  return {};
}

}  // namespace headroom::http
