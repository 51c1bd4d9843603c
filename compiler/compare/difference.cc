#include "compiler/compare/difference.hpp"

#include <algorithm>

#include "compiler/compare/changed_rows.hpp"
#include "compiler/compare/gathered_rows.hpp"
#include "compiler/compare/items.hpp"
#include "compiler/compare/shut_out.hpp"
#include "compiler/compare/statements.hpp"
#include "compiler/space/fewer_columns.hpp"

namespace lacestay::compiler {
namespace {

// An answer while it is compared.
struct Compared : MatchedAnswer {
  OfSides<const Table*> table{};  // absent where the edition lacks it
  OfSides<const Table*> piece{};  // of a property
  GatheredRows rows;              // those of its table; of a property also those of its piece's
};
enum Part : std::uint32_t { own, of_piece };

class Comparing {
 public:
  Comparing(const Policy& earlier, const Policy& later, const DifferenceBudget& budget)
      : policies_{&earlier, &later},
        budget_(budget),
        editions_(std::make_unique<Editions>(earlier, later)),
        space_(editions_->space()),
        rows_(*editions_),
        same_form_(earlier.tables.safety_reaches_items == later.tables.safety_reaches_items) {}

  Difference run() {
    match_answers();
    for (auto& each : compared_) read_rows(each);
    match_items();
    rows_.match_rules();
    for (auto& each : compared_) gather(each);
    for (auto& each : items_) each.gather(rows_, space_.tables);
    share_shut_out();
    drop_idle_edges();
    space_.tables = with_fewer_columns(space_.tables);
    Difference difference;
    if (!editions_->apart()) {
      difference.shut_out = who_is_shut_out();
      Witnesses witnesses(space_, space_.tables, budget_.parts);
      for (const auto& each : compared_) {
        auto change = compare(each, witnesses);
        if (change.statements.empty() && change.settled)
          difference.same.push_back(std::move(change.answer));
        else
          difference.changes.push_back(std::move(change));
      }
      for (const auto& each : items_) {
        auto change = each.compare(space_, witnesses, budget_);
        if (!change.statements.empty() || !change.settled) difference.items.push_back(std::move(change));
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
  // the earlier list or, where that lacks it, after all of those. Of choices the shorter list comes first, whichever
  // edition it is of: so the numbers of members that may be left open are small, as `means` wants them.
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
      for (const auto side : both_sides) each.meaning[side] = values_of_steps(policy(side), *each.target[side]);
      return;
    }
    const bool choices = scale.kind == Scale::Kind::choice && other.kind == Scale::Kind::choice;
    const auto base = choices && other.members.size() < scale.members.size() ? Side::later : Side::earlier;
    auto names = text[base]->scale.members;
    for (std::size_t i = 0; i < names.size(); ++i) each.meaning[base].push_back(static_cast<std::int64_t>(i));
    const auto added = base == Side::later ? Side::earlier : Side::later;
    for (const auto& name : text[added]->scale.members) {
      const auto known = std::find(names.begin(), names.end(), name);
      each.meaning[added].push_back(known - names.begin());
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

  // Of the pieces that both editions accept items of, those whose items may differ for somebody.
  void match_items() {
    for (const auto& each : compared_) {
      if (each.kind != Table::Kind::piece || !each.target.earlier || !each.target.later) continue;
      const OfSides<std::uint32_t> piece{*each.target.earlier, *each.target.later};
      const auto accepts = [&](Side side) {
        const auto& all = policy(side).shop.accepts;
        return piece[side] < all.size() && !all[piece[side]].empty();
      };
      if (!accepts(Side::earlier) || !accepts(Side::later)) continue;
      std::vector<const MatchedAnswer*> properties;
      for (const auto& other : compared_)
        if (other.kind == Table::Kind::property &&
            policy(Side::later).properties[*other.target.later].piece == piece.later)
          properties.push_back(&other);
      items_.emplace_back(*editions_, piece, properties);
      items_.back().read_into(rows_);
    }
  }

  // Every row that applies where the editions may differ.
  void gather(Compared& each) {
    const bool both = each.table.earlier && each.table.later;
    bool everywhere = !same_form_;
    if (both && each.kind == Table::Kind::property)
      everywhere |= !same_law(each, policy(Side::earlier).tables.answers[*each.target.earlier],
                              policy(Side::later).tables.answers[*each.target.later]);
    if (both && each.kind == Table::Kind::piece)
      everywhere |= policy(Side::earlier).tables.presence[*each.target.earlier] !=
                    policy(Side::later).tables.presence[*each.target.later];
    if (!both && each.kind == Table::Kind::piece) everywhere = true;
    const auto found = rows_.changed(each.table, everywhere);
    if (found.where.empty()) return;
    each.rows.add(rows_, each.table, found.near);
    if (each.kind == Table::Kind::property) each.rows.add(rows_, each.piece, rows_.near(each.piece, found.where));
    each.rows.put_into(space_.tables, found.where);
  }

  // The lines of both editions: who can be under both is who is compared.
  void share_shut_out() {
    for (const auto side : both_sides)
      for (const auto& each : policy(side).tables.shut_out) {
        Box box(each.box.size());
        for (std::size_t i = 0; i < box.size(); ++i) editions_->share(side, each.box[i], box[i]);
        std::sort(box.begin(), box.end(), [](const Cell& a, const Cell& b) { return a.column < b.column; });
        space_.tables.shut_out.push_back({std::move(box), each.line});
      }
  }

  [[nodiscard]] OfSides<std::vector<ShutOutAlone>> who_is_shut_out() const {
    const auto& all = space_.tables.shut_out;
    const auto middle = all.begin() + static_cast<std::ptrdiff_t>(policy(Side::earlier).tables.shut_out.size());
    OfSides<std::vector<ShutOut>> lines{{all.begin(), middle}, {middle, all.end()}};
    for (const auto side : both_sides)
      std::erase_if(lines[side], [](const ShutOut& each) { return is_empty(each.box); });
    return {shut_out_alone(space_, lines.earlier, lines.later, budget_),
            shut_out_alone(space_, lines.later, lines.earlier, budget_)};
  }

  // with_fewer_columns searches for every edge of a worked-out detail in the asked detail it rests on. Columns that no
  // gathered row looks at lose their edges first, so that these are not searched for.
  void drop_idle_edges() {
    auto& tables = space_.tables;
    std::vector<bool> looked_at(tables.columns.size());
    for (const auto& table : tables.tables)
      for (const auto& row : table.rows)
        for (const auto& cell : row.box) looked_at[cell.column] = true;
    for (const auto& each : tables.shut_out)
      for (const auto& cell : each.box) looked_at[cell.column] = true;
    for (std::size_t i = 0; i < tables.columns.size(); ++i)
      if (auto& column = tables.columns[i]; column.worked_out && !looked_at[i]) column.cuts.clear(), column.places = 1;
  }

  [[nodiscard]] Outcome outcome(const Compared& each, Side side, const GatheredRows::Rows& rows, Part part) const {
    const auto* table = part == of_piece ? each.piece[side] : each.table[side];
    if (!table) return {each.kind == Table::Kind::piece ? Standing::not_in_kit : Standing::silent, 0, 0};
    return decide(policy(side).tables, *table, each.rows.of(rows, part, side));
  }

  // For a set of rows that apply: 0 where both editions say the same, else the number of the pair of outcomes.
  std::uint32_t pair_of(const Compared& each, const GatheredRows::Rows& rows, OutcomePairs& pairs) const {
    OfSides<Outcome> outcomes;
    for (const auto side : both_sides) {
      if (each.kind == Table::Kind::property && !in_kit(outcome(each, side, rows, of_piece).standing)) return 0;
      outcomes[side] = outcome(each, side, rows, own);
    }
    return each.same(outcomes.earlier, outcomes.later) ? 0 : pairs.id(outcomes.earlier, outcomes.later);
  }

  AnswerChange compare(const Compared& each, Witnesses& witnesses) const {
    AnswerChange change;
    change.answer = each;
    if (each.rows.empty()) return change;
    OutcomePairs pairs;
    Telling telling(space_.tables, witnesses, budget_);
    telling.add(each.rows.where(space_.tables), [&](Diagrams& store, const std::vector<Box>& where) {
      return each.rows.apart(space_.tables, store, where, own, of_piece,
                             [&](const GatheredRows::Rows& rows) { return pair_of(each, rows, pairs); });
    });
    telling.tell(change, [&](Numbered&& changed) {
      const auto& [before, after] = pairs.of(changed.number);
      return Becomes{std::move(changed), before, after};
    });
    return change;
  }

  OfSides<const Policy*> policies_;
  const DifferenceBudget& budget_;
  std::unique_ptr<Editions> editions_;
  Policy space_;
  ChangedRows rows_;
  const bool same_form_;  // else the law itself differs, whatever the rows say
  std::vector<Compared> compared_;
  std::vector<ComparedItems> items_;
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
    return comparable && means(meaning.earlier, step) == means(meaning.later, other);
  };
  if (before.standing == Standing::answered) return alike(before.low, after.low) && alike(before.high, after.high);
  if (before.standing != Standing::referred) return true;
  // Beside it stand the ends that safety rules leave, or none.
  const auto alike_beside = [&](std::int64_t step, std::int64_t other) {
    return step < 0 || other < 0 ? step == other : alike(step, other);
  };
  return alike_beside(before.low, after.low) && alike_beside(before.high, after.high);
}

bool Difference::settled() const {
  const auto is_settled = [](const auto& change) { return change.settled; };
  return std::all_of(changes.begin(), changes.end(), is_settled) &&
         std::all_of(items.begin(), items.end(), is_settled) &&
         std::all_of(shut_out.earlier.begin(), shut_out.earlier.end(), is_settled) &&
         std::all_of(shut_out.later.begin(), shut_out.later.end(), is_settled);
}

Difference differences(const Policy& earlier, const Policy& later, const DifferenceBudget& budget) {
  return Comparing(earlier, later, budget).run();
}

}  // namespace lacestay::compiler
