#include "runtime/shelf_command.hpp"

#include <fmt/format.h>

namespace lacestay::runtime {

Stock stock_for(const compiler::Policy& policy, const Words& words) {
  auto stock = read_stock(policy, *words.value("--stock"), {});
  const auto problems = stock.problems.sorted();
  if (!problems.empty()) print_problem(grammar::render(problems));
  for (const auto& file : stock.files) {
    if (file.set_aside > 0)
      print_problem(fmt::format("{}: {} of {} rows set aside\n", file.name, file.set_aside, file.rows));
  }
  if (stock.items.empty()) throw Stop{file_trouble, "There is no item to quote.\n"};
  return stock;
}

}  // namespace lacestay::runtime
