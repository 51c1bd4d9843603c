// An entry of the daybook, opened again: what was said then, whether the same is said now, and why.
//
// Plain data, ready to be written as a text, as JSON or as a page.
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "runtime/reopen/by_hand.hpp"
#include "runtime/reopen/day_entry.hpp"

namespace lacestay::runtime {

struct UnderPolicy {
  std::string file, title, day;
  std::int64_t edition = 0;
  std::optional<AnsweredAgain> answered;  // nothing where that policy has nobody like that
  std::vector<std::string> nobody;        // then: its sentences that say so
  std::vector<std::string> passed_over;   // what that policy does not ask, or can't take
};

struct Reopened {
  Entry entry;
  // Why the entry, or one that stands beside it, is not as it was written: "entry 3: its content was altered".
  std::vector<std::string> altered;
  std::optional<KeptPolicy> policy;    // as its document says; here without the document
  std::optional<KeptAdvice> kept;      // of an advice or a quote that is not erased
  std::optional<AnsweredAgain> again;  // under its own sealed policy; marked with the entry and what was handed over
  std::string why_not;                 // where it could not be read, or worked out again
  bool other_form = false;             // … for its form alone, or its sealed policy's, which is no fault of the entry
  std::vector<HandedOver> instead;     // what was handed over beside it, of an advice or a quote that is shown
  std::optional<HandedOver> handed_over;  // of an entry of that kind
  std::optional<FittedByHand> by_hand;    // of an entry of that kind
  std::optional<Erasure> erasure;         // of an entry of that kind
  std::vector<std::int64_t> beside;       // entries about this one
  std::vector<std::string> sold;          // "sale 7, 2026-11-29 10:15"
  std::vector<std::string> given_back;    // the same of sales undone
  std::optional<Entry> erased_by;         // where it was erased
  std::optional<UnderPolicy> under;

  [[nodiscard]] bool erased() const { return !entry.content; }
  // The answer that stands in the daybook is the one that is worked out today.
  [[nodiscard]] bool same_answer() const { return again && again->others.empty(); }
  // An advice or a quote that is shown as it stands in the entry, and was not worked out again.
  [[nodiscard]] bool as_recorded() const { return other_form && kept; }
  // It is as it was written, could be read, and is answered the same again; that it or its policy is of a form which
  // this lacestay does not read is a matter of age, and leaves it in order.
  [[nodiscard]] bool in_order() const {
    return altered.empty() && (other_form || (why_not.empty() && (!kept || same_answer())));
  }
};

// Throws what the daybook throws. Cost: unsealing the policy, and the advice or the quote.
[[nodiscard]] Reopened reopen(Daybook& daybook, const Entry& entry);

// What the same player would be told by this policy on that day.
[[nodiscard]] UnderPolicy under_policy(const Engine& engine, const std::string& file, const KeptAdvice& kept,
                                       std::int64_t day);

// What an entry of that kind says was handed over; nothing where it can't be read.
[[nodiscard]] std::optional<HandedOver> handed_over_in(const Entry& entry);

// The fitter's record, as handed_over.hpp reads it; beside a quote it names the item quoted, too. The problem's message
// is a clause.
Result<HandedOver> handed_over_of(const Reopened& opened, const std::string& what);
[[nodiscard]] NewEntry entry_of(const Reopened& opened, const HandedOver& handed_over);
// Of a sale from the stock, about the quote it was made of. `at` is its time in the record of sales: two stock folders
// may each have a sale of that number.
[[nodiscard]] NewEntry entry_of_sale(const EntryReference& quote, const std::string& policy, std::int64_t sale,
                                     const std::string& at);

// A sale as an entry of kind `sold` has it.
struct RecordedSale {
  std::int64_t sale = 0;
  std::string at;                     // its time in the record of sales
  std::optional<std::string> policy;  // SHA-256
  std::optional<std::int64_t> about;  // the quote's entry
};
// Those of this number, newest first: each of several stock folders may have had one. Where one of them is not as it
// was written, it could be any of them, and none is given: the problem's message is a clause that names the entry.
// Cost: a search by name, and a hash of each one's policy.
Result<std::vector<RecordedSale>> recorded_sales(Daybook& daybook, std::int64_t sale);
// That this sale was given back.
[[nodiscard]] NewEntry entry_of_giving_back(const RecordedSale& sold);

// One line about an entry, for a list: "13 items, 442.38 GBP; age 9 years, skill new; Sam".
[[nodiscard]] std::string gist_of(const Entry& entry);

// The parts behind one answer of an advice, by the name entries give it.
[[nodiscard]] std::vector<Part> parts_of(const Advice& advice, const std::string& about);

// "a quote".
[[nodiscard]] const char* kind_in_words(EntryKind kind);

[[nodiscard]] std::string text_of(const Reopened& opened);
[[nodiscard]] nlohmann::ordered_json json_of(const Reopened& opened);
// The page of the advice or the quote; nothing where none is to be shown.
[[nodiscard]] std::optional<std::string> page_of(const Reopened& opened);

// "by flex_chart", "overruled: usual_toe": what is on record of how an answer came about, a line each.
[[nodiscard]] std::vector<std::string> reasons_on_record(const KeptAnswer& answer);
// Why it is shown as it was recorded, in sentences.
[[nodiscard]] std::string why_as_recorded(const Reopened& opened);

}  // namespace lacestay::runtime
