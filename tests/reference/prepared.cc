#include "tests/reference/prepared.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "grammar/read/reader.hpp"
#include "tests/reference/sheets.hpp"

namespace lacestay::naive {

using namespace grammar;

namespace {

struct Target {
  std::size_t piece = 0;
  std::optional<std::size_t> property;
};

class Preparation {
 public:
  explicit Preparation(Policy& policy) : policy_(policy) {}

  void run() {
    for (const auto& file : policy_.files) find_packs(file);
    for (const auto& file : policy_.files) declare(file);
    for (std::size_t i = 0; i < policy_.pieces.size(); ++i) name_targets(i);
    for (const auto& file : policy_.files) gather_groups(file);
    for (const auto& file : policy_.files) add_voices(file);
    grade_charts();
    for (const auto& detail : policy_.details) resolve_detail(detail);
    for (auto& piece : policy_.pieces) resolve(piece.tree->when);
    for (const auto& [name, when] : packs_) resolve(*when);
    for (std::size_t i = 0; i < policy_.voices.size(); ++i) resolve_voice(i);
    for (std::size_t i = 0; i < policy_.voices.size(); ++i) close_outranks(i);
    for (const auto& file : policy_.files) add_claims(file);
    for (const auto& file : policy_.files) add_nobody(file);
    for (const auto& file : policy_.files) resolve_shop(file);
  }

 private:
  // ---- what is declared

  void find_packs(const File& file) {
    for (const auto& item : file.items) {
      const auto* along = std::get_if<AlongWith>(&item.form);
      if (along && !packs_.emplace(along->file.text, &along->when).second)
        throw Unready("brought along twice: " + along->file.text);
    }
  }

  static bool is_pack(const File& file) {
    for (const auto& item : file.items)
      if (const auto* heading = std::get_if<Heading>(&item.form)) return heading->kind == Heading::Kind::pack;
    return false;
  }

  // The conditions of the `along with` that brought a pack. Sources may be named by a longer path than the line.
  const std::vector<Condition>& pack_conditions(const File& file) const {
    const auto& name = file.source->name();
    for (const auto& [brought, when] : packs_)
      if (name == brought || name.ends_with("/" + brought)) return *when;
    throw Unready("no line brings along " + name);
  }

  void declare(const File& file) {
    for (const auto& item : file.items) {
      if (const auto* ask = std::get_if<Ask>(&item.form)) add_detail({ask->name.text, ask, nullptr, nullptr, {}});
      if (const auto* made = std::get_if<WorkOut>(&item.form))
        add_detail({made->name.text, nullptr, &made->formula, nullptr, {}});
      if (const auto* piece = std::get_if<grammar::Piece>(&item.form)) add_piece(*piece);
    }
  }

  void add_detail(Detail detail) {
    const std::size_t index = policy_.details.size();
    if (!details_.emplace(detail.name, index).second) throw Unready("two details are named " + detail.name);
    if (detail.ask)
      for (const auto& member : detail.ask->domain.members) detail.members.push_back(member.text);
    name_members(index, detail);
    policy_.details.push_back(std::move(detail));
  }

  void name_members(std::size_t index, const Detail& detail) {
    for (std::size_t i = 0; i < detail.members.size(); ++i)
      members_.emplace(detail.name + "_" + detail.members[i], Membership{index, {i}});
  }

  // What a chart is graded as may be worked out so itself, by a chart further down or in another file.
  void grade_charts() {
    for (bool again = true; again;) {
      again = false;
      for (std::size_t i = 0; i < policy_.details.size(); ++i) {
        auto& detail = policy_.details[i];
        if (!detail.chart || !detail.chart->graded_as || !detail.members.empty()) continue;
        detail.members = policy_.detail(detail.chart->graded_as->joined()).members;
        name_members(i, detail);
        again = again || !detail.members.empty();
      }
    }
  }

  void add_piece(const grammar::Piece& tree) {
    Piece piece{tree.name.text, &tree, {}, {}};
    for (const auto& property : tree.properties) piece.properties.push_back(declared(property));
    policy_.pieces.push_back(std::move(piece));
  }

  static Property declared(const grammar::Property& tree) {
    Property property;
    property.name = tree.name.text;
    property.tree = &tree;
    for (const auto& member : tree.domain.members) {
      property.answers.push_back(member.text);
      property.shown.push_back(member.shown_as ? member.shown_as->text : member.text);
    }
    if (tree.domain.kind != Domain::Kind::amount) return property;
    const bool uneven = !tree.domain.sizes.empty();
    const auto& unit_holder =
        (uneven ? tree.domain.sizes.back() : std::get<Quantity>(tree.domain.interval->to)).parts.front();
    const Rational unit = unit_holder.unit ? worth(*unit_holder.unit) : 1;
    if (!unit_holder.currency.empty()) property.unit = " " + unit_holder.currency;
    property.one = unit;
    if (unit_holder.unit) property.unit = " " + std::string(spelling(*unit_holder.unit));
    if (uneven) {
      for (const auto& size : tree.domain.sizes) {
        property.sizes.push_back(worth(size));
        property.answers.push_back(plain(property.sizes.back() / unit));
      }
      property.first = property.sizes[0], property.step = property.sizes[1] - property.sizes[0];
      show(property, tree.domain.sizes);
      return property;
    }
    property.first = number_of(tree.domain.interval->from);
    property.step = worth(*tree.domain.step);
    const Rational last = number_of(tree.domain.interval->to);
    if (property.step <= 0 || last < property.first) throw Unready("no range for " + property.name);
    for (Rational at = property.first; at <= last; at = at + property.step)
      property.answers.push_back(plain(at / unit));
    show(property, {std::get<Quantity>(tree.domain.interval->from), std::get<Quantity>(tree.domain.interval->to),
                    *tree.domain.step});
    return property;
  }

  // Numbers as they are; or in fractions, where the property was written in them.
  static void show(Property& property, const std::vector<Quantity>& written) {
    static const std::map<std::string, std::string> signs = {{".5", "½"}, {".25", "¼"}, {".75", "¾"}};
    const bool fractions = std::any_of(written.begin(), written.end(),
                                       [](const auto& quantity) { return quantity.parts.back().in_fractions; });
    for (auto number : property.answers) {
      const auto sign = signs.find(number.substr(std::min(number.find('.'), number.size())));
      if (fractions && sign != signs.end()) {
        number.replace(number.find('.'), number.npos, sign->second);
        if (number.front() == '0') number.erase(0, 1);
      }
      property.shown.push_back(number);
    }
  }

  void name_targets(std::size_t index) {
    const auto& piece = policy_.pieces[index];
    const auto add = [&](const std::string& name, Target target) {
      if (!targets_.emplace(name, target).second) throw Unready("two things may be called " + name);
    };
    add(piece.name, {index, std::nullopt});
    for (std::size_t i = 0; i < piece.properties.size(); ++i)
      add(piece.name + "_" + piece.properties[i].name, {index, i});
  }

  void gather_groups(const File& file) {
    auto& every = policy_.groups["every_piece"];
    every.clear();
    for (std::size_t i = 0; i < policy_.pieces.size(); ++i) every.push_back(i);
    for (const auto& item : file.items)
      if (const auto* group = std::get_if<PieceGroup>(&item.form))
        for (const auto& phrase : group->pieces)
          policy_.groups[group->name.text].push_back(targets_.at(phrase.joined()).piece);
  }

  // One piece or property, or of a group each; of every piece those that have the property.
  std::vector<Target> named(const Phrase& phrase) const {
    const auto joined = phrase.joined();
    if (const auto found = targets_.find(joined); found != targets_.end()) return {found->second};
    std::vector<Target> all;
    for (const auto& [group, pieces] : policy_.groups) {
      if (joined != group && !joined.starts_with(group + "_")) continue;
      const auto rest = joined.substr(group.size());
      for (const auto piece : pieces)
        if (const auto found = targets_.find(policy_.pieces[piece].name + rest); found != targets_.end())
          all.push_back(found->second);
      if (!all.empty()) return all;
    }
    throw Unready("no piece or property " + joined);
  }

  std::vector<Property*> properties(const Phrase& phrase) {
    std::vector<Property*> all;
    for (const auto& target : named(phrase)) {
      if (!target.property) throw Unready("a piece where a property is due: " + phrase.joined());
      all.push_back(&policy_.pieces[target.piece].properties[*target.property]);
    }
    return all;
  }

  // ---- rules and charts

  void add_voices(const File& file) {
    const bool pack = is_pack(file);
    const auto* when = pack ? &pack_conditions(file) : nullptr;
    const auto shown = pack ? std::filesystem::path(file.source->name()).stem().string() + ": " : "";
    for (const auto& item : file.items) {
      if (const auto* rule = std::get_if<Rule>(&item.form)) {
        if (!rule->action) throw Unready("a rule that does nothing: " + rule->name.text);
        add_voice(shown, {shown + rule->name.text, &rule->clauses, rule, nullptr, when, nullptr, {}});
      }
      if (const auto* chart = std::get_if<Chart>(&item.form)) {
        if (gives_property(chart->gives))
          add_voice(shown, {shown + chart->name.text, &chart->clauses, nullptr, chart, when, nullptr, {}});
        else
          add_detail({chart->gives.joined(), nullptr, nullptr, chart, {}});
      }
    }
  }

  bool gives_property(const Phrase& gives) const {
    if (targets_.contains(gives.joined())) return true;
    return std::any_of(policy_.groups.begin(), policy_.groups.end(),
                       [&](const auto& group) { return gives.joined().starts_with(group.first + "_"); });
  }

  void add_voice(const std::string& shown, Voice voice) {
    if (!voices_.emplace(voice.name, policy_.voices.size()).second) throw Unready("two rules are named " + voice.name);
    scopes_.push_back(shown);
    policy_.voices.push_back(std::move(voice));
  }

  void resolve_voice(std::size_t index) {
    auto& voice = policy_.voices[index];
    resolve(voice.clauses->when);
    if (voice.chart) {
      const auto given = properties(voice.chart->gives);
      for (auto* each : given) each->voices.push_back(index);
      resolve_axes(*voice.chart);
      for (const auto& row : voice.chart->rows)
        for (const auto& cell : row.cells) policy_.reach_of[&cell] = reach(cell, *given.front());
    } else {
      resolve_action(index, *voice.rule->action);
    }
  }

  void resolve_action(std::size_t index, const Action& action) {
    using Kind = Action::Kind;
    switch (action.kind) {
      case Kind::caution: return;
      case Kind::need:
      case Kind::suggest:
      case Kind::omit:
        for (const auto& phrase : action.targets)
          for (const auto& each : named(phrase)) {
            if (each.property) throw Unready("a property where a piece is due: " + phrase.joined());
            policy_.pieces[each.piece].voices.push_back(index);
          }
        return;
      case Kind::refer:
        for (const auto& phrase : action.targets)
          for (const auto& each : named(phrase)) {
            auto& all = policy_.pieces[each.piece].properties;
            for (std::size_t i = 0; i < all.size(); ++i)
              if (!each.property || *each.property == i) all[i].voices.push_back(index);
          }
        return;
      case Kind::size: {
        const auto all = properties(action.targets.front());
        for (auto* each : all) each->voices.push_back(index);
        auto& sized = *all.front();
        policy_.voices[index].sized = &sized;
        if (action.never_under) policy_.voices[index].smallest = reach(Cell(*action.never_under), sized).low;
        if (action.never_over) policy_.voices[index].largest = reach(Cell(*action.never_over), sized).low;
        // Where it begins to answer, each step, and where it ends.
        const auto note = [&](const Phrase& from, std::int64_t first, std::int64_t last) {
          const std::size_t detail = resolve_name(from);
          for (auto i = first; i <= last; ++i)
            policy_.edges.push_back({detail, sized.amount_at(i), units_in(sized.tree->domain)});
        };
        note(*action.from, -1, sized.last());
        if (action.to) note(*action.to, 0, sized.last() + 1);
        return;
      }
      case Kind::step:
        for (auto* each : properties(action.targets.front())) each->voices.push_back(index);
        return;
      case Kind::set:
      case Kind::keep:
      case Kind::floor:
      case Kind::cap: {
        const auto held = properties(action.targets.front());
        for (auto* each : held) each->voices.push_back(index);
        policy_.reach_of[&*action.answer] = reach(*action.answer, *held.front());
        return;
      }
    }
  }

  static std::set<std::string> units_in(const Value& value) {
    std::set<std::string> units;
    if (const auto* quantity = std::get_if<Quantity>(&value))
      for (const auto& part : quantity->parts)
        if (!part.bare()) units.insert(part.unit ? std::string(spelling(*part.unit)) : part.currency);
    return units;
  }
  // What a property's sizes are shown in.
  static std::set<std::string> units_in(const Domain& domain) {
    std::set<std::string> units;
    for (const auto& word : domain.shown_in) units.insert(word.text);
    if (!units.empty()) return units;
    return units_in(domain.sizes.empty() ? domain.interval->to : Value(domain.sizes.back()));
  }

  // In a chart's cell a bare number is in the property's unit.
  static Rational answer_at(const Value& value, const Property& property) {
    const auto* quantity = std::get_if<Quantity>(&value);
    const bool bare = quantity && quantity->parts.size() == 1 && quantity->parts.front().bare();
    return bare ? number_of(value) * property.one : number_of(value);
  }

  // The answers a cell stands for. A band's ends close inwards on the property's steps.
  static Reach reach(const Cell& cell, const Property& property) {
    if (const auto* interval = std::get_if<Interval>(&cell)) {
      const auto low = property.steps_of(answer_at(interval->from, property)).ceiling();
      const auto high = property.steps_of(answer_at(interval->to, property)).floor();
      return {std::max<std::int64_t>(low, 0), std::min(high, property.last())};
    }
    const auto member = [&](const Phrase& phrase) {
      for (std::size_t i = 0; i < property.answers.size(); ++i)
        if (property.answers[i] == phrase.joined()) return static_cast<std::int64_t>(i);
      throw Unready(property.name + " has no " + phrase.joined());
    };
    if (const auto* open = std::get_if<grammar::LeftOpen>(&cell)) {
      auto all = open_from;
      for (std::size_t i = 0; i < property.answers.size() && open->members.empty(); ++i) all += std::int64_t{1} << i;
      for (const auto& phrase : open->members) all += std::int64_t{1} << member(phrase);
      return shared({all, all}, {all, all});  // of one member alone: that member
    }
    const auto& value = std::get<Value>(cell);
    if (const auto* phrase = std::get_if<Phrase>(&value)) return {member(*phrase), member(*phrase)};
    const Rational steps = property.steps_of(answer_at(value, property));
    if (!steps.is_whole() || steps < 0 || steps > property.last()) throw Unready("no step of " + property.name);
    return {steps.floor(), steps.floor()};
  }

  // `outranks` names a rule of its own file first, then of the policy, then of a pack with the pack in front.
  std::size_t outranked(std::size_t by, const Phrase& phrase) const {
    const auto name = phrase.joined();
    for (const auto& shown : {scopes_[by] + name, name})
      if (const auto found = voices_.find(shown); found != voices_.end()) return found->second;
    for (std::size_t i = 0; i < policy_.voices.size(); ++i) {
      const auto& shown = scopes_[i];
      const auto stem = shown.substr(0, shown.find(':'));
      const auto own = policy_.voices[i].name.substr(shown.size());
      if (!shown.empty() && stem + "_" + own == name) return i;
    }
    throw Unready("no rule or chart " + name);
  }

  void close_outranks(std::size_t index) {
    auto& reached = policy_.voices[index].outranks;
    reached.assign(policy_.voices.size(), false);
    std::vector<std::size_t> waiting = {index};
    while (!waiting.empty()) {
      const std::size_t from = waiting.back();
      waiting.pop_back();
      for (const auto& phrase : policy_.voices[from].clauses->outranks) {
        const std::size_t next = outranked(from, phrase);
        if (next == index) throw Unready("a circle of outranks at " + policy_.voices[index].name);
        if (!reached[next]) waiting.push_back(next);
        reached[next] = true;
      }
    }
  }

  // ---- claims

  void add_claims(const File& file) {
    using Kind = MakeSure::Kind;
    for (const auto& item : file.items) {
      const auto* claim = std::get_if<MakeSure>(&item.form);
      if (!claim) continue;
      resolve(claim->when);
      if (claim->kind != Kind::at_least && claim->kind != Kind::at_most && claim->kind != Kind::within &&
          claim->kind != Kind::one_of)
        continue;
      for (const auto& each : named(claim->subject)) {
        const auto& bounded = policy_.pieces[each.piece].properties[each.property.value()];
        std::vector<std::int64_t> allowed;
        for (std::int64_t at = 0; at <= bounded.last(); ++at)
          if (allows(*claim, bounded, at)) allowed.push_back(at);
        policy_.claims.push_back({claim, each.piece, *each.property, allowed});
      }
    }
  }

  // Whom lines about the shelf and the till are for.
  void resolve_shop(const File& file) {
    for (const auto& item : file.items) {
      if (const auto* accept = std::get_if<Accept>(&item.form)) resolve(accept->when);
      if (const auto* worth = std::get_if<Worth>(&item.form)) resolve(worth->when);
      if (const auto* deal = std::get_if<Deal>(&item.form)) resolve(deal->when);
      if (const auto* plan = std::get_if<OverTheLimit>(&item.form))
        for (const auto& step : plan->steps) resolve(step.when);
    }
  }

  void add_nobody(const File& file) {
    for (const auto& item : file.items) {
      const auto* nobody = std::get_if<Nobody>(&item.form);
      if (!nobody) continue;
      resolve(nobody->has);
      policy_.nobody.push_back(nobody);
    }
  }

  static bool allows(const MakeSure& claim, const Property& property, std::int64_t at) {
    if (claim.kind == MakeSure::Kind::one_of)
      return std::any_of(claim.members.begin(), claim.members.end(), [&](const auto& member) {
        return member.text == property.answers[static_cast<std::size_t>(at)];
      });
    // Where a bound lies among the answers, which it need not be one of: "at most 64.2 in", "within club to elite".
    const auto place = [&](const Value& value) {
      const auto* phrase = std::get_if<Phrase>(&value);
      if (!phrase) return property.steps_of(number_of(value));
      const auto named = std::find(property.answers.begin(), property.answers.end(), phrase->joined());
      if (named == property.answers.end()) throw Unready(property.name + " has no " + phrase->joined());
      return Rational(named - property.answers.begin());
    };
    const auto* interval = std::get_if<Interval>(&*claim.bound);
    const auto low = place(interval ? interval->from : std::get<Value>(*claim.bound));
    const auto high = place(interval ? interval->to : std::get<Value>(*claim.bound));
    return (claim.kind == MakeSure::Kind::at_most || low <= Rational(at)) &&
           (claim.kind == MakeSure::Kind::at_least || Rational(at) <= high);
  }

  // ---- details

  std::size_t resolve_name(const Phrase& phrase) {
    const auto found = details_.find(phrase.joined());
    if (found == details_.end()) throw Unready("no detail " + phrase.joined());
    return policy_.detail_of[&phrase] = found->second;
  }

  std::size_t member(std::size_t detail, const std::string& name) const {
    const auto found = members_.find(policy_.details[detail].name + "_" + name);
    if (found == members_.end()) throw Unready("no member " + name);
    return found->second.members.front();
  }

  void resolve(const std::vector<Condition>& conditions) {
    for (const auto& condition : conditions) resolve(condition);
  }

  void resolve(const Condition& condition) {
    if (condition.relation == Relation::is) {
      const auto found = members_.find(condition.subject.joined());
      if (found == members_.end()) throw Unready("no member " + condition.subject.joined());
      auto named = found->second;
      for (const auto& phrase : condition.alternatives) named.members.push_back(member(named.detail, phrase.joined()));
      policy_.membership_of[&condition] = named;
      return;
    }
    if (condition.relation == Relation::from_to && !condition.first) {
      const auto found = members_.find(condition.subject.joined());
      if (found == members_.end()) throw Unready("no member " + condition.subject.joined());
      auto named = found->second;
      const auto last = member(named.detail, std::get<Phrase>(*condition.value).joined());
      while (named.members.back() < last) named.members.push_back(named.members.back() + 1);
      policy_.membership_of[&condition] = named;
      return;
    }
    const std::size_t detail = resolve_name(condition.subject);
    if (condition.first) {
      policy_.edges.push_back({detail, number_of(*condition.first), units_in(*condition.first)});
      const auto* ask = policy_.details[detail].ask;
      const auto next = past_last(condition);
      if (!ask || next <= number_of(ask->domain.interval->to)) policy_.edges.push_back({detail, next, {}});
      return;
    }
    if (const auto* phrase = std::get_if<Phrase>(&*condition.value))
      policy_.member_of[&condition] = member(detail, phrase->joined());
    else
      policy_.edges.push_back({detail, number_of(*condition.value), units_in(*condition.value)});
  }

  void resolve_axes(const Chart& chart) {
    if (chart.across) {
      const std::size_t detail = resolve_name(chart.across->detail);
      for (const auto& head : chart.across->heads) resolve_head(head, detail);
    }
    if (!chart.down) return;
    const std::size_t detail = resolve_name(*chart.down);
    for (const auto& row : chart.rows) resolve_head(row.head, detail);
  }

  void resolve_head(const Head& head, std::size_t detail) {
    if (head.edge) policy_.edges.push_back({detail, number_of(*head.edge), units_in(*head.edge)});
    auto& members = policy_.members_of[&head];
    for (const auto& phrase : head.members) members.push_back(member(detail, phrase.joined()));
  }

  void resolve_detail(const Detail& detail) {
    if (detail.chart) {
      resolve(detail.chart->clauses.when);
      resolve_axes(*detail.chart);
    }
    if (detail.formula) resolve_formula(*detail.formula);
  }

  void resolve_formula(const Expression& expression) {
    if (expression.kind == Expression::Kind::name) resolve_name(expression.name);
    for (const auto& operand : expression.operands) resolve_formula(operand);
  }

  Policy& policy_;
  std::map<std::string, const std::vector<Condition>*> packs_;
  std::map<std::string, std::size_t> details_, voices_;
  std::map<std::string, Membership> members_;  // by `detail_member`
  std::map<std::string, Target> targets_;      // by `piece`, `piece_property`
  std::vector<std::string> scopes_;            // by voice: the pack in front of its name, as `junior: `, or nothing
};

}  // namespace

Rational Detail::given(const Cell& cell) const {
  const auto& value = std::get<Value>(cell);
  const auto* phrase = std::get_if<Phrase>(&value);
  if (!phrase) return number_of(value);
  const auto found = std::find(members.begin(), members.end(), phrase->joined());
  if (found == members.end()) throw Unready("no member " + phrase->joined());
  return static_cast<std::int64_t>(found - members.begin());
}

const Detail& Policy::detail(std::string_view name) const {
  for (const auto& detail : details)
    if (detail.name == name) return detail;
  throw Unready("no detail " + std::string(name));
}

namespace {

// The size below which, and the one above which, an amount lies in steps of one length.
std::size_t size_before(const std::vector<Rational>& sizes, const Rational& amount) {
  std::size_t before = 0;
  while (before + 2 < sizes.size() && sizes[before + 1] <= amount) ++before;
  return before;
}

}  // namespace

Rational past_last(const Condition& condition) {
  const auto last = number_of(*condition.value);
  const auto* quantity = std::get_if<Quantity>(&*condition.value);
  if (!quantity || !quantity->parts.back().unit) return last + 1;
  return last + worth(*quantity->parts.back().unit);
}

bool takes_in(const Reach& reach, std::int64_t answer) {
  return is_open(reach.low) ? is_one_of(reach.low, answer) : reach.low <= answer && answer <= reach.high;
}

Reach shared(const Reach& a, const Reach& b) {
  if (!is_open(a.low) && !is_open(b.low)) return {std::max(a.low, b.low), std::min(a.high, b.high)};
  std::vector<std::int64_t> both;
  for (std::int64_t member = 0; member < 40; ++member)
    if (takes_in(a, member) && takes_in(b, member)) both.push_back(member);
  if (both.empty()) return {1, 0};
  if (both.size() == 1) return {both.front(), both.front()};
  auto all = open_from;
  for (const auto member : both) all += std::int64_t{1} << member;
  return {all, all};
}

Rational Property::steps_of(const Rational& amount) const {
  if (sizes.empty()) return (amount - first) / step;
  const auto at = size_before(sizes, amount);
  return Rational(static_cast<std::int64_t>(at)) + (amount - sizes[at]) / (sizes[at + 1] - sizes[at]);
}

Rational Property::amount_at(const Rational& steps) const {
  if (sizes.empty()) return first + step * steps;
  const auto most = static_cast<std::int64_t>(sizes.size()) - 2;
  const auto at = std::clamp<std::int64_t>(steps.floor(), 0, most);
  const auto &from = sizes[static_cast<std::size_t>(at)], &to = sizes[static_cast<std::size_t>(at) + 1];
  return from + (to - from) * (steps - at);
}

Policy prepare(std::vector<File> files) {
  Policy policy;
  policy.files = std::move(files);
  Preparation(policy).run();
  return policy;
}

Policy prepare(const std::vector<TextFile>& texts) {
  Diagnostics diagnostics;
  std::vector<File> files;
  std::vector<TextFile> tables;
  for (const auto& [name, text] : texts)
    if (name.ends_with(".csv"))
      tables.push_back({name, text});
    else
      files.push_back(read(std::make_shared<const Source>(name, text), diagnostics));
  if (!diagnostics.empty()) throw Unready(render(diagnostics.sorted()));
  lay_in(files, tables);
  return prepare(std::move(files));
}

}  // namespace lacestay::naive
