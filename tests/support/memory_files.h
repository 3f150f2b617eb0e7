#pragma once
// Files in memory: the double of SystemFiles.
#include <algorithm>
#include <map>
#include <set>
#include <string>

#include "app/ports.h"

namespace headroom {

class MemoryFiles final : public Files {
 public:
  std::map<std::string, std::string> files;
  std::set<std::string> folders;
  int writes_left = 1 << 30;  // then every write fails, as on a full disk

  Result<void> read(const std::string& path, std::string& into, std::uint64_t most) override {
    const auto found = files.find(path);
    if (found == files.end()) return fail(ErrorKind::not_found, "there is no such file or folder", path);
    if (found->second.size() > most) return fail(ErrorKind::bad_input, "the file is too large", path);
    into = found->second;
    return {};
  }
  Result<void> read_start(const std::string& path, std::string& into, std::uint64_t most) override {
    if (auto done = read(path, into, ~std::uint64_t{0}); !done) return done;
    into.resize(std::min<std::size_t>(into.size(), static_cast<std::size_t>(most)));
    return {};
  }
  Result<std::unique_ptr<LineReader>> lines(const std::string& path, std::uint64_t most) override {
    std::string text;
    if (auto done = read(path, text, ~std::uint64_t{0}); !done) return tl::unexpected(done.error());
    return std::unique_ptr<LineReader>(std::make_unique<Lines>(text, most));
  }
  Result<void> write(const std::string& path, std::string_view bytes) override {
    if (--writes_left < 0) return fail(ErrorKind::io, "the disk is full", path);
    files[path] = bytes;
    return {};
  }
  Result<std::unique_ptr<FileWriter>> create(const std::string& path) override {
    return std::unique_ptr<FileWriter>(std::make_unique<Writer>(*this, path));
  }
  Result<void> make_folder(const std::string& path) override {
    folders.insert(path);
    return {};
  }
  Result<std::vector<std::string>> list(const std::string& folder) override {
    if (!is_folder(folder)) return fail(ErrorKind::not_found, "there is no such file or folder", folder);
    std::vector<std::string> paths;
    for (const auto& [path, bytes] : files)
      if (path.starts_with(folder + "/") && path.find('/', folder.size() + 1) == std::string::npos) paths.push_back(path);
    return paths;
  }
  bool is_folder(const std::string& path) override { return folders.contains(path); }

 private:
  class Lines final : public LineReader {
   public:
    Lines(std::string text, std::uint64_t most) : text_(std::move(text)), most_(most) {}
    Result<std::optional<std::string_view>> next() override {
      if (at_ >= text_.size()) return std::optional<std::string_view>();
      const auto end = std::min(text_.find('\n', at_), text_.size());
      std::string_view line(text_.data() + at_, end - at_);
      at_ = end + 1;
      if (line.size() > most_) return fail(ErrorKind::bad_input, "a line is too long");
      if (line.ends_with('\r')) line.remove_suffix(1);
      return line;
    }

   private:
    std::string text_;
    std::uint64_t most_;
    std::size_t at_ = 0;
  };
  class Writer final : public FileWriter {
   public:
    Writer(MemoryFiles& files, std::string path) : files_(files), path_(std::move(path)) {}
    Result<void> write(std::string_view bytes) override {
      text_ += bytes;
      return {};
    }
    Result<void> finish() override { return files_.write(path_, text_); }

   private:
    MemoryFiles& files_;
    std::string path_, text_;
  };
};

}  // namespace headroom
