// The shelf and the till of a loaded policy: each line about properties of its own piece, deals that a kit can earn.
#include <algorithm>

#include "compiler/law/law.hpp"
#include "compiler/values/money.hpp"
#include "runtime/seal/holding.hpp"

namespace lacestay::runtime {

using compiler::Acceptance;
using compiler::Instead;
using compiler::Policy;
using compiler::Requirement;

namespace {

// Of a step of a grade: a property's most steps of this much still fit.
constexpr std::int64_t largest_worth = largest_ticks / 10'000;

bool is_of(const Policy& policy, std::uint32_t piece, std::uint32_t property) {
  return property < policy.properties.size() && policy.properties[property].piece == piece;
}

void hold_requirement(const Policy& policy, std::uint32_t piece, const Requirement& need, const std::string& of) {
  using Kind = Requirement::Kind;
  if (need.kind == Kind::covers)
    hold(need.column < policy.tables.columns.size() &&
             policy.scale_of(need.column).kind == compiler::Scale::Kind::amount,
         "{} covers what is not measured", of);
  hold(need.kind == Kind::within || !need.once_cut_to, "{} is cut, but held to no band", of);
  hold(need.goods == Requirement::Goods::all ||
           ((need.kind == Kind::price || need.kind == Kind::made) && !policy.shop.protection[piece]),
       "{} is asked of goods that are not told apart", of);
  if (need.kind == Kind::price)
    hold(0 <= need.least && need.least <= need.most && 0 < need.most && need.most <= largest_sum,
         "{} asks for a price that no item has", of);
  else if (need.kind == Kind::made)
    hold(need.least == 0 && 1 <= need.most && need.most <= compiler::most_years_made,
         "{} asks for an age that no item has", of);
  else
    hold(need.least == 0 && need.most == 0, "{} has bounds where there are none", of);
  const bool related = need.kind <= Kind::within;
  if (!related && need.kind != Kind::is) return;
  hold(is_of(policy, piece, need.property), "{} is about another piece's property", of);
  const auto& text = policy.properties[need.property];
  const auto& space = policy.tables.answers[need.property];
  if (need.kind == Kind::is) {
    hold(need.member < text.scale.members.size(), "{} names no member", of);
    return;
  }
  hold(space.band == (need.kind == Kind::within), "{} holds a band to one value, or a value to a band", of);
  hold(space.ordered || need.kind == Kind::as_advised, "{} holds a choice to an order", of);
  if (!need.once_cut_to) return;
  hold(is_of(policy, piece, *need.once_cut_to), "{} is cut to another piece's property", of);
  const auto& length = policy.properties[*need.once_cut_to];
  hold(text.scale.dimension == compiler::Dimension::flex && !length.scale.has_members() &&
           length.scale.dimension == compiler::Dimension::length && !policy.tables.answers[*need.once_cut_to].band,
       "{} is cut to what is no length", of);
}

// A line that is for some players has a table of its own.
void hold_players(const Policy& policy, const std::optional<compiler::TableId>& players, const std::string& of) {
  hold(!players || (*players < policy.tables.tables.size() &&
                    policy.tables.tables[*players].kind == compiler::Table::Kind::shop_line),
       "{}/players is no table of a line", of);
}

void hold_acceptance(const Policy& policy, std::uint32_t piece, const Acceptance& accepts, const std::string& of) {
  hold_players(policy, accepts.players, of);
  for (std::size_t i = 0; i < accepts.requirements.size(); ++i)
    hold_requirement(policy, piece, accepts.requirements[i], fmt::format("{}/requirements/{}", of, i));
  for (std::size_t i = 0; i < accepts.instead.size(); ++i) {
    const auto& line = accepts.instead[i];
    if (line.kind == Instead::Kind::refer || line.kind == Instead::Kind::order) continue;
    if (line.kind == Instead::Kind::any_condition) {
      hold(!policy.shop.protection[piece], "{}/instead/{} lets protection be used goods", of, i);
      continue;
    }
    hold(is_of(policy, piece, line.property), "{}/instead/{} is about another piece's property", of, i);
    hold(line.kind != Instead::Kind::step || policy.tables.answers[line.property].ordered,
         "{}/instead/{} steps along a choice", of, i);
    hold(line.kind != Instead::Kind::any || !policy.shop.protection[piece],
         "{}/instead/{} passes over the advice on protection", of, i);
  }
}

// Trees of few pieces: what the search for a kit relies on.
void hold_links(const Policy& policy) {
  const auto& links = policy.shop.links;
  std::vector<std::vector<std::uint32_t>> trees;
  for (std::uint32_t piece = 0; piece < policy.pieces.size(); ++piece) trees.push_back({piece});
  const auto tree_of = [&](std::uint32_t piece) {
    return std::find_if(trees.begin(), trees.end(),
                        [&](const auto& tree) { return std::find(tree.begin(), tree.end(), piece) != tree.end(); });
  };
  hold(links.size() <= policy.pieces.size(), "shop/links are more than trees have");
  for (std::size_t i = 0; i < links.size(); ++i) {
    hold(links[i].piece < policy.pieces.size() && links[i].partner < policy.pieces.size(),
         "shop/links/{} is of no two pieces", i);
    const auto one = tree_of(links[i].piece), other = tree_of(links[i].partner);
    hold(one != other, "shop/links/{} closes a circle", i);
    hold(one->size() + other->size() <= compiler::most_linked, "shop/links/{} joins too many pieces", i);
    one->insert(one->end(), other->begin(), other->end());
    trees.erase(other);
  }
}

void hold_deal(const Policy& policy, std::size_t index) {
  const auto& deals = policy.shop.deals;
  const auto& deal = deals[index];
  const auto of = fmt::format("shop/deals/{}", index);
  const auto rises = [](const std::vector<std::uint32_t>& list, std::size_t end) {
    return std::adjacent_find(list.begin(), list.end(), std::greater_equal<>()) == list.end() &&
           (list.empty() || list.back() < end);
  };
  hold_players(policy, deal.players, of);
  hold(!deal.pieces.empty() && rises(deal.pieces, policy.pieces.size()), "{} is for pieces that there are not", of);
  hold(deal.at_least >= 1 && deal.at_least <= deal.pieces.size(), "{} is for more pieces than it names", of);
  hold(deal.gives != compiler::Deal::Gives::price_together || deal.at_least == deal.pieces.size(),
       "{} is one price for some of its pieces", of);
  hold(std::includes(deal.pieces.begin(), deal.pieces.end(), deal.off_pieces.begin(), deal.off_pieces.end()) &&
           rises(deal.off_pieces, policy.pieces.size()) &&
           (deal.off_pieces.empty() || deal.gives == compiler::Deal::Gives::percent_off),
       "{} is off what it is not for", of);
  std::vector<std::uint32_t> tagged;
  for (const auto& tag : deal.tags) {
    tagged.push_back(tag.piece);
    hold(tag.least >= 0 && tag.least <= tag.most && tag.most <= largest_sum, "{} is for no price", of);
  }
  hold(std::includes(deal.pieces.begin(), deal.pieces.end(), tagged.begin(), tagged.end()) &&
           rises(tagged, policy.pieces.size()),
       "{} is for prices of what it is not for", of);
  hold(0 <= deal.numerator && deal.numerator <= deal.denominator && deal.denominator > 0 &&
           deal.denominator <= largest_part_denominator,
       "{} takes off what is no part", of);
  hold(deal.amount >= 0 && within_ticks(deal.amount), "{} gives a sum out of range", of);
  hold(rises(deal.adds_to, deals.size()), "{} adds to deals that there are not", of);
  for (const auto other : deal.adds_to)
    hold(other != index && std::binary_search(deals[other].adds_to.begin(), deals[other].adds_to.end(), index),
         "{} adds to a deal that does not add to it", of);
}

// A step of an ordered property; or, but for protection, any of its answers, or used goods.
bool is_settled(const Policy& policy, const compiler::PlanStep& step) {
  if (step.any_condition)
    return step.steps == 0 && !policy.shop.protection[step.piece] && !policy.shop.accepts[step.piece].empty();
  if (!is_of(policy, step.piece, step.property) || policy.shop.accepts[step.piece].empty()) return false;
  return step.steps == 0 ? !policy.shop.protection[step.piece] : policy.tables.answers[step.property].ordered;
}

// What a safety rule speaks of is protection, which is only sold new and never put off.
void hold_protection(const Policy& policy) {
  for (const auto& table : policy.tables.tables)
    for (const auto& row : table.rows) {
      if (!row.safety || !compiler::makes_protection(policy.tables, row.effect)) continue;
      const bool of_property = table.kind == compiler::Table::Kind::property;
      const auto piece = of_property ? policy.properties[table.target].piece : table.target;
      hold(policy.shop.protection[piece], "shop/protection/{} is not said of what a safety rule speaks of", piece);
    }
}

}  // namespace

void hold_shop(const Policy& policy) {
  const auto& shop = policy.shop;
  hold(shop.accepts.size() == policy.pieces.size(), "shop/accepts is not as long as the pieces");
  hold(shop.protection.size() == policy.pieces.size(), "shop/protection is not as long as the pieces");
  hold_protection(policy);
  for (std::uint32_t piece = 0; piece < shop.accepts.size(); ++piece) {
    std::size_t for_everybody = 0;
    for (std::size_t i = 0; i < shop.accepts[piece].size(); ++i) {
      hold_acceptance(policy, piece, shop.accepts[piece][i], fmt::format("shop/accepts/{}/{}", piece, i));
      for_everybody += shop.accepts[piece][i].players ? 0 : 1;
    }
    hold(for_everybody <= 1, "shop/accepts/{} has two lines that are for everybody", piece);
    hold(shop.accepts[piece].size() <= compiler::most_shop_lines + 1, "shop/accepts/{} has too many lines", piece);
  }
  hold(shop.worth.size() <= policy.properties.size() + compiler::most_shop_lines, "shop/worth has too many lines");
  std::vector<bool> worth_to_everybody(policy.properties.size());
  for (std::size_t i = 0; i < shop.worth.size(); ++i) {
    const auto& worth = shop.worth[i];
    hold(worth.property < policy.properties.size() && policy.tables.answers[worth.property].ordered &&
             !policy.tables.answers[worth.property].band,
         "shop/worth/{} is about nothing that has steps", i);
    hold(-largest_worth <= worth.amount && worth.amount <= largest_worth, "shop/worth/{} is out of range", i);
    hold_players(policy, worth.players, fmt::format("shop/worth/{}", i));
    if (worth.players) continue;
    hold(!worth_to_everybody[worth.property], "shop/worth/{} is said twice", i);
    worth_to_everybody[worth.property] = true;
  }
  hold_links(policy);
  for (std::size_t i = 0; i < shop.deals.size(); ++i) hold_deal(policy, i);
  for (std::size_t i = 0; i < shop.plan.size(); ++i) {
    const auto& step = shop.plan[i];
    hold(step.piece < policy.pieces.size() && step.cost >= 0 && within_ticks(step.cost),
         "shop/plan/{} is about no piece, or costs what can't be", i);
    const bool settles = step.kind == compiler::PlanStep::Kind::settle;
    hold(settles || !shop.protection[step.piece], "shop/plan/{} puts off protection", i);
    hold(settles ? is_settled(policy, step) : !step.any_condition, "shop/plan/{} settles for what can't be", i);
    hold_players(policy, step.players, fmt::format("shop/plan/{}", i));
  }
}

}  // namespace lacestay::runtime
