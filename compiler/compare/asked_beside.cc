#include "compiler/compare/asked_beside.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {

bool AskedBeside::lets(bool used, SampleItem::Label label) const {
  if (used && (condition_new || protection)) return false;
  if (label == SampleItem::Label::undated) return !in_date;
  return label == SampleItem::Label::in_date || !(in_date || protection);
}

bool AskedBeside::lets_age(bool used, SampleItem::Age age, std::int64_t years) const {
  using Age = SampleItem::Age;
  const auto& within = of(used).made_within;
  return !within || age == Age::not_asked || (age == Age::within && years <= *within);
}

bool AskedBeside::lets(const SampleItem& item) const {
  return lets(item.used, item.label) && (!item.price || lets_price(item.used, *item.price)) &&
         lets_age(item.used, item.age, item.years) &&
         std::none_of(item.not_covered.begin(), item.not_covered.end(),
                      [&](const auto& name) { return std::binary_search(covers.begin(), covers.end(), name); });
}

std::vector<AskedBeside> asked_beside(const Policy& policy, std::uint32_t piece, const std::vector<Stage>& stages) {
  std::vector<AskedBeside> all;
  for (const auto& stage : stages) {
    auto& asked = all.emplace_back();
    asked.protection = policy.shop.protection[piece];
    for (const auto& need : policy.shop.accepts[piece][stage.line].requirements) {
      if (need.kind == Requirement::Kind::condition_new) asked.condition_new = !stage.any_condition;
      if (need.kind == Requirement::Kind::in_date) asked.in_date = true;
      if (need.kind == Requirement::Kind::covers) asked.covers.push_back(policy.name_of(need.column));
      for (const bool used : {false, true}) {
        if (!need.is_of(used)) continue;
        auto& goods = used ? asked.if_used : asked.if_new;
        if (need.kind == Requirement::Kind::price)
          goods.least = std::max(goods.least, need.least), goods.most = std::min(goods.most, need.most);
        if (need.kind == Requirement::Kind::made)
          goods.made_within = std::min(goods.made_within.value_or(need.most), need.most);
      }
    }
    auto& covers = asked.covers;
    std::sort(covers.begin(), covers.end());
    covers.erase(std::unique(covers.begin(), covers.end()), covers.end());
  }
  return all;
}

std::vector<std::int64_t> prices_asked(const OfSides<std::vector<AskedBeside>>& asked) {
  std::set<std::int64_t> all;
  for (const auto side : both_sides)
    for (const auto& stage : asked[side])
      for (const auto& goods : {stage.if_new, stage.if_used}) {
        if (goods.least > 0) all.insert({goods.least - 1, goods.least});
        if (goods.most < largest_sum) all.insert({goods.most, goods.most + 1});
      }
  all.erase(0);  // an item for nothing is none
  return {all.begin(), all.end()};
}

}  // namespace lacestay::compiler
