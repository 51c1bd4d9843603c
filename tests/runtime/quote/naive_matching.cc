#include "tests/runtime/quote/naive_matching.hpp"

#include <algorithm>
#include <set>
#include <sstream>

namespace lacestay::tests {

using grammar::Instead;
using naive::Rational;
using naive::Unready;
using Relation = grammar::Requirement::Kind;

namespace {

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += c;
  }
  return cells;
}

// "ISO 10256-2" as the policy writes it: iso_10256_2.
std::string as_name(const std::string& text) {
  std::string name;
  for (const char c : text)
    name += std::isalnum(static_cast<unsigned char>(c)) ? static_cast<char>(std::tolower(c)) : '_';
  return name;
}

// "26.5 cm" in the naive units; a bare number is itself.
Rational amount(const std::string& cell) {
  std::istringstream in(cell);
  std::string digits, unit;
  in >> digits >> unit;
  const auto point = digits.find('.');
  std::int64_t bottom = 1;
  if (point != std::string::npos) {
    for (auto i = point + 1; i < digits.size(); ++i) bottom *= 10;
    digits.erase(point, 1);
  }
  const auto number = Rational::of(std::stoll(digits), bottom);
  static const std::map<std::string, Rational> units = {{"", 1},    {"mm", 1},  {"flex", 1},
                                                        {"cm", 10}, {"GBP", 1}, {"in", Rational::of(254, 10)}};
  return number * units.at(unit);
}

class Matching {
 public:
  Matching(const naive::Policy& policy, const naive::Piece& piece, const naive::PieceOutcome& outcome,
           const grammar::Accept& accept, bool protects, const std::string& day)
      : policy_(policy), piece_(piece), outcome_(outcome), accept_(accept), protects_(protects), day_(day) {}

  NaiveMatch on(const std::vector<NaiveItem>& items) {
    for (const auto& need : accept_.requirements) {
      for (const auto& name : looked_at(need))
        if (outcome_.properties.at(name).kind == naive::PropertyOutcome::Kind::refer) return {"refer", {}, {}};
      for (const auto& name : looked_at(need)) {
        const auto& answer = outcome_.properties.at(name).answer;
        if (!answer) throw Unready("no answer for " + piece_.name + " " + name);
        asked_[name] = {answer->low, answer->high};
      }
    }
    if (auto found = fitting(items); !found.empty()) return {"items", found, {}};
    for (std::size_t i = 0; i < accept_.instead.size(); ++i) {
      const auto& line = accept_.instead[i];
      if (line.kind == Instead::Kind::refer) return {"refer", {}, i};
      if (line.kind == Instead::Kind::order) return {"order", {}, i};
      const auto was = asked_;
      const auto name = own(line.column->joined());
      if (line.kind == Instead::Kind::any) {
        asked_.erase(name);
      } else {
        forbid_bounds(name, line.steps);
        auto& [low, high] = asked_.at(name);
        low += line.steps, high += line.steps;
        if (low < 0 || high > property(name).last()) {
          asked_ = was;
          continue;
        }
      }
      const auto found = fitting(items);
      asked_ = was;
      if (!found.empty()) return {"items", found, i};
    }
    return {"none", {}, {}};
  }

 private:
  const naive::Property& property(const std::string& name) const {
    return *std::find_if(piece_.properties.begin(), piece_.properties.end(),
                         [&](const auto& each) { return each.name == name; });
  }
  std::string own(const std::string& name) const {
    const auto prefix = piece_.name + "_";
    return name.rfind(prefix, 0) == 0 ? name.substr(prefix.size()) : name;
  }
  std::vector<std::string> looked_at(const grammar::Requirement& need) const {
    if (need.kind > Relation::within) return {};
    std::vector<std::string> names = {own(need.column.joined())};
    if (need.once_cut_to) names.push_back(own(need.once_cut_to->joined()));
    return names;
  }

  // No step of the shipped policy can meet a safety bound on its way; if one could, this matcher would have to know.
  void forbid_bounds(const std::string& name, int steps) const {
    const auto target = piece_.name + "_" + name;
    for (const auto& voice : policy_.voices) {
      if (!voice.rule || !voice.clauses->safety) continue;
      const auto& action = *voice.rule->action;
      using Kind = grammar::Action::Kind;
      const bool bounds = action.kind == Kind::keep || action.kind == (steps > 0 ? Kind::cap : Kind::floor);
      if (bounds && action.targets.front().joined() == target) throw Unready("a safety bound on " + target);
    }
  }

  std::vector<std::string> fitting(const std::vector<NaiveItem>& items) const {
    std::vector<std::string> numbers;
    for (const auto& item : items) {
      if (item.on_hand < 1) continue;
      if (protects_ && cell(item, "condition") == "used") continue;
      if (protects_ && !cell(item, "certified_until").empty() && cell(item, "certified_until") < day_) continue;
      if (std::all_of(accept_.requirements.begin(), accept_.requirements.end(),
                      [&](const auto& need) { return answers(item, need); }))
        numbers.push_back(item.number);
    }
    std::sort(numbers.begin(), numbers.end());
    return numbers;
  }

  static std::string cell(const NaiveItem& item, const std::string& column) {
    const auto at = item.cells.find(column);
    return at == item.cells.end() ? "" : at->second;
  }

  bool answers(const NaiveItem& item, const grammar::Requirement& need) const {
    if (need.kind == Relation::in_date) return cell(item, "certified_until") >= day_;
    if (need.kind == Relation::is && need.column.joined() == "condition_new") return cell(item, "condition") == "new";
    if (need.kind > Relation::within) throw Unready("a requirement the shipped policy does not use");
    const auto name = own(need.column.joined());
    const auto at = asked_.find(name);
    if (at == asked_.end()) return true;  // any
    const auto& [low, high] = at->second;
    const auto& text = property(name);
    if (text.tree->domain.members.empty()) {
      const auto has = amount(cell(item, name));
      const auto from = text.amount_at(low), to = text.amount_at(high);
      if (need.kind == Relation::as_advised) return has == from;
      if (need.kind == Relation::at_least) return has >= from;
      if (need.kind == Relation::at_most) return has <= from;
      auto felt = has;
      if (need.once_cut_to) {
        const auto cut_name = own(need.once_cut_to->joined());
        const auto& cut_text = property(cut_name);
        const auto cut = cut_text.amount_at(asked_.at(cut_name).first);
        const auto whole = amount(cell(item, cut_name));
        if (whole > cut) felt = has * (whole / cut) * (whole / cut) * (whole / cut);
      }
      return felt >= from && felt <= to;
    }
    std::set<std::int64_t> has;
    std::istringstream parts(cell(item, name));
    for (std::string part; std::getline(parts, part, ';');) {
      part.erase(0, part.find_first_not_of(' '));
      const auto found = std::find(text.answers.begin(), text.answers.end(), as_name(part));
      if (found == text.answers.end()) throw Unready(part + " is no " + name);
      has.insert(found - text.answers.begin());
    }
    if (need.kind == Relation::as_advised)
      return std::any_of(has.begin(), has.end(), [&](auto member) { return naive::takes_in({low, high}, member); });
    if (need.kind == Relation::at_least) return *has.rbegin() >= low;
    if (need.kind == Relation::at_most) return *has.begin() <= low;
    throw Unready("a band of members");
  }

  const naive::Policy& policy_;
  const naive::Piece& piece_;
  const naive::PieceOutcome& outcome_;
  const grammar::Accept& accept_;
  bool protects_;
  const std::string& day_;
  std::map<std::string, std::pair<std::int64_t, std::int64_t>> asked_;  // by property; none: any will do
};

// Named as protection, or spoken of by a safety rule.
std::set<std::string> protection(const naive::Policy& policy) {
  std::set<std::string> pieces;
  for (const auto& file : policy.files)
    for (const auto& item : file.items)
      if (const auto* form = std::get_if<grammar::Protection>(&item.form))
        for (const auto& piece : form->pieces) pieces.insert(piece.joined());
  for (const auto& voice : policy.voices) {
    if (!voice.rule || !voice.clauses->safety) continue;
    using Kind = grammar::Action::Kind;
    const auto& action = *voice.rule->action;
    if (action.kind != Kind::need && action.kind != Kind::floor && action.kind != Kind::cap &&
        action.kind != Kind::keep)
      continue;
    for (const auto& target : action.targets)
      for (const auto& piece : policy.pieces) {
        if (target.joined() == piece.name) pieces.insert(piece.name);
        for (const auto& property : piece.properties)
          if (target.joined() == piece.name + "_" + property.name) pieces.insert(piece.name);
      }
  }
  return pieces;
}

}  // namespace

std::vector<NaiveItem> naive_rows(const std::string& text) {
  std::istringstream in(text);
  std::string line;
  std::getline(in, line);
  std::vector<std::pair<std::string, std::string>> columns;  // name, unit
  for (const auto& heading : cells_of(line)) {
    const auto open = heading.find(" (");
    columns.emplace_back(as_name(heading.substr(0, open)),
                         open == std::string::npos ? "" : heading.substr(open + 2, heading.size() - open - 3));
  }
  std::vector<NaiveItem> items;
  while (std::getline(in, line)) {
    const auto cells = cells_of(line);
    NaiveItem item;
    for (std::size_t i = 0; i < columns.size(); ++i)
      item.cells[columns[i].first] = cells.at(i) + (columns[i].second.empty() ? "" : " " + columns[i].second);
    item.number = item.cells.at("item");
    item.on_hand = std::stoll(item.cells.at("on_hand"));
    items.push_back(std::move(item));
  }
  return items;
}

std::map<std::string, NaiveMatch> naive_matches(const naive::Policy& policy, const naive::Outcome& outcome,
                                                const NaiveStock& stock, const std::string& day) {
  const auto protects = protection(policy);
  std::map<std::string, NaiveMatch> all;
  for (const auto& piece : policy.pieces) {
    const auto& told = outcome.pieces.at(piece.name);
    if (told.standing != naive::Standing::needed && told.standing != naive::Standing::suggested) continue;
    auto& match = all[piece.name];
    match.kind = "not sold";
    for (const auto& file : policy.files)
      for (const auto& item : file.items)
        if (const auto* accept = std::get_if<grammar::Accept>(&item.form);
            accept && accept->piece.joined() == piece.name) {
          const auto rows = stock.find(piece.name);
          match = Matching(policy, piece, told, *accept, protects.count(piece.name) != 0, day)
                      .on(rows == stock.end() ? std::vector<NaiveItem>{} : rows->second);
        }
  }
  return all;
}

}  // namespace lacestay::tests
