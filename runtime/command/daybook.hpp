// The daybook a command writes to or reads from: what --daybook and LACESTAY_DAYBOOK mean.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "runtime/command/command_line.hpp"
#include "runtime/command/shelf.hpp"
#include "runtime/reopen/reopened.hpp"

namespace lacestay::runtime {

// --daybook and --served-by, for the tables of the commands that record.
[[nodiscard]] OptionGroup recording_options();

// Puts what a command answers on record, before it is shown: an advice that can't be recorded is not given.
class Recording {
 public:
  // Where neither --daybook nor LACESTAY_DAYBOOK names a file, nothing is recorded.
  Recording(const Words& words, const compiler::Policy& policy, std::int64_t day);

  [[nodiscard]] bool on() const { return daybook_ != nullptr; }
  // Each marks what it was given with the entry it made.
  void record(const Player& player, Advice& advice);
  void record(const Player& player, const Stock& stock, Quote& quote);
  // Of a player whom the policy has nobody like. Only where on().
  EntryReference record(FittedByHand fitted);
  // That the quote, which is on record, led to a sale.
  void record_sale(const Quote& quote, const Taken& taken);

 private:
  const compiler::Policy& policy_;
  Serving serving_;
  std::unique_ptr<Daybook> daybook_;
  std::string sha256_;  // of the sealed policy
};

// Puts on record that a sale was given back, where a daybook is named.
class GivingBack {
 public:
  // Before anything is changed: finds the sale in the daybook. Throws where the daybook can't be used, or an entry of a
  // sale of that number is not as it was written.
  GivingBack(const Words& words, std::int64_t sale);

  // What a person is to know of it, or nothing.
  [[nodiscard]] std::string record(const Taken& given_back);

 private:
  std::unique_ptr<Daybook> daybook_;
  std::vector<RecordedSale> sales_;
};

}  // namespace lacestay::runtime
