// lacestay quote
#include <fmt/format.h>

#include "runtime/advice/json.hpp"
#include "runtime/command/asked_players.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/command/daybook.hpp"
#include "runtime/command/shelf.hpp"
#include "runtime/options/values.hpp"
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

// A policy sealed in form 1 keeps what it meant, which holds no item to its safety rules: whoever sells by it is told.
void warn_of_form_1(const compiler::Policy& policy) {
  if (policy.tables.safety_reaches_items) return;
  print_problem(
      "This policy was sealed by an earlier lacestay. By what it meant then, an item is held to its accept lines, and "
      "not "
      "to its safety rules.\n  Try: seal the policy again from its own file: lacestay inspect POLICY --seal FILE.\n");
}

int run_quote(const Words& words) {
  if (const auto& sale = words.value("--give-back")) {
    const auto number = sale_number(*sale);
    GivingBack recording(words, number);
    const auto given_back = give_back_to_stock(*words.value("--stock"), number);
    print(given_back.told);
    print(recording.record(given_back));
    return all_well;
  }
  const auto day = day_for(words);
  const auto engine = engine_for(words.plain.front());
  warn_of_form_1(engine->policy());
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
    recording.record(asked[i].player, stock, made);
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

}  // namespace

const Command& quote_command() {
  static const std::string giving_back =
      "Write: lacestay quote --stock FOLDER --give-back SALE, and --daybook FILE if need be";
  static const Command command = {
      .name = "quote",
      .gist = "the best kit from the shop's stock; sells it, or takes a sale back",
      .does =
          "The best kit the shop can hand over today from its stock files, line by line, with what would have come "
          "next and a proof that none is better.",
      .ways = {{.by = "",
                .written = "POLICY DETAIL=VALUE ... --stock FOLDER",
                .does = "quotes, and with --take sells",
                .least = 1,
                .most = any_number,
                .otherwise = "Which policy? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER"},
               {.by = "--give-back",
                .written = "--stock FOLDER --give-back SALE",
                .does = "undoes a sale",
                .least = 0,
                .most = 0,
                .otherwise = giving_back,
                .takes = {{"--stock", "--daybook"}}}},
      .words = player_words(),
      .groups = {{"Who it is for", player_options()},
                 {"What is sold",
                  {{"--stock", Takes::folder, "FOLDER", "the shop's stock files (CSV)"},
                   {"--limit", Takes::text, "SUM", "what the customer can spend, such as \"400 GBP\""},
                   {"--take", Takes::nothing, "", "sells the kit: each item's count falls by one, on record"},
                   {"--give-back", Takes::text, "SALE",
                    "undoes the sale of that number: its items are back in stock"}}},
                 {"What comes out",
                  {{"--html", Takes::file, "FILE", "the page a customer takes home"},
                   {"--json", Takes::nothing, "", "the quote for programs, as JSON"},
                   {"--on", Takes::text, "DATE", "the quote of that day, not of today"}}},
                 recording_options()},
      .apart = {{"--player", {"--from"}, "Players come from one of --player and --from."},
                {"--json", {"--html"}, "A quote is written either as --json or as --html."},
                {"--json", {"--take"}, "A kit that is taken is told of in words: leave --json out."}},
      .needs = {{"--give-back", "--stock", giving_back},
                {"", "--stock", "Which stock? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER"}},
      .example =
          "lacestay quote policies/northgate.fitting --stock policies/stock \\\n"
          "      --from policies/saturday.players saturday_beginner",
      .run = run_quote};
  return command;
}

}  // namespace lacestay::runtime
