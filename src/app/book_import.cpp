#include "app/book_import.h"

#include <map>
#include <unordered_set>

#include "app/attached.h"
#include "app/record.h"
#include "formats/chain.h"
#include "formats/entry_json.h"
#include "formats/export_line.h"
#include "formats/hash.h"

namespace headroom {

namespace {

constexpr std::uint64_t kLongestLine = 64U << 20;
constexpr std::uint64_t kLargestBlob = 1U << 30;
constexpr std::uint64_t kImportStep = 1000;

struct HashOfHash {
  std::size_t operator()(const Hash& hash) const {
    std::size_t value = 0;
    for (std::size_t i = 0; i < sizeof value; ++i) value = value << 8 | hash.bytes[i];
    return value;
  }
};

// Every entry of every file, in order.
class Lines {
 public:
  Lines(const std::vector<std::string>& paths, Files& files) : paths_(paths), files_(files) {}
  // Null after the last. Errors name file and line.
  Result<const EncodedEntry*> next() {
    for (;;) {
      if (!reader_) {
        if (file_ == paths_.size()) return nullptr;
        auto opened = files_.lines(paths_[file_], kLongestLine);
        if (!opened) return tl::unexpected(opened.error());
        reader_ = std::move(*opened);
        line_ = 0;
      }
      const auto line = reader_->next();
      if (!line) return tl::unexpected(line.error());
      if (!*line) {
        reader_.reset();
        ++file_;
        continue;
      }
      ++line_;
      if ((*line)->find_first_not_of(" \t") == std::string_view::npos) continue;
      if (auto read = read_export_line(**line, entry_); !read) return fail(ErrorKind::bad_input, read.error().what, where());
      return &entry_;
    }
  }
  [[nodiscard]] std::string where() const { return paths_[file_] + ", line " + std::to_string(line_); }

 private:
  const std::vector<std::string>& paths_;
  Files& files_;
  std::size_t file_ = 0;
  std::uint64_t line_ = 0;
  std::unique_ptr<LineReader> reader_;
  EncodedEntry entry_;
};

// The second reading, for the store. The files may have changed since the first: what the store checks again are the
// entries' bytes, and here the hashes must be the ones that were checked.
class FolderInflow final : public Inflow {
 public:
  using Known = std::unordered_set<Hash, HashOfHash>;
  FolderInflow(const std::vector<std::string>& paths, const Known& known, const std::map<Hash, std::string>& blobs, Files& files)
      : lines_(paths, files), known_(known), blob_(blobs.begin()), blobs_end_(blobs.end()), files_(files) {}
  Result<const EncodedEntry*> next_entry() override {
    auto next = lines_.next();
    if (next && *next != nullptr && !known_.contains((*next)->hash))
      return fail(ErrorKind::bad_input, "the file was changed while it was read", lines_.where());
    return next;
  }
  Result<std::optional<NamedBlob>> next_blob() override {
    if (blob_ == blobs_end_) return std::optional<NamedBlob>();
    const auto& [hash, path] = *blob_++;
    if (auto read = files_.read(path, bytes_, kLargestBlob); !read) return tl::unexpected(read.error());
    if (sha256(bytes_) != hash) return fail(ErrorKind::bad_input, "the file was changed while it was read", path);
    return std::optional<NamedBlob>(NamedBlob{hash, bytes_});
  }

 private:
  Lines lines_;
  const Known& known_;
  std::map<Hash, std::string>::const_iterator blob_, blobs_end_;
  Files& files_;
  std::string bytes_;
};

// The recordings beside the entries, by hash, each checked against its name.
Result<std::map<Hash, std::string>> recordings_of(const std::string& folder, Files& files, Progress& progress) {
  std::map<Hash, std::string> found;
  if (!files.is_folder(folder)) return found;
  const auto paths = files.list(folder);
  if (!paths) return tl::unexpected(paths.error());
  std::string bytes;
  std::uint64_t done = 0;
  for (const auto& path : *paths) {
    progress.step("checking recordings", ++done, paths->size());
    const auto name = path.substr(path.rfind('/') + 1);
    if (name.starts_with('.')) continue;  // what file managers leave about
    const auto hash = Hash::parse(std::string_view(name).substr(0, name.find('.')));
    if (!hash) return fail(ErrorKind::bad_input, "a file among the recordings is not named by its SHA-256", path);
    if (auto read = files.read(path, bytes, kLargestBlob); !read) return tl::unexpected(read.error());
    if (sha256(bytes) != *hash)
      return fail(ErrorKind::bad_input, "the recording was changed: its bytes do not fit its name", path);
    found.emplace(*hash, path);
  }
  return found;
}

}  // namespace

Result<ImportAnswer> import_book(const ImportRequest& request, Store& store, Files& files, Progress& progress) {
  ImportAnswer answer;
  const auto listed = files.list(request.folder);
  if (!listed) return tl::unexpected(listed.error());
  std::vector<std::string> paths;
  for (const auto& path : *listed)
    if (path.ends_with(".jsonl")) paths.push_back(path);
  if (paths.empty()) return fail(ErrorKind::bad_input, "there are no exported entries (*.jsonl) in this folder", request.folder);
  answer.files = paths.size();

  const auto heads = store.heads();
  if (!heads) return tl::unexpected(heads.error());
  const auto is = book_is(store);
  if (!is) return tl::unexpected(is.error());

  // What the book has already, so that links from the folder into it are found.
  ChainCheck check;
  FolderInflow::Known in_book, in_folder;
  std::uint64_t own = 0;
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    check.add(bytes);
    in_book.insert(bytes.hash);
    ++own;
    return true;
  });
  if (!read) return tl::unexpected(read.error());

  std::vector<std::pair<std::uint64_t, std::string>> where;  // place in the check -> file and line, ascending
  std::map<Hash, bool> attached;                             // hash -> private part present
  std::optional<BookIs> incoming;
  Lines lines(paths, files);
  Entry entry;
  for (;;) {
    const auto next = lines.next();
    if (!next) return tl::unexpected(next.error());
    if (*next == nullptr) break;
    const auto& bytes = **next;
    if (!in_folder.insert(bytes.hash).second) {
      // The same entry again, perhaps with a part that the other lacks: its bytes are checked by themselves.
      if (const auto header = check_bytes(bytes); !header)
        return fail(ErrorKind::bad_input, "an entry was changed: " + header.error().what, lines.where());
      continue;
    }
    ++answer.entries;
    if (answer.entries % kImportStep == 0) {
      progress.step("checking entries", answer.entries, 0);
      if (progress.stop_requested()) return fail(ErrorKind::refused, "stopped; nothing was written");
    }
    const bool fine = check.add(bytes, &entry);
    where.emplace_back(own + answer.entries, lines.where());
    if (!fine) break;  // the first fault will be said, with its line
    if (!in_book.contains(bytes.hash)) ++answer.entries_new;
    answer.parts_left_out += (bytes.facts ? 0U : 1U) + (bytes.private_part ? 0U : 1U);
    const auto sort_of = [&](BookIs sort, std::string_view what) -> Result<void> {
      if (auto fits = refuse_mixing(*is, sort, what); !fits) return fits;
      if (incoming && *incoming != sort)
        return fail(ErrorKind::refused, "the folder holds both real and simulated entries, which no book may");
      incoming = sort;
      return {};
    };
    Result<void> sorted;
    const auto* plain = std::get_if<PlainFacts>(&entry.facts);
    if (const auto* setting = plain == nullptr ? nullptr : std::get_if<Setting>(plain);
        setting != nullptr && setting->name == kBookIs) {
      if (setting->value == book_is_text(BookIs::real)) sorted = sort_of(BookIs::real, "the folder");
      if (setting->value == book_is_text(BookIs::simulated)) sorted = sort_of(BookIs::simulated, "the folder");
    }
    if (const auto blob = attached_blob(entry)) {
      attached[blob->hash] = !entry.private_missing;
      if (blob->simulated) sorted = sort_of(*blob->simulated ? BookIs::simulated : BookIs::real, "a recording in the folder");
    }
    if (!sorted) return fail(sorted.error().kind, sorted.error().what, lines.where());
  }
  const auto report = check.finish();
  for (const auto& fault : report.faults) {
    if (fault.place != 0 && fault.place <= own) continue;  // the book's own, for `book verify` to say
    std::string place = request.folder;
    for (const auto& [at, text] : where)
      if (at == fault.place) place = text;
    return fail(ErrorKind::bad_input, fault.entry + ": " + fault.what + ". Nothing was written", place);
  }
  if (in_folder.empty()) return fail(ErrorKind::bad_input, "the files hold no entries", request.folder);

  auto blobs = recordings_of(request.folder + "/recordings", files, progress);
  if (!blobs) return tl::unexpected(blobs.error());
  const auto had = store.blob_hashes();
  if (!had) return tl::unexpected(had.error());
  const std::unordered_set<Hash, HashOfHash> in_store(had->begin(), had->end());
  for (const auto& [hash, with_private] : attached) {
    const bool here = blobs->contains(hash), there = in_store.contains(hash);
    answer.recordings += here ? 1 : 0;
    answer.recordings_new += here && !there ? 1 : 0;
    answer.recordings_missing += !here && !there ? 1 : 0;
  }
  std::erase_if(*blobs, [&](const auto& blob) { return !attached.contains(blob.first) || in_store.contains(blob.first); });

  FolderInflow inflow(paths, in_folder, *blobs, files);
  if (auto done = store.append_from(inflow, *heads); !done) return tl::unexpected(done.error());
  return answer;
}

}  // namespace headroom
