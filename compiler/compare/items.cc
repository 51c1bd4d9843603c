#include "compiler/compare/items.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <utility>

#include "compiler/compare/statements.hpp"
#include "compiler/space/reach.hpp"

namespace lacestay::compiler {
namespace {

using Rows = GatheredRows::Rows;

// At which stages something passes: the earlier edition's, then the later one's.
using Kind = std::vector<bool>;
// More kinds of items than this are no longer told apart.
constexpr std::size_t most_kinds = 2'000;

Kind shared(const Kind& a, const Kind& b) {
  auto both = a;
  for (std::size_t i = 0; i < both.size(); ++i) both[i] = a[i] && b[i];
  return both;
}

// Sets of kinds, each held once under a number; 0 is the empty one. Not for several threads at once.
class KindSets {
 public:
  explicit KindSets(OfSides<std::size_t> stages) : stages_(stages) { (void)number({}); }

  [[nodiscard]] Kind all(bool earlier, bool later) const {
    Kind kind(stages_.earlier, earlier);
    kind.insert(kind.end(), stages_.later, later);
    return kind;
  }
  // An edition's first stage where the kind passes.
  [[nodiscard]] std::optional<std::size_t> first(const Kind& kind, Side side) const {
    const auto begin = kind.begin() + static_cast<std::ptrdiff_t>(side == Side::earlier ? 0 : stages_.earlier);
    const auto end = begin + static_cast<std::ptrdiff_t>(stages_[side]);
    const auto found = std::find(begin, end, true);
    return found == end ? std::nullopt : std::optional(static_cast<std::size_t>(found - begin));
  }
  // Items of the kind may be handed over in this edition, and not in the other.
  [[nodiscard]] bool only_in(const Kind& kind, Side side) const {
    return first(kind, side) && !first(kind, side == Side::earlier ? Side::later : Side::earlier);
  }

  std::uint32_t number(std::vector<Kind> kinds) {
    drop_needless(kinds);
    if (kinds.size() > most_kinds) throw Diagrams::OverBudget{};
    const auto [known, fresh] = numbers_.emplace(std::move(kinds), static_cast<std::uint32_t>(sets_.size()));
    if (fresh) sets_.push_back(known->first);
    return known->second;
  }
  // The kinds of items that are of a kind of either set.
  std::uint32_t joined(std::uint32_t a, std::uint32_t b) {
    std::vector<Kind> kinds;
    for (const auto& first : sets_[a])
      for (const auto& second : sets_[b]) kinds.push_back(shared(first, second));
    if (kinds.size() > most_kinds) throw Diagrams::OverBudget{};
    return number(std::move(kinds));
  }
  // The number of what changes: 1 where some kind passes in the earlier edition alone, and 2 where in the later one.
  [[nodiscard]] std::uint32_t change(std::uint32_t set) const {
    std::uint32_t change = 0;
    for (const auto& kind : sets_[set])
      change |= (only_in(kind, Side::earlier) ? 1 : 0) | (only_in(kind, Side::later) ? 2 : 0);
    return change;
  }

 private:
  // Whether a kind serves as well as another to be handed over in this edition alone, whatever it is joined with.
  [[nodiscard]] bool serves_for(const Kind& kind, const Kind& other, Side side) const {
    for (std::size_t i = 0; i < kind.size(); ++i) {
      const bool here = (i < stages_.earlier) == (side == Side::earlier);
      if (here ? other[i] && !kind[i] : kind[i] && !other[i]) return false;
    }
    return true;
  }
  // Kinds that pass nowhere, and those that another one of the set serves for in either edition's stead.
  void drop_needless(std::vector<Kind>& kinds) const {
    std::sort(kinds.begin(), kinds.end());
    kinds.erase(std::unique(kinds.begin(), kinds.end()), kinds.end());
    std::vector<Kind> kept;
    for (const auto& kind : kinds) {
      const auto needless = [&](Side side) {
        return !first(kind, side) || std::any_of(kinds.begin(), kinds.end(), [&](const Kind& other) {
          return other != kind && serves_for(other, kind, side);
        });
      };
      if (!needless(Side::earlier) || !needless(Side::later)) kept.push_back(kind);
    }
    kinds = std::move(kept);
  }

  OfSides<std::size_t> stages_;
  std::map<std::vector<Kind>, std::uint32_t> numbers_;
  std::vector<std::vector<Kind>> sets_;
};

// By stage: the steps a property of an item may have, for a player to whom just these rows of its table apply.
std::vector<StepRange> steps_by_stage(const Policy& policy, const std::vector<Stage>& stages, std::uint32_t property,
                                      const Rows& rows) {
  const auto& tables = policy.tables;
  const auto& table = tables.tables[tables.property_table(property)];
  const auto at = property - policy.pieces[tables.piece_of[property]].first_property;
  const auto advised = decide(tables, table, rows);
  std::vector<StepRange> steps(stages.size());
  // What is left to the fitter is at no stage; in form 1 only where the line looks at it.
  if (advised.standing != Standing::answered &&
      (tables.safety_reaches_items || stages.front().asked[at].rests_on_advice()))
    return steps;
  const auto bounds = item_bounds(tables, table, rows);
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const auto& asked = stages[i].asked[at];
    if (!refused_by_form_1(tables, table, rows, asked, advised))
      steps[i] = steps_handed_over(tables.answers[property], asked, advised, bounds);
  }
  return steps;
}

// The values of a property, one for each kind there is.
struct Values {
  std::map<Kind, std::int64_t> by_kind;  // ticks, or a member's number
  bool free = true;                      // every stage of both editions lets it be anything it can be
};

// `rows`: those of the property's table that apply, in each edition that has it.
Values values_of(const ItemProperty& property, const OfSides<const Policy*>& policies,
                 const OfSides<std::vector<Stage>>& stages, const OfSides<Rows>& rows) {
  Values values;
  OfSides<std::vector<StepRange>> steps;
  std::vector<std::int64_t> turns;  // values of one kind lie between two neighbouring ones of these
  for (const auto side : both_sides) {
    const auto& meaning = property.meaning[side];
    if (!property.in[side]) continue;
    steps[side] = steps_by_stage(*policies[side], stages[side], *property.in[side], rows[side]);
    const StepRange all{0, static_cast<std::int64_t>(meaning.size()) - 1};
    for (const auto& range : steps[side]) values.free = values.free && range == all;
    if (property.members) {
      turns.insert(turns.end(), meaning.begin(), meaning.end());
      continue;
    }
    turns.insert(turns.end(), {meaning.front(), meaning.back() + 1});
    for (const auto& range : steps[side])
      if (!range.empty())
        turns.insert(turns.end(),
                     {meaning[static_cast<std::size_t>(range.low)], meaning[static_cast<std::size_t>(range.high)] + 1});
  }
  std::sort(turns.begin(), turns.end());
  turns.erase(std::unique(turns.begin(), turns.end()), turns.end());
  std::map<Kind, std::int64_t> between_steps;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    const auto first = turns[i];
    const auto end = !property.members && i + 1 < turns.size() ? turns[i + 1] : first + 1;
    Kind kind;
    bool known = false;  // an edition has such a value
    auto value = first;
    bool is_step = property.members;
    for (const auto side : both_sides) {
      const auto& meaning = property.meaning[side];
      if (!property.in[side]) {
        kind.insert(kind.end(), stages[side].size(), true);
        continue;
      }
      const auto step = property.members ? std::find(meaning.begin(), meaning.end(), first)
                                         : std::lower_bound(meaning.begin(), meaning.end(), first);
      const bool has = property.members ? step != meaning.end() : meaning.front() <= first && first <= meaning.back();
      known = known || has;
      for (const auto& range : steps[side])
        kind.push_back(has && !range.empty() &&
                       (property.members ? range.holds(step - meaning.begin())
                                         : meaning[static_cast<std::size_t>(range.low)] <= first &&
                                               first <= meaning[static_cast<std::size_t>(range.high)]));
      if (!property.members && has && step != meaning.end() && *step < end) value = *step, is_step = true;
    }
    if (known) (is_step ? values.by_kind : between_steps).emplace(std::move(kind), value);
  }
  values.by_kind.merge(between_steps);
  values.free = values.free && values.by_kind.size() == 1;
  return values;
}

// One way in which an item may be beside its properties.
struct Beside {
  Kind kind;
  std::size_t unusual = 0;
  std::function<void(SampleItem&)> put;
};

// By what each stage lets pass.
template <typename Lets>
Kind kind_of(const OfSides<std::vector<AskedBeside>>& asked, Lets lets) {
  Kind kind;
  for (const auto side : both_sides)
    for (const auto& stage : asked[side]) kind.push_back(lets(stage));
  return kind;
}

// How old an item may be told to be, the usual first: each bound that a stage of either edition sets, and past the
// last; not asked where none sets one.
std::vector<std::pair<SampleItem::Age, std::int64_t>> ages_asked(const OfSides<std::vector<AskedBeside>>& asked) {
  using Age = SampleItem::Age;
  std::set<std::int64_t> years;
  for (const auto side : both_sides)
    for (const auto& stage : asked[side])
      for (const auto& goods : {stage.if_new, stage.if_used})
        if (goods.made_within) years.insert(*goods.made_within);
  if (years.empty()) return {{Age::not_asked, 0}};
  std::vector<std::pair<Age, std::int64_t>> all;
  for (const auto each : years) all.emplace_back(Age::within, each);
  all.emplace_back(Age::over, *years.rbegin());
  all.emplace_back(Age::not_told, 0);
  return all;
}

// New or used, its label, its price and age: what is asked of the one may turn on the other. Of each kind the most
// usual.
std::vector<Beside> goods_beside(const OfSides<std::vector<AskedBeside>>& asked) {
  using Label = SampleItem::Label;
  std::vector<std::optional<std::int64_t>> prices;
  for (const auto price : prices_asked(asked)) prices.emplace_back(price);
  if (prices.empty()) prices.emplace_back();
  const auto ages = ages_asked(asked);
  constexpr std::array labels = {Label::in_date, Label::undated, Label::out_of_date};
  std::vector<Beside> all;
  for (const bool used : {false, true})
    for (std::size_t label = 0; label < labels.size(); ++label)
      for (std::size_t price = 0; price < prices.size(); ++price)
        for (std::size_t age = 0; age < ages.size(); ++age) {
          const auto put = [=, as_label = labels[label], costs = prices[price], old = ages[age]](SampleItem& item) {
            item.used = used, item.label = as_label, item.price = costs;
            item.age = old.first, item.years = old.second;
          };
          SampleItem item;
          put(item);
          Beside made{kind_of(asked, [&](const AskedBeside& stage) { return stage.lets(item); }),
                      (used ? labels.size() : 0) + label + price + age, put};
          const auto known =
              std::find_if(all.begin(), all.end(), [&](const Beside& each) { return each.kind == made.kind; });
          if (known == all.end())
            all.push_back(std::move(made));
          else if (made.unusual < known->unusual)
            *known = std::move(made);
        }
  return all;
}

// What an item may be beside its properties: a list for each matter.
std::vector<std::vector<Beside>> all_beside(const OfSides<std::vector<AskedBeside>>& asked, const KindSets& kinds) {
  std::vector<std::vector<Beside>> all = {goods_beside(asked)};
  std::set<std::string> covered;
  for (const auto side : both_sides)
    for (const auto& stage : asked[side]) covered.insert(stage.covers.begin(), stage.covers.end());
  for (const auto& name : covered) {
    const auto lets = [&](const AskedBeside& stage) {
      return !std::binary_search(stage.covers.begin(), stage.covers.end(), name);
    };
    all.push_back({{kinds.all(true, true), 0, [](SampleItem&) {}},
                   {kind_of(asked, lets), 1, [=](SampleItem& item) { item.not_covered.push_back(name); }}});
  }
  return all;
}

// A value as each edition has it.
SampleItem::Value value_in_editions(const ItemProperty& property, std::int64_t value, bool free) {
  SampleItem::Value made{property.in, {}, free};
  for (const auto side : both_sides) {
    const auto& meaning = property.meaning[side];
    if (!property.in[side]) continue;
    const auto step = std::find(meaning.begin(), meaning.end(), value);
    if (property.members && step != meaning.end()) made.value[side] = step - meaning.begin();
    if (!property.members && meaning.front() <= value && value <= meaning.back()) made.value[side] = value;
  }
  return made;
}

// An item that may be handed over in this edition alone, to a player for whom properties have these values; the most
// usual there is. Nothing where there is none.
std::optional<SampleItem> sample_of(const std::vector<ItemProperty>& properties, const std::vector<Values>& values,
                                    const std::vector<std::vector<Beside>>& beside, const KindSets& kinds, Side side) {
  struct Chosen {
    std::size_t unusual = 0;
    std::vector<std::int64_t> values;
    std::vector<const Beside*> beside;
  };
  std::map<Kind, Chosen> found = {{kinds.all(true, true), {}}};
  std::map<Kind, Chosen> next;
  const auto choose = [&](const Kind& kind, const Chosen& chosen, std::size_t unusual) -> Chosen* {
    if (!kinds.first(kind, side)) return nullptr;
    const auto [known, fresh] = next.try_emplace(kind, chosen);
    if (!fresh && known->second.unusual <= chosen.unusual + unusual) return nullptr;
    known->second = chosen;
    known->second.unusual += unusual;
    return &known->second;
  };
  for (const auto& property : values) {
    for (const auto& [kind, chosen] : found)
      for (const auto& [own, value] : property.by_kind)
        if (auto* made = choose(shared(kind, own), chosen, 0)) made->values.push_back(value);
    found = std::exchange(next, {});
  }
  for (const auto& matter : beside) {
    for (const auto& [kind, chosen] : found)
      for (std::size_t i = 0; i < matter.size(); ++i)
        if (auto* made = choose(shared(kind, matter[i].kind), chosen, matter[i].unusual))
          made->beside.push_back(&matter[i]);
    found = std::exchange(next, {});
  }
  const Chosen* best = nullptr;
  std::size_t stage = 0;
  for (const auto& [kind, chosen] : found)
    if (kinds.only_in(kind, side) && (!best || chosen.unusual < best->unusual))
      best = &chosen, stage = *kinds.first(kind, side);
  if (!best) return std::nullopt;
  SampleItem item;
  for (std::size_t i = 0; i < properties.size(); ++i)
    item.values.push_back(value_in_editions(properties[i], best->values[i], values[i].free));
  for (const auto* each : best->beside) each->put(item);
  item.stage = stage;
  return item;
}

bool same_kind_of_values(const Scale& a, const Scale& b) {
  return a.has_members() ? b.has_members() : a.kind == b.kind && a.dimension == b.dimension;
}

// What two stages ask of a property both editions have, alike whatever the order it was written in.
bool asked_alike(const ItemProperty& property, const Asked& earlier, const Asked& later) {
  const auto relations = [](const Asked& asked) {
    return std::set<Requirement::Kind>(asked.relations.begin(), asked.relations.end());
  };
  const auto members = [&](const Asked& asked, Side side) {
    std::set<std::int64_t> numbers;
    for (const auto member : asked.members) numbers.insert(property.meaning[side][member]);
    return numbers;
  };
  return relations(earlier) == relations(later) && members(earlier, Side::earlier) == members(later, Side::later) &&
         earlier.moved == later.moved && earlier.cut_to == later.cut_to;
}

}  // namespace

std::vector<std::int64_t> values_of_steps(const Policy& policy, std::uint32_t property) {
  const auto& text = policy.properties[property];
  std::vector<std::int64_t> values;
  for (std::int64_t step = 0; step < std::int64_t{policy.tables.answers[property].steps}; ++step)
    values.push_back(text.scale.has_members() ? step : text.at(step));
  return values;
}

ComparedItems::ComparedItems(const Editions& editions, OfSides<std::uint32_t> piece,
                             const std::vector<const MatchedAnswer*>& properties)
    : editions_(editions), piece_(piece) {
  const auto policy = [&](Side side) -> const Policy& { return editions.edition(side); };
  const auto add = [&](OfSides<std::optional<std::uint32_t>> in, OfSides<std::vector<std::int64_t>> meaning) {
    ItemProperty made{in, std::move(meaning), false, {}};
    for (const auto side : both_sides) {
      if (!in[side]) continue;
      made.members = policy(side).properties[*in[side]].scale.has_members();
      made.tables[side] = &policy(side).tables.tables[policy(side).tables.property_table(*in[side])];
    }
    properties_.push_back(std::move(made));
  };
  const auto alone = [&](Side side, std::uint32_t property) {
    OfSides<std::optional<std::uint32_t>> in;
    OfSides<std::vector<std::int64_t>> meaning;
    in[side] = property;
    meaning[side] = values_of_steps(policy(side), property);
    add(in, std::move(meaning));
  };
  OfSides<std::vector<bool>> paired;
  for (const auto side : both_sides) paired[side].resize(policy(side).properties.size());
  for (const auto* each : properties) {
    const auto earlier = *each->target.earlier, later = *each->target.later;
    if (!same_kind_of_values(policy(Side::earlier).properties[earlier].scale,
                             policy(Side::later).properties[later].scale))
      continue;
    paired.earlier[earlier] = paired.later[later] = true;
    add(each->target, each->meaning);
  }
  for (const auto side : {Side::later, Side::earlier}) {
    const auto& text = policy(side).pieces[piece[side]];
    for (auto property = text.first_property; property < text.first_property + text.properties; ++property)
      if (!paired[side][property]) alone(side, property);
  }
  for (const auto side : both_sides) {
    const auto& tables = policy(side).tables;
    piece_tables_[side] = &tables.tables[tables.piece_table(piece[side])];
    stages_[side] = stages_of(policy(side), piece[side]);
    beside_[side] = asked_beside(policy(side), piece[side], stages_[side]);
    for (const auto& stage : stages_[side])
      for (const auto line : stage.players) {
        if (std::any_of(lines_[side].begin(), lines_[side].end(), [&](auto& known) { return known.line == line; }))
          continue;
        lines_[side].push_back({line, piece_part() + ++line_parts_, {}});
        lines_[side].back().tables[side] = &tables.tables[line];
      }
  }
  // Items cover a detail by its name. It is another number where the editions have it as two columns.
  OfSides<std::map<std::string, ColumnId>> covered;
  for (const auto side : both_sides)
    for (const auto& line : policy(side).shop.accepts[piece[side]])
      for (const auto& need : line.requirements) {
        if (need.kind != Requirement::Kind::covers) continue;
        Cell shared_cell;
        editions.share(side, {need.column, {}}, shared_cell);
        covered[side].emplace(policy(side).name_of(need.column), shared_cell.column);
      }
  for (const auto& [name, column] : covered.earlier) {
    const auto other = covered.later.find(name);
    measured_otherwise_ = measured_otherwise_ || (other != covered.later.end() && other->second != column);
  }
}

void ComparedItems::read_into(ChangedRows& rows) const {
  for (const auto& property : properties_)
    for (const auto side : both_sides)
      if (const auto* table = property.tables[side]; table && !rows.has_read(*table)) rows.read(side, *table, {});
  for (const auto side : both_sides)
    for (const auto& line : lines_[side])
      if (!rows.has_read(*line.tables[side])) rows.read(side, *line.tables[side], {});
}

const ComparedItems::LinePart& ComparedItems::line_part(Side side, TableId line) const {
  return *std::find_if(lines_[side].begin(), lines_[side].end(), [&](const auto& known) { return known.line == line; });
}

// Line by line both stages are for the same players of the shared space.
bool ComparedItems::for_the_same(const Stage& earlier, const Stage& later) const {
  const auto boxes = [&](Side side, const Stage& stage) {
    std::vector<std::vector<std::vector<std::uint32_t>>> all;
    for (const auto line : stage.players) {
      all.emplace_back();
      for (const auto& row : line_part(side, line).tables[side]->rows)
        if (std::vector<std::uint32_t> flat; editions_.add_shared(side, row.box, flat))
          all.back().push_back(std::move(flat));
    }
    return all;
  };
  return boxes(Side::earlier, earlier) == boxes(Side::later, later);
}

// Whatever rows there are, both editions ask the same of an item.
bool ComparedItems::accept_alike() const {
  const auto& earlier = editions_.edition(Side::earlier);
  const auto& later = editions_.edition(Side::later);
  if (earlier.tables.safety_reaches_items != later.tables.safety_reaches_items || measured_otherwise_ ||
      beside_.earlier != beside_.later || stages_.earlier.size() != stages_.later.size())
    return false;
  for (std::size_t i = 0; i < stages_.earlier.size(); ++i)
    if (stages_.earlier[i].line != stages_.later[i].line || !for_the_same(stages_.earlier[i], stages_.later[i]))
      return false;
  return std::all_of(properties_.begin(), properties_.end(), [&](const ItemProperty& property) {
    if (!property.in.earlier || !property.in.later || property.meaning.earlier != property.meaning.later) return false;
    const auto before = *property.in.earlier - earlier.pieces[piece_.earlier].first_property;
    const auto after = *property.in.later - later.pieces[piece_.later].first_property;
    for (std::size_t i = 0; i < stages_.earlier.size(); ++i)
      if (!asked_alike(property, stages_.earlier[i].asked[before], stages_.later[i].asked[after])) return false;
    return true;
  });
}

void ComparedItems::gather(const ChangedRows& rows, Tables& space) {
  const bool alike = accept_alike();
  std::vector<Box> where;
  if (!alike) where.emplace_back();
  for (const auto& property : properties_)
    if (alike)
      for (auto& box : rows.changed_bounds(property.tables)) where.push_back(std::move(box));
  if (where.empty()) return;
  for (const auto& property : properties_) rows_.add(rows, property.tables, rows.near(property.tables, where));
  rows_.add(rows, piece_tables_, rows.near(piece_tables_, where));
  for (const auto side : both_sides)
    for (const auto& line : lines_[side]) rows_.add(rows, line.tables, rows.near(line.tables, where));
  rows_.put_into(space, where);
}

bool ComparedItems::in_both_kits(const Rows& rows) const {
  return std::all_of(both_sides.begin(), both_sides.end(), [&](Side side) {
    const auto own = rows_.of(rows, piece_part(), side);
    return in_kit(decide(editions_.edition(side).tables, *piece_tables_[side], own).standing);
  });
}

std::vector<bool> ComparedItems::lines_apply(const Rows& rows) const {
  Kind kind;
  for (const auto side : both_sides)
    for (const auto& stage : stages_[side])
      kind.push_back(std::all_of(stage.players.begin(), stage.players.end(), [&](TableId line) {
        return !rows_.of(rows, line_part(side, line).part, side).empty();
      }));
  return kind;
}

ItemsChange ComparedItems::compare(const Policy& space, Witnesses& witnesses, const DifferenceBudget& budget) const {
  ItemsChange change;
  change.piece = piece_;
  if (rows_.empty()) return change;
  change.settled = !measured_otherwise_;
  const OfSides<const Policy*> policies{&editions_.edition(Side::earlier), &editions_.edition(Side::later)};
  KindSets kinds({stages_.earlier.size(), stages_.later.size()});
  const auto beside = all_beside(beside_, kinds);
  const auto values = [&](std::uint32_t property, const Rows& rows) {
    OfSides<Rows> own{rows_.of(rows, property, Side::earlier), rows_.of(rows, property, Side::later)};
    return values_of(properties_[property], policies, stages_, own);
  };
  auto beside_kinds = kinds.number({kinds.all(true, true)});
  for (const auto& matter : beside) {
    std::vector<Kind> own;
    for (const auto& each : matter) own.push_back(each.kind);
    beside_kinds = kinds.joined(beside_kinds, kinds.number(std::move(own)));
  }
  Telling telling(space.tables, witnesses, budget);
  telling.add(rows_.where(space.tables), [&](Diagrams& store, const std::vector<Box>& where) {
    auto all = rows_.apart(space.tables, store, where, piece_part(), piece_part(),
                           [&](const Rows& rows) { return in_both_kits(rows) ? beside_kinds : 0; });
    for (std::uint32_t property = 0; property < properties_.size(); ++property) {
      const auto own = rows_.apart(space.tables, store, where, property, property, [&](const Rows& rows) {
        std::vector<Kind> all_kinds;
        for (const auto& [kind, value] : values(property, rows).by_kind) all_kinds.push_back(kind);
        return kinds.number(std::move(all_kinds));
      });
      all = store.apply(all, own, [&](std::uint32_t a, std::uint32_t b) { return kinds.joined(a, b); });
    }
    if (line_parts_ > 0) {
      const auto lines = rows_.apart(space.tables, store, where, piece_part() + 1, piece_part() + line_parts_,
                                     [&](const Rows& rows) { return kinds.number({lines_apply(rows)}); });
      all = store.apply(all, lines, [&](std::uint32_t a, std::uint32_t b) { return kinds.joined(a, b); });
    }
    store.forget_applied();
    return store.apply(all, all, [&](std::uint32_t set, std::uint32_t) { return kinds.change(set); });
  });
  Reach reach(space.tables);
  telling.tell(change, [&](Numbered&& numbered) {
    const auto number = numbered.number;
    ItemsBecome made{std::move(numbered), {(number & 1) != 0, (number & 2) != 0}, {}};
    if (!made.settled) return made;
    const auto rows = rows_.at(space.tables, reach.at(made.player));
    std::vector<Values> all;
    for (std::uint32_t property = 0; property < properties_.size(); ++property) all.push_back(values(property, rows));
    auto with_lines = beside;
    with_lines.push_back({{lines_apply(rows), 0, [](SampleItem&) {}}});
    for (const auto side : both_sides)
      if (made.only_in[side]) made.sample[side] = sample_of(properties_, all, with_lines, kinds, side);
    return made;
  });
  return change;
}

std::optional<std::size_t> handed_over_at(const Policy& policy, Side side, std::uint32_t piece,
                                          const std::function<std::vector<std::uint32_t>(TableId)>& rows,
                                          const SampleItem& item) {
  const auto stages = stages_of(policy, piece);
  const auto asked = asked_beside(policy, piece, stages);
  std::vector<bool> passes;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const auto& lines = stages[i].players;
    passes.push_back(asked[i].lets(item) &&
                     std::all_of(lines.begin(), lines.end(), [&](TableId line) { return !rows(line).empty(); }));
  }
  for (const auto& each : item.values) {
    if (!each.property[side]) continue;
    if (!each.value[side]) return std::nullopt;
    const auto property = *each.property[side];
    const auto values = values_of_steps(policy, property);
    const auto steps =
        steps_by_stage(policy, stages, property, rows(static_cast<TableId>(policy.tables.property_table(property))));
    const bool members = policy.properties[property].scale.has_members();
    for (std::size_t i = 0; i < stages.size(); ++i)
      passes[i] = passes[i] && !steps[i].empty() &&
                  (members ? steps[i].holds(*each.value[side])
                           : values[static_cast<std::size_t>(steps[i].low)] <= *each.value[side] &&
                                 *each.value[side] <= values[static_cast<std::size_t>(steps[i].high)]);
  }
  const auto found = std::find(passes.begin(), passes.end(), true);
  return found == passes.end() ? std::nullopt : std::optional(static_cast<std::size_t>(found - passes.begin()));
}

}  // namespace lacestay::compiler
