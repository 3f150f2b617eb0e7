#pragma once
// Files for tests: the subset that comes with the source, and the larger collection beside it when that is there.
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace headroom::test {

inline std::filesystem::path shared_folder() {
  return std::filesystem::path(HEADROOM_SOURCE_DIR) / ".." / "shared";
}
inline std::filesystem::path data_folder() {
  return std::filesystem::path(HEADROOM_SOURCE_DIR) / "tests" / "data";
}
inline bool has_shared_data() {
  return std::filesystem::is_directory(shared_folder() / "recordings" / "igc");
}
// The bytes of a file; empty when it cannot be read.
inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

}  // namespace headroom::test

// In a test that needs the larger collection.
#define HEADROOM_NEEDS_SHARED_DATA() \
  if (!headroom::test::has_shared_data()) GTEST_SKIP() << "the collection of recordings is not beside the source"
