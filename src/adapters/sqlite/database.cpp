#include "adapters/sqlite/database.h"

namespace headroom::sqlite {

int Database::open(const std::string& name, int flags, const char* vfs, std::chrono::milliseconds busy_timeout) {
  close();
  const int rc = sqlite3_open_v2(name.c_str(), &db_, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, vfs);
  if (rc != SQLITE_OK) {
    close();
    return rc;
  }
  return sqlite3_busy_timeout(db_, static_cast<int>(busy_timeout.count()));
}

void Database::close() {
  sqlite3_close(db_);
  db_ = nullptr;
}

int Database::run(const char* sql) {
  return sqlite3_exec(db_, sql, nullptr, nullptr, nullptr);
}

Statement::Statement(const Database& db, std::string_view sql) {
  rc_ = sqlite3_prepare_v2(db.handle(), sql.data(), static_cast<int>(sql.size()), &statement_, nullptr);
}

Statement& Statement::text(int i, std::string_view value) {
  if (rc_ == SQLITE_OK) rc_ = sqlite3_bind_text64(statement_, i, value.data(), value.size(), SQLITE_STATIC, SQLITE_UTF8);
  return *this;
}
Statement& Statement::blob(int i, std::string_view value) {
  // An empty view may have no address, which would bind NULL.
  if (rc_ == SQLITE_OK) rc_ = sqlite3_bind_blob64(statement_, i, value.empty() ? "" : value.data(), value.size(), SQLITE_STATIC);
  return *this;
}
Statement& Statement::number(int i, std::int64_t value) {
  if (rc_ == SQLITE_OK) rc_ = sqlite3_bind_int64(statement_, i, value);
  return *this;
}
Statement& Statement::null(int i) {
  if (rc_ == SQLITE_OK) rc_ = sqlite3_bind_null(statement_, i);
  return *this;
}

int Statement::step() {
  return rc_ == SQLITE_OK ? sqlite3_step(statement_) : rc_;
}

std::string_view Statement::bytes(int column) const {
  const void* data = sqlite3_column_blob(statement_, column);
  const int size = sqlite3_column_bytes(statement_, column);
  return data == nullptr ? std::string_view() : std::string_view(static_cast<const char*>(data), static_cast<std::size_t>(size));
}

Transaction::~Transaction() {
  if (rc_ == SQLITE_OK && !done_ && sqlite3_get_autocommit(db_.handle()) == 0) static_cast<void>(db_.run("ROLLBACK"));
}

int Transaction::commit() {
  const int rc = db_.run("COMMIT");
  done_ = rc == SQLITE_OK;
  return rc;
}

}  // namespace headroom::sqlite
