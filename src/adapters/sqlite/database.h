#pragma once
// The sqlite3 C API behind three small types. Nothing else names it.
#include <sqlite3.h>

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/book/entry.h"
#include "core/result.h"

namespace headroom::sqlite {

// An open database file. Closed by its destructor.
class Database {
 public:
  Database() = default;
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  ~Database() { close(); }

  int open(const std::string& name, int flags, const char* vfs, std::chrono::milliseconds busy_timeout);
  void close();
  [[nodiscard]] sqlite3* handle() const { return db_; }
  [[nodiscard]] bool is_open() const { return db_ != nullptr; }
  [[nodiscard]] int run(const char* sql);  // statements without parameters or rows

 private:
  sqlite3* db_ = nullptr;
};

// A prepared statement. Parameters count from 1, columns from 0. Bound bytes must outlive the step.
class Statement {
 public:
  Statement(const Database& db, std::string_view sql);
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement() { sqlite3_finalize(statement_); }

  Statement& text(int i, std::string_view value);
  Statement& blob(int i, std::string_view value);
  Statement& blob(int i, const Hash& value) { return blob(i, view(value.bytes)); }
  Statement& blob(int i, const EntryId& value) { return blob(i, view(value.bytes)); }
  Statement& number(int i, std::int64_t value);
  Statement& null(int i);

  [[nodiscard]] int step();  // SQLITE_ROW, SQLITE_DONE or an error, also one from before
  void reset() { sqlite3_reset(statement_); }
  [[nodiscard]] std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }
  [[nodiscard]] std::string_view bytes(int column) const;  // holds until the next step
  [[nodiscard]] bool is_null(int column) const { return sqlite3_column_type(statement_, column) == SQLITE_NULL; }

 private:
  template <std::size_t N>
  static std::string_view view(const std::array<std::uint8_t, N>& bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
  }
  sqlite3_stmt* statement_ = nullptr;
  int rc_ = SQLITE_OK;
};

// BEGIN IMMEDIATE; rolled back unless committed.
class Transaction {
 public:
  explicit Transaction(Database& db) : db_(db), rc_(db.run("BEGIN IMMEDIATE")) {}
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction();
  [[nodiscard]] int begun() const { return rc_; }
  [[nodiscard]] int commit();

 private:
  Database& db_;
  int rc_;
  bool done_ = false;
};

}  // namespace headroom::sqlite
