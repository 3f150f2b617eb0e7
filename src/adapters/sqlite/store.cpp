#include "adapters/sqlite/store.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <map>
#include <thread>

#include "formats/chain.h"
#include "formats/entry_json.h"

namespace headroom {

const char* sqlite_version() {
  return sqlite3_libversion();
}

using sqlite::Statement;
using sqlite::Transaction;

namespace {

// Parts and headers are TEXT so that any SQLite shell shows them; hashes and ids are their bytes. `chains` and `book` are
// kept in the same transaction as `entries`, and could be made again from it.
constexpr const char* kSchemaVersion1 = R"(
CREATE TABLE entries(
  place INTEGER PRIMARY KEY,  -- order of arrival: 1, 2, 3, ...
  hash BLOB NOT NULL UNIQUE CHECK(length(hash) = 32),
  header TEXT NOT NULL,
  facts TEXT,                 -- null: left out
  private TEXT                -- null: left out
) STRICT;
CREATE TABLE chains(
  writer BLOB PRIMARY KEY CHECK(length(writer) = 16),
  number INTEGER NOT NULL,
  hash BLOB NOT NULL REFERENCES entries(hash)
) STRICT;
CREATE TABLE blobs(
  hash BLOB NOT NULL UNIQUE CHECK(length(hash) = 32),
  bytes BLOB NOT NULL
) STRICT;
CREATE TABLE book(
  one INTEGER PRIMARY KEY CHECK(one = 1),
  contents BLOB NOT NULL CHECK(length(contents) = 32)
) STRICT;
INSERT INTO book VALUES(1, zeroblob(32));
)";

bool file_exists(const std::string& path) {
  struct stat st {};
  return ::stat(path.c_str(), &st) == 0;
}

bool file_has_bytes(const std::string& path) {
  struct stat st {};
  return ::stat(path.c_str(), &st) == 0 && st.st_size > 0;
}

std::string folder_of(const std::string& path) {
  const auto slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

// Makes the folder and those above it, for the owner only.
bool make_folders(const std::string& folder) {
  if (file_exists(folder)) return true;
  const auto above = folder_of(folder);
  if (above != folder && !make_folders(above)) return false;
  return ::mkdir(folder.c_str(), 0700) == 0 || errno == EEXIST;
}

void sync_folder(const std::string& folder) {
  const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  ::fsync(fd);
  ::close(fd);
}

// file: URI of a path, for the immutable flag.
std::string uri_of(const std::string& path) {
  constexpr char hex[] = "0123456789ABCDEF";
  std::string out = "file:";
  for (const char c : path) {
    const auto b = static_cast<unsigned char>(c);
    if (c == '?' || c == '#' || c == '%' || b < 0x21 || b > 0x7e) {
      out += '%';
      out += hex[b >> 4];
      out += hex[b & 15];
    } else {
      out += c;
    }
  }
  return out + "?immutable=1";
}

template <std::size_t N>
bool copy_bytes(std::string_view from, std::array<std::uint8_t, N>& to) {
  if (from.size() != N) return false;
  std::memcpy(to.data(), from.data(), N);
  return true;
}

}  // namespace

tl::unexpected<Error> SqliteStore::failed(int rc, const char* doing) const {
  switch (rc & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED: {
      const auto ms = options_.busy_timeout.count();
      const auto waited = ms % 1000 == 0 ? std::to_string(ms / 1000) + " s" : std::to_string(ms) + " ms";
      return fail(ErrorKind::locked, "another process holds the book; waited " + waited + ". Close it there, or try again",
                  path_);
    }
    case SQLITE_NOTADB:
      return fail(ErrorKind::damaged, "this file is not a book. It was left as it is", path_);
    case SQLITE_CORRUPT:
      return fail(ErrorKind::damaged,
                  "the book is damaged and was left as it is. Restore a copy, or import an export into a new book", path_);
    case SQLITE_FULL:
      return fail(ErrorKind::io, "the disk is full: nothing was written. Make room and try again", path_);
    case SQLITE_READONLY:
      return fail(ErrorKind::io,
                  "the book can be read but not written: nothing was written. Look at the permissions of the file "
                  "and its folder",
                  path_);
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return fail(ErrorKind::io, "the book cannot be opened. Look at the permissions of the file and its folder", path_);
    case SQLITE_TOOBIG:
      return fail(ErrorKind::bad_input, "too large to keep in the book: nothing was written", path_);
    default:
      return fail(ErrorKind::io, std::string("the book: ") + doing + " failed (" + sqlite3_errstr(rc) + "). Nothing was written",
                  path_);
  }
}

// What the open file is: a book of ours, or nothing yet.
Result<SqliteStore::State> SqliteStore::look_at_version() {
  std::int64_t application = 0, version = 0;
  // Three statements see three moments: another process may make the book between them. Its making is one transaction, so
  // whoever saw something in the file sees the two numbers when looking again.
  for (const bool again : {false, true}) {
    for (auto [sql, value] : {std::pair{"PRAGMA application_id", &application}, std::pair{"PRAGMA user_version", &version}}) {
      Statement s(db_, sql);
      if (const int rc = s.step(); rc != SQLITE_ROW) return failed(rc, "opening");
      *value = s.number(0);
    }
    if (again || application != 0) break;
    if (version != 0) continue;
    Statement s(db_, "SELECT count(*) FROM sqlite_schema");
    if (const int rc = s.step(); rc != SQLITE_ROW) return failed(rc, "opening");
    if (s.number(0) == 0) return State::empty;
  }
  if (application != kApplicationId)
    return fail(ErrorKind::damaged, "this file is a database of another program, not a book. It was left as it is", path_);
  if (version > kFileVersion)
    return fail(ErrorKind::newer_version,
                "the book was written by a newer headroom (file version " + std::to_string(version) + ", this program knows " +
                    std::to_string(kFileVersion) + "). It was left as it is; use the newer program",
                path_);
  if (version < 1) return fail(ErrorKind::damaged, "the book has no version and was left as it is", path_);
  return State::book;
}

Result<bool> SqliteStore::ready_to_read() {
  if (state_ == State::book) return true;
  if (!db_.is_open()) {
    if (!file_exists(path_)) {
      if (errno == ENOENT || errno == ENOTDIR) return false;
      return failed(SQLITE_CANTOPEN, "opening");
    }
    // Read and write, because even a reader keeps the log's index; SQLite falls back to reading by itself.
    if (const int rc = db_.open(path_, SQLITE_OPEN_READWRITE, options_.vfs, options_.busy_timeout); rc != SQLITE_OK)
      return failed(rc, "opening");
  }
  auto state = look_at_version();
  if (!state && state.error().kind == ErrorKind::io && !immutable_ && ::access(path_.c_str(), R_OK) == 0 &&
      ::access(folder_of(path_).c_str(), W_OK) != 0 && !file_has_bytes(path_ + "-wal")) {
    // A folder that cannot be written holds no index for the log. With no log there, nobody is writing either, and the file
    // can be read as it stands.
    if (const int rc = db_.open(uri_of(path_), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, options_.vfs, options_.busy_timeout);
        rc != SQLITE_OK)
      return failed(rc, "opening");
    immutable_ = true;
    state = look_at_version();
  }
  if (!state) {
    db_.close();
    return tl::unexpected(state.error());
  }
  state_ = *state;
  return state_ == State::book;
}

Result<void> SqliteStore::ready_to_write() {
  if (writable_ && state_ == State::book) return {};
  if (!file_exists(path_)) {
    const auto folder = folder_of(path_);
    if (!make_folders(folder))
      return fail(ErrorKind::io, std::string("the folder of the book cannot be made (") + std::strerror(errno) + ")", folder);
    const int fd = ::open(path_.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd < 0 && errno != EEXIST)
      return fail(ErrorKind::io, std::string("the book cannot be made (") + std::strerror(errno) + ")", path_);
    if (fd >= 0) ::close(fd);
    sync_folder(folder);
    db_.close();
    state_ = State::closed;
  }
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  if (immutable_ || sqlite3_db_readonly(db_.handle(), "main") != 0) return failed(SQLITE_READONLY, "writing");
  if (!writable_) {
    if (const int rc = db_.run("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON"); rc != SQLITE_OK)
      return failed(rc, "opening");
    writable_ = true;
  }
  if (*there) return {};

  // A new book. The change to a write-ahead log does not wait for others by itself.
  const auto deadline = std::chrono::steady_clock::now() + options_.busy_timeout;
  int rc = SQLITE_OK;
  while ((rc = db_.run("PRAGMA journal_mode = WAL")) != SQLITE_OK && (rc & 0xff) == SQLITE_BUSY &&
         std::chrono::steady_clock::now() < deadline)
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  if (rc != SQLITE_OK) return failed(rc, "making the book");
  Transaction transaction(db_);
  if (transaction.begun() != SQLITE_OK) return failed(transaction.begun(), "making the book");
  const auto state = look_at_version();  // another process may have made it meanwhile
  if (!state) return tl::unexpected(state.error());
  if (*state == State::empty) {
    rc = db_.run(kSchemaVersion1);
    if (rc == SQLITE_OK)
      rc = db_.run(("PRAGMA application_id = " + std::to_string(kApplicationId) + "; PRAGMA user_version = 1").c_str());
    if (rc == SQLITE_OK) rc = transaction.commit();
    if (rc != SQLITE_OK) return failed(rc, "making the book");
  }
  state_ = State::book;
  return {};
}

Result<Heads> SqliteStore::read_heads() {
  Heads heads;
  Statement s(db_, "SELECT writer, number, hash FROM chains ORDER BY writer");
  int rc = SQLITE_OK;
  while ((rc = s.step()) == SQLITE_ROW) {
    Head head;
    if (!copy_bytes(s.bytes(0), head.writer.bytes) || !copy_bytes(s.bytes(2), head.hash.bytes))
      return failed(SQLITE_CORRUPT, "reading");
    head.number = static_cast<std::uint64_t>(s.number(1));
    heads.push_back(head);
  }
  if (rc != SQLITE_DONE) return failed(rc, "reading");
  return heads;
}

Result<Heads> SqliteStore::heads() {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  if (!*there) return Heads{};
  return read_heads();
}

Result<Hash> SqliteStore::contents() {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  Hash hash;
  if (!*there) return hash;
  Statement s(db_, "SELECT contents FROM book");
  const int rc = s.step();
  if (rc != SQLITE_ROW) return failed(rc == SQLITE_DONE ? SQLITE_CORRUPT : rc, "reading");
  if (!copy_bytes(s.bytes(0), hash.bytes)) return failed(SQLITE_CORRUPT, "reading");
  return hash;
}

Result<std::uint64_t> SqliteStore::entry_count() {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  if (!*there) return std::uint64_t{0};
  Statement s(db_, "SELECT max(place) FROM entries");  // nothing is ever deleted: the last place is the count
  if (const int rc = s.step(); rc != SQLITE_ROW) return failed(rc, "reading");
  return static_cast<std::uint64_t>(s.number(0));
}

Result<void> SqliteStore::read(std::uint64_t skip, const std::function<bool(const EncodedEntry&)>& each) {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  if (!*there) return {};
  Statement s(db_, "SELECT hash, header, facts, private FROM entries WHERE place > ? ORDER BY place");
  s.number(1, static_cast<std::int64_t>(skip));
  EncodedEntry entry;  // its strings are reused from row to row
  const auto part = [&](int column, std::optional<std::string>& into) {
    if (s.is_null(column))
      into.reset();
    else if (into)
      into->assign(s.bytes(column));
    else
      into.emplace(s.bytes(column));
  };
  int rc = SQLITE_OK;
  while ((rc = s.step()) == SQLITE_ROW) {
    if (!copy_bytes(s.bytes(0), entry.hash.bytes)) return failed(SQLITE_CORRUPT, "reading");
    entry.header.assign(s.bytes(1));
    part(2, entry.facts);
    part(3, entry.private_part);
    if (!each(entry)) return {};
  }
  if (rc != SQLITE_DONE) return failed(rc, "reading");
  return {};
}

Result<void> SqliteStore::take_entries(Inflow& inflow, Hash& contents) {
  Statement insert(db_, "INSERT INTO entries(hash, header, facts, private) VALUES(?, ?, ?, ?) ON CONFLICT(hash) DO NOTHING");
  Statement head(db_,
                 "INSERT INTO chains(writer, number, hash) VALUES(?, ?, ?) ON CONFLICT(writer) DO UPDATE "
                 "SET number = excluded.number, hash = excluded.hash WHERE excluded.number > number "
                 "OR (excluded.number = number AND excluded.hash < hash)");
  std::optional<Statement> lacking, fill;
  const auto bind_part = [](Statement& s, int i, const std::optional<std::string>& part) {
    if (part)
      s.text(i, *part);
    else
      s.null(i);
  };
  for (;;) {
    const auto next = inflow.next_entry();
    if (!next) return tl::unexpected(next.error());
    if (*next == nullptr) return {};
    const EncodedEntry& entry = **next;
    const auto header = check_bytes(entry);
    if (!header) return fail(ErrorKind::bad_input, "an entry was refused: " + header.error().what, header.error().where);
    insert.blob(1, entry.hash).text(2, entry.header);
    bind_part(insert, 3, entry.facts);
    bind_part(insert, 4, entry.private_part);
    if (const int rc = insert.step(); rc != SQLITE_DONE) return failed(rc, "writing");
    insert.reset();
    if (sqlite3_changes(db_.handle()) == 1) {
      mix_into(contents, entry.hash, entry.facts.has_value(), entry.private_part.has_value());
      head.blob(1, header->writer).number(2, static_cast<std::int64_t>(header->number)).blob(3, entry.hash);
      if (const int rc = head.step(); rc != SQLITE_DONE) return failed(rc, "writing");
      head.reset();
      continue;
    }
    if (!lacking) lacking.emplace(db_, "SELECT facts IS NOT NULL, private IS NOT NULL FROM entries WHERE hash = ?");
    lacking->blob(1, entry.hash);
    if (const int rc = lacking->step(); rc != SQLITE_ROW) return failed(rc, "writing");
    const bool had_facts = lacking->number(0) != 0, had_private = lacking->number(1) != 0;
    lacking->reset();
    const bool new_facts = !had_facts && entry.facts, new_private = !had_private && entry.private_part;
    if (!new_facts && !new_private) continue;
    if (!fill) fill.emplace(db_, "UPDATE entries SET facts = coalesce(facts, ?), private = coalesce(private, ?) WHERE hash = ?");
    bind_part(*fill, 1, entry.facts);
    bind_part(*fill, 2, entry.private_part);
    fill->blob(3, entry.hash);
    if (const int rc = fill->step(); rc != SQLITE_DONE) return failed(rc, "writing");
    fill->reset();
    mix_into(contents, entry.hash, had_facts, had_private);
    mix_into(contents, entry.hash, had_facts || new_facts, had_private || new_private);
  }
}

Result<void> SqliteStore::take_blobs(Inflow& inflow) {
  std::optional<Statement> insert;
  for (;;) {
    const auto next = inflow.next_blob();
    if (!next) return tl::unexpected(next.error());
    if (!*next) return {};
    if (!insert) insert.emplace(db_, "INSERT INTO blobs(hash, bytes) VALUES(?, ?) ON CONFLICT(hash) DO NOTHING");
    insert->blob(1, (*next)->hash).blob(2, (*next)->bytes);
    if (const int rc = insert->step(); rc != SQLITE_DONE) return failed(rc, "writing");
    insert->reset();
  }
}

Result<void> SqliteStore::append_from(Inflow& inflow, const Heads& expected) {
  if (auto ready = ready_to_write(); !ready) return ready;
  Transaction transaction(db_);
  if (transaction.begun() != SQLITE_OK) return failed(transaction.begun(), "writing");
  const auto current = read_heads();
  if (!current) return tl::unexpected(current.error());
  if (*current != expected)
    return fail(ErrorKind::conflict, "the book has moved on since it was read: nothing was written. Try again", path_);
  const auto before = contents();
  if (!before) return tl::unexpected(before.error());
  Hash after = *before;
  if (auto taken = take_entries(inflow, after); !taken) return taken;
  if (auto taken = take_blobs(inflow); !taken) return taken;
  if (after != *before) {
    Statement s(db_, "UPDATE book SET contents = ?");
    if (const int rc = s.blob(1, after).step(); rc != SQLITE_DONE) return failed(rc, "writing");
  }
  if (const int rc = transaction.commit(); rc != SQLITE_OK) return failed(rc, "writing");
  return {};
}

Result<std::optional<std::string>> SqliteStore::blob(const Hash& hash) {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  std::optional<std::string> bytes;
  if (!*there) return bytes;
  Statement s(db_, "SELECT bytes FROM blobs WHERE hash = ?");
  const int rc = s.blob(1, hash).step();
  if (rc == SQLITE_ROW)
    bytes.emplace(s.bytes(0));
  else if (rc != SQLITE_DONE)
    return failed(rc, "reading");
  return bytes;
}

Result<std::vector<Hash>> SqliteStore::blob_hashes() {
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  std::vector<Hash> hashes;
  if (!*there) return hashes;
  Statement s(db_, "SELECT hash FROM blobs ORDER BY hash");
  int rc = SQLITE_OK;
  while ((rc = s.step()) == SQLITE_ROW)
    if (!copy_bytes(s.bytes(0), hashes.emplace_back().bytes)) return failed(SQLITE_CORRUPT, "reading");
  if (rc != SQLITE_DONE) return failed(rc, "reading");
  return hashes;
}

Result<std::vector<std::string>> SqliteStore::self_check() {
  std::vector<std::string> faults;
  const auto there = ready_to_read();
  if (!there) return tl::unexpected(there.error());
  if (!*there) return faults;
  {
    Statement s(db_, "PRAGMA integrity_check(20)");
    int rc = SQLITE_OK;
    while ((rc = s.step()) == SQLITE_ROW)
      if (s.bytes(0) != "ok") faults.push_back("the file: " + std::string(s.bytes(0)));
    if (rc != SQLITE_DONE) return failed(rc, "checking");
  }
  // The two small tables must be what the entries make them.
  Hash made;
  std::uint64_t count = 0;
  std::map<WriterId, Head> best;
  if (auto done = read(0,
                       [&](const EncodedEntry& entry) {
                         mix_into(made, entry.hash, entry.facts.has_value(), entry.private_part.has_value());
                         ++count;
                         if (const auto header = decode_header(entry.header)) {
                           auto& head = best[header->writer];
                           if (header->number > head.number || (header->number == head.number && entry.hash < head.hash))
                             head = {header->writer, header->number, entry.hash};
                         }
                         return true;
                       });
      !done)
    return tl::unexpected(done.error());
  const auto kept = contents();
  if (!kept) return tl::unexpected(kept.error());
  if (made != *kept) faults.push_back("the file: the fingerprint of the entries is not that of the entries that are there");
  const auto places = entry_count();
  if (!places) return tl::unexpected(places.error());
  if (*places != count) faults.push_back("the file: entries were taken out");
  const auto kept_heads = read_heads();
  if (!kept_heads) return tl::unexpected(kept_heads.error());
  Heads made_heads;
  for (const auto& [writer, head] : best) made_heads.push_back(head);
  if (made_heads != *kept_heads) faults.push_back("the file: the last entries it names are not the last that are there");
  return faults;
}

}  // namespace headroom
