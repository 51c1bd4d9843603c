#include "runtime/quote/text.hpp"

#include <fmt/format.h>

#include "compiler/values/names.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/layout.hpp"

namespace lacestay::runtime {

namespace {

constexpr std::size_t detail_indent = 4;

std::string name_of(const QuotedItem& item) {
  return fmt::format("{}{}{} ({}{})", item.make, item.make.empty() || item.model.empty() ? "" : " ", item.model,
                     item.number, item.used ? ", used" : "");
}

std::string plan_text(const Quote& quote, const SumToPlan& plan) {
  return "sum to plan for " + money_text(quote, plan);
}

// Where a price lies outside what was to be planned for.
std::string beside(const Quote& quote, const SumToPlan& plan, std::int64_t price) {
  if (price > plan.high) return fmt::format("; this is {} above it", money_text(quote, price - plan.high));
  if (price < plan.low) return fmt::format("; this is {} below it", money_text(quote, plan.low - price));
  return "";
}

void write_open(const Quote& quote, std::string& out) {
  if (quote.not_quoted.empty()) return;
  out += "\nNot quoted\n";
  for (const auto& open : quote.not_quoted) {
    out += wrapped(
        fmt::format("{}: {}{}", open.label, why_text(open), open.plan ? "; " + plan_text(quote, *open.plan) : ""),
        detail_indent, "  -");
    for (const auto& near : open.near) out += wrapped("nearly: " + near, detail_indent);
  }
}

std::string advised_text(const QuoteLine& line) {
  std::string out;
  for (const auto& each : line.advised)
    out += fmt::format("{}{} {} by {}", out.empty() ? "" : "; ", each.label, each.answer, compiler::listed(each.rules));
  return out;
}

// What binds the item: "grade at least club by junior_head (safety)".
std::string bound_text(const QuoteLine& line) {
  std::string out;
  for (const auto& each : line.bound)
    out += fmt::format("{}{} {} by {}{}", out.empty() ? "" : "; ", each.label, each.says, each.rule,
                       each.safety ? " (safety)" : "");
  return out;
}

void write_line(const Quote& quote, const QuoteLine& line, std::string& out) {
  const auto detail = [&](const std::string& text) { out += wrapped(text, detail_indent); };
  const auto head = fmt::format("{}: {}", line.label, name_of(line.item));
  const auto price = amount_text(quote, line.item.price) + (quote.currency.empty() ? "" : " " + quote.currency);
  out += padded(head + " ", text_width - price.size()) + price + "\n";
  if (!line.item.what.empty()) detail(line.item.what);
  if (const auto advised = advised_text(line); !advised.empty()) detail("advised: " + advised);
  if (const auto bound = bound_text(line); !bound.empty()) detail("every item is held to: " + bound);
  if (!line.open.empty()) detail(open_until(line.open));
  if (!line.accepted_for.empty()) detail("accepted for: " + line.accepted_for);
  if (!line.goes_with.empty()) detail(partners_text(line));
  for (const auto& each : line.unlike) detail(text_of(quote, each));
  if (!line.item.cut.empty()) detail(line.item.cut);
  if (!line.instead.empty()) detail("Not in stock as advised; the shop's rule: " + line.instead);
  if (!line.note.empty()) detail(line.note);
  for (const auto& near : line.near) detail("nearly: " + near);
  if (line.plan) detail(plan_text(quote, *line.plan) + beside(quote, *line.plan, line.item.price));
  std::vector<std::string> off_this, off_several;
  for (const auto deal : line.deals)
    (quote.deals[deal].on_each_line ? off_this : off_several).push_back(quote.deals[deal].label);
  if (line.off > 0)
    detail(fmt::format("{}: {} off this line", compiler::listed(off_this), money_text(quote, line.off)));
  for (const auto& deal : off_several) detail(deal + ": off several lines together, see below");
  if (!line.runner_up) {
    if (line.choices == 1) detail("the only one in stock that fits");
    return;
  }
  const auto change = line.runner_up->total_change;
  detail(fmt::format("without it: {} at {}; the whole kit, chosen anew, would cost {}", name_of(line.runner_up->item),
                     money_text(quote, line.runner_up->item.price),
                     change == 0 ? "the same"
                                 : fmt::format("{} {}", money_text(quote, change < 0 ? -change : change),
                                               change < 0 ? "less" : "more")));
}

void write_deals(const Quote& quote, std::string& out) {
  for (const auto& deal : quote.deals)
    out += wrapped(fmt::format("{}{}: {} off {}{}{}", deal.label, deal.make.empty() ? "" : " (" + deal.make + ")",
                               money_text(quote, deal.off), compiler::listed(deal.pieces),
                               deal.with.empty() ? "" : ", with " + compiler::listed(deal.with),
                               deal.because.empty() ? "" : ". " + deal.because),
                   detail_indent, "  -");
}

void write_limit(const Quote& quote, std::string& out) {
  if (!quote.limit) return;
  if (!quote.over_limit) {
    out += wrapped(fmt::format("Limit {}: {} left.", money_text(quote, *quote.limit),
                               money_text(quote, *quote.limit - quote.total)),
                   0);
    return;
  }
  out +=
      wrapped(fmt::format("No such kit {} within {}. The cheapest {} is above, {} over it.",
                          quote.status == KitStatus::best ? "is" : "was found", money_text(quote, *quote.limit),
                          quote.status == KitStatus::best ? "there is" : "found", money_text(quote, quote.shortfall)),
              0);
  for (const auto& step : quote.over) {
    out += wrapped(fmt::format("{}: {} in all then", text_of(quote, step), money_text(quote, step.total)),
                   detail_indent, "  -");
    if (!step.left_to_fitter.empty()) out += wrapped(left_text(step), detail_indent);
    if (!step.other_items.empty()) out += wrapped("chosen anew: " + other_items_text(quote, step), detail_indent);
  }
  if (quote.over.empty() || quote.total_after_plan > *quote.limit)
    out += wrapped(
        fmt::format("{} is still missing. What protects a player is not bought used, hired or put off.",
                    money_text(quote, (quote.over.empty() ? quote.total : quote.total_after_plan) - *quote.limit)),
        0);
}

}  // namespace

std::string money_text(const Quote& quote, std::int64_t sum) {
  return compiler::show(sum, compiler::Dimension::money, {{std::nullopt, quote.currency}}, quote.money_digits);
}

std::string money_text(const Quote& quote, const SumToPlan& sum) {
  return compiler::show_range(sum.low, sum.high, compiler::Dimension::money, {{std::nullopt, quote.currency}},
                              quote.money_digits);
}

std::string amount_text(const Quote& quote, std::int64_t sum) {
  std::int64_t whole = 1;
  for (int i = 0; i < quote.money_digits; ++i) whole *= 10;
  if (whole == 1) return fmt::format("{}", sum);
  return fmt::format("{}.{:0{}}", sum / whole, sum % whole, quote.money_digits);
}

std::string why_text(const NotQuoted& open) {
  const auto others = compiler::listed(open.partners);
  const auto none = open.partners.empty() ? std::string("none in stock as advised")
                                          : fmt::format("none in stock as advised that goes with the {}", others);
  switch (open.kind) {
    case Match::Kind::items: return "no kit can be reckoned: " + open.no_kit;
    case Match::Kind::none: return none;
    case Match::Kind::refer:
      if (open.by_line) return none + ": ask the fitter";
      if (open.partners.empty()) return "the advice leaves it to the fitter";
      return fmt::format("ask the fitter: it has to go with the {}, {}", others,
                         open.partner_owned ? "which the customer has" : "and nothing of that is in this quote");
    case Match::Kind::order: return none + ": order one in";
    case Match::Kind::not_certain: return fmt::format("take {} first", compiler::listed(open.not_known));
    case Match::Kind::no_answer: return "the policy has no single answer for it";
    case Match::Kind::not_sold: return "the policy accepts no item for it";
    case Match::Kind::not_for_him: return "the shop's policy sells it to other players, and not to this one";
  }
  return "";
}

std::string partners_text(const QuoteLine& line) {
  std::vector<std::string> all;
  for (const auto& each : line.goes_with) all.push_back(each.label + " " + each.number);
  return "goes with: " + compiler::listed(all);
}

std::string left_text(const PlanLine& step) {
  return fmt::format("then for the fitter, and not in this sum: {}", compiler::listed(step.left_to_fitter));
}

std::string text_of(const Quote& quote, const Unlike& unlike) {
  const auto advised =
      fmt::format("{} {} is advised, and {} will do; ", unlike.label, unlike.answer, unlike.at_least ? "more" : "less");
  if (!unlike.as_advised) return advised + "nothing with it is in stock that fits";
  return advised + fmt::format("with {}, the cheapest that fits is {} at {}", unlike.answer,
                               name_of(*unlike.as_advised), money_text(quote, unlike.as_advised->price));
}

std::string proof_text(const Quote& quote) {
  if (quote.status == KitStatus::best && quote.over_limit) return "No kit from this stock costs less: that is proved.";
  if (quote.status == KitStatus::best)
    return "No other kit from this stock comes out cheaper, with what its higher grades are worth to the shop's "
           "customers counted in: that is proved.";
  return fmt::format("The search was ended before it was through: a better kit may save up to {}.",
                     money_text(quote, quote.may_be_better_by));
}

std::string text_of(const Quote& quote, const PlanLine& step) {
  const auto cost = step.cost > 0 ? " for " + money_text(quote, step.cost) : "";
  switch (step.kind) {
    case compiler::PlanStep::Kind::hire: return fmt::format("hire: {}{}", step.label, cost);
    case compiler::PlanStep::Kind::borrow: return fmt::format("borrow: {}", step.label);
    case compiler::PlanStep::Kind::buy_used: return fmt::format("buy used: {}{}", step.label, cost);
    case compiler::PlanStep::Kind::put_off: return fmt::format("put off: {}", step.label);
    case compiler::PlanStep::Kind::settle: return fmt::format("settle for: {}, {}", step.label, step.settled_for);
  }
  return "";
}

std::string other_items_text(const Quote& quote, const PlanLine& step) {
  std::string out;
  for (const auto& [piece, label, item] : step.other_items)
    out += fmt::format("{}{}, {} at {}{}", out.empty() ? "" : "; ", label, name_of(item), money_text(quote, item.price),
                       item.cut.empty() ? "" : ", " + item.cut);
  return out;
}

std::string text_of(const Quote& quote) {
  auto out = fmt::format("{}, edition {}\nQuote of {}\n\n", quote.policy, quote.edition, quote.day);
  for (const auto& line : quote.lines) write_line(quote, line, out);
  write_open(quote, out);
  if (!quote.lines.empty()) {
    out += '\n';
    write_deals(quote, out);
    std::vector<std::string> without;
    for (const auto& open : quote.not_quoted) without.push_back(open.label);
    out += wrapped(fmt::format("Total{} {}{}{}", without.empty() ? "" : ", without " + compiler::listed(without) + ":",
                               money_text(quote, quote.total),
                               quote.saved > 0 ? fmt::format(" instead of {}: {} saved", money_text(quote, quote.list),
                                                             money_text(quote, quote.saved))
                                               : "",
                               quote.plan.high > 0 ? "; " + plan_text(quote, quote.plan) : ""),
                   0);
    write_limit(quote, out);
    out += wrapped(proof_text(quote), 0);
  }
  if (!quote.worth_adding.empty()) out += "\nSuggested too, and not in the total\n";
  for (const auto& line : quote.worth_adding)
    out += wrapped(fmt::format("{}: {}, {}{}{}", line.label, name_of(line.item), line.item.what,
                               line.item.what.empty() ? "" : ", ", money_text(quote, line.item.price)),
                   detail_indent, "  -");
  out += "\nCautions\n";
  for (const auto& caution : quote.cautions) out += wrapped(caution, detail_indent, "  -");
  out += wrapped(standing_caution, detail_indent, "  -");
  return out + beside_text(quote.handed_over, quote.entry);
}

}  // namespace lacestay::runtime
