#include "runtime/daybook/database.hpp"

#include <sqlite3.h>

#include <utility>

namespace lacestay::runtime {

namespace {

[[noreturn]] void fail_with(sqlite3* database, int code) {
  throw DatabaseError(database ? sqlite3_extended_errcode(database) : code,
                      database ? sqlite3_errmsg(database) : sqlite3_errstr(code));
}

// As a file's address, in which a question mark or a percent sign of its name means nothing.
std::string address_of(const std::string& path, const char* manner) {
  constexpr const char* digits = "0123456789ABCDEF";
  std::string out = "file:";
  for (const char c : path) {
    if (c == '?' || c == '#' || c == '%') {
      out += '%';
      out += digits[static_cast<unsigned char>(c) >> 4];
      out += digits[static_cast<unsigned char>(c) & 15];
    } else {
      out += c;
    }
  }
  return out + manner;
}

}  // namespace

Statement::Statement(sqlite3* database, std::string_view sql) : database_(database) {
  const int code = sqlite3_prepare_v2(database, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr);
  if (code != SQLITE_OK) fail_with(database, code);
}
Statement::~Statement() { sqlite3_finalize(statement_); }
Statement::Statement(Statement&& other) noexcept
    : database_(other.database_), statement_(std::exchange(other.statement_, nullptr)), bound_(other.bound_) {}

// Where a value can't be bound, the statement begins anew.
Statement& Statement::bound(int code) {
  if (code == SQLITE_OK) return *this;
  end();
  throw DatabaseError(code, sqlite3_errstr(code));
}

Statement& Statement::with(std::int64_t value) { return bound(sqlite3_bind_int64(statement_, ++bound_, value)); }
Statement& Statement::with(std::string_view text) {
  return bound(sqlite3_bind_text64(statement_, ++bound_, text.data() ? text.data() : "", text.size(), SQLITE_TRANSIENT,
                                   SQLITE_UTF8));
}
Statement& Statement::with_if_any(const std::optional<std::string>& text) {
  return text ? with(std::string_view(*text)) : with_null();
}
Statement& Statement::with_bytes(std::string_view bytes) {
  return bound(
      sqlite3_bind_blob64(statement_, ++bound_, bytes.data() ? bytes.data() : "", bytes.size(), SQLITE_TRANSIENT));
}
Statement& Statement::with_null() { return bound(sqlite3_bind_null(statement_, ++bound_)); }

bool Statement::next() {
  const int code = sqlite3_step(statement_);
  if (code == SQLITE_ROW) return true;
  // What stopped it is told by the database; the reset would tell it again.
  const bool done = code == SQLITE_DONE;
  const int said = done ? SQLITE_OK : sqlite3_extended_errcode(database_);
  const std::string words = done ? "" : sqlite3_errmsg(database_);
  end();
  if (!done) throw DatabaseError(said, words);
  return false;
}
void Statement::run() {
  while (next()) {
  }
}
void Statement::end() {
  sqlite3_reset(statement_);
  sqlite3_clear_bindings(statement_);
  bound_ = 0;
}

bool Statement::is_null(int column) const { return sqlite3_column_type(statement_, column) == SQLITE_NULL; }
std::int64_t Statement::number(int column) const { return sqlite3_column_int64(statement_, column); }
std::string_view Statement::text(int column) const {
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
  return {text ? text : "", static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}
std::string_view Statement::bytes(int column) const {
  const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_, column));
  return {bytes ? bytes : "", static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}
std::optional<std::string> Statement::text_if_any(int column) const {
  return is_null(column) ? std::nullopt : std::optional(std::string(text(column)));
}

Database::Database(const std::string& path, Open open, std::chrono::milliseconds patience) {
  const int flags =
      SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_URI | (open == Open::write ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY);
  const auto address = address_of(path, open == Open::read_as_it_lies ? "?immutable=1" : "");
  const int code = sqlite3_open_v2(address.c_str(), &database_, flags, nullptr);
  if (code != SQLITE_OK) {
    const DatabaseError error(database_ ? sqlite3_extended_errcode(database_) : code,
                              database_ ? sqlite3_errmsg(database_) : sqlite3_errstr(code));
    sqlite3_close(database_);
    throw error;
  }
  // What a file brings along is not run as code: anybody may have made it.
  for (const int what : {SQLITE_DBCONFIG_ENABLE_TRIGGER, SQLITE_DBCONFIG_ENABLE_VIEW})
    sqlite3_db_config(database_, what, 0, nullptr);
  sqlite3_db_config(database_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_busy_timeout(database_, static_cast<int>(patience.count()));
}
Database::~Database() { sqlite3_close_v2(database_); }

void Database::run(const char* sql) {
  if (const int code = sqlite3_exec(database_, sql, nullptr, nullptr, nullptr); code != SQLITE_OK)
    fail_with(database_, code);
}
std::int64_t Database::number(std::string_view sql) {
  auto asked = statement(sql);
  return asked.next() ? asked.number(0) : 0;
}
std::string Database::text(std::string_view sql) {
  auto asked = statement(sql);
  return asked.next() ? std::string(asked.text(0)) : "";
}
std::int64_t Database::last_row() const { return sqlite3_last_insert_rowid(database_); }

Transaction::Transaction(Database& database, Kind kind) : database_(database) {
  database_.run(kind == Kind::write ? "BEGIN IMMEDIATE" : "BEGIN");
}
Transaction::~Transaction() {
  if (!open_) return;
  try {
    database_.run("ROLLBACK");
  } catch (const DatabaseError&) {
    // It was undone already, by what ended it.
  }
}
void Transaction::keep() {
  database_.run("COMMIT");
  open_ = false;
}

}  // namespace lacestay::runtime
