#include "compiler/compare/difference.hpp"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "compiler/compare/changed_rows.hpp"
#include "compiler/compare/statements.hpp"
#include "compiler/space/fewer_columns.hpp"
#include "compiler/space/row_sets.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

// Where a gathered row comes from: its number in each edition that has it.
struct Origin {
  OfSides<std::optional<std::uint32_t>> row;
  bool of_piece = false;  // a row of the property's piece
};

// An answer while it is compared.
struct Compared : MatchedAnswer {
  OfSides<const Table*> table{};  // absent where the edition lacks it
  OfSides<const Table*> piece{};  // of a property
  TableId shared = 0;             // in the shared space; its rows are those of `origins`, then one for each changed box
  std::vector<Origin> origins;
};

std::vector<std::int64_t> amounts(const PropertyText& text, std::uint32_t steps) {
  std::vector<std::int64_t> all;
  for (std::uint32_t i = 0; i < steps; ++i) all.push_back(text.first + i * text.step);
  return all;
}

class Comparing {
 public:
  Comparing(const Policy& earlier, const Policy& later, const DifferenceBudget& budget)
      : policies_{&earlier, &later},
        budget_(budget),
        editions_(std::make_unique<Editions>(earlier, later)),
        space_(editions_->space()),
        rows_(*editions_) {}

  Difference run() {
    match_answers();
    for (auto& each : compared_) read_rows(each);
    rows_.match_rules();
    for (auto& each : compared_) gather(each);
    drop_idle_edges();
    space_.tables = with_fewer_columns(space_.tables);
    Difference difference;
    if (!editions_->apart()) {
      Witnesses witnesses(space_, space_.tables, budget_.parts);
      for (const auto& each : compared_) {
        auto change = compare(each, witnesses);
        if (change.statements.empty() && change.settled)
          difference.same.push_back(std::move(change.answer));
        else
          difference.changes.push_back(std::move(change));
      }
    }
    difference.rules = rows_.matched();
    difference.space = std::move(space_);
    difference.editions = std::move(editions_);
    return difference;
  }

 private:
  [[nodiscard]] const Policy& policy(Side side) const { return *policies_[side]; }

  void match_answers() {
    const auto named = [](const auto& texts, const auto& name) -> std::optional<std::uint32_t> {
      for (std::uint32_t i = 0; i < texts.size(); ++i)
        if (texts[i].name == name) return i;
      return std::nullopt;
    };
    const auto& later = policy(Side::later);
    const auto& earlier = policy(Side::earlier);
    for (std::uint32_t piece = 0; piece < later.pieces.size(); ++piece) {
      const auto& text = later.pieces[piece];
      const auto before = named(earlier.pieces, text.name);
      add(Table::Kind::piece, {before, piece});
      if (!before) continue;
      const auto& old = earlier.pieces[*before];
      for (std::uint32_t i = 0; i < text.properties; ++i)
        for (std::uint32_t k = 0; k < old.properties; ++k)
          if (later.properties[text.first_property + i].name == earlier.properties[old.first_property + k].name)
            add(Table::Kind::property, {old.first_property + k, text.first_property + i});
    }
    for (std::uint32_t piece = 0; piece < earlier.pieces.size(); ++piece)
      if (!named(later.pieces, earlier.pieces[piece].name)) add(Table::Kind::piece, {piece, {}});
    const auto caution_named = [](const Policy& of, const std::string& name) -> std::optional<std::uint32_t> {
      for (std::uint32_t i = 0; i < of.cautions.size(); ++i)
        if (of.rules[of.cautions[i]].name == name) return i;
      return std::nullopt;
    };
    for (std::uint32_t i = 0; i < later.cautions.size(); ++i)
      add(Table::Kind::caution, {caution_named(earlier, later.rules[later.cautions[i]].name), i});
    for (std::uint32_t i = 0; i < earlier.cautions.size(); ++i)
      if (!caution_named(later, earlier.rules[earlier.cautions[i]].name)) add(Table::Kind::caution, {i, {}});
  }

  void add(Table::Kind kind, OfSides<std::optional<std::uint32_t>> target) {
    Compared each;
    each.kind = kind;
    each.target = target;
    for (const auto side : both_sides) {
      if (!target[side]) continue;
      const auto& tables = policy(side).tables;
      each.table[side] = &tables.tables[each.table_in(tables, side)];
      if (kind == Table::Kind::property)
        each.piece[side] = &tables.tables[tables.piece_table(tables.piece_of[*target[side]])];
    }
    if (kind == Table::Kind::property) give_meanings(each);
    compared_.push_back(std::move(each));
  }

  // Numbers by which steps of both editions can be compared: amounts stand for themselves; a member is its number in
  // the earlier list or, where that lacks it, after all of those.
  void give_meanings(Compared& each) const {
    OfSides<const PropertyText*> text;
    OfSides<const AnswerSpace*> space;
    for (const auto side : both_sides) {
      text[side] = &policy(side).properties[*each.target[side]];
      space[side] = &policy(side).tables.answers[*each.target[side]];
    }
    const auto& scale = text.earlier->scale;
    const auto& other = text.later->scale;
    if (!scale.has_members() || !other.has_members()) {
      each.comparable =
          scale.kind == other.kind && scale.dimension == other.dimension && space.earlier->band == space.later->band;
      for (const auto side : both_sides) each.meaning[side] = amounts(*text[side], space[side]->steps);
      return;
    }
    auto names = scale.members;
    for (std::size_t i = 0; i < names.size(); ++i) each.meaning.earlier.push_back(static_cast<std::int64_t>(i));
    for (const auto& name : other.members) {
      const auto known = std::find(names.begin(), names.end(), name);
      each.meaning.later.push_back(known - names.begin());
      if (known == names.end()) names.push_back(name);
    }
  }

  // Whether the law combines the same rows alike in both editions: floors and caps depend on the order of the steps.
  [[nodiscard]] static bool same_law(const Compared& each, const AnswerSpace& earlier, const AnswerSpace& later) {
    if (!each.comparable || earlier.ordered != later.ordered) return false;
    std::vector<std::int64_t> shared;
    for (const auto step : each.meaning.later)
      if (std::count(each.meaning.earlier.begin(), each.meaning.earlier.end(), step) > 0) shared.push_back(step);
    return std::is_sorted(shared.begin(), shared.end());
  }

  void read_rows(Compared& each) {
    for (const auto side : both_sides)
      if (each.table[side]) rows_.read(side, *each.table[side], each.meaning[side]);
    if (each.table.earlier && each.table.later) rows_.pair(*each.table.earlier, *each.table.later);
  }

  // Makes one table of the shared space: every row that applies where the editions may differ, then those boxes, so
  // that what follows reduces their columns together (with_fewer_columns).
  void gather(Compared& each) {
    const bool both = each.table.earlier && each.table.later;
    bool everywhere = false;
    if (both && each.kind == Table::Kind::property)
      everywhere = !same_law(each, policy(Side::earlier).tables.answers[*each.target.earlier],
                             policy(Side::later).tables.answers[*each.target.later]);
    if (both && each.kind == Table::Kind::piece)
      everywhere = policy(Side::earlier).tables.presence[*each.target.earlier] !=
                   policy(Side::later).tables.presence[*each.target.later];
    if (!both && each.kind == Table::Kind::piece) everywhere = true;
    const auto found = rows_.changed(each.table, everywhere);
    if (found.where.empty()) return;
    Table shared;
    std::set<ColumnId> columns;
    const auto add_box = [&](Box box) {
      for (const auto& cell : box) columns.insert(cell.column);
      shared.rows.push_back({std::move(box), Effect::base, false, 0, 0, 0, 0});
    };
    for (const auto& pair : found.near) {
      each.origins.push_back({pair, false});
      add_box(rows_.box(each.table, pair));
    }
    if (each.kind == Table::Kind::property) {
      for (const auto& pair : rows_.near(each.piece, found.where)) {
        each.origins.push_back({pair, true});
        add_box(rows_.box(each.piece, pair));
      }
    }
    if (each.origins.empty()) each.origins.emplace_back();  // no row at all: presence alone differs
    shared.rows.resize(each.origins.size());
    for (const auto& box : found.where) add_box(box);
    shared.columns.assign(columns.begin(), columns.end());
    each.shared = static_cast<TableId>(space_.tables.tables.size());
    space_.tables.tables.push_back(std::move(shared));
  }

  // with_fewer_columns searches for every edge of a worked-out detail in the asked detail it rests on. Columns that no
  // gathered row looks at lose their edges first, so that these are not searched for.
  void drop_idle_edges() {
    auto& tables = space_.tables;
    std::vector<bool> looked_at(tables.columns.size());
    for (const auto& table : tables.tables)
      for (const auto& row : table.rows)
        for (const auto& cell : row.box) looked_at[cell.column] = true;
    for (std::size_t i = 0; i < tables.columns.size(); ++i)
      if (auto& column = tables.columns[i]; column.worked_out && !looked_at[i]) column.cuts.clear(), column.places = 1;
  }

  [[nodiscard]] Outcome outcome(const Compared& each, Side side, const RowSets::Rows& rows, bool of_piece) const {
    const auto* table = of_piece ? each.piece[side] : each.table[side];
    if (!table) return {each.kind == Table::Kind::piece ? Standing::not_in_kit : Standing::silent, 0, 0};
    std::vector<std::uint32_t> own;
    for (const auto row : rows) {
      const auto& origin = each.origins[row];
      if (origin.of_piece == of_piece && origin.row[side]) own.push_back(*origin.row[side]);
    }
    std::sort(own.begin(), own.end());
    return decide(policy(side).tables, *table, own);
  }

  // For a set of rows that apply: 0 where both editions say the same, else the number of the pair of outcomes.
  std::uint32_t pair_of(const Compared& each, const RowSets::Rows& rows, OutcomePairs& pairs) const {
    OfSides<Outcome> outcomes;
    for (const auto side : both_sides) {
      if (each.kind == Table::Kind::property && !in_kit(outcome(each, side, rows, true).standing)) return 0;
      outcomes[side] = outcome(each, side, rows, false);
    }
    return each.same(outcomes.earlier, outcomes.later) ? 0 : pairs.id(outcomes.earlier, outcomes.later);
  }

  AnswerChange compare(const Compared& each, Witnesses& witnesses) const {
    AnswerChange change;
    change.answer = each;
    if (each.origins.empty()) return change;
    const auto& rows = space_.tables.tables[each.shared].rows;
    std::vector<Box> where;
    for (std::size_t at = each.origins.size(); at < rows.size(); ++at)
      if (!is_empty(rows[at].box)) where.push_back(rows[at].box);
    OutcomePairs pairs;
    Telling telling(space_.tables, pairs, witnesses, budget_, change);
    auto edges = budget_.edges;
    // Boxes that share a player are joined to one diagram.
    for (const auto& group : groups_of(where, meet)) {
      try {
        Diagrams store(space_.tables.place_counts(), edges);
        std::vector<Diagrams::Node> parts;
        for (const auto at : group) parts.push_back(changed_in(each, where[at], store, pairs));
        store.forget_applied();
        telling.add(store, joined(store, std::move(parts)));
        edges -= std::min(edges, store.work());
      } catch (const Diagrams::OverBudget&) {
        change.settled = false;
      }
    }
    telling.tell();
    return change;
  }

  static Diagrams::Node joined(Diagrams& store, std::vector<Diagrams::Node> parts) {
    while (parts.size() > 1) {
      std::vector<Diagrams::Node> pairs;
      for (std::size_t i = 0; i + 1 < parts.size(); i += 2)
        pairs.push_back(
            store.apply(parts[i], parts[i + 1], [](std::uint32_t a, std::uint32_t b) { return a != 0 ? a : b; }));
      if (parts.size() % 2 != 0) pairs.push_back(parts.back());
      parts = std::move(pairs);
    }
    return parts.front();
  }

  // The diagram of outcome pairs within one box; 0 outside it and where nothing changes.
  Diagrams::Node changed_in(const Compared& each, const Box& where, Diagrams& store, OutcomePairs& pairs) const {
    const auto& rows = space_.tables.tables[each.shared].rows;
    std::vector<Box> boxes;
    std::vector<std::uint32_t> numbers;
    for (std::uint32_t row = 0; row < each.origins.size(); ++row) {
      if (is_empty(rows[row].box) || !meet(rows[row].box, where)) continue;
      boxes.push_back(shared_box(rows[row].box, where));
      numbers.push_back(row);
    }
    RowSets sets;
    store.forget_applied();
    const auto applying = sets.diagram(store, boxes);
    store.forget_applied();
    std::unordered_map<std::uint32_t, std::uint32_t> known;
    return store.apply(applying, store.box(where), [&](std::uint32_t set, std::uint32_t inside) {
      if (inside == 0) return 0u;
      const auto [found, fresh] = known.emplace(set, 0);
      if (fresh) {
        RowSets::Rows own;
        for (const auto row : sets.all()[set]) own.push_back(numbers[row]);
        found->second = pair_of(each, own, pairs);
      }
      return found->second;
    });
  }

  OfSides<const Policy*> policies_;
  const DifferenceBudget& budget_;
  std::unique_ptr<Editions> editions_;
  Policy space_;
  ChangedRows rows_;
  std::vector<Compared> compared_;
};

}  // namespace

TableId MatchedAnswer::table_in(const Tables& tables, Side side) const {
  const auto own = *target[side];
  return static_cast<TableId>(kind == Table::Kind::property ? tables.property_table(own)
                              : kind == Table::Kind::piece  ? tables.piece_table(own)
                                                            : tables.first_caution_table() + own);
}

bool MatchedAnswer::same(const Outcome& before, const Outcome& after) const {
  if (before.standing != after.standing) return false;
  if (kind != Table::Kind::property) return true;
  const auto alike = [&](std::int64_t step, std::int64_t other) {
    return comparable &&
           meaning.earlier[static_cast<std::size_t>(step)] == meaning.later[static_cast<std::size_t>(other)];
  };
  if (before.standing == Standing::answered) return alike(before.low, after.low) && alike(before.high, after.high);
  if (before.standing != Standing::referred) return true;
  if (before.low < 0 || after.low < 0) return before.low == after.low;  // no safety floor beside it
  return alike(before.low, after.low);
}

bool Difference::settled() const {
  return std::all_of(changes.begin(), changes.end(), [](const AnswerChange& change) { return change.settled; });
}

Difference differences(const Policy& earlier, const Policy& later, const DifferenceBudget& budget) {
  return Comparing(earlier, later, budget).run();
}

}  // namespace lacestay::compiler
