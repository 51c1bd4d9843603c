// The stock a command is given with --stock, and what is sold from it.
#pragma once

#include "runtime/command/command_line.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// Reads the folder that --stock names; what is set aside is told on standard error. Throws Stop where no item is left.
// First finishes what a crash cut short.
[[nodiscard]] Stock stock_for(const compiler::Policy& policy, const Words& words);

struct Taken {
  std::int64_t sale = 0;
  std::string at;    // when it was sold, as the record of sales has it
  std::string told;  // what was done
};

// The number of a sale as a person writes it; throws Stop.
[[nodiscard]] std::int64_t sale_number(const std::string& text);

// Takes a quote's items from the stock it was made from, and gives back a sale by its number; both say what was done,
// and throw an Error where it could not be.
[[nodiscard]] Taken take_from_stock(const Stock& stock, const Quote& quote);
[[nodiscard]] Taken give_back_to_stock(const std::string& folder, std::int64_t sale);

}  // namespace lacestay::runtime
