// The book itself: its entries, whether every byte still stands, a copy to take away, photos and recordings.
#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>

#include "adapters/http/routes.h"
#include "adapters/http/zip_files.h"
#include "app/attached.h"
#include "app/book_export.h"
#include "app/book_json.h"
#include "app/book_reading.h"
#include "app/entry_words.h"
#include "app/field.h"
#include "app/said_time.h"
#include "formats/hash.h"
#include "formats/photo.h"

namespace headroom::http {

namespace {

Result<BookReading> reading_of(Desk::Sitting& sitting) {
  auto store = sitting.ports().book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  return read_book(**store);
}

Answer list(Site& site, const Request& request) {
  return at_desk_kept(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    constexpr std::uint64_t kUsual = 100, kMost = 500;
    const auto before = number_asked(request, "before", ~std::uint64_t{0}), most = number_asked(request, "most", kUsual);
    if (!before) return error_answer(before.error());
    if (!most) return error_answer(most.error());
    const auto book = reading_of(sitting);
    if (!book) return error_answer(book.error());
    auto rows = AnswerJson::array();
    const auto& entries = book->entries;
    // Entries are numbered from 1 in order of arrival.
    for (auto i = *before > entries.size() ? entries.size()
                  : *before == 0           ? 0
                                           : *before - 1;
         i > 0 && rows.size() < std::min(*most, kMost); --i) {
      const auto& e = entries[i - 1];
      auto row = entry_row_json(e, *book, session);
      row["corrected"] = corrected_sentences(e, session, sitting.ports().clock);
      rows.push_back(std::move(row));
    }
    return json_answer({{"total", entries.size()}, {"entries", rows}});
  });
}

Answer show(Site& site, const Request& request) {
  return at_desk_kept(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto book = reading_of(sitting);
    if (!book) return error_answer(book.error());
    const auto named = find_entry(*book, request.captured[1]);
    if (!named) return error_answer(named.error());
    auto store = sitting.ports().book.to_read();
    if (!store) return error_answer(store.error());
    const auto shown = show_entry(**store, (*named)->entry->hash.text());
    if (!shown) return error_answer(shown.error());
    auto out = entry_row_json(**named, *book, session);
    out["corrected"] = corrected_sentences(**named, session, sitting.ports().clock);
    out["stored"] = shown_entry_json(**named, *shown);
    return json_answer(out);
  });
}

Answer verify(Site& site, const Request& request) {
  const auto desk = site.desk(request.captured.front());
  if (!desk) return error_answer(desk.error());
  const auto job = site.jobs().start([desk = *desk](Progress& progress) -> Result<AnswerJson> {
    auto own = desk->own_ports();
    auto store = own.book->to_read();
    if (!store) return tl::unexpected<Error>(store.error());
    const auto answer = verify_book(**store, progress);
    if (!answer) return tl::unexpected<Error>(answer.error());
    return verified_json(*answer);
  });
  if (!job) return error_answer(job.error());
  return json_answer({{"job", *job}}, 202);
}

// A file in the folder of uploads that goes with whoever holds it.
class TemporaryFile {
 public:
  explicit TemporaryFile(std::string path) : path_(std::move(path)) {}
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile() {
    std::error_code ignored;
    std::filesystem::remove(path_, ignored);
  }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

class StopsWithJobs final : public Progress {
 public:
  explicit StopsWithJobs(const Jobs& jobs) : jobs_(jobs) {}
  void step(std::string_view, std::uint64_t, std::uint64_t) override {}
  [[nodiscard]] bool stop_requested() const override { return jobs_.stopping(); }

 private:
  const Jobs& jobs_;
};

// The whole book as one archive. It is written beside the requests, with ports of its own, and sent when it is whole: a browser
// that was told of success never holds half a book.
Answer export_zip(Site& site, const Request& request) {
  const auto desk = site.desk(request.captured.front());
  if (!desk) return error_answer(desk.error());
  const auto asked = request.asked("private");
  if (!asked.empty() && asked != "0" && asked != "1") return error_answer({ErrorKind::bad_input, "private is 1 or 0", "private"});
  std::string day;
  int offset_min = 0;
  auto own = (*desk)->own_ports();
  const auto now = own.clock->now();
  {
    auto sitting = (*desk)->sit();
    const auto session = sitting.session();
    // A book that does not fold can be taken away still.
    const std::string zone = session ? (*session)->zone : std::string();
    day = local_text(now, *own.clock, zone, false);
    if (const auto offset = own.clock->offset_minutes(now, zone)) offset_min = *offset;
  }
  const auto name = (request.captured.front() == "own" ? "headroom-book-" : "headroom-invented-season-") + day;
  Answer out;
  out.type = "application/zip";
  out.headers.emplace_back("Cache-Control", "no-store");
  out.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + ".zip\"");
  if (request.method == Method::head) {
    out.stream = [](const StreamWrite&) {};  // as GET, but nothing is made
    return out;
  }

  auto store = own.book->to_read();
  if (!store) return error_answer(store.error());
  std::array<std::uint8_t, 16> chance{};
  own.random->fill(chance);
  std::string mark;
  for (const auto b : chance) mark += static_cast<char>('a' + b % 26);
  const auto file = std::make_shared<TemporaryFile>(site.options().upload_folder + "/export-" + mark + ".zip");
  ZipFiles zip(file->path(), now + std::chrono::minutes(offset_min));
  StopsWithJobs progress(site.jobs());
  const auto written = export_book({name, asked != "0"}, **store, zip, progress);
  if (!written) return error_answer(written.error());
  if (const auto finished = zip.finish(); !finished) return error_answer(finished.error());
  out.stream = [file](const StreamWrite& write) {
    std::ifstream from(file->path(), std::ios::binary);
    std::error_code ignored;
    std::filesystem::remove(file->path(), ignored);  // goes with this stream, even when the program is killed
    std::vector<char> piece(64U << 10);
    while (from) {
      from.read(piece.data(), static_cast<std::streamsize>(piece.size()));
      const auto n = static_cast<std::size_t>(from.gcount());
      if (n == 0 || !write({piece.data(), n})) return;
    }
  };
  return out;
}

// A photo is shown; anything else is only ever a file to be kept: a recording comes from somewhere, and could be a page.
Answer blob(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto none = [] {
      return error_answer({ErrorKind::not_found, "the book holds no photo or recording of that hash", ""});
    };
    const auto hash = Hash::parse(request.captured[1]);
    if (!hash) return none();
    const std::string tag = "\"" + hash->text() + "\"";
    auto store = sitting.ports().book.to_read();
    if (!store) return error_answer(store.error());
    auto bytes = (*store)->blob(*hash);
    if (!bytes) return error_answer(bytes.error());
    if (!*bytes) return none();
    if (sha256(**bytes) != *hash)
      return error_answer({ErrorKind::damaged, "what is kept does not fit its hash; let the book be verified", ""});
    Answer out;
    out.headers.emplace_back("Cache-Control", "private, max-age=31536000, immutable");
    out.headers.emplace_back("ETag", tag);
    if (request.header("if-none-match") == tag) {
      out.status = 304;
      return out;
    }
    if (const auto kind = photo_kind(**bytes)) {
      out.type = *kind == PhotoKind::jpeg ? "image/jpeg" : "image/png";
      out.headers.emplace_back("Content-Disposition", "inline");
    } else {
      const auto& all = session.state.recordings;
      const auto found = std::find_if(all.begin(), all.end(), [&](const RecordingState& r) { return r.hash == *hash; });
      out.type = "application/octet-stream";
      out.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + hash->text() + "." +
                                                          blob_extension(found == all.end() ? "" : found->format) + "\"");
    }
    out.body = std::move(**bytes);
    return out;
  });
}

constexpr std::uint64_t kMostPhotoBytes = 20U << 20;

Answer keep_photo(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    auto& ports = sitting.ports();
    const std::string field(request.asked("field")), text(request.asked("text"));
    const auto flight = request.asked("flight"), id = request.asked("id");
    if (!field.empty() && !flight.empty())
      return error_answer({ErrorKind::bad_input, "a photo is of a field or of a flight, not of both", "flight"});
    constexpr std::size_t kMostText = 10000;
    if (text.size() > kMostText) return error_answer({ErrorKind::out_of_range, "that is too long", "text"});
    if (request.body_bytes > kMostPhotoBytes) {
      auto large = error_answer({ErrorKind::out_of_range, "a photo has at most 20 MB", ""});
      large.status = 413;
      return large;
    }
    std::string bytes;
    if (auto read = ports.files.read(request.body_file, bytes, kMostPhotoBytes); !read)
      return error_answer({read.error().kind, read.error().what, ""});
    if (!photo_kind(bytes))
      return error_answer({ErrorKind::bad_input, "this is neither a JPEG nor a PNG by its first bytes", ""});
    const auto hash = sha256(bytes);
    EnterRequest asked;
    asked.at = ports.clock.now();
    if (const auto offset = ports.clock.offset_minutes(asked.at, session.zone)) asked.offset_min = *offset;
    asked.blobs = {NamedBlob{hash, bytes}};
    if (!id.empty()) {
      const auto parsed = EntryId::parse(id);
      if (!parsed) return error_answer({ErrorKind::bad_input, "an id is a UUID", "id"});
      asked.id = *parsed;
    }
    if (!field.empty()) {
      if (const auto known = find_field(session.state, field); !known)
        return error_answer({known.error().kind, known.error().what, "field"});
      FieldChange change;
      change.field = field;
      change.photo = hash;
      asked.facts = [change](const Subjects& s) { return field_facts_of(change, s.state()); };
    } else {
      PhotoAttached photo{hash, bytes.size(), std::nullopt, text};
      if (!flight.empty()) {
        const auto of = EntryId::parse(flight);
        const auto& all = session.state.flights;
        if (!of || std::none_of(all.begin(), all.end(), [&](const FlightState& f) { return f.id == *of; }))
          return error_answer({ErrorKind::not_found, "there is no such flight in the book", "flight"});
        photo.of = *of;
      }
      asked.facts = [photo](const Subjects&) { return Result<PlainFacts>(photo); };
    }
    const auto answer = enter(asked, ports);
    if (!answer) return error_answer(answer.error());
    sitting.forget();
    const auto after = sitting.session();
    if (!after) return error_answer(after.error());
    return json_answer({{"sha256", hash.text()},
                        {"bytes", bytes.size()},
                        {"id", answer->id.text()},
                        {"number", answer->number},
                        {"text", facts_sentence(answer->facts, (*after)->state, (*after)->units)},
                        {"was_there", answer->was_there},
                        {"assumed", answer->assumed}},
                       answer->was_there ? 200 : 201);
  });
}

constexpr std::array kBookRoutes = {
    Route{Method::get, "/api/{book}/entries", list},
    Route{Method::get, "/api/{book}/entries/{id}", show},
    Route{Method::post, "/api/{book}/verify", verify, Takes::json},
    Route{Method::get, "/api/{book}/export.zip", export_zip},
    Route{Method::get, "/api/{book}/blobs/{sha256}", blob},
    Route{Method::post, "/api/{book}/photos", keep_photo, Takes::bytes},
};

}  // namespace

std::span<const Route> book_routes() {
  return kBookRoutes;
}

}  // namespace headroom::http
