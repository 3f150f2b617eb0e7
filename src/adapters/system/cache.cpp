#include "adapters/system/cache.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>

#include <algorithm>
#include <cstring>
#include <vector>

#include "adapters/system/descriptor.h"
#include "adapters/system/files.h"
#include "formats/hash.h"

namespace headroom {

namespace {

// FNV-1a over 8 bytes at a time: finds a torn or flipped file, costs a tenth of a read. No proof against an attacker, who
// could rewrite the book as well.
std::uint64_t checksum(std::string_view bytes) {
  std::uint64_t sum = 0xcbf29ce484222325U ^ bytes.size();
  const auto mix = [&](std::uint64_t word) {
    sum = (sum ^ word) * 0x100000001b3U;
    sum ^= sum >> 29;
  };
  for (; bytes.size() >= 8; bytes.remove_prefix(8)) {
    std::uint64_t word = 0;
    std::memcpy(&word, bytes.data(), 8);
    mix(word);
  }
  std::uint64_t word = 0;
  std::memcpy(&word, bytes.data(), bytes.size());
  mix(word);
  return sum;
}

constexpr std::size_t kHeadBytes = 16;  // "headroom", then the checksum of what follows
constexpr char kMark[9] = "headroom";

}  // namespace

std::string FolderCache::path_of(std::string_view key) const {
  return folder_ + "/" + sha256(key).text();
}

std::optional<std::string> FolderCache::get(std::string_view key) {
  const auto path = path_of(key);
  const Descriptor fd(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!fd.open()) return std::nullopt;
  struct stat st {};
  if (::fstat(fd.get(), &st) != 0 || static_cast<std::uint64_t>(st.st_size) < kHeadBytes ||
      static_cast<std::uint64_t>(st.st_size) > most_)
    return std::nullopt;
  char head[kHeadBytes];
  if (::read(fd.get(), head, kHeadBytes) != static_cast<ssize_t>(kHeadBytes) || std::memcmp(head, kMark, 8) != 0)
    return std::nullopt;
  std::string bytes(static_cast<std::size_t>(st.st_size) - kHeadBytes, '\0');
  for (std::size_t have = 0; have < bytes.size();) {
    const auto n = ::read(fd.get(), bytes.data() + have, bytes.size() - have);
    if (n <= 0) return std::nullopt;
    have += static_cast<std::size_t>(n);
  }
  std::uint64_t sum = 0;
  std::memcpy(&sum, head + 8, 8);
  if (sum != checksum(bytes)) return std::nullopt;
  return bytes;
}

void FolderCache::put(std::string_view key, std::string_view bytes) {
  if (bytes.size() + kHeadBytes > most_) return;
  SystemFiles files;
  if (!files.make_folder(folder_)) return;
  make_room(bytes.size() + kHeadBytes);
  // Not synced to the disk, unlike SystemFiles::write: a file lost or torn by a power cut is only absent.
  const auto path = path_of(key);
  std::string beside = path + ".part-XXXXXX";
  Descriptor fd(::mkostemp(beside.data(), O_CLOEXEC));
  if (!fd.open()) return;
  char head[kHeadBytes];
  std::memcpy(head, kMark, 8);
  const auto sum = checksum(bytes);
  std::memcpy(head + 8, &sum, 8);
  bool fine = ::write(fd.get(), head, kHeadBytes) == static_cast<ssize_t>(kHeadBytes);
  for (std::size_t done = 0; fine && done < bytes.size();) {
    const auto n = ::write(fd.get(), bytes.data() + done, bytes.size() - done);
    fine = n > 0;
    if (fine) done += static_cast<std::size_t>(n);
  }
  fine = fd.close() == 0 && fine;
  if (!fine || ::rename(beside.c_str(), path.c_str()) != 0) ::unlink(beside.c_str());
}

void FolderCache::make_room(std::uint64_t coming) {
  struct Item {
    timespec used;
    std::uint64_t size;
    std::string path;
  };
  std::vector<Item> items;
  std::uint64_t total = coming;
  DIR* dir = ::opendir(folder_.c_str());
  if (dir == nullptr) return;
  while (const dirent* item = ::readdir(dir)) {
    const std::string path = folder_ + "/" + item->d_name;
    struct stat st {};
    if (::stat(path.c_str(), &st) != 0 || !S_ISREG(st.st_mode)) continue;
    items.push_back({std::max(st.st_atim, st.st_mtim,
                              [](const timespec& a, const timespec& b) {
                                return a.tv_sec != b.tv_sec ? a.tv_sec < b.tv_sec : a.tv_nsec < b.tv_nsec;
                              }),
                     static_cast<std::uint64_t>(st.st_size), path});
    total += items.back().size;
  }
  ::closedir(dir);
  if (total <= most_) return;
  std::sort(items.begin(), items.end(), [](const Item& a, const Item& b) {
    return a.used.tv_sec != b.used.tv_sec ? a.used.tv_sec < b.used.tv_sec : a.used.tv_nsec < b.used.tv_nsec;
  });
  for (const auto& item : items) {
    if (total <= most_) break;
    if (::unlink(item.path.c_str()) == 0) total -= item.size;
  }
}

}  // namespace headroom
