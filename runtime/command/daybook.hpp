// The daybook a command writes to or reads from: what --daybook and LACESTAY_DAYBOOK mean.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "runtime/command/command_line.hpp"
#include "runtime/command/shelf.hpp"
#include "runtime/reopen/day_entry.hpp"

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
  void record(const Engine& engine, const Player& player, const Stock& stock, Quote& quote);
  // That the quote, which is on record, led to a sale.
  void record_sale(const Quote& quote, const Taken& taken);

 private:
  const compiler::Policy& policy_;
  Serving serving_;
  std::unique_ptr<Daybook> daybook_;
  std::string sha256_;  // of the sealed policy
};

// That a sale was given back, where a daybook is named; what a person is to know of it, or nothing.
[[nodiscard]] std::string record_given_back(const Words& words, const Taken& given_back);

}  // namespace lacestay::runtime
