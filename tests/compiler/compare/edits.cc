#include "tests/compiler/compare/edits.hpp"

#include <algorithm>
#include <regex>

namespace lacestay::judges {

using namespace grammar;

// ---- text

Edits::Edits(std::vector<naive::TextFile> files, naive::Draw& draw)
    : files_(std::move(files)), policy_(naive::prepare(files_)), draw_(draw) {}

std::optional<std::vector<naive::TextFile>> Edits::after(const Kind& kind) {
  if (!(this->*kind.make)()) return std::nullopt;
  return files_;
}

std::string& Edits::text(const Span& span) {
  const auto named = [&](const auto& file) { return file.name == span.source->name(); };
  return std::find_if(files_.begin(), files_.end(), named)->text;
}

void Edits::replace(const Span& span, const std::string& with) {
  text(span).replace(span.begin, span.end - span.begin, with);
}

// Spans are those of the unedited text, so the last comes first.
void Edits::replace(Replacements all) {
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first.begin > b.first.begin; });
  for (const auto& [span, with] : all) replace(span, with);
}

Span Edits::between(const Source* source, std::uint32_t begin, std::uint32_t end) { return {source, begin, end}; }

Span Edits::line_of(const Span& span) const {
  const auto line = span.source->place(span.begin).line;
  const auto begin = span.source->line_start(line);
  const auto end = begin + static_cast<std::uint32_t>(span.source->line(line).size()) + 1;
  return {span.source, begin, std::min(end, static_cast<std::uint32_t>(span.source->text().size()))};
}

void Edits::append(const Item& item, const std::string& line) {
  replace(between(item.span.source, item.span.end, item.span.end), "\n  " + line);
}

bool Edits::replace_word(const std::string& word, const std::string& with) {
  bool any = false;
  for (auto& file : files_) {
    auto replaced = std::regex_replace(file.text, std::regex("\\b" + word + "\\b"), with);
    any = any || replaced != file.text;
    file.text = std::move(replaced);
  }
  return any;
}

bool Edits::replace_one_of(const Span& in, const std::vector<std::pair<std::string, std::string>>& words) {
  std::vector<std::pair<Span, std::string>> found;
  for (const auto& [word, with] : words) {
    const auto at = in.text().find(word);
    if (at == std::string_view::npos) continue;
    const auto begin = in.begin + static_cast<std::uint32_t>(at);
    found.emplace_back(between(in.source, begin, begin + static_cast<std::uint32_t>(word.size())), with);
  }
  if (found.empty()) return false;
  const auto [span, with] = draw_.pick(found);
  replace(span, with);
  return true;
}

std::string Edits::fresh(const std::string& stem) {
  for (int i = 1;; ++i) {
    const auto name = stem + "_" + std::to_string(i);
    if (std::none_of(files_.begin(), files_.end(),
                     [&](const auto& file) { return file.text.find(name) != std::string::npos; }))
      return name;
  }
}

std::vector<Edits::Spoken> Edits::spoken() const {
  std::vector<Spoken> found;
  for (const auto& file : policy_.files)
    for (const auto& item : file.items)
      for (const auto& voice : policy_.voices) {
        const auto* rule = std::get_if<Rule>(&item.form);
        const auto* chart = std::get_if<Chart>(&item.form);
        if ((rule && rule == voice.rule) || (chart && chart == voice.chart)) found.push_back({&item, &voice});
      }
  return found;
}

std::vector<const std::vector<Condition>*> Edits::guards() const {
  std::vector<const std::vector<Condition>*> found;
  for (const auto& voice : policy_.voices) found.push_back(&voice.clauses->when);
  for (const auto& piece : policy_.pieces) found.push_back(&piece.tree->when);
  for (const auto& [item, along] : all<AlongWith>()) found.push_back(&along->when);
  std::erase_if(found, [](const auto* when) { return when->empty(); });
  return found;
}

// ---- what changes no answer

bool Edits::reorder_items() {
  for (const auto& file : policy_.files) {
    std::vector<std::string> items;
    std::string text;
    for (const auto& item : file.items) {
      const bool moves = !std::holds_alternative<Heading>(item.form) && !std::holds_alternative<Edition>(item.form) &&
                         !std::holds_alternative<Money>(item.form) && !std::holds_alternative<AlongWith>(item.form);
      if (moves)
        items.push_back(std::string(item.span.text()) + "\n\n");
      else
        text += std::string(item.span.text()) + "\n";
    }
    draw_.shuffle(items);
    for (const auto& item : items) text += item;
    for (auto& own : files_)
      if (own.name == file.source->name()) own.text = text;
  }
  return true;
}

bool Edits::change_layout() {
  for (auto& file : files_) {
    file.text = std::regex_replace(file.text, std::regex("\n  "), "\n      ");
    file.text = std::regex_replace(file.text, std::regex(", "), ",   ");
    file.text = std::regex_replace(file.text, std::regex("\n\n"), "\n\n# What follows stood here before.\n\n");
    file.text += "\n# The end.\n";
  }
  return true;
}

bool Edits::change_reason() {
  std::vector<const Text*> texts;
  for (const auto& voice : policy_.voices) {
    if (voice.clauses->because) texts.push_back(&*voice.clauses->because);
    if (voice.clauses->source) texts.push_back(&*voice.clauses->source);
    if (voice.rule && voice.rule->action->text) texts.push_back(&*voice.rule->action->text);
  }
  if (texts.empty()) return false;
  replace(draw_.pick(texts)->span, "Said in other words.");
  return true;
}

const std::vector<Edits::Kind>& Edits::kinds() {
  static const std::vector<Kind> all = {
      {"edge moved", &Edits::move_edge, false, false},
      {"answer changed", &Edits::change_answer, false, false},
      {"row dropped", &Edits::drop_row, false, false},
      {"row added", &Edits::add_row, false, false},
      {"condition dropped", &Edits::drop_condition, false, false},
      {"condition added", &Edits::add_condition, false, false},
      {"rule dropped", &Edits::drop_rule, false, false},
      {"rule copied", &Edits::copy_rule, false, false},
      {"piece dropped", &Edits::drop_piece, false, false},
      {"action changed", &Edits::change_action, false, false},
      {"rule renamed", &Edits::rename_rule, false, false},
      {"detail renamed", &Edits::rename_detail, false, false},
      {"piece renamed", &Edits::rename_piece, false, false},
      {"safety turned", &Edits::turn_safety, false, false},
      {"outranks dropped", &Edits::drop_outranks, false, false},
      {"outranks added", &Edits::add_outranks, false, false},
      {"domain moved", &Edits::move_domain, false, false},
      {"unit changed", &Edits::change_unit, false, false},
      {"no longer whole", &Edits::drop_whole, false, false},
      {"member added", &Edits::add_member, false, false},
      {"member dropped", &Edits::drop_member, false, false},
      {"members swapped", &Edits::swap_members, false, false},
      {"members exchanged", &Edits::exchange_members, false, false},
      {"grades exchanged", &Edits::exchange_grades, false, false},
      {"grade added", &Edits::add_grade, false, false},
      {"grade dropped", &Edits::drop_grade, false, false},
      {"grades swapped", &Edits::swap_grades, false, false},
      {"range moved", &Edits::move_range, false, false},
      {"presence changed", &Edits::change_presence, false, false},
      {"formula changed", &Edits::change_formula, false, false},
      {"items reordered", &Edits::reorder_items, true, true},
      {"layout changed", &Edits::change_layout, true, true},
      {"reason changed", &Edits::change_reason, true, false},
  };
  return all;
}

}  // namespace lacestay::judges
