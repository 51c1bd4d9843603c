#include "runtime/command/shelf.hpp"

#include <fmt/format.h>

#include "runtime/base/moment.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/sale/stock_change.hpp"

namespace lacestay::runtime {

namespace {

std::string counts_of(const StockChange& change) {
  std::string out;
  for (const auto& count : change.counts)
    out += fmt::format("  {} ({}): {} on hand, {} before\n", count.item, count.file, count.after, count.before);
  return out;
}

}  // namespace

Stock stock_for(const compiler::Policy& policy, const Words& words) {
  const auto folder = *words.value("--stock");
  const auto settled = settle(folder).value();
  if (!settled.empty()) print_problem(settled + "\n");
  auto stock = read_stock(policy, folder, {std::string(sales_record_name)});
  const auto problems = stock.problems.sorted();
  if (!problems.empty()) print_problem(render(problems));
  for (const auto& file : stock.files) {
    if (file.set_aside > 0)
      print_problem(fmt::format("{}: {} of {} rows set aside\n", file.name, file.set_aside, file.rows));
  }
  if (stock.items.empty()) throw Stop{file_trouble, "There is no item to quote.\n"};
  return stock;
}

Taken take_from_stock(const Stock& stock, const Quote& quote) {
  if (quote.lines.empty()) throw Stop{not_so, "There is nothing to take: no item is quoted.\n"};
  if (quote.over_limit)
    throw Stop{not_so, "Nothing is taken: the kit is over the limit. Quote it without the limit.\n"};
  QuotedFiles files;
  std::vector<SoldItem> items;
  for (const auto& line : quote.lines) {
    const auto& item = stock.items[line.item.item];
    const auto& file = stock.files[item.file];
    items.push_back({file.name, item.number, item.make, item.model, amount_text(quote, item.price)});
    if (files.count(file.name) == 0) files[file.name] = sha256(file.source->text());
  }
  const auto change = take(stock.folder.string(), files, items, this_moment()).value();
  return {change.sale, change.taken_at,
          fmt::format("\nSale {} is taken from the stock:\n{}Undo it with --give-back {}.\n", change.sale,
                      counts_of(change), change.sale)};
}

std::int64_t sale_number(const std::string& text) {
  const bool number = !text.empty() && text.size() < 18 && text.find_first_not_of("0123456789") == text.npos;
  if (!number) throw Stop{not_understood, fmt::format("'{}' is no sale's number; sales.csv lists them.\n", text)};
  return std::stoll(text);
}

Taken give_back_to_stock(const std::string& folder, std::int64_t sale) {
  const auto change = give_back(folder, sale, this_moment()).value();
  return {change.sale, change.taken_at,
          fmt::format("Sale {} is given back to the stock:\n{}", change.sale, counts_of(change))};
}

}  // namespace lacestay::runtime
