#include "tests/reference/generate/generator.hpp"

#include <algorithm>

#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

// Draws who outranks whom along a random order of the rules, so that nothing runs in a circle; only where the two
// share an answer and stand in one file, and never an ordinary rule over a safety rule.
void Draft::rank() {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < voices_.size(); ++i) order.push_back(i);
  draw_.shuffle(order);
  for (std::size_t i = 0; i < order.size(); ++i) {
    auto& upper = voices_[order[i]];
    std::string below;
    for (std::size_t j = i + 1; j < order.size(); ++j) {
      const auto& lower = voices_[order[j]];
      const bool share = std::any_of(upper.answers.begin(), upper.answers.end(),
                                     [&](const auto& answer) { return lower.answers.contains(answer); });
      const bool reaches = (upper.place == Place::pack) == (lower.place == Place::pack) &&
                           (!lower.safety || (upper.safety && upper.place == lower.place));
      if (!share || !reaches || !draw_.chance(upper.base && lower.base ? 70 : 30)) continue;
      below += (below.empty() ? "outranks " : ", ") + lower.name;
      count(lower.safety ? "outranks, safety over safety" : "outranks");
    }
    if (!below.empty()) upper.clauses.push_back(below);
  }
}

std::string Draft::item(DraftVoice& voice) {
  if (voice.safety) voice.clauses.emplace_back("safety"), count("safety");
  draw_.shuffle(voice.clauses);
  std::string text = voice.head;
  const bool action_first = draw_.chance(70);
  const auto add = [&](const std::vector<std::string>& lines) {
    for (const auto& line : lines) text += "\n  " + line;
  };
  if (action_first) add(voice.action);
  add(voice.clauses);
  if (!action_first) add(voice.action);
  return text;
}

// The items of one file, in no order: nothing may depend on it.
std::string Draft::file(Place place) {
  std::vector<std::string> all;
  for (const auto& [where, text] : items_)
    if (where == place) all.push_back(text);
  for (auto& voice : voices_)
    if (voice.place == place) all.push_back(item(voice));
  draw_.shuffle(all);
  std::string text;
  for (const auto& one : all) text += "\n" + one + "\n";
  return text;
}

Generated Draft::run() {
  part_ = settings_.several_files && draw_.chance(25);
  pack_ = settings_.several_files && draw_.chance(25);
  add_asks();
  add_worked_out();
  if (settings_.kit_seed) draw_ = Draw(*settings_.kit_seed);
  add_pieces();
  add_voices();
  rank();
  add_steps();
  add_keeps_of_choices();
  add_groups();
  lay_out_voices();

  std::string opening = "policy \"Generated\"\nedition 1, in force from 1 September 2026\nmoney GBP\n";
  Generated out;
  if (part_) {
    opening += "along with \"extra.fitting\"\n";
    out.files.push_back({"extra.fitting", "part \"Extra\"\n" + file(Place::part)});
    count("part");
  }
  if (pack_) {
    std::set<std::size_t> asked;
    const auto when = draw_.chance(60) ? conditions(2, &asked) : "";
    opening += "along with \"house_rules/club.fitting\"" + (when.empty() ? "" : " for " + when) + "\n";
    std::string text = "pack \"Club rules\"\n";
    for (const std::size_t index : relied_on_)
      text += "relies on " + details_[index].name + details_[index].relied_on_in + "\n";
    out.files.push_back({"house_rules/club.fitting", text + file(Place::pack)});
    count(when.empty() ? "pack" : "pack with for");
  }
  out.files.insert(out.files.begin(), {"generated.fitting", opening + file(Place::policy)});
  out.files.insert(out.files.end(), sheets_.begin(), sheets_.end());
  out.counts = std::move(counts_);
  return out;
}

Generated generate(std::uint64_t seed, const Settings& settings) { return Draft(seed, settings).run(); }

}  // namespace lacestay::naive
