// What an entry of the daybook holds of an advice or a quote, and the same worked out again from it.
//
// The content is JSON: the details as they were given, what was answered and by which rules, and the SHA-256 of the
// whole advice (and quote) as JSON. The reasons' words are the sealed policy's, which the daybook keeps once; so an
// entry is small, and what is worked out again can be held to every byte of what was said. No name is in it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "runtime/daybook/daybook.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/reopen/kept_player.hpp"

namespace lacestay::runtime {

struct KeptAnswer {
  std::string about;                   // "skates", "skates tier", the name of a caution's rule
  std::vector<std::string> possible;   // one where it was certain
  std::vector<std::string> decided;    // rules that made it so
  std::vector<std::string> outranked;  // that another rule silenced
  std::vector<std::string> overruled;  // that spoke, and were lifted over or held under
  bool for_fitter = false;
  bool near_edge = false;  // a measure taken a little wrong would have changed it
};

struct KeptLine {
  std::string piece, item;
  std::int64_t price = 0;  // minor units
};

struct KeptQuote {
  std::optional<std::int64_t> limit;
  std::string currency;
  std::vector<KeptLine> lines;
  std::int64_t total = 0;
  std::vector<std::string> shelves;  // SHA-256 of what it chose from, piece by piece
  std::string hash;                  // of the quote as JSON
};

struct KeptAdvice : KeptPlayer {
  std::uint64_t form = 0;  // the content's "format"
  std::int64_t day = 0;
  std::optional<std::string> served_by;
  std::vector<KeptAnswer> answers;
  std::string hash;  // of the advice as JSON
  std::optional<KeptQuote> quote;
};

struct Serving {
  std::int64_t day = 0;
  std::optional<std::string> by;
};

// `policy` is the SHA-256 under which the daybook keeps the sealed policy.
[[nodiscard]] NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const Player& player,
                                const Advice& advice, const Serving& serving);
[[nodiscard]] NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const Player& player,
                                const Quote& quote, const Stock& stock, const Serving& serving);

// The stock files' fingerprint: SHA-256 over the names and the SHA-256 of each.
[[nodiscard]] std::string fingerprint(const Stock& stock);

// "442.38 GBP" of minor units.
[[nodiscard]] std::string in_money(std::int64_t sum, const std::string& currency);

// It was certain that the piece is needed: told by the word the form has for that.
[[nodiscard]] bool is_needed(const KeptAnswer& kept);

// The number of the form that contents are written in here, and read; a newer lacestay's is higher.
inline constexpr std::uint64_t content_form = 2;
// That of a content of any kind of entry; nothing where it has none.
[[nodiscard]] std::optional<std::uint64_t> form_of_content(std::string_view content);

// Nothing where it is no such content. Of a newer form, what stands there is read as if it were of this one, or nothing
// is: it may be shown, and is not to be worked out again.
[[nodiscard]] std::optional<KeptAdvice> kept_advice(std::string_view content);

// What an entry says, worked out again.
struct AnsweredAgain {
  Player player;
  Advice advice;
  std::optional<Quote> quote;
  bool same_bytes = false;
  struct Other {
    std::string about, before, now;
  };
  std::vector<Other> others;  // answers, items and sums that are others now
};

// Under its own sealed policy, from the content alone; `shelves` are the texts its quote names, in that order. Where
// the content does not belong to that policy, the problem's message is a clause that says so.
Result<AnsweredAgain> answer_again(const Engine& engine, const KeptAdvice& kept,
                                   const std::vector<std::string>& shelves);

// Under another policy: details it does not ask, or can't take, are told in `passed_over` and left blank. Nothing where
// it has nobody like that, which `nobody` then says in its own sentences.
[[nodiscard]] std::optional<AnsweredAgain> answer_under(const Engine& engine, const KeptAdvice& kept, std::int64_t day,
                                                        std::vector<std::string>& passed_over,
                                                        std::vector<std::string>& nobody);

}  // namespace lacestay::runtime
