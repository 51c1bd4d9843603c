// Quotes from a small policy and a few stock files, and a quote in few words.
#pragma once

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "runtime/quote/text.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace lacestay::tests {

using runtime::Quote;

inline const auto the_day = day_of(2026, 10, 3);

// Engine, player and stock, ready to be asked.
struct SmallShop {
  std::shared_ptr<const runtime::Engine> engine;
  runtime::Stock stock;

  SmallShop(const std::string& policy, const Files& files)
      : engine(small_shop(policy)), stock(stock_of(engine->policy(), files)) {}

  [[nodiscard]] Quote quote(const std::string& details = "", std::optional<std::int64_t> limit = std::nullopt,
                            const std::vector<std::string>& owns = {}, std::int64_t day = the_day,
                            std::uint64_t budget = runtime::kit_budget) const {
    INFO(render(stock.problems.sorted()));
    return runtime::quote(*engine, player_of(engine->policy(), details, owns), stock, day, limit, budget);
  }
};

// A quote in few words: a line a piece, the deals, the bill, and what is left open.
inline std::string brief(const Quote& quote) {
  std::string out;
  for (const auto& line : quote.lines) {
    out += fmt::format("{} {} {}", line.piece, line.item.number, line.item.price);
    if (line.off > 0) out += fmt::format(" off {}", line.off);
    if (!line.instead.empty()) out += " (" + line.instead + ")";
    if (line.runner_up) out += fmt::format("; next {} {:+}", line.runner_up->item.number, line.runner_up->total_change);
    out += "\n";
    for (const auto& near : line.near) out += "  all but " + near + "\n";
  }
  for (const auto& deal : quote.deals)
    out += fmt::format("{}{} off {}\n", deal.label, deal.make.empty() ? "" : " " + deal.make, deal.off);
  if (!quote.lines.empty()) out += fmt::format("total {} of {}\n", quote.total, quote.list);
  if (quote.over_limit) out += fmt::format("over by {}\n", quote.shortfall);
  for (const auto& step : quote.over) out += fmt::format("{}: {}\n", runtime::text_of(quote, step), step.total);
  for (const auto& open : quote.not_quoted) {
    out += fmt::format("{}: {}\n", open.piece, runtime::why_text(open));
    for (const auto& near : open.near) out += "  all but " + near + "\n";
  }
  for (const auto& line : quote.worth_adding)
    out += fmt::format("suggested {} {} {}\n", line.piece, line.item.number, line.item.price);
  return out;
}

inline const std::string plain_head = "item,make,price,on hand,condition\n";

}  // namespace lacestay::tests
