#include "tests/runtime/kit/every_kit.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace lacestay::kits {
namespace {

using runtime::KitProblem;

// Whether what the deal takes off is taken off this piece's line.
bool is_off(const runtime::Deal& deal, std::size_t piece) { return deal.off.empty() || deal.off.at(piece); }

struct Trial {
  std::int64_t exact;
  std::vector<PlainBill::Application> applications;
  std::vector<bool> holds;  // by deal
};

// The bill under exactly these deals, or nothing where one of them takes nothing off.
std::optional<Trial> try_deals(const KitProblem& problem, const std::vector<std::size_t>& choice,
                               const std::vector<bool>& holds) {
  const auto whole = denominator(problem);
  Trial trial{0, {}, holds};
  std::vector<std::int64_t> parts(choice.size(), 0);
  std::int64_t off = 0;
  for (std::size_t d = 0; d < holds.size(); ++d) {
    if (!holds[d]) continue;
    const auto& deal = problem.deals[d];
    std::vector<std::pair<int, std::vector<std::size_t>>> by_make;  // in the order of their first lines
    for (std::size_t p = 0; p < choice.size(); ++p) {
      if (deal.reaches[p].empty() || !deal.reaches[p].at(choice[p])) continue;
      const auto make = deal.one_make ? problem.pieces[p][choice[p]].make : -1;
      if (deal.one_make && make == -1) continue;
      auto has = std::find_if(by_make.begin(), by_make.end(), [&](const auto& each) { return each.first == make; });
      if (has == by_make.end()) has = by_make.insert(by_make.end(), {make, {}});
      has->second.push_back(p);
    }
    bool takes = false;
    for (const auto& [make, lines] : by_make) {
      if (lines.size() < deal.at_least) continue;
      std::int64_t sum = 0;
      for (const auto p : lines) sum += is_off(deal, p) ? problem.pieces[p][choice[p]].price : 0;
      if (const auto* part = std::get_if<runtime::PartOff>(&deal.effect)) {
        if (sum == 0 || part->numerator == 0) continue;
        for (const auto p : lines)
          if (is_off(deal, p)) parts[p] += part->numerator * (whole / part->denominator);
      } else {
        const auto* sum_off = std::get_if<runtime::SumOff>(&deal.effect);
        const auto here = sum_off ? sum_off->sum : sum - std::get<runtime::OnePrice>(deal.effect).price;
        if (here <= 0) continue;
        off += here * whole;
      }
      takes = true;
      trial.applications.push_back({d, make, lines});
    }
    if (!takes) return std::nullopt;
  }
  for (std::size_t p = 0; p < choice.size(); ++p) {
    const auto price = problem.pieces[p][choice[p]].price;
    auto here = price * std::min(parts[p], whole);
    if (problem.rounding == runtime::Rounding::per_line) here = (here + whole / 2) / whole * whole;
    trial.exact += price * whole - here;
  }
  trial.exact = std::max<std::int64_t>(0, trial.exact - off);
  return trial;
}

}  // namespace

std::int64_t denominator(const KitProblem& problem) {
  std::int64_t product = 2;
  for (const auto& deal : problem.deals)
    if (const auto* part = std::get_if<runtime::PartOff>(&deal.effect)) product *= part->denominator;
  return product;
}

PlainBill plain_bill(const KitProblem& problem, const std::vector<std::size_t>& choice) {
  const auto deals = problem.deals.size();
  std::optional<Trial> best;
  for (unsigned set = 0; set < 1u << deals; ++set) {
    std::vector<bool> holds(deals);
    bool admissible = true;
    for (std::size_t a = 0; a < deals; ++a) {
      holds[a] = (set >> a & 1) != 0;
      for (std::size_t b = 0; b < a; ++b) admissible = admissible && !(holds[a] && holds[b] && !problem.adds[a][b]);
    }
    if (!admissible) continue;
    auto trial = try_deals(problem, choice, holds);
    if (!trial) continue;
    // A vector that holds an earlier deal compares greater.
    if (!best || trial->exact < best->exact || (trial->exact == best->exact && trial->holds > best->holds))
      best = std::move(trial);
  }
  const auto whole = denominator(problem);
  PlainBill bill{best->exact, 0, best->applications};
  // What is paid is rounded to the nearest, a half down.
  bill.paid = best->exact / whole + (best->exact % whole > whole / 2 ? 1 : 0);
  return bill;
}

bool go_together(const KitProblem& problem, const std::vector<std::size_t>& choice) {
  bool all = true;
  for (const auto& link : problem.links) {
    const auto &one = link.first_names.at(choice[link.first]), &other = link.second_names.at(choice[link.second]);
    all = all && std::any_of(one.begin(), one.end(),
                             [&](auto name) { return std::count(other.begin(), other.end(), name) > 0; });
  }
  return all;
}

std::optional<PlainKit> best_of_every_kit(const KitProblem& problem,
                                          std::optional<std::pair<std::size_t, std::size_t>> without) {
  const auto whole = denominator(problem);
  std::optional<std::tuple<std::int64_t, std::int64_t, std::vector<std::size_t>>> best;
  std::vector<std::size_t> choice(problem.pieces.size(), 0);
  for (;;) {
    if ((!without || choice[without->first] != without->second) && go_together(problem, choice)) {
      const auto bill = plain_bill(problem, choice);
      std::int64_t worth = 0;
      for (std::size_t p = 0; p < choice.size(); ++p) worth += problem.pieces[p][choice[p]].worth * whole;
      const bool by_price = problem.objective == runtime::KitObjective::price;
      const std::tuple now(by_price ? bill.exact : bill.exact - worth, by_price ? -worth : bill.exact, choice);
      if ((!problem.limit || bill.paid <= *problem.limit) && (!best || now < *best)) best = now;
    }
    auto p = choice.size();
    while (p > 0 && ++choice[p - 1] == problem.pieces[p - 1].size()) choice[--p] = 0;
    if (p == 0) break;
  }
  if (!best) return std::nullopt;
  return PlainKit{std::get<2>(*best), std::get<0>(*best)};
}

}  // namespace lacestay::kits
