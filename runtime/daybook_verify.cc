// Walking the daybook's chain.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <unordered_map>
#include <unordered_set>

#include "runtime/daybook_chain.hpp"
#include "runtime/daybook_inside.hpp"
#include "runtime/sha256.hpp"

namespace lacestay::runtime {

namespace {

using Numbers = std::unordered_set<std::int64_t>;

// Of an erasure's content.
void note_erased(std::string_view content, Numbers& erased) {
  const auto said = nlohmann::json::parse(content, nullptr, false);
  if (!said.is_object() || !said.contains("erased") || !said["erased"].is_array()) return;
  for (const auto& each : said["erased"])
    if (each.is_number_integer()) erased.insert(each.get<std::int64_t>());
}

// The shelves a quote's content names that are not kept as they were.
bool shelves_there(std::string_view content, const std::unordered_set<std::string>& kept) {
  const auto said = nlohmann::json::parse(content, nullptr, false);
  if (!said.is_object() || !said.contains("shelves")) return true;
  for (const auto& each : said["shelves"])
    if (!each.is_string() || kept.count(each.get<std::string>()) == 0) return false;
  return true;
}

}  // namespace

ChainResult Daybook::verify(std::size_t most_faults) {
  return in_words(path_, [&] {
    // One state of the daybook from the first entry to the last.
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

    Numbers without_content, erased;
    std::int64_t due = 1;
    auto row = database_->statement(
        "SELECT number, at, kind, policy, stock, about, content, salt, content_hash, previous, hash FROM entry "
        "ORDER BY number");
    for (; row.next(); ++due) {
      EntryHead head;
      head.number = row.number(0);
      for (; due < head.number; ++due) fault(due, "it is missing");
      head.at = row.text(1);
      head.kind = row.text(2);
      head.stock = row.text_if_any(4);
      if (!row.is_null(5)) head.about = row.number(5);
      head.content_hash = row.text(8);
      head.previous = row.text(9);
      bool kept = true;
      if (!row.is_null(3)) {
        const auto known = policies.find(row.number(3));
        kept = known != policies.end();
        if (kept) head.policy = known->second;
      }
      ++result.entries;
      if (!kept)
        fault(head.number, "the policy it rests on was altered, or is not there");
      else if (hash_of(head) != row.text(10))
        fault(head.number, "it was altered");
      else if (head.previous != result.last_hash)
        fault(head.number, "it does not follow the entry before it: one was altered, dropped or put elsewhere");
      else if (row.is_null(6) && row.is_null(7))
        without_content.insert(head.number);
      else if (row.is_null(6) || row.is_null(7) || hash_of_content(row.bytes(7), row.text(6)) != head.content_hash)
        fault(head.number, "its content was altered");
      else if (head.kind == word_of(EntryKind::erasure))
        note_erased(row.text(6), erased);
      else if (head.kind == word_of(EntryKind::quote) && !shelves_there(row.text(6), shelves))
        fault(head.number, "what it chose from was altered, or is not there");
      result.last_hash = row.text(10);
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
