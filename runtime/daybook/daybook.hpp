// The daybook: every advice and quote that left the shop, in one SQLite file, each entry chained to the one before.
//
// An entry's hash is the SHA-256 of its own head, which names the hash of the entry before and a hash of the content
// (what the shop was told and what it answered). The content's hash is taken over a random salt and the content, so
// that when both are erased, nothing is left in the chain that could be guessed. When `append` returns, its entry is
// on the disk. Several programs may write at once; an unfinished transaction is rolled back by the next program that
// opens the file.
//
// Left out on purpose: somebody who may write the file can write a whole other one, with a chain of its own. A hash
// kept elsewhere (on a customer's page, or the last entry's, written down) shows that.
//
// README.md beside this file explains the method; tables.md describes the tables. Throws Error, with daybook-1 to
// daybook-9 (grammar/read/messages.md), where the file can't be used, or what is asked of it can't be done. One thread
// at a time.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "runtime/base/entry_reference.hpp"
#include "runtime/base/moment.hpp"
#include "runtime/daybook/database.hpp"

namespace lacestay::runtime {

// A sealed policy as the daybook keeps it: once, whatever number of entries rest on it.
struct KeptPolicy {
  std::string title;
  std::int64_t edition = 0;
  std::string seal;      // the hash that the document carries
  std::string document;  // by the SHA-256 of its bytes entries name it
};

// handed_over: what the fitter gave instead; by_hand: a player whom the policy has nobody like, and what he was given;
// sold: the sale a quote led to; given_back: that sale undone.
enum class EntryKind { advice, quote, handed_over, by_hand, sold, given_back, erasure };
[[nodiscard]] const char* word_of(EntryKind kind);
[[nodiscard]] std::optional<EntryKind> entry_kind(std::string_view word);

struct NewEntry {
  EntryKind kind = EntryKind::advice;
  std::optional<std::string> policy;  // the SHA-256 of one that is kept
  std::optional<std::string> stock;   // its fingerprint
  std::optional<std::int64_t> about;  // the entry it concerns
  std::string content;                // JSON
  std::vector<std::string> names;     // what it can be found by: pieces and rules
  std::vector<std::string> items;     // and the numbers of items
  std::vector<std::string> shelves;   // JSON texts the content names by their SHA-256, each kept once
};

struct Entry {
  std::int64_t number = 0;
  std::string at;
  EntryKind kind = EntryKind::advice;
  std::optional<std::string> policy;  // SHA-256
  std::optional<std::string> stock;
  std::optional<std::int64_t> about;
  std::optional<std::string> content;  // nothing: it was erased
  std::string hash;
};

// What an erasure records.
struct Erasure {
  std::vector<std::int64_t> erased;  // entries
  std::string why;
};
// Nothing where the content is none of an erasure's.
[[nodiscard]] std::optional<Erasure> erasure_in(std::string_view content);

// What to look for; all of it must be so.
struct Sought {
  std::optional<Moment> from, before;  // the second is not included
  std::vector<std::string> names;      // pieces or rules
  std::optional<std::string> item;
  std::optional<std::size_t> most;  // the newest so many
};

struct ChainFault {
  std::int64_t number = 0;  // the entry
  std::string what;         // "its content was altered"
};
struct ChainResult {
  std::int64_t entries = 0, erased = 0;
  std::string last_hash;
  std::vector<ChainFault> faults;  // by number
};

class Daybook {
 public:
  enum class Open { create, write, read };  // create: also where there is none yet
  // `patience`: how long another program may hold it.
  explicit Daybook(const std::string& path, Open open, std::chrono::milliseconds patience = std::chrono::seconds(20));
  ~Daybook();

  // Kept already, or kept now; the SHA-256 of the document.
  std::string keep_policy(const KeptPolicy& policy);
  [[nodiscard]] std::optional<KeptPolicy> policy(const std::string& sha256);

  // On the disk when it comes back. Cost: some hundred microseconds, and a flush of the disk.
  EntryReference append(const NewEntry& entry, Moment at);

  [[nodiscard]] std::int64_t entries();
  [[nodiscard]] std::optional<Entry> entry(std::int64_t number);
  // By the beginning of its hash, twelve digits at least; nothing where none, or more than one, begins so.
  [[nodiscard]] std::optional<Entry> entry_of_hash(const std::string& beginning);
  // Newest first. Cost: linear in the entries, some ten milliseconds for 100,000; by item, by those that have it.
  [[nodiscard]] std::vector<std::int64_t> find(const Sought& sought);
  // Entries about this one, oldest first.
  [[nodiscard]] std::vector<std::int64_t> about(std::int64_t number);
  [[nodiscard]] std::optional<std::string> shelf(const std::string& sha256);
  // All names entries can be found by.
  [[nodiscard]] std::vector<std::string> names();
  // The entry that records this one's erasure.
  [[nodiscard]] std::optional<Entry> erasure_of(std::int64_t number);
  // Whether it is as it was written, and what it rests on too; nothing where all is well, else "its content was
  // altered". That none is missing only `verify` tells. Cost: a hash of its policy, some milliseconds.
  [[nodiscard]] std::optional<std::string> fault_of(std::int64_t number);

  // Erases the content of an entry and of those about it, and adds an entry that says so; `why` is kept. Comes back
  // when the bytes are gone from the file and from its journal. Nothing where it was erased already.
  std::optional<EntryReference> forget(std::int64_t number, const std::string& why, Moment at);
  // The same of every entry of before that moment, in one go; the numbers of those erased.
  std::vector<std::int64_t> forget_before(Moment first_kept, const std::string& why, Moment at);

  // Walks the chain from its first entry. Cost: linear, some 70 microseconds an entry of 9 kB.
  [[nodiscard]] ChainResult verify(std::size_t most_faults = 1);

 private:
  struct Prepared;
  void open_as(Open open);
  void lay_out();
  [[nodiscard]] std::int64_t name_id(const std::string& text);
  [[nodiscard]] std::optional<std::int64_t> policy_id(const std::string& sha256);
  void demand_content(std::int64_t number);
  EntryReference add(const NewEntry& entry, Moment at);
  std::vector<std::int64_t> erase(std::int64_t number);
  EntryReference add_erasure(const std::vector<std::int64_t>& erased, const std::string& why, Moment at);
  void empty_journal();
  [[nodiscard]] std::vector<std::int64_t> numbers(Statement& asked);

  std::string path_;
  std::chrono::milliseconds patience_;
  std::unique_ptr<Database> database_;
  std::unique_ptr<Prepared> prepared_;
  std::string before_first_;                             // what the first entry is chained to
  std::unordered_map<std::string, std::int64_t> names_;  // ids never change
};

}  // namespace lacestay::runtime
