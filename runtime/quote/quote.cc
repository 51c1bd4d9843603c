#include "runtime/quote/quote.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <deque>

#include "grammar/tree/units.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/engine/possible.hpp"
#include "runtime/kit/links.hpp"
#include "runtime/quote/partners.hpp"
#include "runtime/quote/posed.hpp"
#include "runtime/quote/quote_lines.hpp"

namespace lacestay::runtime {

using compiler::PlanStep;

namespace {

class Quoting {
 public:
  Quoting(const Engine& engine, const Player& player, const Stock& stock, std::int64_t today,
          std::optional<std::int64_t> limit, std::uint64_t budget)
      : engine_(engine),
        policy_(engine.policy()),
        stock_(stock),
        budget_(budget),
        possible_(possible_answers(engine, player)),
        matches_(match(engine, player, possible_, stock, today)),
        posing_(engine, player, stock),
        lines_(engine, stock, possible_, quote_.advice) {
    quote_.advice = advise(engine, player, possible_, today);
    quote_.policy = policy_.title;
    quote_.edition = policy_.edition;
    quote_.currency = policy_.currency;
    quote_.money_digits = grammar::currency_digits(policy_.currency).value_or(2);
    quote_.limit = limit;
    quote_.day = quote_.advice.day;
    for (const auto& caution : quote_.advice.cautions) quote_.cautions.push_back(text_of(caution));
  }

  Quote run() {
    std::vector<const Match*> needed;
    for (const auto& each : matches_) {
      for (const auto item : each.items) quote_.chosen_from.push_back(item);
      for (const auto& near : each.near) quote_.chosen_from.push_back(near.item);
      if (each.suggested) continue;
      if (each.kind == Match::Kind::items) {
        needed.push_back(&each);
      } else {
        leave_open(each);
      }
    }
    if (!needed.empty()) choose(needed);
    for (const auto& each : matches_)
      if (each.suggested && each.kind == Match::Kind::items) suggest(each);
    if (quote_.over_limit) go_over(needed);
    auto& from = quote_.chosen_from;
    std::sort(from.begin(), from.end());
    from.erase(std::unique(from.begin(), from.end()), from.end());
    return std::move(quote_);
  }

 private:
  void choose(const std::vector<const Match*>& needed) {
    auto problem = posing_.problem_of(needed, deals_);
    // No kit costs more than this, and the builder takes no limit that is larger.
    constexpr auto dearest = largest_sum * static_cast<std::int64_t>(KitProblem::most_pieces);
    if (quote_.limit) problem.limit = std::min(*quote_.limit, dearest);
    if (const auto fault = fault_of(problem)) {
      for (const auto* each : needed) leave_open(*each, fault->message);
      return;
    }
    fill(needed, problem, best_of(problem));
  }

  const compiler::PieceText& text(std::uint32_t piece) const { return policy_.pieces[piece]; }

  // The best kit, or the cheapest where none is within the limit; the problem is then that of the cheapest.
  KitResult best_of(KitProblem& problem) {
    auto best = build_kit(problem, budget_);
    if (best.has_kit()) return best;
    auto cheapest = problem;
    cheapest.limit.reset();
    auto found = cheapest_of(cheapest);
    quote_.shortfall = found.bill.total - quote_.limit.value_or(0);
    quote_.over_limit = quote_.shortfall > 0;
    if (quote_.over_limit) {
      problem = std::move(cheapest);
      return found;
    }
    // The search had ended before it came to a kit within the limit; this is one.
    quote_.shortfall = 0;
    found.status = KitStatus::best_so_far;
    found.value -= found.worth * found.scale;
    found.bound = std::min(best.bound, found.value);
    return found;
  }

  KitResult cheapest_of(KitProblem& problem) const {
    problem.objective = KitObjective::price;
    auto found = build_kit(problem, budget_);
    return found.has_kit() ? found : plain_kit(problem, std::move(found));
  }

  // The cheapest items that go together, where the search ended before it came to any kit.
  static KitResult plain_kit(const KitProblem& problem, KitResult ended) {
    // Each item of a match goes with some choice of the others, so there is one.
    ended.choice = plainest_kit(problem).value();
    for (std::size_t p = 0; p < ended.choice.size(); ++p) ended.worth += problem.pieces[p][ended.choice[p]].worth;
    ended.bill = bill_of(problem, ended.choice);
    ended.status = KitStatus::best_so_far;
    ended.value = ended.bill.total * ended.scale;
    ended.bound = std::min(ended.bound, ended.value);
    return ended;
  }

  // ---- what goes on the page

  // The items of the bill that a line's item goes with.
  void add_partners(const Match& each, QuoteLine& made) const {
    for (const auto& link : policy_.shop.links)
      if (link.piece == each.piece)
        if (const auto* partner = bought(link.partner))
          made.goes_with.push_back({partner->piece, partner->label, partner->item.number});
  }

  // The line of a piece that is on the bill.
  [[nodiscard]] const QuoteLine* bought(std::uint32_t piece) const {
    const auto found = std::find_if(quote_.lines.begin(), quote_.lines.end(),
                                    [&](const auto& line) { return line.piece == text(piece).name; });
    return found == quote_.lines.end() ? nullptr : &*found;
  }

  // It goes with what is on the bill.
  void suggest(Match each) {
    for (const auto& link : policy_.shop.links) {
      if (link.piece != each.piece) continue;
      const auto* partner = bought(link.partner);
      each.items = partner ? those_that_go(stock_, each.items, {partner->item.item}) : std::vector<std::size_t>();
    }
    if (each.items.empty()) return;
    std::vector<std::size_t> deals;
    const auto best = build_kit(posing_.problem_of({&each}, deals), budget_);
    if (!best.has_kit()) return;
    quote_.worth_adding.push_back(lines_.line(each, each.items[best.choice.front()]));
    add_partners(each, quote_.worth_adding.back());
  }

  void leave_open(const Match& each, std::string no_kit = "") {
    std::vector<std::string> partners;
    for (const auto partner : each.partners) partners.push_back(within_sentence(text(partner).label));
    quote_.not_quoted.push_back({text(each.piece).name, text(each.piece).label, each.kind, each.instead.has_value(),
                                 each.not_known, std::move(no_kit), std::move(partners), each.partner_owned,
                                 lines_.near(each), lines_.sum_to_plan(each.piece)});
  }

  void fill(const std::vector<const Match*>& pieces, const KitProblem& problem, const KitResult& best) {
    quote_.status = best.status;
    quote_.value = best.value;
    quote_.bound = best.bound;
    quote_.scale = best.scale;
    quote_.may_be_better_by = (best.value - best.bound + best.scale - 1) / best.scale;
    quote_.list = best.bill.list;
    quote_.total = best.bill.total;
    quote_.saved = best.bill.saved;
    quote_.worth = best.worth;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      auto made = lines_.line(*pieces[i], pieces[i]->items[best.choice[i]]);
      made.off = best.bill.lines[i].off;
      if (made.plan) quote_.plan.low += made.plan->low, quote_.plan.high += made.plan->high;
      if (const auto other = runner_up(problem, best, i, budget_))
        made.runner_up = {lines_.item_of(*pieces[i], pieces[i]->items[other->choice[i]]),
                          other->bill.total - best.bill.total};
      quote_.lines.push_back(std::move(made));
    }
    for (std::size_t i = 0; i < pieces.size(); ++i) add_partners(*pieces[i], quote_.lines[i]);
    for (const auto& applied : best.bill.applications) {
      const auto& deal = policy_.shop.deals[deals_[applied.deal]];
      const bool on_each_line = deal.gives == compiler::Deal::Gives::percent_off;
      DealGiven given{deal.label, deal.because, on_each_line, "", {}, {}, applied.off};
      for (const auto at : applied.lines) {
        if (!problem.deals[applied.deal].reduces(at)) {
          given.with.push_back(quote_.lines[at].label);
          continue;
        }
        given.pieces.push_back(quote_.lines[at].label);
        quote_.lines[at].deals.push_back(quote_.deals.size());
      }
      if (applied.make >= 0 && !applied.lines.empty()) given.make = quote_.lines[applied.lines.front()].item.make;
      quote_.deals.push_back(std::move(given));
    }
  }

  // ---- over the limit

  // The pieces on the bill, and the items that the cheapest kit of them has.
  struct Bill {
    std::vector<const Match*> pieces;
    std::vector<std::size_t> items;
    std::int64_t total = 0;
  };

  void go_over(std::vector<const Match*> pieces) {
    Bill bill{std::move(pieces), {}, quote_.total};
    for (const auto& line : quote_.lines) bill.items.push_back(line.item.item);
    std::int64_t costs = 0;
    for (std::size_t i = 0; i < policy_.shop.plan.size(); ++i) {
      const auto& step = policy_.shop.plan[i];
      const auto at = static_cast<std::size_t>(
          std::find_if(bill.pieces.begin(), bill.pieces.end(), [&](auto* each) { return each->piece == step.piece; }) -
          bill.pieces.begin());
      if (at == bill.pieces.size() || !posing_.is_for_him(step.players)) continue;
      PlanLine made{step.kind, text(step.piece).name, text(step.piece).label, "", step.cost, costs, {}, {}};
      if (step.kind == PlanStep::Kind::settle) {
        auto other = settled(bill, at, i);
        if (!other) continue;
        bill = std::move(*other);
        made.settled_for = settled_for(step);
      } else {
        if (step.cost >= stock_.items[bill.items[at]].price) continue;
        costs += step.cost;
        bill.pieces.erase(bill.pieces.begin() + static_cast<std::ptrdiff_t>(at));
        made.left_to_fitter = leave_to_fitter(step.piece, bill.pieces);
        bill = cheapest_bill(std::move(bill.pieces)).value();
      }
      made.total = costs + bill.total;
      made.other_items = other_items(bill);
      quote_.total_after_plan = made.total;
      quote_.over.push_back(std::move(made));
      if (quote_.total_after_plan <= *quote_.limit) break;
    }
  }

  // Nothing where no items of the pieces all go together.
  std::optional<Bill> cheapest_bill(std::vector<const Match*> pieces) {
    Bill bill{std::move(pieces), {}, 0};
    if (bill.pieces.empty()) return bill;
    auto problem = posing_.problem_of(bill.pieces, deals_);
    if (!plainest_kit(problem)) return std::nullopt;
    const auto kit = cheapest_of(problem);
    bill.total = kit.bill.total;
    for (std::size_t p = 0; p < bill.pieces.size(); ++p) bill.items.push_back(bill.pieces[p]->items[kit.choice[p]]);
    return bill;
  }

  // The bill with what may be settled for; nothing where that is not to be had, or no cheaper.
  std::optional<Bill> settled(const Bill& bill, std::size_t at, std::size_t step) {
    const auto& all = bill.pieces[at]->settled;
    const auto found = std::find_if(all.begin(), all.end(), [&](const auto& each) { return each.step == step; });
    if (found == all.end()) return std::nullopt;
    auto& match = settled_.emplace_back(*bill.pieces[at]);
    match.items = found->items;
    match.held = found->held;
    quote_.chosen_from.insert(quote_.chosen_from.end(), match.items.begin(), match.items.end());
    auto pieces = bill.pieces;
    pieces[at] = &match;
    auto made = cheapest_bill(std::move(pieces));
    return made && made->total < bill.total ? made : std::nullopt;
  }

  std::string settled_for(const PlanStep& step) const {
    if (step.any_condition) return "used";
    const auto label = lines_.label_of(step.property);
    if (step.steps == 0) return "any " + label;
    constexpr std::array counts = {"one step", "two steps", "three steps"};
    const auto count = counts[static_cast<std::size_t>(std::abs(step.steps)) - 1];
    return fmt::format("{} {} in {}", count, step.steps > 0 ? "up" : "down", label);
  }

  // What goes with a piece that is not bought goes off the bill too, and what goes with that; told by their labels.
  std::vector<std::string> leave_to_fitter(std::uint32_t off, std::vector<const Match*>& pieces) const {
    std::vector<std::string> left;
    for (const auto& link : policy_.shop.links) {
      const auto other = link.without(off);
      const auto at = std::find_if(pieces.begin(), pieces.end(), [&](auto* each) { return each->piece == other; });
      if (at == pieces.end()) continue;
      pieces.erase(at);
      left.push_back(text(*other).label);
      for (auto& more : leave_to_fitter(*other, pieces)) left.push_back(std::move(more));
    }
    return left;
  }

  // Those of the bill that are not the items of the lines.
  std::vector<PlanLine::OtherItem> other_items(const Bill& bill) const {
    std::vector<PlanLine::OtherItem> others;
    for (std::size_t i = 0; i < bill.pieces.size(); ++i) {
      const auto piece = bill.pieces[i]->piece;
      if (bought(piece)->item.item != bill.items[i])
        others.push_back({text(piece).name, text(piece).label, lines_.item_of(*bill.pieces[i], bill.items[i])});
    }
    return others;
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const Stock& stock_;
  std::uint64_t budget_;
  std::vector<Possible> possible_;
  std::vector<Match> matches_;
  Posing posing_;
  Quote quote_;
  QuoteLines lines_;                // reads the quote's advice
  std::vector<std::size_t> deals_;  // of the problem made last: its deals, among the policy's
  std::deque<Match> settled_;       // with the items that were settled for
};

}  // namespace

Quote quote(const Engine& engine, const Player& player, const Stock& stock, std::int64_t today,
            std::optional<std::int64_t> limit, std::uint64_t budget) {
  return Quoting(engine, player, stock, today, limit, budget).run();
}

}  // namespace lacestay::runtime
