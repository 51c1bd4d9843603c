#include "tests/runtime/quote/naive_matching.hpp"

#include <algorithm>
#include <set>
#include <sstream>
#include <tuple>

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
  static const std::map<std::string, Rational> units = {
      {"", 1}, {"mm", 1}, {"flex", 1}, {"cm", 10}, {"GBP", 1}, {"EUR", 1}, {"in", Rational::of(254, 10)}};
  return number * units.at(unit);
}

class Matching {
 public:
  using Sayings = std::map<const naive::Property*, std::vector<naive::Saying>>;
  // One accept line as it stands, or one of the lines below it: what is handed over there.
  struct At {
    std::optional<std::size_t> instead;
    std::vector<NaiveItem> items;
  };

  Matching(const naive::Policy& policy, const Sayings& sayings, const naive::Piece& piece,
           const naive::PieceOutcome& outcome, const grammar::Accept& accept, bool protects, const std::string& day)
      : policy_(policy),
        sayings_(sayings),
        piece_(piece),
        outcome_(outcome),
        accept_(accept),
        protects_(protects),
        day_(day) {}

  // Any of it is the fitter's.
  bool is_the_fitters() const {
    return std::any_of(outcome_.properties.begin(), outcome_.properties.end(),
                       [](const auto& each) { return each.second.kind == naive::PropertyOutcome::Kind::refer; });
  }

  // Stage by stage, those with nothing in stock too.
  std::vector<At> stages(const std::vector<NaiveItem>& items) {
    for (const auto& need : accept_.requirements)
      for (const auto& name : looked_at(need)) {
        const auto& answer = outcome_.properties.at(name).answer;
        if (!answer) throw Unready("no answer for " + piece_.name + " " + name);
        asked_[name] = {answer->low, answer->high};
      }
    std::vector<At> all = {{std::nullopt, fitting(items)}};
    for (std::size_t i = 0; i < accept_.instead.size(); ++i) {
      const auto& line = accept_.instead[i];
      if (line.kind == Instead::Kind::refer || line.kind == Instead::Kind::order) break;
      const auto was = asked_;
      const auto name = own(line.column->joined());
      bool within = true;
      if (line.kind == Instead::Kind::any) {
        asked_.erase(name);
      } else {
        auto& [low, high] = asked_.at(name);
        low += line.steps, high += line.steps;
        within = low >= 0 && high <= property(name).last();
      }
      if (within) all.push_back({i, fitting(items)});
      asked_ = was;
    }
    return all;
  }

  // Where no stage has anything.
  NaiveMatch past_the_shelf() const {
    for (std::size_t i = 0; i < accept_.instead.size(); ++i) {
      if (accept_.instead[i].kind == Instead::Kind::refer) return {"refer", {}, i};
      if (accept_.instead[i].kind == Instead::Kind::order) return {"order", {}, i};
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

  // What house rules and safety rules leave of a property, in its steps.
  std::pair<std::int64_t, std::int64_t> bounds(const std::string& name) const {
    std::pair<std::int64_t, std::int64_t> all = {0, property(name).last()};
    const auto said = sayings_.find(&property(name));
    if (said == sayings_.end()) return all;
    using Kind = naive::Saying::Kind;
    for (const auto& saying : said->second) {
      if (!saying.of_safety() && !saying.of_pack()) continue;
      if (saying.kind == Kind::floor || saying.kind == Kind::keep) all.first = std::max(all.first, saying.reach.low);
      if (saying.kind == Kind::cap) all.second = std::min(all.second, saying.reach.low);
      if (saying.kind == Kind::keep) all.second = std::min(all.second, saying.reach.high);
    }
    return all;
  }

  std::vector<NaiveItem> fitting(const std::vector<NaiveItem>& items) const {
    std::vector<NaiveItem> all;
    for (const auto& item : items) {
      if (item.on_hand < 1) continue;
      if (protects_ && cell(item, "condition") == "used") continue;
      if (protects_ && !cell(item, "certified_until").empty() && cell(item, "certified_until") < day_) continue;
      if (std::all_of(accept_.requirements.begin(), accept_.requirements.end(),
                      [&](const auto& need) { return answers(item, need); }))
        all.push_back(item);
    }
    return all;
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
      const auto bound = bounds(name);
      auto felt = has;
      if (need.once_cut_to) {
        const auto cut_name = own(need.once_cut_to->joined());
        const auto& cut_text = property(cut_name);
        const auto cut = cut_text.amount_at(asked_.at(cut_name).first);
        const auto whole = amount(cell(item, cut_name));
        if (whole > cut) felt = has * (whole / cut) * (whole / cut) * (whole / cut);
      }
      if (low > bound.second || high < bound.first) return false;
      return felt >= std::max(from, text.amount_at(bound.first)) && felt <= std::min(to, text.amount_at(bound.second));
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
  const Sayings& sayings_;
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

namespace {

NaiveMatch match_of(const Matching::At& at) {
  NaiveMatch made{"items", {}, at.instead};
  for (const auto& item : at.items) made.numbers.push_back(item.number);
  std::sort(made.numbers.begin(), made.numbers.end());
  return made;
}

// The item names the other one's make, model or number.
bool fits(const NaiveItem& item, const NaiveItem& other) {
  const auto at = item.cells.find("goes_with");
  if (at == item.cells.end()) return false;
  std::istringstream parts(at->second);
  for (std::string part; std::getline(parts, part, ',');) {
    part.erase(0, part.find_first_not_of(' '));
    for (const char* column : {"make", "model", "item"})
      if (part == other.cells.at(column)) return true;
  }
  return false;
}

// What is known of a piece that may be handed over.
struct Looked {
  std::vector<Matching::At> stages;
  NaiveMatch past;
};

NaiveMatch first_in_stock(const Looked& looked) {
  for (const auto& at : looked.stages)
    if (!at.items.empty()) return match_of(at);
  return looked.past;
}

// Both together: the fewest past their first line, and of these the partner, which stands first, furthest up its own.
std::pair<NaiveMatch, NaiveMatch> together(const Looked& piece, const Looked& partner) {
  std::optional<std::pair<std::size_t, std::size_t>> best;  // places among the stages
  std::pair<NaiveMatch, NaiveMatch> found;
  for (std::size_t p = 0; p < piece.stages.size(); ++p)
    for (std::size_t q = 0; q < partner.stages.size(); ++q) {
      Matching::At ours{piece.stages[p].instead, {}}, theirs{partner.stages[q].instead, {}};
      for (const auto& item : piece.stages[p].items)
        if (std::any_of(partner.stages[q].items.begin(), partner.stages[q].items.end(),
                        [&](const auto& other) { return fits(item, other); }))
          ours.items.push_back(item);
      for (const auto& other : partner.stages[q].items)
        if (std::any_of(ours.items.begin(), ours.items.end(), [&](const auto& item) { return fits(item, other); }))
          theirs.items.push_back(other);
      if (ours.items.empty()) continue;
      const auto rank = [](std::size_t at_p, std::size_t at_q) {
        return std::tuple((at_p > 0 ? 1 : 0) + (at_q > 0 ? 1 : 0), at_q, at_p);
      };
      if (best && rank(best->first, best->second) <= rank(p, q)) continue;
      best = {p, q};
      found = {match_of(ours), match_of(theirs)};
    }
  if (best) return found;
  const auto alone = first_in_stock(partner);
  return {alone.kind == "items" ? piece.past : NaiveMatch{"refer", {}, {}}, alone};
}

}  // namespace

std::map<std::string, NaiveMatch> naive_matches(const naive::Policy& policy, const naive::Player& player,
                                                const std::vector<std::string>& owns, const NaiveStock& stock,
                                                const std::string& day) {
  const auto protects = protection(policy);
  const auto outcome = naive::evaluate(policy, player);
  const auto sayings = naive::sayings(policy, player);
  std::map<std::string, NaiveMatch> all;
  std::map<std::string, Looked> looked;
  const grammar::GoesWith* link = nullptr;
  const auto owned = [&](const std::string& piece) { return std::find(owns.begin(), owns.end(), piece) != owns.end(); };
  for (const auto& file : policy.files)
    for (const auto& item : file.items)
      if (const auto* form = std::get_if<grammar::GoesWith>(&item.form)) {
        if (link) throw Unready("two lines on what goes with what");
        link = form;
      }
  for (const auto& piece : policy.pieces) {
    const auto& told = outcome.pieces.at(piece.name);
    if (owned(piece.name) || (told.standing != naive::Standing::needed && told.standing != naive::Standing::suggested))
      continue;
    auto& match = all[piece.name];
    match.kind = "not sold";
    for (const auto& file : policy.files)
      for (const auto& item : file.items) {
        const auto* accept = std::get_if<grammar::Accept>(&item.form);
        if (!accept || accept->piece.joined() != piece.name) continue;
        if (match.kind == "not sold") match.kind = "not for him";
        if (!naive::holds(policy, player, accept->when)) continue;
        Matching matching(policy, sayings, piece, told, *accept, protects.count(piece.name) != 0, day);
        if (matching.is_the_fitters()) {
          match.kind = "refer";
          continue;
        }
        const auto rows = stock.find(piece.name);
        auto& made = looked[piece.name];
        made = {matching.stages(rows == stock.end() ? std::vector<NaiveItem>{} : rows->second),
                matching.past_the_shelf()};
        match = first_in_stock(made);
      }
  }
  if (!link || all.count(link->piece.joined()) == 0) return all;
  const auto piece = link->piece.joined(), partner = link->partner.joined();
  if (looked.count(piece) == 0) return all;
  if (looked.count(partner) == 0)
    all[piece] = {"refer", {}, {}};
  else
    std::tie(all[piece], all[partner]) = together(looked[piece], looked[partner]);
  return all;
}

}  // namespace lacestay::tests
