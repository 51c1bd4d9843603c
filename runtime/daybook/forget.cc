// Erasing what the daybook holds of a person, so that the chain still holds.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <thread>

#include "runtime/daybook/inside.hpp"

namespace lacestay::runtime {

// The entry and those about it; the numbers of those that still had a content. Within a transaction that writes.
std::vector<std::int64_t> Daybook::erase(std::int64_t number) {
  auto asked = database_->statement(
      "SELECT number FROM entry WHERE (number = ?1 OR about = ?1) AND content IS NOT NULL AND kind <> 'erasure'");
  const auto all = numbers(asked.with(number));
  for (const auto each : all) {
    for (const auto* what : {"UPDATE entry SET content = NULL, salt = NULL WHERE number = ?",
                             "DELETE FROM mention WHERE entry = ?", "DELETE FROM item WHERE entry = ?"})
      database_->statement(what).with(each).run();
    // What it chose from goes too, unless another entry chose from the same.
    auto used = database_->statement("SELECT shelf FROM shelf_use WHERE entry = ?");
    const auto shelves = numbers(used.with(each));
    database_->statement("DELETE FROM shelf_use WHERE entry = ?").with(each).run();
    for (const auto shelf : shelves)
      database_->statement("DELETE FROM shelf WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM shelf_use WHERE shelf = ?1)")
          .with(shelf)
          .run();
  }
  return all;
}

EntryReference Daybook::add_erasure(const std::vector<std::int64_t>& erased, const std::string& why, Moment at) {
  NewEntry entry;
  entry.kind = EntryKind::erasure;
  entry.content = nlohmann::json{{"erased", erased}, {"format", 1}, {"why", why}}.dump();
  return add(entry, at);
}

std::optional<EntryReference> Daybook::forget(std::int64_t number, const std::string& why, Moment at) {
  return in_words(path_, [&] {
    std::optional<EntryReference> made;
    {
      Transaction change(*database_, Transaction::Kind::write);
      const auto known = entry(number);
      if (!known || known->kind == EntryKind::erasure)
        throw Error{"daybook-8",
                    known ? fmt::format("Entry {} records an erasure, and holds nothing of anybody.", number)
                          : fmt::format("The daybook has no entry {}.", number),
                    "lacestay reopen DAYBOOK lists the entries"};
      if (const auto erased = erase(number); !erased.empty()) made = add_erasure(erased, why, at);
      change.keep();
    }
    // Also where it was erased before: the log may have been in use then, and still hold old pages.
    empty_journal();
    return made;
  });
}

std::vector<std::int64_t> Daybook::forget_before(Moment first_kept, const std::string& why, Moment at) {
  return in_words(path_, [&] {
    std::set<std::int64_t> erased;
    {
      Transaction change(*database_, Transaction::Kind::write);
      auto asked = database_->statement(
          "SELECT number FROM entry WHERE at < ? AND content IS NOT NULL AND kind <> 'erasure' ORDER BY number");
      for (const auto number : numbers(asked.with(written(first_kept)))) {
        const auto some = erase(number);
        erased.insert(some.begin(), some.end());
      }
      if (!erased.empty()) (void)add_erasure({erased.begin(), erased.end()}, why, at);
      change.keep();
    }
    empty_journal();
    return std::vector<std::int64_t>(erased.begin(), erased.end());
  });
}

std::optional<Entry> Daybook::erasure_of(std::int64_t number) {
  return in_words(path_, [&]() -> std::optional<Entry> {
    auto asked = database_->statement("SELECT number FROM entry WHERE kind = 'erasure' AND number > ? ORDER BY number");
    for (const auto each : numbers(asked.with(number))) {
      auto found = entry(each);
      const auto said = found && found->content ? erasure_in(*found->content) : std::nullopt;
      if (said && std::find(said->erased.begin(), said->erased.end(), number) != said->erased.end()) return found;
    }
    return std::nullopt;
  });
}

std::optional<Erasure> erasure_in(std::string_view content) {
  try {
    const auto said = nlohmann::json::parse(content);
    return Erasure{said.at("erased").get<std::vector<std::int64_t>>(), said.at("why").get<std::string>()};
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  }
}

// Writes the whole write-ahead log back into the file and truncates it: it holds pages from before the erasure.
void Daybook::empty_journal() {
  const auto until = std::chrono::steady_clock::now() + patience_;
  while (true) {
    auto asked = database_->statement("PRAGMA wal_checkpoint(TRUNCATE)");
    const bool in_use = !asked.next() || asked.number(0) != 0;
    asked.end();
    if (!in_use) return;
    if (std::chrono::steady_clock::now() > until)
      throw Error{"daybook-9",
                  fmt::format("It is erased, but another program is reading the daybook '{}', and until it "
                              "ends, old bytes may lie in the file beside it ({}-wal).",
                              path_, path_),
                  "end that program, and give the same command again"};
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
}

}  // namespace lacestay::runtime
