#include "tests/runtime/kit/solver_model.hpp"

#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <numeric>
#include <sstream>

#include "tests/support/folder.hpp"
#include "tests/support/process.hpp"

namespace lacestay::kits {
namespace {

using runtime::KitProblem;

struct Application {
  std::size_t deal;
  int make;
};

std::int64_t common_denominator(const KitProblem& problem) {
  std::int64_t common = 1;
  for (const auto& deal : problem.deals)
    if (const auto* part = std::get_if<runtime::PartOff>(&deal.effect)) common = std::lcm(common, part->denominator);
  return common;
}

bool reached(const KitProblem& problem, const Application& by, std::size_t piece, std::size_t candidate) {
  const auto& deal = problem.deals[by.deal];
  if (deal.reaches[piece].empty() || !deal.reaches[piece][candidate]) return false;
  return !deal.one_make || problem.pieces[piece][candidate].make == by.make;
}

std::string sum_of(const std::vector<std::pair<std::int64_t, std::string>>& terms) {
  std::string text;
  for (const auto& [factor, name] : terms)
    text += fmt::format("{} {} {}\n", factor < 0 ? '-' : '+', std::abs(factor), name);
  return text;
}

const tests::Folder& folder() {
  static const tests::Folder made;
  return made;
}

double processor_seconds_of_children() {
  rusage used{};
  getrusage(RUSAGE_CHILDREN, &used);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
  };
  return seconds(used.ru_utime) + seconds(used.ru_stime);
}

// Stopped after so much processor time, so that a busy machine makes no solver give up; and, should it sleep, by the
// clock.
struct Timed {
  double seconds;
  std::string said;
};
Timed run(const std::string& command, int seconds) {
  const auto before = processor_seconds_of_children();
  auto ran = tests::run_shell(fmt::format("ulimit -t {}; timeout {} {} 2>&1", seconds, seconds * 10, command));
  return {processor_seconds_of_children() - before, std::move(ran.out)};
}

}  // namespace

SolverModel::SolverModel(const KitProblem& problem) {
  const auto common = common_denominator(problem);
  const bool per_bill = problem.rounding == runtime::Rounding::per_bill;
  const auto scale = per_bill ? common : 1;
  std::vector<Application> applications;
  for (std::size_t d = 0; d < problem.deals.size(); ++d) {
    std::vector<int> makes;
    if (!problem.deals[d].one_make) makes = {-1};
    for (const auto& piece : problem.pieces)
      for (const auto& item : piece)
        if (problem.deals[d].one_make && item.make >= 0 &&
            std::find(makes.begin(), makes.end(), item.make) == makes.end())
          makes.push_back(item.make);
    for (const auto make : makes) applications.push_back({d, make});
  }
  const auto may_add = [&](std::size_t a, std::size_t b) { return a == b || problem.adds[a][b]; };

  using Terms = std::vector<std::pair<std::int64_t, std::string>>;
  Terms value, price;                                          // of the kit
  std::map<std::size_t, Terms> one_of;                         // by piece
  std::map<std::pair<std::size_t, std::size_t>, Terms> is;     // by piece and candidate
  std::vector<Terms> lines(applications.size());               // that an application reaches
  std::map<std::pair<std::size_t, std::size_t>, Terms> under;  // by application and piece
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    for (std::size_t c = 0; c < problem.pieces[p].size(); ++c) {
      const auto& item = problem.pieces[p][c];
      std::vector<std::size_t> here;  // applications that take something off its line, rather than off the bill
      for (std::size_t a = 0; a < applications.size(); ++a)
        if (reached(problem, applications[a], p, c) &&
            !std::holds_alternative<runtime::SumOff>(problem.deals[applications[a].deal].effect) &&
            (problem.deals[applications[a].deal].off.empty() || problem.deals[applications[a].deal].off[p]))
          here.push_back(a);
      for (unsigned set = 0; set < 1u << here.size(); ++set) {
        std::int64_t parts = 0, off = 0;
        bool admissible = true;
        for (std::size_t i = 0; i < here.size(); ++i) {
          if ((set >> i & 1) == 0) continue;
          for (std::size_t k = 0; k < i; ++k)
            if ((set >> k & 1) != 0 && !may_add(applications[here[i]].deal, applications[here[k]].deal))
              admissible = false;
          const auto& effect = problem.deals[applications[here[i]].deal].effect;
          if (const auto* part = std::get_if<runtime::PartOff>(&effect))
            parts += part->numerator * (common / part->denominator);
          else
            off += item.price * scale;
        }
        if (!admissible) continue;
        parts = std::min(parts, common);
        off += per_bill ? item.price * parts
                        : static_cast<std::int64_t>(std::floor(static_cast<double>(2 * item.price * parts + common) /
                                                               static_cast<double>(2 * common)));
        const auto name = fmt::format("x{}", columns_.size());
        columns_.push_back({p, c});
        value.emplace_back(-item.worth * scale, name);
        price.emplace_back(item.price * scale - off, name);
        one_of[p].emplace_back(1, name);
        is[{p, c}].emplace_back(1, name);
        for (std::size_t a = 0; a < applications.size(); ++a)
          if (reached(problem, applications[a], p, c)) lines[a].emplace_back(1, name);
        for (std::size_t i = 0; i < here.size(); ++i)
          if ((set >> i & 1) != 0) under[{here[i], p}].emplace_back(1, name);
      }
    }
  }
  value.emplace_back(1, "total");
  std::string rows;
  for (auto& [piece, terms] : one_of) rows += sum_of(terms) + "= 1\n";
  // An item is taken only with one that it goes with.
  for (const auto& link : problem.links)
    for (std::size_t c = 0; c < link.first_names.size(); ++c) {
      auto terms = is[{link.first, c}];
      for (std::size_t other = 0; other < link.second_names.size(); ++other) {
        const auto &one = link.first_names[c], &its = link.second_names[other];
        if (std::none_of(one.begin(), one.end(),
                         [&](auto name) { return std::find(its.begin(), its.end(), name) != its.end(); }))
          continue;
        for (const auto& [weight, name] : is[{link.second, other}]) terms.emplace_back(-weight, name);
      }
      rows += sum_of(terms) + "<= 0\n";
    }
  std::string names;
  for (std::size_t x = 0; x < columns_.size(); ++x) names += fmt::format("x{}\n", x);
  for (std::size_t a = 0; a < applications.size(); ++a) {
    const auto& deal = problem.deals[applications[a].deal];
    const auto stands = fmt::format("y{}", a);
    names += stands + "\n";
    if (const auto* off = std::get_if<runtime::SumOff>(&deal.effect)) price.emplace_back(-off->sum * scale, stands);
    if (const auto* one = std::get_if<runtime::OnePrice>(&deal.effect)) price.emplace_back(one->price * scale, stands);
    lines[a].emplace_back(-static_cast<std::int64_t>(deal.at_least), stands);
    rows += sum_of(lines[a]) + ">= 0\n";
    rows += fmt::format("{} - d{} <= 0\n", stands, applications[a].deal);
  }
  for (auto& [where, terms] : under) {
    terms.emplace_back(-1, fmt::format("y{}", where.first));
    rows += sum_of(terms) + "<= 0\n";
  }
  for (std::size_t a = 0; a < problem.deals.size(); ++a) {
    names += fmt::format("d{}\n", a);
    for (std::size_t b = 0; b < a; ++b)
      if (!may_add(a, b)) rows += fmt::format("d{} + d{} <= 1\n", a, b);
  }
  price.emplace_back(-1, "total");
  rows += sum_of(price) + "<= 0\n";
  if (problem.limit) rows += fmt::format("total <= {}\n", *problem.limit * scale + scale / 2);
  text_ =
      "Minimize\n value:\n" + sum_of(value) + "Subject To\n" + rows + "Bounds\n total >= 0\nBinary\n" + names + "End\n";
}

SolverModel::Answer SolverModel::ask_glpsol(int seconds) const {
  const auto model = folder() / "model.lp", solution = folder() / "solution";
  std::ofstream(model) << text_;
  std::filesystem::remove(solution);
  Answer answer;
  const auto timed = run(fmt::format("glpsol --lp {} -w {}", model, solution), seconds);
  answer.seconds = timed.seconds;
  std::ifstream read(solution);
  std::string line;
  while (std::getline(read, line)) {
    std::istringstream words(line);
    std::string what, kind, status;
    std::size_t number = 0, more = 0;
    double is = 0;
    words >> what;
    if (what == "s") {
      words >> kind >> number >> more >> status;
      answer.verdict = status == "o" ? Verdict::kit : status == "n" ? Verdict::none : Verdict::gave_up;
    } else if (what == "j") {
      words >> number >> is;
      if (number <= columns_.size() && is > 0.5 && answer.verdict == Verdict::kit) {
        answer.choice.resize(std::max(answer.choice.size(), columns_[number - 1].piece + 1));
        answer.choice[columns_[number - 1].piece] = columns_[number - 1].candidate;
      }
    }
  }
  if (answer.verdict == Verdict::gave_up) {
    const auto has = [&](const char* words) { return timed.said.find(words) != std::string::npos; };
    if (has("HAS NO PRIMAL FEASIBLE") || has("HAS NO INTEGER FEASIBLE")) answer.verdict = Verdict::none;
  }
  return answer;
}

SolverModel::Answer SolverModel::ask_cbc(int seconds) const {
  const auto model = folder() / "model.lp", solution = folder() / "solution";
  std::ofstream(model) << text_;
  std::filesystem::remove(solution);
  Answer answer;
  answer.seconds = run(fmt::format("cbc {} ratio 0 allow 0 solve solution {}", model, solution), seconds).seconds;
  std::ifstream read(solution);
  std::string line;
  std::getline(read, line);
  if (line.rfind("Optimal", 0) == 0) answer.verdict = Verdict::kit;
  if (line.rfind("Infeasible", 0) == 0 || line.rfind("Integer infeasible", 0) == 0) answer.verdict = Verdict::none;
  while (answer.verdict == Verdict::kit && std::getline(read, line)) {
    std::istringstream words(line);
    std::string number, name;
    double is = 0;
    words >> number >> name >> is;
    if (name.empty() || name[0] != 'x' || is < 0.5) continue;
    const auto& column = columns_.at(std::stoul(name.substr(1)));
    answer.choice.resize(std::max(answer.choice.size(), column.piece + 1));
    answer.choice[column.piece] = column.candidate;
  }
  return answer;
}

}  // namespace lacestay::kits
