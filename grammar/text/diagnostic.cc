#include "grammar/text/diagnostic.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lacestay::grammar {

namespace {

// A file with more errors than this was not written by hand: nobody would read on, and rendering them takes long.
constexpr std::size_t most_told = 200;

}  // namespace

Problem& Diagnostics::add(std::string code, Span where, std::string message, std::string hint) {
  return add({std::move(code), std::move(message), std::move(hint), where});
}

Problem& Diagnostics::add(Problem problem) {
  if (all_.size() == most_told) {
    ++untold_;
    return spare_ = Problem{};
  }
  return all_.emplace_back(std::move(problem));
}

std::vector<Problem> Diagnostics::sorted() const {
  std::vector<const Source*> files;
  const auto rank = [&](const Source* source) {
    auto at = std::find(files.begin(), files.end(), source);
    if (at == files.end()) at = files.insert(files.end(), source);
    return at - files.begin();
  };
  for (const auto& problem : all_) rank(problem.where.source);
  auto sorted = all_;
  std::stable_sort(sorted.begin(), sorted.end(), [&](const Problem& a, const Problem& b) {
    const auto file_a = rank(a.where.source), file_b = rank(b.where.source);
    return file_a != file_b ? file_a < file_b : a.where.begin < b.where.begin;
  });
  if (untold_ > 0)
    sorted.push_back({"limits-8",
                      fmt::format("There is more to say, {} times over; it would bury what stands above.", untold_),
                      "mend these first"});
  return sorted;
}

}  // namespace lacestay::grammar
