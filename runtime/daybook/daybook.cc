#include "runtime/daybook/daybook.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <thread>

#include "compiler/values/quantity.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/daybook/chain.hpp"
#include "runtime/daybook/inside.hpp"

namespace lacestay::runtime {

namespace fs = std::filesystem;

namespace {

constexpr int application = 0x4C616365;  // "Lace", which `file` and sqlite3 show
constexpr int form = 1;                  // PRAGMA user_version
constexpr std::int64_t largest_number = std::int64_t{1} << 53;
constexpr std::int64_t largest_name = 1'000'000;
constexpr std::size_t smallest_file = 512;  // of any that SQLite made

// Described in tables.md.
constexpr const char* tables = R"(
CREATE TABLE daybook (what TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE sealed_policy (
  id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL UNIQUE, title TEXT NOT NULL, edition INTEGER NOT NULL,
  seal TEXT NOT NULL, document TEXT NOT NULL) STRICT;
CREATE TABLE entry (
  number INTEGER PRIMARY KEY, at TEXT NOT NULL, kind TEXT NOT NULL,
  policy INTEGER REFERENCES sealed_policy (id), stock TEXT, about INTEGER REFERENCES entry (number),
  content TEXT, salt BLOB, content_hash TEXT NOT NULL, previous TEXT NOT NULL, hash TEXT NOT NULL) STRICT;
CREATE INDEX entry_at ON entry (at);
CREATE INDEX entry_about ON entry (about) WHERE about IS NOT NULL;
CREATE UNIQUE INDEX entry_hash ON entry (hash);
CREATE TABLE name (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE mention (entry INTEGER PRIMARY KEY REFERENCES entry (number), names BLOB NOT NULL) STRICT;
CREATE TABLE item (number TEXT NOT NULL, entry INTEGER NOT NULL REFERENCES entry (number),
  PRIMARY KEY (number, entry)) STRICT, WITHOUT ROWID;
CREATE INDEX item_entry ON item (entry);
CREATE TABLE shelf (id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL UNIQUE, items TEXT NOT NULL) STRICT;
CREATE TABLE shelf_use (entry INTEGER NOT NULL REFERENCES entry (number), shelf INTEGER NOT NULL REFERENCES shelf (id),
  PRIMARY KEY (entry, shelf)) STRICT, WITHOUT ROWID;
CREATE INDEX shelf_use_shelf ON shelf_use (shelf);
)";

// An absolute path, so that a name such as "//x" can't be read as another machine's.
std::string plain_path(const std::string& path) {
  std::error_code unknown;
  const auto whole = fs::absolute(path, unknown);
  if (path.empty() || unknown)
    throw Error{"daybook-1", fmt::format("'{}' names no file.", path), "name one, as in: --daybook shop.daybook"};
  return whole.lexically_normal().string();
}

// A daybook holds people's measures: only who made it reads it, until he says otherwise.
void make_private(const std::string& path) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (file >= 0) ::close(file);
  if (file < 0 && errno != EEXIST)
    throw Error{"daybook-1", fmt::format("The daybook '{}' can't be made: {}.", path, std::strerror(errno)),
                "name a file in a folder that is there and may be written"};
}

Error of_another_program(const std::string& path) {
  return {"daybook-2", fmt::format("'{}' is no daybook, but a file of another program. It is left as it is.", path),
          "name another file"};
}

}  // namespace

const char* word_of(EntryKind kind) {
  switch (kind) {
    case EntryKind::advice: return "advice";
    case EntryKind::quote: return "quote";
    case EntryKind::handed_over: return "handed_over";
    case EntryKind::by_hand: return "by_hand";
    case EntryKind::sold: return "sold";
    case EntryKind::given_back: return "given_back";
    case EntryKind::erasure: return "erasure";
  }
  return "";
}

std::optional<EntryKind> entry_kind(std::string_view word) {
  for (const auto kind : {EntryKind::advice, EntryKind::quote, EntryKind::handed_over, EntryKind::by_hand,
                          EntryKind::sold, EntryKind::given_back, EntryKind::erasure})
    if (word == word_of(kind)) return kind;
  return std::nullopt;
}

Error damaged(const std::string& path, const std::string& how) {
  return {"daybook-7", fmt::format("The daybook '{}' is damaged: {}.", path, how),
          "keep the file as it is, and go back to a copy of it"};
}

Error told(const DatabaseError& error, const std::string& path) {
  switch (error.code() & 0xff) {
    case SQLITE_NOTADB: return of_another_program(path);
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return {"daybook-4", fmt::format("The daybook '{}' can't be written: it is read-only here.", path),
              "let this account write the file and its folder, or name another"};
    case SQLITE_FULL:
      return {"daybook-5", fmt::format("The disk of the daybook '{}' is full. Nothing of this is recorded.", path),
              "make room, and do it again"};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {"daybook-6", fmt::format("Another program holds the daybook '{}'.", path),
              "wait until it has finished, and do it again"};
    case SQLITE_CORRUPT: return damaged(path, error.what());
    case SQLITE_CANTOPEN:
      return {"daybook-1", fmt::format("The daybook '{}' can't be opened.", path),
              "look at its name, its folder, and who may read them"};
    default:
      return {"daybook-1", fmt::format("The daybook '{}' can't be used: {}.", path, error.what()),
              "look at the disk it lies on"};
  }
}

Daybook::Prepared::Prepared(Database& base)
    : last(base.statement("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1")),
      add_entry(
          base.statement("INSERT INTO entry (number, at, kind, policy, stock, about, content, salt, content_hash, "
                         "previous, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")),
      add_mention(base.statement("INSERT INTO mention (entry, names) VALUES (?, ?)")),
      add_item(base.statement("INSERT OR IGNORE INTO item (number, entry) VALUES (?, ?)")),
      add_shelf(base.statement("INSERT OR IGNORE INTO shelf (sha256, items) VALUES (?, ?)")),
      shelf_id(base.statement("SELECT id FROM shelf WHERE sha256 = ?")),
      add_use(base.statement("INSERT OR IGNORE INTO shelf_use (entry, shelf) VALUES (?, ?)")),
      name(base.statement("SELECT id FROM name WHERE text = ?")),
      add_name(base.statement("INSERT INTO name (text) VALUES (?)")),
      entry(base.statement("SELECT e.number, e.at, e.kind, p.sha256, e.stock, e.about, e.content, e.hash FROM entry e "
                           "LEFT JOIN sealed_policy p ON p.id = e.policy WHERE e.number = ?")),
      policy_id(base.statement("SELECT id FROM sealed_policy WHERE sha256 = ?")) {}

Daybook::Daybook(const std::string& path, Open open, std::chrono::milliseconds patience)
    : path_(plain_path(path)), patience_(patience) {
  if (open == Open::create) make_private(path_);
  std::error_code unknown;
  if (!fs::exists(path_, unknown))
    throw unknown ? Error{"daybook-1", fmt::format("The daybook '{}' can't be read: {}.", path_, unknown.message()),
                          "let this account read the folder"}
                  : Error{"daybook-1", fmt::format("There is no daybook '{}'.", path_), "look at its name"};
  if (!fs::is_regular_file(path_, unknown)) throw of_another_program(path_);
  // SQLite takes a few bytes for the beginning of a file that was never finished, and would write over them. They are
  // not read here: closing the file would end the locks of another daybook of this process.
  if (const auto size = fs::file_size(path_, unknown); size > 0 && size < smallest_file)
    throw of_another_program(path_);
  in_words(path_, [&] {
    try {
      open_as(open);
    } catch (const DatabaseError& error) {
      // Where nothing can be written beside it, a file without a journal can still be read as it lies.
      const auto code = error.code() & 0xff;
      const bool in_the_way = code == SQLITE_CANTOPEN || code == SQLITE_READONLY;
      const auto journal = fs::file_size(path_ + "-wal", unknown);
      if (open != Open::read || !in_the_way || (!unknown && journal > 0)) throw;
      database_.reset();
      database_ = std::make_unique<Database>(path_, Database::Open::read_as_it_lies, patience_);
      open_as(open);
    }
    prepared_ = std::make_unique<Prepared>(*database_);
    before_first_ = hash_before_first(database_->text("SELECT value FROM daybook WHERE what = 'id'"));
  });
}
Daybook::~Daybook() = default;

void Daybook::open_as(Open open) {
  if (!database_) database_ = std::make_unique<Database>(path_, Database::Open::write, patience_);
  // Erased bytes are overwritten, and nothing goes to files for temporary use.
  database_->run(
      "PRAGMA secure_delete = ON; PRAGMA temp_store = MEMORY; PRAGMA foreign_keys = ON;"
      "PRAGMA trusted_schema = OFF; PRAGMA synchronous = FULL");
  const auto is = [&] { return database_->number("PRAGMA application_id"); };
  const bool blank = is() == 0 && database_->number("SELECT count(*) FROM sqlite_schema") == 0;
  if (blank && open == Open::create) lay_out();
  if (is() != application) throw of_another_program(path_);
  if (const auto found = database_->number("PRAGMA user_version"); found > form)
    throw Error{"daybook-3",
                fmt::format("The daybook '{}' was made by a later lacestay: its form is {}, and this one "
                            "reads form {}. It is left as it is.",
                            path_, found, form),
                "use the later lacestay"};
}

void Daybook::lay_out() {
  // Several programs may come to a new daybook at once: each waits its turn here, and only the first lays it out. A
  // change of the journal's kind does not wait by itself.
  for (int tries = 0;; ++tries) {
    try {
      database_->run("PRAGMA journal_mode = WAL");
      break;
    } catch (const DatabaseError& error) {
      if ((error.code() & 0xff) != SQLITE_BUSY || tries > 1000) throw;
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
  }
  Transaction change(*database_, Transaction::Kind::write);
  if (database_->number("PRAGMA application_id") == 0) {
    database_->run(tables);
    database_->statement("INSERT INTO daybook (what, value) VALUES ('id', ?)")
        .with(in_hexadecimal(random_bytes(16)))
        .run();
    database_->run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", application, form).c_str());
  }
  change.keep();
}

std::string Daybook::keep_policy(const KeptPolicy& policy) {
  const auto hash = sha256(policy.document);
  in_words(path_, [&] {
    if (policy_id(hash)) return;
    Transaction change(*database_, Transaction::Kind::write);
    auto put = database_->statement(
        "INSERT OR IGNORE INTO sealed_policy (sha256, title, edition, seal, document) VALUES (?, ?, ?, ?, ?)");
    put.with(hash).with(policy.title).with(policy.edition).with(policy.seal).with(policy.document).run();
    change.keep();
  });
  return hash;
}

std::optional<KeptPolicy> Daybook::policy(const std::string& sha256) {
  return in_words(path_, [&]() -> std::optional<KeptPolicy> {
    auto asked = database_->statement("SELECT title, edition, seal, document FROM sealed_policy WHERE sha256 = ?");
    if (!asked.with(sha256).next()) return std::nullopt;
    return KeptPolicy{std::string(asked.text(0)), asked.number(1), std::string(asked.text(2)),
                      std::string(asked.text(3))};
  });
}

EntryReference Daybook::append(const NewEntry& entry, Moment at) {
  return in_words(path_, [&] {
    try {
      Transaction change(*database_, Transaction::Kind::write);
      const auto made = add(entry, at);
      change.keep();
      return made;
    } catch (...) {
      names_.clear();  // some may have been given in the change that was undone
      throw;
    }
  });
}

// Within a transaction that writes.
EntryReference Daybook::add(const NewEntry& entry, Moment at) {
  EntryHead head;
  head.previous = before_first_;
  head.number = 1;
  if (prepared_->last.next()) {
    const auto last = prepared_->last.number(0);
    head.previous = prepared_->last.text(1);
    prepared_->last.end();
    if (last < 1 || last >= largest_number) throw damaged(path_, "its last entry has no possible number");
    head.number = last + 1;
  }
  if (entry.about) demand_content(*entry.about);
  const auto policy = entry.policy ? policy_id(*entry.policy) : std::nullopt;
  if (entry.policy && !policy) throw std::logic_error("an entry names a policy that is not kept");
  const auto salt = random_bytes(32);
  head.at = written(at);
  head.kind = word_of(entry.kind);
  head.policy = entry.policy;
  head.stock = entry.stock;
  head.about = entry.about;
  head.content_hash = hash_of_content(salt, entry.content);
  const auto hash = hash_of(head);
  auto& put = prepared_->add_entry.with(head.number).with(head.at).with(head.kind);
  policy ? put.with(*policy) : put.with_null();
  put.with_if_any(head.stock);
  entry.about ? put.with(*entry.about) : put.with_null();
  put.with(entry.content).with_bytes(salt).with(head.content_hash).with(head.previous).with(hash).run();

  if (!entry.names.empty()) {
    std::string bits;
    for (const auto& name : entry.names) {
      const auto place = static_cast<std::size_t>(name_id(name) - 1);
      if (bits.size() <= place / 8) bits.resize(place / 8 + 1, '\0');
      bits[place / 8] = static_cast<char>(static_cast<unsigned char>(bits[place / 8]) | 1u << place % 8);
    }
    prepared_->add_mention.with(head.number).with_bytes(bits).run();
  }
  for (const auto& item : entry.items) prepared_->add_item.with(item).with(head.number).run();
  for (const auto& shelf : entry.shelves) {
    const auto named = sha256(shelf);
    prepared_->add_shelf.with(named).with(shelf).run();
    auto& known = prepared_->shelf_id.with(named);
    (void)known.next();
    const auto id = known.number(0);
    known.end();
    prepared_->add_use.with(head.number).with(id).run();
  }
  return {head.number, hash};
}

std::optional<std::int64_t> Daybook::policy_id(const std::string& sha256) {
  auto& known = prepared_->policy_id.with(sha256);
  if (!known.next()) return std::nullopt;
  const auto id = known.number(0);
  known.end();
  return id;
}

// Nothing is put beside what was erased: it would be left when its owner was told that all is gone.
void Daybook::demand_content(std::int64_t number) {
  const auto other = entry(number);
  if (!other || !other->content)
    throw Error{"daybook-8", fmt::format("Entry {} is not there, or was erased meanwhile.", number),
                "lacestay reopen DAYBOOK lists the entries"};
}

std::int64_t Daybook::name_id(const std::string& text) {
  if (const auto known = names_.find(text); known != names_.end()) return known->second;
  auto& asked = prepared_->name.with(text);
  const bool there = asked.next();
  const auto id = there ? asked.number(0) : 0;
  asked.end();
  if (!there) prepared_->add_name.with(text).run();
  const auto known = there ? id : database_->last_row();
  if (known < 1 || known > largest_name) throw damaged(path_, "a name has no possible place");
  return names_[text] = known;
}

}  // namespace lacestay::runtime
