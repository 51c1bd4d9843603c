#include "runtime/kit/links.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <unordered_map>

#include "runtime/kit/least_choice.hpp"

namespace lacestay::runtime {

namespace {

bool share_one(const std::vector<std::uint32_t>& a, const std::vector<std::uint32_t>& b) {
  for (auto i = a.begin(), k = b.begin(); i != a.end() && k != b.end();) {
    if (*i == *k) return true;
    *i < *k ? ++i : ++k;
  }
  return false;
}

// The names that candidates of both pieces have.
std::vector<std::uint32_t> on_both_sides(const KitLink& link) {
  const auto all = [](const std::vector<std::vector<std::uint32_t>>& names) {
    std::vector<std::uint32_t> out;
    for (const auto& own : names) out.insert(out.end(), own.begin(), own.end());
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
  };
  const auto first = all(link.first_names), second = all(link.second_names);
  std::vector<std::uint32_t> both;
  std::set_intersection(first.begin(), first.end(), second.begin(), second.end(), std::back_inserter(both));
  return both;
}

}  // namespace

KitLinks::KitLinks(const KitProblem& problem) : problem_(problem), pieces_(problem.pieces.size()) {
  constexpr std::uint32_t next_link = 0xFFFF'FFFF;
  std::vector<std::vector<std::uint32_t>> shared;  // by link
  for (const auto& link : problem.links) shared.push_back(on_both_sides(link));
  std::vector<std::vector<std::size_t>> one_of(pieces_.size());  // by piece and class: a candidate
  for (std::size_t p = 0; p < pieces_.size(); ++p) {
    std::map<std::vector<std::uint32_t>, std::uint32_t> known;  // by the names that matter, link by link
    for (std::size_t c = 0; c < problem.pieces[p].size(); ++c) {
      std::vector<std::uint32_t> names;
      for (std::size_t l = 0; l < problem.links.size(); ++l) {
        const auto& link = problem.links[l];
        if (link.first != p && link.second != p) continue;
        const auto& own = link.names(p)[c];
        std::set_intersection(own.begin(), own.end(), shared[l].begin(), shared[l].end(), std::back_inserter(names));
        names.push_back(next_link);
      }
      const auto [found, fresh] = known.try_emplace(std::move(names), static_cast<std::uint32_t>(known.size()));
      if (fresh) one_of[p].push_back(c);
      pieces_[p].class_of.push_back(found->second);
    }
    pieces_[p].leaves.resize(known.size());
  }
  for (const auto& link : problem.links) {
    std::unordered_map<std::uint32_t, LinkClasses> by_name;
    for (std::uint32_t each = 0; each < one_of[link.second].size(); ++each)
      for (const auto name : link.second_names[one_of[link.second][each]]) by_name[name].push_back(each);
    auto& before = pieces_[link.first];
    for (std::size_t each = 0; each < before.leaves.size(); ++each) {
      LinkClasses left;
      for (const auto name : link.first_names[one_of[link.first][each]])
        if (const auto found = by_name.find(name); found != by_name.end())
          left.insert(left.end(), found->second.begin(), found->second.end());
      std::sort(left.begin(), left.end());
      left.erase(std::unique(left.begin(), left.end()), left.end());
      before.leaves[each].push_back({link.second, std::move(left)});
    }
    // What each class leaves, or nothing yet said.
    auto& most = pieces_[link.second].most_allowances;
    most = std::min(most_kept, std::max<std::size_t>(most, 1) * (before.leaves.size() + 1));
  }
}

bool KitLinks::fit(std::span<const std::size_t> choice) const {
  return std::all_of(problem_.links.begin(), problem_.links.end(), [&](const KitLink& link) {
    return share_one(link.first_names[choice[link.first]], link.second_names[choice[link.second]]);
  });
}

std::uint32_t KitAllowances::narrowed(std::uint32_t allowance, const LinkClasses& left) {
  LinkClasses set;
  if (allowance == 0)
    set = left;
  else
    std::set_intersection(sets_[allowance].begin(), sets_[allowance].end(), left.begin(), left.end(),
                          std::back_inserter(set));
  if (set.empty()) return empty;
  const auto [found, fresh] = known_.try_emplace(std::move(set), static_cast<std::uint32_t>(sets_.size()));
  if (fresh) sets_.push_back(found->first);
  return found->second;
}

bool KitAllowances::holds(std::uint32_t allowance, std::uint32_t each) const {
  return allowance == 0 || std::binary_search(sets_[allowance].begin(), sets_[allowance].end(), each);
}

std::optional<std::vector<std::size_t>> plainest_kit(const KitProblem& problem) {
  std::vector<std::vector<std::int64_t>> prices;
  for (const auto& piece : problem.pieces) {
    prices.emplace_back();
    for (const auto& item : piece) prices.back().push_back(item.price);
  }
  return LeastChoice(problem.links, prices, std::plus<>()).run();
}

}  // namespace lacestay::runtime
