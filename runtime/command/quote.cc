// lacestay quote
#include <fmt/format.h>

#include "runtime/advice/json.hpp"
#include "runtime/command/asked_players.hpp"
#include "runtime/command/daybook.hpp"
#include "runtime/command/shelf.hpp"
#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/quote/text.hpp"

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

}  // namespace

int quote_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--player", true},
                                        {"--from", true},
                                        {"--owns", true},
                                        {"--on", true},
                                        {"--stock", true},
                                        {"--limit", true},
                                        {"--take", false},
                                        {"--give-back", true},
                                        {"--daybook", true},
                                        {"--served-by", true},
                                        {"--json", false},
                                        {"--html", true}});
  if (const auto sale = words.value("--give-back")) {
    const bool daybook = words.has("--daybook");
    if (!words.has("--stock") || !words.plain.empty() || words.options.size() > (daybook ? 3 : 2))
      throw Stop{not_understood,
                 "Write: lacestay quote --stock FOLDER --give-back SALE, and --daybook FILE if need be\n"};
    const auto given_back = give_back_to_stock(*words.value("--stock"), *sale);
    print(given_back.told);
    print(record_given_back(words, given_back));
    return all_well;
  }
  if (words.plain.empty())
    throw Stop{not_understood, "Which policy? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"};
  if (words.has("--player") && words.has("--from"))
    throw Stop{not_understood, "Players come from one of --player and --from.\n"};
  if (words.has("--json") && words.has("--html"))
    throw Stop{not_understood, "A quote is written either as --json or as --html.\n"};
  if (words.has("--json") && words.has("--take"))
    throw Stop{not_understood, "A kit that is taken is told of in words: leave --json out.\n"};
  const auto day = day_for(words);
  if (!words.has("--stock"))
    throw Stop{not_understood, "Which stock? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"};
  const auto engine = engine_for(words.plain.front());
  const auto limit = limit_of(engine->policy(), words);
  const auto asked = asked_players(engine->policy(), words);
  if (words.has("--take") && asked.size() > 1)
    throw Stop{not_understood, "One kit is taken at a time: name one player.\n"};
  if (words.has("--html") && asked.size() > 1) throw Stop{not_understood, "A page holds one player: name one.\n"};
  const auto stock = stock_for(engine->policy(), words);
  Recording recording(words, engine->policy(), day);
  int code = all_well;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    auto made = quote(*engine, asked[i].player, stock, day, limit ? limit : asked[i].can_spend);
    recording.record(*engine, asked[i].player, stock, made);
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
    if (words.has("--take")) {
      const auto taken = take_from_stock(stock, made);
      print(taken.told);
      recording.record_sale(made, taken);
    }
  }
  return code;
}

}  // namespace lacestay::runtime
