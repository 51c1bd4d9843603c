// Whether entries are as they were written: one, and all of them along the chain.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <unordered_map>
#include <unordered_set>

#include "runtime/base/sha256.hpp"
#include "runtime/daybook/chain.hpp"
#include "runtime/daybook/inside.hpp"

namespace lacestay::runtime {

namespace {

constexpr const char* columns =
    "SELECT number, at, kind, policy, stock, about, content, salt, content_hash, previous, hash FROM entry ";

struct WrittenEntry {
  EntryHead head;
  std::optional<std::int64_t> policy;  // its row
  std::optional<std::string> content, salt;
  std::string hash;
};

WrittenEntry read(const Statement& row) {
  WrittenEntry made;
  made.head.number = row.number(0);
  made.head.at = row.text(1);
  made.head.kind = row.text(2);
  if (!row.is_null(3)) made.policy = row.number(3);
  made.head.stock = row.text_if_any(4);
  if (!row.is_null(5)) made.head.about = row.number(5);
  made.content = row.text_if_any(6);
  if (!row.is_null(7)) made.salt = std::string(row.bytes(7));
  made.head.content_hash = row.text(8);
  made.head.previous = row.text(9);
  made.hash = row.text(10);
  return made;
}

// The shelves a quote's content names.
std::vector<std::string> shelves_in(std::string_view content) {
  const auto said = nlohmann::json::parse(content, nullptr, false);
  std::vector<std::string> all;
  if (!said.is_object() || !said.contains("shelves") || !said["shelves"].is_array()) return all;
  for (const auto& each : said["shelves"]) all.push_back(each.is_string() ? each.get<std::string>() : "");
  return all;
}

// What is wrong with an entry by itself. `policy` gives the SHA-256 of a policy's row whose bytes are still that, and
// `shelf_kept` says whether a shelf's bytes are still what its SHA-256 says.
template <typename Policy, typename ShelfKept>
std::optional<std::string> own_fault_of(WrittenEntry& entry, Policy policy, ShelfKept shelf_kept) {
  if (entry.policy) {
    entry.head.policy = policy(*entry.policy);
    if (!entry.head.policy) return "the policy it rests on was altered, or is not there";
  }
  if (hash_of(entry.head) != entry.hash) return "it was altered";
  if (!entry.content && !entry.salt) return std::nullopt;
  if (!entry.content || !entry.salt || hash_of_content(*entry.salt, *entry.content) != entry.head.content_hash)
    return "its content was altered";
  if (entry.head.kind != word_of(EntryKind::quote)) return std::nullopt;
  const auto shelves = shelves_in(*entry.content);
  if (!std::all_of(shelves.begin(), shelves.end(), shelf_kept))
    return "what it chose from was altered, or is not there";
  return std::nullopt;
}

}  // namespace

std::optional<std::string> Daybook::fault_of(std::int64_t number) {
  return in_words(path_, [&]() -> std::optional<std::string> {
    auto row = database_->statement(std::string(columns) + "WHERE number = ?");
    if (!row.with(number).next()) return "it is missing";
    auto entry = read(row);
    row.end();
    auto policy = database_->statement("SELECT sha256, document FROM sealed_policy WHERE id = ?");
    return own_fault_of(
        entry,
        [&](std::int64_t id) -> std::optional<std::string> {
          if (!policy.with(id).next() || sha256(policy.text(1)) != policy.text(0)) return std::nullopt;
          return std::string(policy.text(0));
        },
        [&](const std::string& named) {
          const auto items = shelf(named);
          return items && sha256(*items) == named;
        });
  });
}

ChainResult Daybook::verify(std::size_t most_faults) {
  return in_words(path_, [&] {
    // One snapshot for the whole walk.
    Transaction look(*database_, Transaction::Kind::read);
    ChainResult result;
    result.last_hash = before_first_;
    const auto fault = [&](std::int64_t number, std::string what) {
      result.faults.push_back({number, std::move(what)});
    };

    // Those whose bytes are still what their hash says; by row and by hash.
    std::unordered_map<std::int64_t, std::string> policies;
    std::unordered_set<std::string> shelves;
    auto policy = database_->statement("SELECT id, sha256, document FROM sealed_policy");
    while (policy.next())
      if (sha256(policy.text(2)) == policy.text(1)) policies.emplace(policy.number(0), policy.text(1));
    auto shelf = database_->statement("SELECT sha256, items FROM shelf");
    while (shelf.next())
      if (sha256(shelf.text(1)) == shelf.text(0)) shelves.emplace(shelf.text(0));

    std::unordered_set<std::int64_t> without_content, erased;
    std::int64_t last = 0;
    auto row = database_->statement(std::string(columns) + "ORDER BY number");
    while (row.next()) {
      auto entry = read(row);
      const auto number = entry.head.number;
      if (number > last + 1)
        fault(std::max<std::int64_t>(last, 0) + 1,
              number == last + 2 ? "it is missing"
                                 : fmt::format("it is missing, and so are all before entry {}", number));
      last = number;
      ++result.entries;
      const auto own = own_fault_of(
          entry,
          [&](std::int64_t id) {
            const auto known = policies.find(id);
            return known == policies.end() ? std::nullopt : std::optional(known->second);
          },
          [&](const std::string& named) { return shelves.count(named) != 0; });
      if (own)
        fault(number, *own);
      else if (entry.head.previous != result.last_hash)
        fault(number, "it does not follow the entry before it: one was altered, dropped or put elsewhere");
      else if (!entry.content)
        without_content.insert(number);
      else if (entry.head.kind == word_of(EntryKind::erasure))
        if (const auto said = erasure_in(*entry.content)) erased.insert(said->erased.begin(), said->erased.end());
      result.last_hash = entry.hash;
    }
    for (const auto number : without_content) {
      if (erased.count(number) == 0) fault(number, "its content is gone, and no entry says that it was erased");
      result.erased += erased.count(number) != 0 ? 1 : 0;
    }
    std::sort(result.faults.begin(), result.faults.end(),
              [](const auto& a, const auto& b) { return a.number < b.number; });
    if (result.faults.size() > most_faults) result.faults.resize(most_faults);
    return result;
  });
}

}  // namespace lacestay::runtime
