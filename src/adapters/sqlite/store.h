#pragma once
// The book as one SQLite file (docs/formats/book.md, "The file").
#include <chrono>
#include <string>

#include "adapters/sqlite/database.h"
#include "app/ports.h"

namespace headroom {

struct SqliteOptions {
  std::chrono::milliseconds busy_timeout{5000};  // how long another process may hold the book
  const char* vfs = nullptr;                     // for fault tests
};

[[nodiscard]] const char* sqlite_version();  // of the library at work: "3.40.1"

// Opens at the first call that needs the file. Reading a book that is not there sees an empty one and makes nothing; the
// first append makes its folders (mode 0700) and the file (0600). A file that cannot be written is still read. One thread.
class SqliteStore final : public Store {
 public:
  static constexpr int kFileVersion = 1;  // PRAGMA user_version
  static constexpr std::int64_t kApplicationId = 0x6864726d;

  explicit SqliteStore(std::string path, SqliteOptions options = {}) : path_(std::move(path)), options_(options) {}

  [[nodiscard]] Result<Heads> heads() override;
  [[nodiscard]] Result<void> append_from(Inflow& inflow, const Heads& expected) override;
  [[nodiscard]] Result<void> read(std::uint64_t skip, const std::function<bool(const EncodedEntry&)>& each) override;
  [[nodiscard]] Result<std::uint64_t> entry_count() override;
  [[nodiscard]] Result<Hash> contents() override;
  [[nodiscard]] Result<std::optional<std::string>> blob(const Hash& hash) override;
  [[nodiscard]] Result<std::vector<Hash>> blob_hashes() override;
  [[nodiscard]] Result<std::vector<std::string>> self_check() override;

  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  enum class State { closed, empty, book };  // empty: the file is there and holds nothing yet
  // True if there is a book to read.
  [[nodiscard]] Result<bool> ready_to_read();
  [[nodiscard]] Result<void> ready_to_write();
  [[nodiscard]] Result<State> look_at_version();
  [[nodiscard]] Result<Heads> read_heads();
  [[nodiscard]] Result<void> take_entries(Inflow& inflow, Hash& contents);
  [[nodiscard]] Result<void> take_blobs(Inflow& inflow);
  [[nodiscard]] tl::unexpected<Error> failed(int rc, const char* doing) const;

  std::string path_;
  SqliteOptions options_;
  sqlite::Database db_;
  State state_ = State::closed;
  bool writable_ = false;  // write pragmas are set
  bool immutable_ = false;
};

}  // namespace headroom
