// lacestay quote
#include <fmt/format.h>

#include "runtime/advice_json.hpp"
#include "runtime/asked_players.hpp"
#include "runtime/quote_html.hpp"
#include "runtime/quote_json.hpp"
#include "runtime/quote_text.hpp"

namespace lacestay::runtime {
namespace {

std::optional<std::int64_t> limit_of(const compiler::Policy& policy, const Words& words) {
  const auto text = words.value("--limit");
  if (!text) return std::nullopt;
  const auto sum = money_from(policy, *text);
  if (!sum || *sum < 0)
    throw Stop{not_understood,
               fmt::format("'{}' is no limit; write it as in: --limit \"400 {}\"\n", *text, policy.currency)};
  return sum;
}

Stock stock_for(const compiler::Policy& policy, const Words& words) {
  const auto folder = words.value("--stock");
  if (!folder)
    throw Stop{not_understood, "Which stock? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"};
  auto stock = read_stock(policy, *folder, {});
  const auto problems = stock.problems.sorted();
  if (!problems.empty()) print_problem(grammar::render(problems));
  for (const auto& file : stock.files) {
    if (file.set_aside > 0)
      print_problem(fmt::format("{}: {} of {} rows set aside\n", file.name, file.set_aside, file.rows));
  }
  if (stock.items.empty()) throw Stop{file_trouble, "There is no item to quote.\n"};
  return stock;
}

}  // namespace

int quote_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--player", true},
                                        {"--from", true},
                                        {"--owns", true},
                                        {"--on", true},
                                        {"--stock", true},
                                        {"--limit", true},
                                        {"--json", false},
                                        {"--html", true}});
  if (words.plain.empty())
    throw Stop{not_understood, "Which policy? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"};
  if (words.has("--player") && words.has("--from"))
    throw Stop{not_understood, "Players come from one of --player and --from.\n"};
  if (words.has("--json") && words.has("--html"))
    throw Stop{not_understood, "A quote is written either as --json or as --html.\n"};
  const auto day = day_for(words);
  const auto engine = engine_for(words.plain.front());
  const auto limit = limit_of(engine->policy(), words);
  const auto asked = asked_players(engine->policy(), words);
  if (words.has("--html") && asked.size() > 1) throw Stop{not_understood, "A page holds one player: name one.\n"};
  const auto stock = stock_for(engine->policy(), words);
  int code = all_well;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    const auto made = quote(*engine, asked[i].player, stock, day, limit);
    if (!made.complete()) code = not_so;
    if (const auto page = words.value("--html")) {
      write_file(*page, page_of(made));
      print(fmt::format("{} is written.\n", *page));
    } else if (words.has("--json")) {
      print(json_text(json_of(made)));
    } else {
      if (i > 0) print("\n" + std::string(60, '-') + "\n\n");
      if (!asked[i].name.empty()) print(asked[i].name + "\n\n");
      print(text_of(made));
    }
  }
  return code;
}

}  // namespace lacestay::runtime
