#include "runtime/kit/problem.hpp"

#include <algorithm>
#include <functional>
#include <numeric>

#include "compiler/values/rational.hpp"

namespace lacestay::runtime {
namespace {

using compiler::Int128;

Problem breach(std::string clause) { return {"", std::move(clause)}; }

bool is_sum(std::int64_t money) { return money >= 0 && money <= largest_sum; }

std::optional<Problem> fault_of_deal(const KitProblem& problem, const Deal& deal) {
  if (deal.reaches.size() != problem.pieces.size()) return breach("reaches some other number of pieces");
  std::size_t covered = 0;
  for (std::size_t p = 0; p < deal.reaches.size(); ++p) {
    if (deal.reaches[p].empty()) continue;
    ++covered;
    if (deal.reaches[p].size() != problem.pieces[p].size()) return breach("reaches some other number of candidates");
  }
  if (deal.at_least == 0) return breach("asks for no lines");
  if (const auto* part = std::get_if<PartOff>(&deal.effect)) {
    if (part->denominator < 1 || part->denominator > largest_part_denominator) return breach("has no such denominator");
    if (part->numerator < 0 || part->numerator > part->denominator)
      return breach("takes off less than nothing or over all");
    if (!deal.off.empty() && deal.off.size() != problem.pieces.size())
      return breach("is off some other number of pieces");
  } else if (const auto* off = std::get_if<SumOff>(&deal.effect)) {
    if (!is_sum(off->sum)) return breach("takes off a sum out of range");
    if (!deal.off.empty()) return breach("takes a sum off some of its lines");
  } else if (const auto* one = std::get_if<OnePrice>(&deal.effect)) {
    if (!is_sum(one->price)) return breach("has a price out of range");
    if (deal.at_least < covered || !deal.off.empty()) return breach("has one price for some of its pieces only");
  }
  return std::nullopt;
}

std::optional<Problem> fault_of_links(const KitProblem& problem) {
  std::vector<std::size_t> tree(problem.pieces.size());  // by piece: the first of the pieces linked to it, for now
  std::iota(tree.begin(), tree.end(), std::size_t{0});
  for (std::size_t l = 0; l < problem.links.size(); ++l) {
    const auto& link = problem.links[l];
    const auto which = "link " + std::to_string(l);
    if (link.first >= link.second || link.second >= tree.size()) return breach(which + " is between no two pieces");
    for (const auto piece : {link.first, link.second}) {
      if (link.names(piece).size() != problem.pieces[piece].size()) return breach(which + " is of other candidates");
      for (const auto& names : link.names(piece))
        if (std::adjacent_find(names.begin(), names.end(), std::greater_equal<>()) != names.end())
          return breach(which + " has names that do not rise");
    }
    const auto a = tree[link.first], b = tree[link.second];
    if (a == b) return breach(which + " closes a circle");
    std::replace(tree.begin(), tree.end(), b, a);
  }
  return std::nullopt;
}

// An upper bound on the absolute value of every sum in the search, in exact money.
Int128 reach_of(const KitProblem& problem) {
  std::int64_t unit = 1;
  Int128 deals = 1, sums = problem.limit.value_or(0);
  for (const auto& deal : problem.deals) {
    if (const auto* part = std::get_if<PartOff>(&deal.effect)) {
      unit = std::lcm(unit, part->denominator / std::gcd(part->numerator, part->denominator));
      if (unit > largest_sum) return Int128{1} << 100;
    } else if (const auto* off = std::get_if<SumOff>(&deal.effect)) {
      sums += Int128{off->sum} * static_cast<Int128>(deal.one_make ? problem.pieces.size() : 1);
    } else {
      sums += std::get<OnePrice>(deal.effect).price;
      ++deals;
    }
  }
  for (const auto& piece : problem.pieces) {
    std::int64_t price = 0, worth = 0;
    for (const auto& item : piece) {
      price = std::max(price, item.price);
      worth = std::max(worth, std::abs(item.worth));
    }
    sums += price * deals + worth;
  }
  return sums * unit;
}

}  // namespace

std::optional<Problem> fault_of(const KitProblem& problem) {
  if (problem.pieces.size() > KitProblem::most_pieces) return breach("too many pieces");
  if (problem.deals.size() > KitProblem::most_deals) return breach("too many deals");
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    const auto which = "piece " + std::to_string(p);
    if (problem.pieces[p].empty()) return breach(which + " has no candidates");
    for (const auto& item : problem.pieces[p]) {
      if (!is_sum(item.price)) return breach(which + " has a price out of range");
      if (item.worth < -largest_sum || item.worth > largest_sum) return breach(which + " has a worth out of range");
      if (item.make < -1) return breach(which + " has a make below -1");
    }
  }
  if (auto fault = fault_of_links(problem)) return fault;
  for (std::size_t d = 0; d < problem.deals.size(); ++d)
    if (const auto fault = fault_of_deal(problem, problem.deals[d]))
      return breach("deal " + std::to_string(d) + " " + fault->message);
  if (!problem.adds.empty()) {
    if (problem.adds.size() != problem.deals.size()) return breach("adds is of some other number of deals");
    for (std::size_t a = 0; a < problem.adds.size(); ++a) {
      if (problem.adds[a].size() != problem.deals.size()) return breach("adds is not square");
      for (std::size_t b = 0; b < a; ++b)
        if (problem.adds[a][b] != problem.adds[b][a]) return breach("adds is not symmetric");
    }
  }
  if (problem.limit && (*problem.limit < 0 || *problem.limit > largest_sum * 32)) return breach("limit out of range");
  if (reach_of(problem) >= Int128{1} << 52) return breach("the sums are too large for the parts' common denominator");
  return std::nullopt;
}

}  // namespace lacestay::runtime
