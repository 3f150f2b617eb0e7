#include "adapters/system/places.h"

#include <fcntl.h>
#include <pwd.h>
#include <sys/stat.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "adapters/system/descriptor.h"
#include "adapters/system/files.h"

namespace headroom {

namespace {

std::string home() {
  const char* home = std::getenv("HOME");
  if (home != nullptr && home[0] == '/') return home;
  const passwd* user = ::getpwuid(::getuid());
  return user != nullptr && user->pw_dir != nullptr && user->pw_dir[0] == '/' ? user->pw_dir : "/tmp";
}

std::string base(const char* variable, const char* below_home) {
  const char* set = std::getenv(variable);
  if (set != nullptr && set[0] == '/') return set;
  return home() + below_home;
}

}  // namespace

std::string default_book_path() {
  return base("XDG_DATA_HOME", "/.local/share") + "/headroom/book.db";
}
std::string state_folder() {
  return base("XDG_STATE_HOME", "/.local/state") + "/headroom";
}
std::string cache_folder() {
  return base("XDG_CACHE_HOME", "/.cache") + "/headroom";
}

Result<WriterId> writer_id(const std::string& folder, Clock& clock, Random& random) {
  const std::string path = folder + "/writer";
  SystemFiles files;
  const auto kept = [&]() -> Result<WriterId> {
    std::string text;
    if (auto read = files.read(path, text, 4096); !read) return tl::unexpected(read.error());
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r')) text.pop_back();
    const auto id = WriterId::parse(text);
    if (!id)
      return fail(ErrorKind::io, "the id of this installation cannot be read; delete the file to begin a new chain of entries",
                  path);
    return *id;
  };
  auto id = kept();
  if (id || id.error().kind != ErrorKind::not_found) return id;
  if (auto made = files.make_folder(folder); !made) return tl::unexpected(made.error());

  std::array<std::uint8_t, 10> bytes{};
  random.fill(bytes);
  const auto fresh = WriterId::make(clock.now(), bytes);
  // Written whole under a name of its own, then linked: the first to link wins, and everyone reads the winner's.
  const std::string beside = path + "." + fresh.text();
  if (auto written = files.write(beside, fresh.text() + "\n"); !written) return tl::unexpected(written.error());
  const bool linked = ::link(beside.c_str(), path.c_str()) == 0;
  const int error = errno;
  ::unlink(beside.c_str());
  if (!linked && error != EEXIST) {
    // A file system without hard links: a plain write, for which two first starts at the same instant may race.
    if (auto written = files.write(path, fresh.text() + "\n"); !written) return tl::unexpected(written.error());
  }
  return kept();
}

}  // namespace headroom
