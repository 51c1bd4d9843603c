#include "runtime/command/daybook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "runtime/options/values.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {

OptionGroup recording_options() {
  return {"For the record",
          {{"--daybook", Takes::file, "FILE",
            "put what is answered on record in this daybook (or name it in LACESTAY_DAYBOOK, once for all)"},
           {"--served-by", Takes::text, "NAME", "who served, for the daybook"}}};
}

namespace {

std::optional<std::string> daybook_named(const Words& words) {
  auto path = words.value("--daybook");
  if (const auto* named = std::getenv("LACESTAY_DAYBOOK"); !path && named && *named) path = named;
  return path;
}

// An error for something that has been done (`done` says what) and could not be recorded.
Stop not_recorded(const Error& error, const std::string& done) {
  return {exit_code_of(error.problem()),
          fmt::format("{}, but the daybook does not say so.\n{}", done, render(error.problem()))};
}

}  // namespace

Recording::Recording(const Words& words, const compiler::Policy& policy, std::int64_t day) : policy_(policy) {
  serving_.day = day;
  if (auto by = line_of_text(words, "--served-by"); !by.empty()) serving_.by = std::move(by);
  const auto path = daybook_named(words);
  if (!path) {
    if (serving_.by) throw Stop{not_understood, "--served-by is for the daybook: name one with --daybook FILE.\n"};
    return;
  }
  daybook_ = std::make_unique<Daybook>(*path, Daybook::Open::create);
  const auto sealed = seal(policy);
  sha256_ = daybook_->keep_policy({policy.title, policy.edition, sha256_in(sealed), sealed});
}

void Recording::record(const Player& player, Advice& advice) {
  if (!on()) return;
  advice.entry = daybook_->append(entry_of(policy_, sha256_, player, advice, serving_), this_moment());
}

void Recording::record(const Player& player, const Stock& stock, Quote& quote) {
  if (!on()) return;
  quote.served_by = serving_.by;
  quote.entry = daybook_->append(entry_of(policy_, sha256_, player, quote, stock, serving_), this_moment());
}

EntryReference Recording::record(FittedByHand fitted) {
  fitted.day = serving_.day;
  return daybook_->append(entry_of(policy_, sha256_, fitted), this_moment());
}

void Recording::record_sale(const Quote& quote, const Taken& taken) {
  if (!on() || !quote.entry) return;
  try {
    (void)daybook_->append(entry_of_sale(*quote.entry, sha256_, taken.sale, taken.at), this_moment());
  } catch (const Error& error) {
    throw not_recorded(error, fmt::format("Sale {} is taken", taken.sale));
  }
}

GivingBack::GivingBack(const Words& words, std::int64_t sale) {
  const auto path = daybook_named(words);
  if (!path) return;
  daybook_ = std::make_unique<Daybook>(*path, Daybook::Open::write);
  auto sales = recorded_sales(*daybook_, sale);
  if (!sales)
    throw Stop{not_so,
               {"",
                fmt::format("Sale {} is not given back, as the daybook is not as it was written ({}).", sale,
                            sales.problem().message),
                fmt::format("look with lacestay reopen {} --verify; without a daybook, the stock is put right all the "
                            "same",
                            *path)}};
  sales_ = std::move(*sales);
}

std::string GivingBack::record(const Taken& given_back) {
  if (!daybook_) return "";
  const auto sold =
      std::find_if(sales_.begin(), sales_.end(), [&](const RecordedSale& each) { return each.at == given_back.at; });
  if (sold == sales_.end())
    return fmt::format("The daybook has no sale {} of that time, so nothing is put beside one.\n", given_back.sale);
  try {
    const auto made = daybook_->append(entry_of_giving_back(*sold), this_moment());
    return fmt::format("Entry {} of the daybook says so beside entry {}.\n", made.number, sold->about.value_or(0));
  } catch (const Error& error) {
    throw not_recorded(error, fmt::format("Sale {} is given back", given_back.sale));
  }
}

}  // namespace lacestay::runtime
