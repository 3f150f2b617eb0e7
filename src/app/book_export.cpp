#include "app/book_export.h"

#include <algorithm>
#include <map>
#include <set>

#include "app/attached.h"
#include "core/typed.h"
#include "formats/chain.h"
#include "formats/entry_json.h"
#include "formats/export_line.h"
#include "formats/hash.h"
#include "formats/json_cursor.h"

namespace headroom {

namespace {

constexpr std::uint64_t kExportStep = 1000;

std::string export_name(const std::string& path) {
  return path.substr(path.rfind('/') + 1);
}

}  // namespace

Result<ExportAnswer> export_book(const ExportRequest& request, Store& store, Files& files, Progress& progress) {
  ExportAnswer answer;
  answer.entries_file = request.folder + "/entries.jsonl";
  if (auto made = files.make_folder(request.folder); !made) return tl::unexpected(made.error());
  const auto there = files.list(request.folder);
  if (!there) return tl::unexpected(there.error());
  for (const auto& path : *there)
    if (path.ends_with(".jsonl") && export_name(path) != "entries.jsonl")
      return fail(ErrorKind::refused,
                  "the folder holds other entries, which an import would take for part of this book; choose an empty folder",
                  path);

  const auto count = store.entry_count();
  if (!count) return tl::unexpected(count.error());
  auto writer = files.create(answer.entries_file);
  if (!writer) return tl::unexpected(writer.error());
  std::map<Hash, std::string> extensions;
  std::optional<Error> broken;
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    if (++answer.entries % kExportStep == 0) {
      progress.step("writing entries", answer.entries, *count);
      if (progress.stop_requested()) {
        broken = Error{ErrorKind::refused, "stopped before the whole book was written", request.folder};
        return false;
      }
    }
    const auto damaged = [&](const Error& e) {
      broken = Error{ErrorKind::damaged,
                     "the book is damaged at place " + std::to_string(answer.entries) + ": " + e.what + ". Verify the book" +
                         typed(": headroom book verify"),
                     e.where};
      return false;
    };
    if (const auto header = check_bytes(bytes); !header) return damaged(header.error());
    if (!is_utf8(bytes.header) || !is_utf8(bytes.facts.value_or("")) || !is_utf8(bytes.private_part.value_or("")))
      return damaged(Error{ErrorKind::damaged, "an entry is not UTF-8", {}});
    if (const auto entry = decode(bytes))
      if (const auto blob = attached_blob(*entry)) extensions[blob->hash] = blob->extension;
    const auto written = (*writer)->write(export_line(bytes, request.private_parts));
    if (!written) broken = written.error();
    return !broken;
  });
  if (!read) return tl::unexpected(read.error());
  if (broken) return tl::unexpected(*broken);

  const auto hashes = request.private_parts ? store.blob_hashes() : Result<std::vector<Hash>>();
  if (!hashes) return tl::unexpected(hashes.error());
  if (!hashes->empty()) {
    const std::string folder = request.folder + "/recordings";
    if (auto made = files.make_folder(folder); !made) return tl::unexpected(made.error());
    const auto listed = files.list(folder);
    if (!listed) return tl::unexpected(listed.error());
    const std::set<std::string> present(listed->begin(), listed->end());
    for (const auto& hash : *hashes) {
      progress.step("writing recordings", answer.recordings, hashes->size());
      if (progress.stop_requested()) return fail(ErrorKind::refused, "stopped before the whole book was written", request.folder);
      const auto extension = extensions.find(hash);
      const std::string path = folder + "/" + hash.text() + "." + (extension == extensions.end() ? "bin" : extension->second);
      ++answer.recordings;
      if (present.contains(path)) {
        ++answer.recordings_there_already;
        continue;
      }
      const auto bytes = store.blob(hash);
      if (!bytes) return tl::unexpected(bytes.error());
      if (!*bytes || sha256(**bytes) != hash)
        return fail(ErrorKind::damaged,
                    "the book is damaged: a recording does not fit its hash. Verify the book" + typed(": headroom book verify"),
                    hash.text());
      if (auto written = files.write(path, **bytes); !written) return tl::unexpected(written.error());
    }
  }
  if (auto finished = (*writer)->finish(); !finished) return tl::unexpected(finished.error());
  return answer;
}

}  // namespace headroom
