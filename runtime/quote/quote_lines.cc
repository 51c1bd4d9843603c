#include "runtime/quote/quote_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/law/law.hpp"
#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "grammar/tree/units.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/table_words.hpp"
#include "runtime/stock/cells.hpp"

namespace lacestay::runtime {

using compiler::Requirement;

QuotedItem QuoteLines::item_of(const Match& each, std::size_t index) const {
  const auto& item = stock_.items[index];
  QuotedItem made{index, item.number, item.make, item.model, "", "", item.price};
  for (const auto property : properties_of(each)) {
    const auto value = write_value(policy_.properties[property].scale, value_of(item, property));
    if (value.empty()) continue;
    made.what += (made.what.empty() ? "" : ", ") + label_of(property) + " " + value;
    if (const auto sold = sold_as(each, item, property)) made.what += ", set to " + *sold;
  }
  made.used = item.used;
  for (const auto& need : line_of_match(each).requirements)
    if (need.once_cut_to && each.cut_to) made.cut = cut_of(item, need, *each.cut_to);
  return made;
}

// The accept line that is for the player.
const compiler::Acceptance& QuoteLines::line_of_match(const Match& each) const {
  return policy_.shop.accepts[each.piece][each.line];
}

// What an item is held to: what the `accept` line looks at, in its order, and then what binds it besides.
std::vector<std::uint32_t> QuoteLines::properties_of(const Match& each) const {
  std::vector<std::uint32_t> all;
  const auto add = [&](std::uint32_t property) {
    if (std::find(all.begin(), all.end(), property) == all.end()) all.push_back(property);
  };
  for (const auto& need : line_of_match(each).requirements) {
    if (need.kind <= Requirement::Kind::within || need.kind == Requirement::Kind::is) add(need.property);
    if (need.once_cut_to) add(*need.once_cut_to);
  }
  for (std::uint32_t at = 0; at < each.held.size(); ++at)
    if (!each.held[at].anything) add(text(each.piece).first_property + at);
  return all;
}

// Of an item that can be several things, the one that is as it must be: the advised one where it may be that, else
// the least. Nothing of a shaft's flex, which is felt and not set.
std::optional<std::string> QuoteLines::sold_as(const Match& each, const StockItem& item, std::uint32_t property) const {
  const auto at = property - text(each.piece).first_property;
  const auto& value = value_of(item, property);
  const auto& scale = policy_.properties[property].scale;
  const bool several = scale.has_members() ? (value.members & (value.members - 1)) != 0 : value.low != value.high;
  const auto& requirements = line_of_match(each).requirements;
  const bool felt = std::any_of(requirements.begin(), requirements.end(), [&](const auto& need) {
    return need.once_cut_to && (need.property == property || *need.once_cut_to == property);
  });
  if (!several || felt || at >= each.held.size() || each.held[at].anything) return std::nullopt;
  const auto& steps = each.held[at].steps;
  const auto advised = advised_outcome(property);
  if (advised && steps.holds(advised->low) && has_answer(item, property, advised->low))
    return policy_.properties[property].write(advised->low, advised->low);
  if (!scale.has_members()) return scale.write(std::max(value.low, ticks_of(property, steps.low)));
  for (auto step = steps.low; step <= steps.high; ++step)
    if (steps.holds(step) && has_member(value, step)) return policy_.properties[property].write(step, step);
  return std::nullopt;
}

std::int64_t QuoteLines::ticks_of(std::uint32_t property, std::int64_t step) const {
  return policy_.properties[property].at(step);
}

// The rules that bind the item, each once.
std::vector<Bound> QuoteLines::bound(const Match& each) const {
  std::vector<Bound> all;
  for (auto property = text(each.piece).first_property;
       property < text(each.piece).first_property + text(each.piece).properties; ++property) {
    const auto id = static_cast<TableId>(policy_.tables.property_table(property));
    const auto& table = policy_.tables.tables[id];
    std::set<std::uint32_t> told;
    for (const auto found : possible_[id].classes) {
      for (const auto index : compiler::binding_rows(policy_.tables, table, engine_.rows(id, found))) {
        const auto& row = table.rows[index];
        if (!told.insert(index).second) continue;
        all.push_back({policy_.properties[property].name, label_of(property), says_in_answer(policy_, table, row),
                       policy_.rules[row.rule].name, row.safety});
      }
    }
  }
  return all;
}

std::string within_sentence(std::string label) {
  if (label.size() > 1 && !grammar::is_capital(label[1])) label[0] = grammar::lower(label[0]);
  return label;
}

std::string QuoteLines::label_of(std::uint32_t property) const {
  return within_sentence(policy_.properties[property].label);
}

std::vector<Advised> QuoteLines::advised(const Match& each) const {
  const auto piece = each.piece;
  std::vector<Advised> all;
  const auto& advice = advice_.pieces[piece];
  for (const auto property : properties_of(each)) {
    const auto at = property - text(piece).first_property;
    if (at >= advice.properties.size()) continue;
    const auto& answer = advice.properties[at].answer;
    if (!answer.certain || answer.standing != Standing::answered) continue;
    Advised made{policy_.properties[property].name,
                 label_of(property),
                 text_of_outcome(policy_, answer, answer.possible.front()),
                 {}};
    for (const auto& part : answer.parts)
      if (speaks(part)) made.rules.push_back(part.rule);
    all.push_back(std::move(made));
  }
  return all;
}

const ItemValue& QuoteLines::value_of(const StockItem& item, std::uint32_t property) const {
  return item.values[property - text(item.piece).first_property];
}

// What becomes of its flex is told to the nearest whole flex.
std::string QuoteLines::cut_of(const StockItem& item, const Requirement& need, std::int64_t cut) const {
  const auto& flex = value_of(item, need.property);
  const auto& length = value_of(item, *need.once_cut_to);
  if (!flex.known || !length.known || length.low <= cut) return "";
  auto told = "to be cut to " + policy_.properties[*need.once_cut_to].scale.write(cut);
  const auto one = compiler::ticks_per({grammar::Unit::flex, ""});
  const auto felt = felt_flex(flex.low, length.low, cut);
  const auto raised = felt ? compiler::add(*felt, {one / 2, 1}) : std::nullopt;
  const auto whole = raised ? compiler::divide(*raised, {one, 1}) : std::nullopt;
  if (whole)
    told += fmt::format("; it will then feel like {} flex",
                        static_cast<std::int64_t>(compiler::floor_divide(whole->numerator, whole->denominator)));
  return told;
}

// What the advice says of a property, where it is certain and an answer.
std::optional<Outcome> QuoteLines::advised_outcome(std::uint32_t property) const {
  const auto id = static_cast<TableId>(policy_.tables.property_table(property));
  const auto& classes = possible_[id].classes;
  const auto& outcome = engine_.outcome(id, classes.front());
  const bool certain = different_outcomes(engine_, id, classes) == 1;
  return certain && outcome.standing == Standing::answered ? std::optional(outcome) : std::nullopt;
}

// The piece's sum to plan for: its own band of money, where the advice has one.
std::optional<SumToPlan> QuoteLines::sum_to_plan(std::uint32_t piece) const {
  for (auto id = text(piece).first_property; id < text(piece).first_property + text(piece).properties; ++id) {
    const auto& property = policy_.properties[id];
    if (property.scale.dimension != compiler::Dimension::money || property.scale.has_members() ||
        !policy_.tables.answers[id].band)
      continue;
    if (const auto outcome = advised_outcome(id))
      return SumToPlan{property.at(outcome->low), property.at(outcome->high)};
  }
  return std::nullopt;
}

bool QuoteLines::has_answer(const StockItem& item, std::uint32_t id, std::int64_t step) const {
  const auto& value = value_of(item, id);
  const auto& property = policy_.properties[id];
  if (property.scale.has_members()) return has_member(value, step);
  const auto ticks = ticks_of(id, step);
  return value.known && value.low <= ticks && ticks <= value.high;
}

// Where the line accepts at least or at most what is advised, and the item is not that.
std::vector<Unlike> QuoteLines::unlike(const Match& each, std::size_t item) const {
  std::vector<Unlike> all;
  if (each.instead) return all;  // then another line says so
  const auto& requirements = line_of_match(each).requirements;
  for (const auto& need : requirements) {
    if (need.kind != Requirement::Kind::at_least && need.kind != Requirement::Kind::at_most) continue;
    const bool cut = std::any_of(requirements.begin(), requirements.end(),
                                 [&](const auto& other) { return other.once_cut_to == need.property; });
    const auto outcome = advised_outcome(need.property);
    if (cut || !outcome || has_answer(stock_.items[item], need.property, outcome->low)) continue;
    Unlike made{label_of(need.property), policy_.properties[need.property].write(outcome->low, outcome->high),
                need.kind == Requirement::Kind::at_least, std::nullopt};
    for (const auto other : each.items)
      if (has_answer(stock_.items[other], need.property, outcome->low) &&
          (!made.as_advised || stock_.items[other].price < made.as_advised->price))
        made.as_advised = item_of(each, other);
    all.push_back(std::move(made));
  }
  return all;
}

std::string QuoteLines::line_of(const Match& each) const {
  if (!each.instead) return "";
  const auto& instead = line_of_match(each).instead[*each.instead];
  auto line = instead.span.text();
  if (!instead.note.empty()) line = line.substr(0, line.find('"'));  // the note is told by itself
  return std::string(line.substr(0, line.find_last_not_of(" \t\r\n") + 1));
}

// Whom a line of the shop is for: "age under 10 years, skill league, elite".
std::string QuoteLines::whom(const std::optional<TableId>& line) const {
  std::string out;
  if (!line) return out;
  for (const auto& row : policy_.tables.tables[*line].rows)
    for (const auto& cell : row.box)
      out += fmt::format("{}{} {}", out.empty() ? "" : ", ", policy_.name_of(cell.column),
                         policy_.write_places(cell.column, cell.places));
  return out;
}

std::vector<std::string> QuoteLines::near(const Match& each) const {
  std::vector<std::string> out;
  for (const auto& miss : each.near) {
    const auto& item = stock_.items[miss.item];
    out.push_back(fmt::format("{} {} {}: {}", item.number, item.make, item.model, miss.but));
  }
  return out;
}

QuoteLine QuoteLines::line(const Match& each, std::size_t item) const {
  QuoteLine made;
  made.piece = text(each.piece).name;
  made.label = text(each.piece).label;
  made.item = item_of(each, item);
  made.advised = advised(each);
  made.bound = bound(each);
  made.unlike = unlike(each, item);
  made.instead = line_of(each);
  if (each.instead) made.note = line_of_match(each).instead[*each.instead].note;
  if (!policy_.was_sealed_before(4)) made.open = needed_or_not(advice_.pieces[each.piece].presence);
  made.accepted_for = whom(line_of_match(each).players);
  if (each.instead) made.near = near(each);
  made.plan = sum_to_plan(each.piece);
  made.choices = each.items.size();
  return made;
}

}  // namespace lacestay::runtime
