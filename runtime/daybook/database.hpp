// SQLite, held so that nothing is left open: a database, its statements, its transactions.
//
// Throws DatabaseError, which is inner to the daybook: the daybook says the same to a person (inside.hpp). One thread
// at a time. Texts are UTF-8.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "grammar/text/error.hpp"

struct sqlite3;
struct sqlite3_stmt;

namespace lacestay::runtime {

// The message is in SQLite's words; there is no code of ours, and no hint.
class DatabaseError : public Error {
 public:
  DatabaseError(int code, std::string words) : Error(Problem{"", std::move(words)}), code_(code) {}
  [[nodiscard]] int code() const noexcept { return code_; }  // SQLite's, extended

 private:
  int code_;
};

class Statement {
 public:
  Statement(sqlite3* database, std::string_view sql);
  ~Statement();
  Statement(Statement&& other) noexcept;
  Statement& operator=(Statement&&) = delete;

  // Values of the next run, from the first `?` on.
  Statement& with(std::int64_t value);
  Statement& with(std::string_view text);
  Statement& with_if_any(const std::optional<std::string>& text);  // nothing is NULL
  Statement& with_bytes(std::string_view bytes);
  Statement& with_null();

  // The next row; false where there is none, and the statement can be run again.
  bool next();
  // For a statement that gives no rows.
  void run();
  // Ends a run before its last row.
  void end();

  // Of the row `next` came to; texts and bytes are good until the next call.
  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t number(int column) const;
  [[nodiscard]] std::string_view text(int column) const;
  [[nodiscard]] std::string_view bytes(int column) const;
  [[nodiscard]] std::optional<std::string> text_if_any(int column) const;

 private:
  Statement& bound(int code);

  sqlite3* database_;
  sqlite3_stmt* statement_ = nullptr;
  int bound_ = 0;
};

class Database {
 public:
  // Of a file that is there, empty perhaps. The second looks for no journal, and takes no lock.
  enum class Open { write, read_as_it_lies };
  // `patience`: how long to wait for another program that holds it.
  explicit Database(const std::string& path, Open open, std::chrono::milliseconds patience = std::chrono::seconds(20));
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  [[nodiscard]] Statement statement(std::string_view sql) { return {database_, sql}; }
  void run(const char* sql);  // one or several statements
  [[nodiscard]] std::int64_t number(std::string_view sql);
  [[nodiscard]] std::string text(std::string_view sql);
  [[nodiscard]] std::int64_t last_row() const;

 private:
  sqlite3* database_ = nullptr;
};

// From `begin` until it is kept; undone where it is left before that.
class Transaction {
 public:
  enum class Kind { read, write };  // write: waits until nobody else writes
  Transaction(Database& database, Kind kind);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void keep();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace lacestay::runtime
