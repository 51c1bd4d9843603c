#include "runtime/quote/json.hpp"

#include <algorithm>

#include "runtime/base/json_parts.hpp"
#include "runtime/quote/text.hpp"

namespace lacestay::runtime {

using Json = nlohmann::ordered_json;

namespace {

constexpr int format = 1;

const char* word_of(KitStatus status) {
  switch (status) {
    case KitStatus::best: return "best";
    case KitStatus::best_so_far: return "best_so_far";
    case KitStatus::none: return "no_kit";
    case KitStatus::unsettled: return "not_settled";
    case KitStatus::refused: return "not_searched";
  }
  return "";
}

const char* word_of(compiler::PlanStep::Kind step) {
  switch (step) {
    case compiler::PlanStep::Kind::hire: return "hire";
    case compiler::PlanStep::Kind::borrow: return "borrow";
    case compiler::PlanStep::Kind::buy_used: return "buy_used";
    case compiler::PlanStep::Kind::put_off: return "put_off";
    case compiler::PlanStep::Kind::settle: return "settle";
  }
  return "";
}

class Writer {
 public:
  explicit Writer(const Quote& quote) : quote_(quote) {}

  Json write() const {
    return Json{{"format", format},
                {"policy", quote_.policy},
                {"edition", quote_.edition},
                {"day", quote_.day},
                {"currency", text_or_null(quote_.currency)},
                {"complete", quote_.complete()},
                {"lines", list_of(quote_.lines, [&](const auto& each) { return line(each); })},
                {"not_quoted", list_of(quote_.not_quoted, [&](const auto& each) { return not_quoted(each); })},
                {"suggested", list_of(quote_.worth_adding, [&](const auto& each) { return suggested(each); })},
                {"deals", list_of(quote_.deals, [&](const auto& each) { return deal(each); })},
                {"list", money(quote_.list)},
                {"saved", money(quote_.saved)},
                {"total", money(quote_.total)},
                {"sum_to_plan", total_plan()},
                {"limit", limit()},
                {"proof", proof()},
                {"cautions", quote_.cautions},
                {"entry", entry_or_null(quote_.entry)}};
  }

 private:
  Json money(std::int64_t sum) const {
    return Json{{"text", money_text(quote_, sum)}, {"minor_units", sum}, {"currency", text_or_null(quote_.currency)}};
  }

  Json sum_to_plan(const std::optional<SumToPlan>& plan) const {
    if (!plan) return nullptr;
    return Json{{"text", money_text(quote_, *plan)}, {"low", money(plan->low)}, {"high", money(plan->high)}};
  }

  Json total_plan() const {
    const bool any =
        std::any_of(quote_.lines.begin(), quote_.lines.end(), [](const auto& each) { return each.plan.has_value(); });
    return sum_to_plan(any ? std::optional(quote_.plan) : std::nullopt);
  }

  Json item(const QuotedItem& quoted) const {
    return Json{
        {"number", quoted.number},           {"make", text_or_null(quoted.make)}, {"model", text_or_null(quoted.model)},
        {"what", text_or_null(quoted.what)}, {"cut", text_or_null(quoted.cut)},   {"price", money(quoted.price)}};
  }

  Json runner_up(const std::optional<QuoteLine::RunnerUp>& other) const {
    if (!other) return nullptr;
    return Json{{"item", item(other->item)}, {"total_change", money(other->total_change)}};
  }

  static Json advised(const Advised& each) {
    return Json{{"property", each.property}, {"label", each.label}, {"answer", each.answer}, {"rules", each.rules}};
  }

  static Json bound(const Bound& each) {
    return Json{{"property", each.property},
                {"label", each.label},
                {"says", each.says},
                {"rule", each.rule},
                {"safety", each.safety}};
  }

  Json unlike(const QuoteLine& each) const {
    return list_of(each.unlike, [this](const Unlike& one) {
      return Json{{"label", one.label},
                  {"answer", one.answer},
                  {"accepted", one.at_least ? "more" : "less"},
                  {"item_as_advised", one.as_advised ? item(*one.as_advised) : Json(nullptr)}};
    });
  }

  // Only where there is something to say: what was recorded before has no such key.
  static void add_what_there_is(const QuoteLine& each, Json& made) {
    if (!each.accepted_for.empty()) made["accepted_for"] = each.accepted_for;
    if (!each.note.empty()) made["note"] = each.note;
    if (!each.open.empty()) made["open"] = each.open;
    if (!each.goes_with.empty())
      made["goes_with"] = list_of(each.goes_with, [](const auto& one) {
        return Json{{"piece", one.piece}, {"label", one.label}, {"number", one.number}};
      });
  }

  Json line(const QuoteLine& each) const {
    Json made{{"piece", each.piece},
              {"label", each.label},
              {"item", item(each.item)},
              {"advised", list_of(each.advised, [](const auto& one) { return advised(one); })},
              {"held_to", list_of(each.bound, [](const auto& one) { return bound(one); })},
              {"unlike_advised", unlike(each)},
              {"deals", list_of(each.deals, [&](const auto deal) { return quote_.deals[deal].label; })},
              {"off", money(each.off)},
              {"instead", text_or_null(each.instead)},
              {"near", each.near},
              {"sum_to_plan", sum_to_plan(each.plan)},
              {"choices", each.choices},
              {"runner_up", runner_up(each.runner_up)}};
    add_what_there_is(each, made);
    return made;
  }

  Json not_quoted(const NotQuoted& open) const {
    return Json{{"piece", open.piece},
                {"label", open.label},
                {"why", why_text(open)},
                {"near", open.near},
                {"sum_to_plan", sum_to_plan(open.plan)}};
  }

  Json suggested(const QuoteLine& each) const {
    Json made{{"piece", each.piece},
              {"label", each.label},
              {"item", item(each.item)},
              {"unlike_advised", unlike(each)},
              {"instead", text_or_null(each.instead)},
              {"near", each.near},
              {"sum_to_plan", sum_to_plan(each.plan)},
              {"choices", each.choices}};
    add_what_there_is(each, made);
    return made;
  }

  Json deal(const DealGiven& given) const {
    Json made{{"label", given.label},
              {"because", text_or_null(given.because)},
              {"make", text_or_null(given.make)},
              {"pieces", given.pieces},
              {"off", money(given.off)}};
    if (!given.with.empty()) made["with"] = given.with;
    return made;
  }

  Json limit() const {
    if (!quote_.limit) return nullptr;
    // Nothing is bought where there is no line, so nothing can be said to be left or missing.
    const bool kit = !quote_.lines.empty(), kept = !quote_.over_limit;
    const auto total_then = quote_.over.empty() ? quote_.total : quote_.total_after_plan;
    const auto missing = std::max<std::int64_t>(0, total_then - *quote_.limit);
    return Json{{"sum", money(*quote_.limit)},
                {"kept", kit ? Json(kept) : Json(nullptr)},
                {"left", kit && kept ? money(*quote_.limit - quote_.total) : Json(nullptr)},
                {"shortfall", kit && !kept ? money(quote_.shortfall) : Json(nullptr)},
                {"steps", list_of(quote_.over, [&](const auto& each) { return step(each); })},
                {"still_missing", kit && !kept ? money(missing) : Json(nullptr)}};
  }

  Json step(const PlanLine& each) const {
    Json made{{"step", word_of(each.kind)},
              {"piece", each.piece},
              {"label", each.label},
              {"cost", money(each.cost)},
              {"total", money(each.total)},
              {"other_items", list_of(each.other_items, [this](const auto& one) {
                 return Json{{"piece", one.piece}, {"label", one.label}, {"item", item(one.item)}};
               })}};
    if (!each.settled_for.empty()) made["settled_for"] = each.settled_for;
    if (!each.left_to_fitter.empty()) made["left_to_fitter"] = each.left_to_fitter;
    return made;
  }

  Json proof() const {
    if (quote_.lines.empty() && quote_.status == KitStatus::best) return nullptr;  // there was nothing to search
    return Json{{"status", word_of(quote_.status)},
                {"aim", quote_.over_limit ? "price" : "price_less_worth"},
                {"value", quote_.value},
                {"bound", quote_.bound},
                {"parts_of_minor_unit", quote_.scale},
                {"worth", money(quote_.worth)},
                {"may_be_better_by", money(quote_.may_be_better_by)}};
  }

  const Quote& quote_;
};

}  // namespace

Json json_of(const Quote& quote) { return Writer(quote).write(); }

}  // namespace lacestay::runtime
