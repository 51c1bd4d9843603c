#include "runtime/daybook_command.hpp"

#include <fmt/format.h>

#include <cstdlib>

#include "runtime/reopened.hpp"
#include "runtime/sealed_policy.hpp"

namespace lacestay::runtime {

Stop as_stop(const DaybookTrouble& trouble) {
  return {trouble.code == "daybook-8" ? not_understood : file_trouble,
          fmt::format("{}: {}\n  Try: {}.\n", trouble.code, trouble.message, trouble.hint)};
}

Recording::Recording(const Words& words, const compiler::Policy& policy, std::int64_t day) : policy_(policy) {
  serving_.day = day;
  if (auto by = line_of_text(words, "--served-by"); !by.empty()) serving_.by = std::move(by);
  auto path = words.value("--daybook");
  if (const auto* named = std::getenv("LACESTAY_DAYBOOK"); !path && named && *named) path = named;
  if (!path) {
    if (serving_.by) throw Stop{not_understood, "--served-by is for the daybook: name one with --daybook FILE.\n"};
    return;
  }
  try {
    daybook_ = std::make_unique<Daybook>(*path, Daybook::Open::create);
    const auto sealed = seal(policy);
    sha256_ = daybook_->keep_policy({policy.title, policy.edition, sha256_in(sealed), sealed});
  } catch (const DaybookTrouble& trouble) {
    throw as_stop(trouble);
  }
}

void Recording::record(const Player& player, Advice& advice) {
  if (!on()) return;
  try {
    advice.entry = daybook_->append(entry_of(policy_, sha256_, player, advice, serving_), this_moment());
  } catch (const DaybookTrouble& trouble) {
    throw as_stop(trouble);
  }
}

void Recording::record(const Engine& engine, const Player& player, const Stock& stock, Quote& quote) {
  if (!on()) return;
  try {
    const auto advice = advise(engine, player, serving_.day);
    quote.served_by = serving_.by;
    quote.entry = daybook_->append(entry_of(policy_, sha256_, player, advice, quote, stock, serving_), this_moment());
  } catch (const DaybookTrouble& trouble) {
    throw as_stop(trouble);
  }
}

void Recording::record_sale(const Quote& quote, std::int64_t sale) {
  if (!on() || !quote.entry) return;
  try {
    (void)daybook_->append(entry_of_sale(*quote.entry, sha256_, sale), this_moment());
  } catch (const DaybookTrouble& trouble) {
    auto stop = as_stop(trouble);
    stop.message = fmt::format("Sale {} is taken, but the daybook does not say so.\n{}", sale, stop.message);
    throw stop;
  }
}

}  // namespace lacestay::runtime
