#include "compiler/compare/asked_beside.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {

bool AskedBeside::lets(bool used, SampleItem::Label label) const {
  if (used && (condition_new || protection)) return false;
  if (label == SampleItem::Label::undated) return !in_date;
  return label == SampleItem::Label::in_date || !(in_date || protection);
}

bool AskedBeside::lets_age(SampleItem::Age age, std::int64_t years) const {
  using Age = SampleItem::Age;
  return !made_within || age == Age::not_asked || (age == Age::within && years <= *made_within);
}

bool AskedBeside::lets(const SampleItem& item) const {
  return lets(item.used, item.label) && (!item.price || lets_price(*item.price)) && lets_age(item.age, item.years) &&
         std::none_of(item.not_covered.begin(), item.not_covered.end(),
                      [&](const auto& name) { return std::binary_search(covers.begin(), covers.end(), name); });
}

std::vector<AskedBeside> asked_beside(const Policy& policy, std::uint32_t piece) {
  std::vector<AskedBeside> all;
  for (const auto& line : policy.shop.accepts[piece]) {
    auto& asked = all.emplace_back();
    asked.protection = policy.shop.protection[piece];
    for (const auto& need : line.requirements) {
      if (need.kind == Requirement::Kind::condition_new) asked.condition_new = true;
      if (need.kind == Requirement::Kind::in_date) asked.in_date = true;
      if (need.kind == Requirement::Kind::covers) asked.covers.push_back(policy.name_of(need.column));
      if (need.kind == Requirement::Kind::price)
        asked.least = std::max(asked.least, need.least), asked.most = std::min(asked.most, need.most);
      if (need.kind == Requirement::Kind::made)
        asked.made_within = std::min(asked.made_within.value_or(need.most), need.most);
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
    for (const auto& line : asked[side]) {
      if (line.least > 0) all.insert({line.least - 1, line.least});
      if (line.most < largest_sum) all.insert({line.most, line.most + 1});
    }
  all.erase(0);  // an item for nothing is none
  return {all.begin(), all.end()};
}

}  // namespace lacestay::compiler
