// A quote: the best kit the shop can hand over today for an advice, line by line, with the reasons.
//
// Plain data, ready to be written as a text, as JSON or as a page. Money is in minor units of the policy's currency.
// The kit is the one whose price, less what its steps are worth to the shop's customers, is least among all that the
// limit allows; runtime/kit/builder.hpp proves it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"
#include "runtime/base/entry_reference.hpp"
#include "runtime/kit/builder.hpp"
#include "runtime/quote/matching.hpp"

namespace lacestay::runtime {

struct SumToPlan {
  std::int64_t low = 0, high = 0;
};

struct QuotedItem {
  std::size_t item = 0;  // into Stock::items
  std::string number, make, model;
  // "boot length 265 mm, grade club": its values of what it is held to; of several values the one it is sold as, "toe
  // round, square, set to round".
  std::string what;
  std::string cut;  // of a shaft that is too long: "to be cut to 47.5 in; it will then feel like 36 flex"
  std::int64_t price = 0;
  bool used = false;  // told to people; what is recorded names the item
};

// What the advice says of one thing the item is held to.
struct Advised {
  std::string property, label, answer;
  std::vector<std::string> rules;  // those that decided it
};

// What binds the item, whatever the policy accepts: rules that speak to every player still possible, or to some.
struct Bound {
  std::string property, label;
  std::string says;  // "at least club", as the rule says it
  std::string rule;
  bool safety = false;  // else a house rule's
};

// Where the policy accepts more or less than is advised, and the item is.
struct Unlike {
  std::string label, answer;             // what is advised: "grade", "club"
  bool at_least = true;                  // and more will do; else less
  std::optional<QuotedItem> as_advised;  // the cheapest that fits and has it; nothing where none is in stock
};

struct QuoteLine {
  std::string piece, label;
  QuotedItem item;
  std::vector<Advised> advised;
  std::vector<Bound> bound;
  std::int64_t off = 0;            // by percentages, on this line
  std::vector<std::size_t> deals;  // those that are off it, into Quote::deals
  std::vector<Unlike> unlike;
  // What is on the bill that this item was chosen to go with.
  struct Partner {
    std::string piece, label, number;
  };
  std::vector<Partner> goes_with;
  std::string accepted_for;       // of an accept line that is for some players: whom, as the policy says it
  std::string instead;            // the policy's line that was taken, where none was in stock as advised
  std::string note;               // what that line tells of it; may be empty
  std::vector<std::string> open;  // blank details that tell whether it is needed or only suggested; it is counted in
  std::vector<std::string> near;  // then: items that would have done but for one thing
  std::optional<SumToPlan> plan;
  std::size_t choices = 0;  // items it was chosen from
  // The best kit without this item: its own item for the piece, and what the whole kit costs more (or less).
  struct RunnerUp {
    QuotedItem item;
    std::int64_t total_change = 0;
  };
  std::optional<RunnerUp> runner_up;
};

// A piece of the kit that the shelf can't give, and why.
struct NotQuoted {
  std::string piece, label;
  Match::Kind kind = Match::Kind::none;
  bool by_line = false;                // a line of the policy says so, where nothing is in stock as advised
  std::vector<std::string> not_known;  // not_certain: details to take first
  std::string no_kit;                  // items: what keeps a kit from being reckoned with them, a clause
  std::vector<std::string> partners;   // as of a Match, by their labels
  bool partner_owned = false;
  std::vector<std::string> near;
  std::optional<SumToPlan> plan;
};

struct DealGiven {
  std::string label, because;
  bool on_each_line = false;  // a percentage, which is off each line it reaches; others are off several lines together
  std::string make;           // of a deal counted make by make
  std::vector<std::string> pieces;  // that it is off
  std::vector<std::string> with;    // that count for it, and keep their price
  std::int64_t off = 0;
};

// What is done for a piece where the limit is short, in the policy's order.
struct PlanLine {
  compiler::PlanStep::Kind kind = compiler::PlanStep::Kind::hire;
  std::string piece, label;
  std::string settled_for;  // settle: "one step down in litres"
  std::int64_t cost = 0;
  std::int64_t total = 0;  // of the cheapest kit after this step, all costs in
  struct OtherItem {
    std::string piece, label;
    QuotedItem item;
  };
  std::vector<OtherItem> other_items;       // of that kit: those that are not the lines'
  std::vector<std::string> left_to_fitter;  // labels: what goes with the piece, and so is not bought either
};

struct Quote {
  std::string policy;
  std::int64_t edition = 0;
  std::string day, currency;
  int money_digits = 2;
  Advice advice;  // what it answers
  std::vector<QuoteLine> lines;
  std::vector<NotQuoted> not_quoted;    // needed pieces
  std::vector<QuoteLine> worth_adding;  // suggested pieces: the best item of each, not in the total
  std::vector<DealGiven> deals;
  std::int64_t list = 0, total = 0, saved = 0;
  std::int64_t worth = 0;
  SumToPlan plan;  // of the lines that have one
  std::optional<std::int64_t> limit;
  // Where no kit is within the limit: the lines are the cheapest kit there is.
  bool over_limit = false;
  std::int64_t shortfall = 0;
  std::vector<PlanLine> over;  // steps that bring it within the limit, or as near as they go
  std::int64_t total_after_plan = 0;
  // The proof, in 1/scale minor units: no kit's value (its exact price less its worth; its exact price alone where no
  // kit is within the limit) is below `bound`. Where value == bound nothing better exists; else the kit may be this far
  // from the best.
  KitStatus status = KitStatus::best;
  std::int64_t value = 0, bound = 0, scale = 1;
  std::int64_t may_be_better_by = 0;  // minor units, rounded up
  std::vector<std::string> cautions;
  // Indices into Stock::items, ascending: the items that match the advice, and the near misses. They are a sufficient
  // input: from these items alone the same quote results.
  std::vector<std::size_t> chosen_from;
  std::optional<EntryReference> entry;   // in the daybook, where it was recorded
  std::vector<HandedOver> handed_over;   // beside it, as the daybook has it
  std::optional<std::string> served_by;  // where it was recorded with a name

  [[nodiscard]] bool complete() const { return not_quoted.empty() && !over_limit; }
};

// `limit` in minor units. Cost: dominated by the kit builder, some milliseconds a kit; each line's runner-up is a kit
// of its own.
[[nodiscard]] Quote quote(const Engine& engine, const Player& player, const Stock& stock, std::int64_t today,
                          std::optional<std::int64_t> limit, std::uint64_t budget = kit_budget);

}  // namespace lacestay::runtime
